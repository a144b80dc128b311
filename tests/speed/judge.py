#!/usr/bin/env python3
"""What judging a tile costs: whole and spoiled, from 2 100 to 16 200 px, beside Pillow, which only reads the same file.

    tests/speed/judge.py              CPU, clock and peak memory of `seamfast check`, and its ratios to the peer
    tests/speed/judge.py --quick      the small tiles

A tile with a fault at one join costs most: its repeat is then found by trying, and each join is held against two hundred
boundaries inside. Needs Pillow, numpy and tifffile (`.venv` has them).
"""

import argparse
import subprocess
import sys
from pathlib import Path

from run import ROOT, SEAMFAST, WORK, run
from scenes import Scene, write

SCENES = [Scene(layout, n, side) for side in (2100, 16200) for layout, n in (("half-drop", 200), ("straight", 2000))]
PYTHON = ROOT / ".venv" / "bin" / "python"
# As a page of fractional pixels leaves it, as a copy laid a pixel off; and whole, as other programs save it.
SPOILED = ("soft", "slip", "alpha", "inks", "jpeg")

SPOIL = """
import sys
import numpy, tifffile
from PIL import Image
Image.MAX_IMAGE_PIXELS = None
source, how, target = sys.argv[1:]
pixels = tifffile.imread(source)
side = pixels.shape[1]
if how == "soft":
    pixels[:, -1] = pixels[:, -1] * 0.8 + 0.2 * 255
if how == "slip":
    # The right half a pixel lower: at the join, and in the middle, copies do not meet.
    pixels[:, side // 2:] = numpy.roll(pixels[:, side // 2:], 1, 0)
if how == "alpha":
    pixels = numpy.dstack([pixels, numpy.full(pixels.shape[:2], 255, numpy.uint8)])
if how in ("jpeg", "inks"):
    image = Image.fromarray(pixels)
    image.convert("CMYK").save(target, compression="tiff_lzw") if how == "inks" else image.save(target, quality=90)
else:
    packed = dict(compression="zlib", compressionargs={"level": 1}, rowsperstrip=64, photometric="rgb")
    tifffile.imwrite(target, pixels, extrasamples=["unassalpha"] if how == "alpha" else [], **packed)
"""

READ = "import sys; from PIL import Image; Image.MAX_IMAGE_PIXELS = None; Image.open(sys.argv[1]).load()"


def tiles(scene: Scene) -> list[Path]:
    """The scene's tile as TIFF and PNG, and its spoiled copies."""
    design = write(scene, WORK / "scenes")
    run(SEAMFAST, "make", design, "--as", "png,tiff", "--out", WORK / "out")
    whole = WORK / "out" / f"{scene.name}.tif"
    spoiled = [whole.with_name(f"{scene.name}-{how}.{'jpg' if how == 'jpeg' else 'tif'}") for how in SPOILED]
    for how, target in zip(SPOILED, spoiled):
        subprocess.run([PYTHON, "-c", SPOIL, whole, how, target], check=True)
    return [whole.with_suffix(".png"), whole, *spoiled]


def main() -> None:
    words = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    words.add_argument("--quick", action="store_true", help="the small tiles")
    quick = words.parse_args().quick
    WORK.mkdir(parents=True, exist_ok=True)
    print(f"{'tile':44}  CPU s  clock s   MiB   to Pillow: CPU, clock, memory")
    for scene in SCENES:
        if quick and scene.side > 2100:
            continue
        for tile in tiles(scene):
            own = run(SEAMFAST, "check", tile, allowed=(0, 1))
            peer = run(PYTHON, "-c", READ, tile)
            print(f"{tile.name:44} {own.cpu:6.2f}  {own.wall:7.2f} {own.mib:5.0f}   {own.over(peer)}", flush=True)


if __name__ == "__main__":
    sys.exit(main())
