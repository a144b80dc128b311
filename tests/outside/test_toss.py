"""Strewn motifs, measured by GEOS: no two outlines are nearer than the gap, over every edge.

Read are only the design as `toss` wrote it and the motifs' own files, a public set of icons. Their paths are followed
by fontTools and made areas by shapely, holes filled; chords of 64 to a curve lie less than a micrometre off.
SWEEP=1 measures more than 10 000 neighbors.
"""

import math
import os
import tomllib

import numpy
import shapely
from fontTools.svgLib.path import parse_path
from shapely import STRtree

import corpora
from shapes import Chords
from tool import inches, seamfast

# All in inches; a micrometre for what the chords leave off.
MICROMETRE = 1e-3 / 25.4
GAP = 2 / 25.4


def silhouette(path):
    """An icon's ink about the middle of its page, at a width of one, holes filled."""
    text = path.read_text()
    assert 'viewBox="0 0 24 24"' in text and text.count("<path") == 1, path
    pen = Chords()
    parse_path(text.split(' d="')[1].split('"')[0], pen)
    rings = [ring for ring in pen.rings if len(ring) > 2]
    filled = shapely.union_all([shapely.make_valid(shapely.Polygon(ring)) for ring in rings])
    return shapely.transform(filled, lambda points: (points - 12) / 24)


def placed(area, motif):
    turn = math.radians(motif.get("turn", 0))
    width = float(inches(motif["width"]))
    at = [float(inches(text)) for text in motif["at"]]
    # y points down, so this matrix turns clockwise.
    matrix = width * numpy.array([[math.cos(turn), math.sin(turn)], [-math.sin(turn), math.cos(turn)]])
    return shapely.transform(area, lambda points: points @ matrix + at)


def neighbors(design, icons):
    """The distances of all motifs that are nearer than three gaps, over every edge of the half-drop."""
    width, height = (float(inches(side.strip())) for side in design["repeat"]["block"].split(" x "))
    areas = [placed(silhouette(icons[motif["file"]]), motif) for motif in design["motif"]]
    steps = [(i * width, i * height / 2 + j * height) for i in range(-2, 3) for j in range(-3, 4)]
    images = [(index, step) for index in range(len(areas)) for step in steps]
    moved = numpy.array([shapely.transform(areas[index], lambda points: points + step) for index, step in images])
    found = []
    tree = STRtree(moved)
    for index, area in enumerate(areas):
        for near in tree.query(area, predicate="dwithin", distance=3 * GAP):
            other, step = images[near]
            # Each pair once: a step and its opposite are one, and a motif is no neighbor of itself.
            if (other, step) > (index, (0, 0)):
                found.append(shapely.distance(area, moved[near]))
    return found


def test_no_two_are_nearer_than_the_gap(tmp_path):
    corpus = next(corpus for corpus in corpora.CORPORA if corpus.name == "@mdi/svg")
    corpora.install()
    drawings = corpora.drawings(corpus)
    wanted, measured, seed = (10_000 if os.environ.get("SWEEP") else 400), 0, 0
    names = [name for name in sorted(drawings) if drawings[name].read_text().count("<path") == 1]
    while measured < wanted:
        seed += 1
        # A dozen of them, others with each seed.
        icons = {name: drawings[name] for name in names[seed * 311 :: 613]}
        path = tmp_path / f"shore-{seed}.toml"
        for name, icon in icons.items():
            (tmp_path / name).write_bytes(icon.read_bytes())
        motifs = "".join(f'[[toss.motif]]\nfile = "{name}"\nwidth = ["0.7in", "1in"]\n' for name in icons)
        path.write_text(
            f'[repeat]\nlayout = "half-drop"\nblock = "8in x 16in"\n[toss]\ngap = "2mm"\nseed = {seed}\n{motifs}[[deliver]]\ndpi = 300\n'
        )
        said = seamfast("toss", path)
        design = tomllib.loads(path.read_text())
        assert len(design["motif"]) == said["laid"] > 100, said
        found = neighbors(design, icons)
        assert len(found) > said["laid"], f"{len(found)} neighbors of {said['laid']} motifs"
        assert min(found) >= GAP - MICROMETRE, f"{path}: {min(found) * 25.4:.4f} mm"
        # The program's own measure is of the same outlines: it differs by what its tolerances leave off.
        assert abs(min(found) * 25.4 - said["gaps"]["least_mm"]) < 0.03, (min(found) * 25.4, said["gaps"])
        measured += len(found)
    print(f"{measured} neighbors, none nearer than the gap")
