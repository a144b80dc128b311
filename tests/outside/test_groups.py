"""The symmetry of what is delivered, named by a library that knows nothing of us (spglib).

A lop-sided mark is put in a general place, the design is made, and the marks are read from the SVG as it was written: a
mark is three points that differ, so that a turn, a mirror and a slide are told apart. Hung at three heights above each
other they make a crystal that no operation turns upside down, whose space group stands for one plane group
(International Tables for Crystallography, vol. A; the numbers in tests/reference).
"""

import json
import re
from math import sqrt
from xml.etree import ElementTree

import numpy
import pytest
import spglib

from tool import MOTIFS, ROOT, program, run

SVG = "{http://www.w3.org/2000/svg}"


def reference(name):
    return json.loads((ROOT / "tests/reference" / name).read_text())["groups"]


PLANE = {group["hm_short"]: group for group in reference("plane_groups.json")}
FRIEZES = {group["hm"]: group for group in reference("frieze_groups.json")}
# The other axis of the same groups.
EXCHANGED = {"p11m": "pm", "p11g": "pg", "c11m": "cm", "p2gm": "p2mg"}
# Space groups of the plane groups that a frieze, far from its neighbours, comes to.
ALONE = {"p1": 1, "p211": 3, "p1m1": 6, "p11m": 6, "p11g": 7, "p2mm": 25, "p2mg": 28}
# Three points of a mark, in millimetres about its middle: no turn or mirror brings them onto themselves.
POINTS = [(0, 0), (3, 0.7), (-0.4, 1.9)]


def made(folder, repeat):
    """The design's marks: tile in pixels, and the matrix of each mark that lies on it."""
    design = folder / "group.toml"
    lines = "\n".join(f'{key} = "{value}"' for key, value in repeat.items())
    motif = f'[[motif]]\nfile = "{MOTIFS / "tern.svg"}"\nwidth = "4mm"\nat = ["31.7%", "11.3%"]\nturn = 17\n'
    design.write_text(f'[repeat]\n{lines}\n{motif}[[deliver]]\nas = ["svg"]\ndpi = 600\n')
    run(program(), "make", design, "--out", folder)
    root = ElementTree.parse(folder / "group.svg").getroot()
    tile = [float(side) for side in root.get("viewBox").split()[2:]]
    uses = [use.get("transform") for use in root.iter(f"{SVG}use")]
    matrices = [[float(n) for n in re.fullmatch(r"matrix\((.*)\)", text)[1].split()] for text in uses]
    assert matrices, "no mark on the tile"
    # Scaled so that a mark's own unit is a millimetre at 600 dpi.
    return tile, [scaled(matrix) for matrix in matrices]


def scaled(matrix):
    a, b, c, d, x, y = matrix
    by = 600 / 25.4 / sqrt(abs(a * d - b * c))
    return [a * by, b * by, c * by, d * by, x, y]


def crystal(tile, matrices, true_height, apart=1.0):
    """Cell, places and kinds of point, each once: copies a tile apart are one."""
    width, height = tile
    places = {}
    for a, b, c, d, x, y in matrices:
        for kind, (u, v) in enumerate(POINTS):
            across = (a * u + c * v + x) / width % 1
            down = (b * u + d * v + y) / height / apart % 1
            places.setdefault((round(across * width) % width, round(down * height * apart), kind), (across, down))
    cell = numpy.diag([width, true_height * apart, width * 0.77])
    positions = [(across, down, [0.0, 0.13, 0.31][kind]) for (_, _, kind), (across, down) in places.items()]
    return cell, positions, [kind + 1 for _, _, kind in places]


@pytest.mark.parametrize("name", [*PLANE, *EXCHANGED])
def test_a_library_names_the_plane_group(tmp_path, name):
    tile, matrices = made(tmp_path, {"symmetry": name, "block": "40mm"})
    group = PLANE[EXCHANGED.get(name, name)]
    # A hexagonal lattice of whole pixels is a true one, stretched a little: that is undone.
    hexagonal = group["number"] >= 13
    found = spglib.get_symmetry_dataset(crystal(tile, matrices, tile[0] * sqrt(3) if hexagonal else tile[1]), symprec=0.1)
    assert found is not None and found.number == group["space_group"], found and found.international
    if name in EXCHANGED:
        assert axes(found) != axes_of(group["operators"]), "the axes are exchanged"
    elif not hexagonal:
        assert axes(found) == axes_of(group["operators"])


@pytest.mark.parametrize("name", FRIEZES)
def test_a_library_names_the_frieze_group(tmp_path, name):
    tile, matrices = made(tmp_path, {"layout": "border", "symmetry": name, "block": "40mm x 23mm"})
    # Three times its height away from the next one, it is alone. Its middle is the axis: a place between would be as well.
    found = spglib.get_symmetry_dataset(crystal(tile, matrices, tile[1], apart=3.0), symprec=0.1)
    assert found is not None and found.number == ALONE[name], found and found.international
    assert axes(found) == axes_of(FRIEZES[name]["operators"])


def axes(found):
    """What becomes of x and y, in the tile's own axes, and whether a mirror slides by half a tile along its line."""
    pairs = zip(found.rotations[:, :2, :2].tolist(), found.translations[:, :2].tolist())
    return {kind(tuple(map(tuple, rotation)), shift) for rotation, shift in pairs}


def axes_of(operators):
    """The same, from the letters of the table."""

    def place(part):
        return tuple(-1 if f"-{axis}" in part else int(axis in part) for axis in "xy")

    parts = [operator.split(",") for operator in operators]
    return {kind((place(x), place(y)), (x.endswith("1/2") / 2, y.endswith("1/2") / 2)) for x, y in parts}


def kind(rotation, shift):
    along = {((-1, 0), (0, 1)): shift[1], ((1, 0), (0, -1)): shift[0]}.get(rotation, 0)
    return rotation, round(2 * along) % 2


def test_the_check_can_fail(tmp_path):
    """One mark of p31m a tenth of a millimetre off, and the group is lost."""
    tile, matrices = made(tmp_path, {"symmetry": "p31m", "block": "40mm"})
    matrices[0][4] += 2.4
    found = spglib.get_symmetry_dataset(crystal(tile, matrices, tile[0] * sqrt(3)), symprec=0.1)
    assert found.number != PLANE["p31m"]["space_group"]
