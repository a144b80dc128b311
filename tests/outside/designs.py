"""Random designs as TOML: every layout, uneven sizes, motifs over edges and corners.

A seed is a design for ever, so that a failure can be made again.
"""

import random

from tool import GROUND, MOTIFS

LAYOUTS = ["straight", "half-drop", "brick", "drop=1/3", "brick=3/4", "mirror", "mirror-across", "mirror-down", "drop=2/5"]

# The page is a croquis; the label holds text, which each renderer sets with its own machinery.
MOTIF_FILES = sorted(path for path in MOTIFS.glob("*.svg") if path.stem not in ("page-harbour", "label"))
assert len(MOTIF_FILES) >= 10, MOTIF_FILES


def random_design(seed, dpi=None, longest=900):
    """A design's text. Each motif file is placed once, so its copies are known by name."""
    dice = random.Random(seed)
    dpi = dpi or dice.choice([60, 72, 96, 100, 127, 150])
    unit, per_inch = dice.choice([("in", 1.0), ("mm", 25.4), ("cm", 2.54)])
    size = [dice.uniform(0.35, 1.0) * longest / dpi for _ in range(2)]
    tile = "x".join(f"{side * per_inch:.3f}" for side in size) + unit
    lines = [
        f'name = "design-{seed}"',
        f'ground = "{GROUND}"',
        "[repeat]",
        f'layout = "{LAYOUTS[seed % len(LAYOUTS)]}"',
        f'tile = "{tile}"',
    ]
    for file in dice.sample(MOTIF_FILES, dice.randint(1, 4)):
        width = dice.uniform(0.12, 0.6) * min(size)
        lines += [
            "[[motif]]",
            f'file = "{file}"',
            f'width = "{width:.4f}in"' if dice.random() < 0.8 else f"scale = {width / 2.5:.4f}",
            f"at = [{coordinate(dice, size[0])}, {coordinate(dice, size[1])}]",
            f"turn = {dice.choice([0, 90, 180, dice.uniform(-400, 400), dice.uniform(0, 360)]):.3f}",
            f'flip = "{dice.choice(["none", "none", "across", "down", "both"])}"',
            f"layer = {dice.choice([0, 0, 0, 1, -1])}",
        ]
    lines += ["[[deliver]]", f"dpi = {dpi}"]
    return "\n".join(lines) + "\n"


def coordinate(dice, side):
    """On an edge or corner, anywhere around the block, or a length from its edge."""
    share = f'"{dice.uniform(-60, 160):.2f}%"'
    return dice.choice(['"0%"', '"100%"', '"50%"', share, share, f'"{dice.uniform(-0.5, 1.0) * side:.3f}in"'])
