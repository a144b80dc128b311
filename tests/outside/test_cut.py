"""Cut paths, held against shapely's booleans and other people's readers.

Design number n is always the same one. SWEEP=1 takes 200 of them instead of 6.
"""

import os

import pytest
import shapely

import cut_truth
from shapes import exact, grown
from tool import seamfast

SEEDS = range(1, 201 if os.environ.get("SWEEP") else 7)
OUTLINED = SEEDS if os.environ.get("SWEEP") else SEEDS[::4]
#: The bar: a ten-thousandth of the area.
PART = 1e-4


def cut(design, mode, *arguments):
    out = design.folder / mode
    said = seamfast("cut", design.path, "--mode", mode, "--simplify", "0", "--out", out, *arguments)
    return said, cut_truth.read_svg(out / "cut-cut.svg")


def differs(found, truth):
    """The area that only one of them covers, as a part of the truth's."""
    return exact(shapely.symmetric_difference, found, truth).area / truth.area


@pytest.mark.parametrize("seed", SEEDS)
def test_areas_are_those_of_another_engine(seed, tmp_path):
    design = cut_truth.Design(seed, tmp_path / "design")
    tiles = (1, 2)
    _, layers = cut(design, "silhouette", "--tiles", "1x2")
    silhouette = cut_truth.area_of(layers["silhouette"])
    truth = exact(shapely.intersection, design.silhouette(tiles), design.window(tiles))
    assert differs(silhouette, truth) < PART, differs(silhouette, truth)
    _, layers = cut(design, "inlay", "--tiles", "1x2")
    truth = design.inlay(tiles)
    assert set(layers) == set(truth)
    pieces = {}
    for name, found in layers.items():
        pieces[name] = cut_truth.area_of(found)
        assert differs(pieces[name], truth[name]) < PART, (name, differs(pieces[name], truth[name]))
    assert abs(sum(area.area for area in pieces.values()) - silhouette.area) < PART * silhouette.area
    names = sorted(pieces)
    for index, one in enumerate(names):
        for other in names[index + 1 :]:
            assert exact(shapely.intersection, pieces[one], pieces[other]).area < PART * silhouette.area, (one, other)


@pytest.mark.parametrize("seed", OUTLINED)
@pytest.mark.parametrize("distance", [2.0, -0.4])
def test_outlines_lie_as_far_off_as_they_should(seed, distance, tmp_path):
    design = cut_truth.Design(seed, tmp_path / "design")
    _, layers = cut(design, "outline", f"--distance={distance}mm", "--fill-holes", "0")
    outline = cut_truth.area_of(layers["outline"])
    truth = grown(design.silhouette((1, 1), 2 * abs(distance)).simplify(1e-4), distance)
    truth = exact(shapely.intersection, truth, design.window((1, 1)))
    assert differs(outline, truth) < PART, differs(outline, truth)
