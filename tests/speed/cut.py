"""What a cut costs: 3 x 3 tiles of 200 flowers, welded, and then outlined.

    python3 tests/speed/cut.py        prints CPU seconds and the most memory; nothing is asserted

A flower has five petals of four curves and a round middle: 21 curves and more after its strokes. The peer is GEOS, by
shapely, with the same curves as chords of a micrometre: its union and its buffer, which keep no curves.
"""

import json
import math
import os
import random
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PETAL = "M0 0C-3 -2 -6 -5 -6 -8C-6 -12 -3 -14 0 -14C3 -14 6 -12 6 -8C6 -5 3 -2 0 0Z"
ROUND = "M4 0C4 2.2 2.2 4 0 4C-2.2 4 -4 2.2 -4 0C-4 -2.2 -2.2 -4 0 -4C2.2 -4 4 -2.2 4 0Z"


def flower():
    petals = "".join(f'<path fill="#c8452d" transform="translate(15 15) rotate({72 * i})" d="{PETAL}"/>' for i in range(5))
    middle = f'<path fill="#d8a72a" transform="translate(15 15)" d="{ROUND}"/>'
    return f'<svg xmlns="http://www.w3.org/2000/svg" width="30mm" height="30mm" viewBox="0 0 30 30">{petals}{middle}</svg>'


def design(folder):
    chance = random.Random(1)
    (folder / "flower.svg").write_text(flower())
    places = "".join(
        f'[[motif]]\nfile = "flower.svg"\nwidth = "{chance.randint(20, 40)}mm"\nturn = {chance.randint(0, 359)}\n'
        f'at = ["{chance.uniform(0, 100):.2f}%", "{chance.uniform(0, 100):.2f}%"]\n'
        for _ in range(200)
    )
    path = folder / "shore.toml"
    path.write_text(f'name = "shore"\n[repeat]\nlayout = "straight"\nblock = "400mm"\n{places}')
    return path


def measured(*command):
    """CPU seconds and MiB of a command; the worker that it starts is among its children."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    start = time.time()
    done = subprocess.run([str(part) for part in command], capture_output=True, text=True, check=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    cpu = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return cpu, time.time() - start, after.ru_maxrss / 1024, done.stdout


def peer(path):
    """The same in GEOS: run apart, so that its memory is its own."""
    sys.path.insert(0, str(ROOT / "tests/outside"))
    import tomllib

    import numpy
    import shapely
    from shapely import affinity

    from shapes import filled, rings

    area = shapely.unary_union(
        [affinity.rotate(filled(rings(PETAL, 40)), 72 * i, origin=(0, 0)) for i in range(5)] + [filled(rings(ROUND, 40))]
    )
    start = time.process_time()
    copies = []
    for motif in tomllib.loads(Path(path).read_text())["motif"]:
        width = float(motif["width"][:-2])
        one = affinity.rotate(affinity.scale(area, width / 30, width / 30, origin=(0, 0)), motif["turn"], origin=(0, 0))
        x, y = (float(share[:-1]) * 4 for share in motif["at"])
        copies += [affinity.translate(one, x + i * 400, y + j * 400) for i in range(-1, 4) for j in range(-1, 4)]
    weld = shapely.unary_union(copies)
    welded = time.process_time() - start
    outline = weld.buffer(2, quad_segs=64)
    print(json.dumps({"weld": welded, "outline": time.process_time() - start, "points": int(shapely.count_coordinates(outline))}))
    assert numpy.isfinite(outline.area) and math.isfinite(weld.area)


def main():
    program = os.environ.get("SEAMFAST", ROOT / "target/release/seamfast")
    with tempfile.TemporaryDirectory() as folder:
        folder = Path(folder)
        path = design(folder)
        for mode in ("silhouette", "inlay", "outline"):
            cpu, wall, memory, out = measured(program, "cut", path, "--mode", mode, "--tiles", "3x3", "--as", "svg,dxf", "--out", folder, "--json")
            layers = json.loads(out)["sheets"][0]["layers"]
            told = ", ".join(f"{layer['pieces']} pieces, {layer['paths']} paths" for layer in layers)
            print(f"{mode:10}  {cpu:5.2f} CPU s  {wall:5.2f} s  {memory:5.0f} MiB  {told}")
        out = subprocess.run([sys.executable, __file__, "peer", path], capture_output=True, text=True, check=True).stdout
        said = json.loads(out)
        print(f"GEOS        weld {said['weld']:.2f} CPU s, outline {said['outline']:.2f} CPU s, {said['points']} points")


if __name__ == "__main__":
    peer(sys.argv[2]) if sys.argv[1:2] == ["peer"] else main()
