"""The main job against a second opinion: cloth laid by Python and painted by librsvg."""

import re
from xml.etree import ElementTree

import pytest

import cloth
from designs import LAYOUTS, random_design
from pictures import librsvg, pixels, same_picture
from tool import MOTIFS, make

# Two files painted by one renderer: only positions in 1/256 px and rounded curves part them.
SAME_RENDERER = 1.0
# The dory's water is a pattern: ours is laid out as shapes, librsvg paints it from a bitmap of whole pixels.
PATTERN = 2.0


@pytest.mark.parametrize("seed", range(4 * len(LAYOUTS)))
def test_the_tile_is_the_centre_of_the_cloth(seed, tmp_path):
    design = tmp_path / "design.toml"
    design.write_text(random_design(seed))
    laid = cloth.read(design)
    files, said = make(tmp_path, design, "--as", "svg,png")
    assert [said["tile"]["width_px"], said["tile"]["height_px"]] == laid.tile
    want = librsvg(laid.svg())
    same_picture(pixels(files["png"]), want, f"design {seed}, PNG")
    slack = PATTERN if "dory" in design.read_text() else SAME_RENDERER
    same_picture(librsvg(files["svg"], *laid.tile), want, f"design {seed}, SVG", slack)


def test_the_croquis_is_the_centre_of_its_cloth(tmp_path):
    page = MOTIFS / "page-harbour.svg"
    files, said = make(tmp_path, page, "--croquis", "--dpi", 100, "--as", "svg,png")
    assert (said["tile"]["width_px"], said["tile"]["height_px"]) == (600, 600)
    want = librsvg(cloth_of_pages(page, 600))
    same_picture(pixels(files["png"]), want, "croquis, PNG")
    same_picture(librsvg(files["svg"], 600, 600), want, "croquis, SVG", SAME_RENDERER)


def cloth_of_pages(path, side):
    """Nine pages of 600 × 600 units, object by object, so that what lies above does so at every join."""
    root = ElementTree.parse(path).getroot()
    assert root.attrib["viewBox"] == f"0 0 {side} {side}"
    (layer,) = root.findall(f"{cloth.SVG}g")
    assert not set(layer.attrib) - {"id"}, "a layer that does something to what it holds"
    text = lambda element: re.sub(r'ns\d:|xmlns:ns\d="[^"]*"', "", ElementTree.tostring(element, "unicode"))
    body = [text(root.find(f"{cloth.SVG}defs"))]
    steps = [(x * side, y * side) for y in (-1, 0, 1) for x in (-1, 0, 1)]
    assert len(layer) > 10
    for element in layer:
        body += [f'<g transform="translate({x} {y})">{text(element)}</g>' for x, y in steps]
    return cloth.picture(side, side, f"0 0 {side} {side}", body)
