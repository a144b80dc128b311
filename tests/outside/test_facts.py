"""Sizes the trade knows, and the oldest recipe for a half-drop, held to the number."""

import numpy
import pytest
from PIL import Image

from pictures import inked
from tool import GROUND, MOTIFS, make

DRAWING = MOTIFS / "limpet.svg"


@pytest.mark.parametrize(
    "tile, dpi, pixels, inches",
    [
        ("2048px", 300, 2048, 6.827),  # "about seven inches"
        ("640mm", 254, 6400, 25.197),  # 254 dpi is 10 px/mm, so nothing is left over
        ("640mm", 150, 3780, 25.200),  # 3779.53 px asked: 640.08 mm adopted
    ],
)
def test_sizes(tile, dpi, pixels, inches, tmp_path):
    files, said = make(tmp_path, DRAWING, "--layout", "straight", "--tile", tile, "--dpi", dpi, "--as", "svg,png")
    assert (said["tile"]["width_px"], said["tile"]["height_px"]) == (pixels, pixels)
    assert round(said["tile"]["width_in"], 3) == round(said["tile"]["height_in"], 3) == inches
    assert Image.open(files["png"]).size == (pixels, pixels)
    left_over = 80 if (tile, dpi) == ("640mm", 150) else 0
    assert said["deliveries"][0]["remainder"]["um_per_tile"] == pytest.approx([left_over] * 2)


def test_640_mm_at_150_dpi_is_adopted_as_640_08_mm(tmp_path):
    files, said = make(tmp_path, DRAWING, "--layout", "straight", "--tile", "640mm", "--dpi", 150, "--as", "svg")
    assert said["tile"]["width_in"] * 25.4 == pytest.approx(640.08, abs=1e-9)
    assert 'width="25.2in" height="25.2in" viewBox="0 0 3780 3780"' in files["svg"].read_text()  # 640.08 mm


# A centre motif and one in the corner, or its four quarters in the four corners, repeated
# straight, are a half-drop of one motif. Blocks are 3 × 6 in, tiles 6 × 6 in, 100 px to the inch.


def from_design(folder, layout, *places):
    """The tile of one motif in these places."""
    motif = '[[motif]]\nfile = "{}"\nat = ["{}%", "{}%"]\nturn = 20\n'
    motifs = "".join(motif.format(DRAWING, *place) for place in places)
    design = folder / f"{layout}.toml"
    design.write_text(f'ground = "{GROUND}"\n[repeat]\nlayout = "{layout}"\ntile = "6in"\n{motifs}[[deliver]]\ndpi = 100\n')
    return picture(make(folder, design, "--as", "png")[0])


def from_page(folder, layout, width, *places):
    """The tile of a page laid out by hand, a mark of 120 units around each of these places."""
    mark = '<path transform="translate({} {})" fill="#1f2d4d" d="M-60 10C-40-80 70-50 60 0 30 90-50 60-60 10z"/>'
    marks = "".join(mark.format(*place) for place in places)
    page = folder / f"{layout}.svg"
    head = f'xmlns="http://www.w3.org/2000/svg" width="{width / 100}in" height="6in" viewBox="0 0 {width} 600"'
    page.write_text(f"<svg {head}>{marks}</svg>")
    ways = ["--croquis", "--layout", layout, "--dpi", 100, "--ground", GROUND, "--as", "png"]
    return picture(make(folder, page, *ways)[0])


def picture(files):
    return numpy.asarray(Image.open(files["png"]))


def assert_same(one, other, levels=0):
    assert one.shape == other.shape == (600, 600, 3)
    assert inked(one) > 0.02, "no ink to compare"
    apart = numpy.abs(one.astype(int) - other).max(2)
    assert apart.max() <= levels, f"{numpy.count_nonzero(apart)} pixels differ, by up to {apart.max()}"


def test_centre_and_corner_are_a_half_drop(tmp_path):
    assert_same(from_design(tmp_path, "straight", (50, 50), (0, 0)), from_design(tmp_path, "half-drop", (0, 0)))


# Drawn elsewhere on its page, a mark's coordinates round otherwise (f32), which may move an
# edge over one of the sixteen samples that a pixel's coverage is counted in.
SAMPLE = 16


def test_centre_and_corner_of_a_page_are_a_half_drop(tmp_path):
    by_hand = from_page(tmp_path, "straight", 600, (300, 300), (0, 0))
    assert_same(by_hand, from_page(tmp_path, "half-drop", 300, (0, 0)), SAMPLE)


def test_centre_and_four_quarters_of_a_page_are_a_half_drop(tmp_path):
    corners = [(0, 0), (600, 0), (0, 600), (600, 600)]
    by_hand = from_page(tmp_path, "straight", 600, (300, 300), *corners)
    assert_same(by_hand, from_page(tmp_path, "half-drop", 300, (0, 0)), SAMPLE)
