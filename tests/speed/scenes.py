"""The scenes that are timed: one motif of about 125 curves, strewn over a tile.

The motif holds what a drawn flower holds: petals with a gradient, an opacity group, strokes.
Its width follows from the tile and the count, so that the scenes are covered alike.
"""

import math
import random
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Scene:
    layout: str
    placements: int
    side: int  # pixels
    motif: str = "flower"

    @property
    def name(self) -> str:
        return f"{self.motif}-{self.layout}-{self.placements}-{self.side}"


def flower() -> str:
    """24 petals of four curves, a ring of strokes, a heart: 125 curves."""
    petals, veins = [], []
    for i in range(24):
        a, b = math.tau * i / 24, math.tau * (i + 0.5) / 24
        x, y = 50 + 46 * math.cos(a), 50 + 46 * math.sin(a)
        u, v = 50 + 14 * math.cos(b), 50 + 14 * math.sin(b)
        s, t = 50 + 30 * math.cos(a - 0.2), 50 + 30 * math.sin(a - 0.2)
        p, q = 50 + 30 * math.cos(a + 0.2), 50 + 30 * math.sin(a + 0.2)
        petals.append(f"M50 50C{s:.2f} {t:.2f} {s:.2f} {t:.2f} {x:.2f} {y:.2f}C{x:.2f} {y:.2f} {p:.2f} {q:.2f} {p:.2f} {q:.2f}"
                      f"C{p:.2f} {q:.2f} {u:.2f} {v:.2f} {u:.2f} {v:.2f}C{u:.2f} {v:.2f} 50 50 50 50Z")
        veins.append(f"M50 50Q{u:.2f} {v:.2f} {x:.2f} {y:.2f}")
    return f"""<svg xmlns="http://www.w3.org/2000/svg" width="100" height="100" viewBox="0 0 100 100">
<defs><radialGradient id="g" cx="50" cy="50" r="46" gradientUnits="userSpaceOnUse">
<stop offset="0" stop-color="#1f2d4d"/><stop offset="1" stop-color="#5b7f9f"/></radialGradient></defs>
<path d="{''.join(petals)}" fill="url(#g)"/>
<g opacity=".7"><path d="{''.join(veins[::2])}" fill="none" stroke="#f3eee3" stroke-width=".8"/>
<circle cx="50" cy="50" r="13" fill="#a8402f"/></g>
<path d="{''.join(veins[1::2])}" fill="none" stroke="#d8a72a" stroke-width=".6" stroke-linecap="round"/>
<circle cx="50" cy="50" r="8" fill="#d8a72a" stroke="#3a332c" stroke-width="1.5"/>
</svg>
"""


def glass() -> str:
    """A filter and a text: what only the general painter can do."""
    return """<svg xmlns="http://www.w3.org/2000/svg" width="100" height="100" viewBox="0 0 100 100">
<defs><filter id="f" x="-20%" y="-20%" width="140%" height="140%"><feGaussianBlur stdDeviation="3"/></filter></defs>
<circle cx="50" cy="45" r="30" fill="#5b7f9f" filter="url(#f)"/>
<circle cx="50" cy="45" r="24" fill="#7c8f6a"/>
<text x="50" y="92" font-family="DejaVu Serif" font-weight="bold" font-size="18" text-anchor="middle" fill="#1f2d4d">FLOAT</text>
</svg>
"""


def write(scene: Scene, folder: Path, roll: tuple[int, int] = (0, 0)) -> Path:
    """Writes motif and design; `roll` moves every placement by whole pixels (at 150 dpi)."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / f"{scene.motif}.svg").write_text({"flower": flower, "glass": glass}[scene.motif]())
    rng = random.Random(scene.placements)
    # Motifs cover about a third of the tile, counted as discs; a half-drop block is half a tile.
    blocks = 2 if scene.layout == "half-drop" else 1
    width, height = scene.side // blocks, scene.side
    count = max(1, scene.placements // blocks)
    size = math.sqrt(scene.side**2 * 0.35 / scene.placements / (math.pi / 4))
    lines = [f'name = "{scene.name}"', 'ground = "#f3eee3"', "[repeat]", f'layout = "{scene.layout}"', f'tile = "{scene.side}px"']
    for _ in range(count):
        x = (rng.randrange(width * 256) / 256 + roll[0]) / 150
        y = (rng.randrange(height * 256) / 256 + roll[1]) / 150
        turn, width_in = rng.uniform(0, 360), size * rng.uniform(0.7, 1.3) / 150
        lines += ["[[motif]]", f'file = "{scene.motif}.svg"', f'width = "{width_in:.6f}in"', f'at = ["{x:.9f}in", "{y:.9f}in"]', f"turn = {turn:.3f}"]
    lines += ["[[deliver]]", "dpi = 150"]
    path = folder / f"{scene.name}.toml"
    path.write_text("\n".join(lines) + "\n")
    return path
