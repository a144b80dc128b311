"""What is hard for booleans: shapes that cross themselves, many on a coarse grid, and pieces that share curved edges."""

import os
import random

import pytest
import shapely

import cut_truth
from shapes import filled, rings, winding
from tool import seamfast

#: A micrometre, in mm: how far an edge may lie off.
EDGE = 1e-3
#: Shapes on one page, each in a cell of its own of so many mm.
ACROSS, CELL = 10, 30


def number(chance, grid):
    """Anywhere, or on a grid where much falls together."""
    return chance.choice([0, 3, 6, 9, 12, 15, 18, 21, 24]) if grid else round(chance.uniform(0, 24), 3)


def tangle(chance, curves, grid, at):
    """A closed path of so many curves."""
    point = lambda: f"{number(chance, grid) + at[0]:.6g} {number(chance, grid) + at[1]:.6g}"
    return f"M{point()}" + "".join(f"C{point()} {point()} {point()}" for _ in range(curves)) + "Z"


def page(folder, paths):
    side = ACROSS * CELL
    body = "".join(f'<path fill="{color}" fill-rule="{rule}" d="{data}"/>' for data, rule, color in paths)
    head = f'<svg xmlns="http://www.w3.org/2000/svg" width="{side}mm" height="{side}mm" viewBox="0 0 {side} {side}">'
    (folder / "page.svg").write_text(f"{head}{body}</svg>")
    return folder / "page.svg"


def cut(drawing, mode, out):
    side = ACROSS * CELL
    said = seamfast("cut", drawing, "--layout", "straight", "--tile", f"{side}mm", "--mode", mode, "--simplify", "0", "--name", "page", "--out", out)
    return said, cut_truth.read_svg(out / "page-cut.svg")


def is_wrong(found, part, lines, rule):
    at = shapely.point_on_surface(part)
    turns = sum(winding(ring, at) for ring in lines)
    return found.contains(at) != bool(turns % 2 if rule == "evenodd" else turns)


ALL = [(curves, grid, rule, seed) for curves in (1, 4) for grid in (False, True) for rule in ("nonzero", "evenodd") for seed in (1, 2)]
FEW = [(1, False, "nonzero", 1), (1, True, "evenodd", 1), (4, False, "evenodd", 1), (4, True, "nonzero", 1)]


@pytest.mark.parametrize(("curves", "grid", "rule", "seed"), ALL if os.environ.get("SWEEP") else FEW)
def test_shapes_that_cross_themselves(curves, grid, rule, seed, tmp_path):
    """100 shapes a page; SWEEP=1 takes 16 pages, without it 4. The truth: the faces between all lines, each asked how often it is gone around."""
    chance = random.Random(f"{curves} {grid} {rule} {seed}")
    cells = [(x * CELL + 3, y * CELL + 3) for y in range(ACROSS) for x in range(ACROSS)]
    paths = [tangle(chance, curves, grid, at) for at in cells]
    drawing = page(tmp_path, [(data, rule, "#20344d") for data in paths])
    _, layers = cut(drawing, "silhouette", tmp_path)
    found = cut_truth.area_of(layers["silhouette"])
    wrong = []
    for at, data in zip(cells, paths):
        lines = rings(data, cut_truth.FINE)
        truth = filled(lines, rule)
        cell = shapely.box(at[0] - 3, at[1] - 3, at[0] + CELL - 3, at[1] + CELL - 3)
        truth = truth.intersection(cell)
        # Lines that run back along themselves can fool the faces; a place that is wrong is asked once more by itself.
        apart = shapely.get_parts(found.intersection(cell).symmetric_difference(truth))
        off = sum(part.area for part in apart if part.area < EDGE or is_wrong(found, part, lines, rule))
        if off > EDGE * max(truth.length, 1):
            wrong.append((off, data))
    assert not wrong, (len(wrong), wrong[:3])


def edge(chance, start, end):
    """A curved tab from start to end, as two cubics."""
    (x0, y0), (x1, y1) = start, end
    middle = ((x0 + x1) / 2 + chance.uniform(-3, 3), (y0 + y1) / 2 + chance.uniform(-3, 3))
    off = lambda: chance.uniform(-5, 5)
    first = (start, (x0 * 0.7 + x1 * 0.3 + off(), y0 * 0.7 + y1 * 0.3 + off()), (middle[0] + off(), middle[1] + off()), middle)
    second = (middle, (middle[0] + off(), middle[1] + off()), (x0 * 0.3 + x1 * 0.7 + off(), y0 * 0.3 + y1 * 0.7 + off()), end)
    if start[0] == end[0] in (0, ACROSS * CELL) or start[1] == end[1] in (0, ACROSS * CELL):
        return [(start, end)]
    return [tuple((round(x, 3), round(y, 3)) for x, y in part) for part in (first, second)]


def test_a_puzzle_is_one_sheet(tmp_path):
    """100 pieces whose edges are drawn twice, once there and once back: welded they leave one contour, inlaid no gap."""
    chance = random.Random(7)
    at = lambda x, y: (x * CELL, y * CELL)
    level = {(x, y): edge(chance, at(x, y), at(x + 1, y)) for x in range(ACROSS) for y in range(ACROSS + 1)}
    upright = {(x, y): edge(chance, at(x, y), at(x, y + 1)) for x in range(ACROSS + 1) for y in range(ACROSS)}
    back = lambda parts: [tuple(reversed(part)) for part in reversed(parts)]
    paths = []
    for y in range(ACROSS):
        for x in range(ACROSS):
            around = level[x, y] + upright[x + 1, y] + back(level[x, y + 1]) + back(upright[x, y])
            text = "M{:g} {:g}".format(*around[0][0])
            for part in around:
                letter = "L" if len(part) == 2 else "C"
                text += letter + " ".join("{:g} {:g}".format(*p) for p in part[1:])
            paths.append((text + "Z", "nonzero", cut_truth.COLORS[(x + 2 * y) % 4]))
    drawing = page(tmp_path, paths)
    side = ACROSS * CELL
    _, layers = cut(drawing, "silhouette", tmp_path / "weld")
    assert [len(found) for found in layers.values()] == [1]
    area = cut_truth.area_of(layers["silhouette"])
    assert abs(area.area - side * side) < 1e-3
    _, layers = cut(drawing, "inlay", tmp_path / "inlay")
    areas = [cut_truth.area_of(found) for found in layers.values()]
    assert abs(sum(part.area for part in areas) - side * side) < EDGE
    assert abs(shapely.unary_union(areas).area - side * side) < side * side * 1e-6
