"""The SVG tile as other programs see it: well formed, true in size, exact in every printed step."""

import itertools
import re
from collections import defaultdict
from fractions import Fraction
from xml.etree import ElementTree

import pytest

import cloth
from designs import LAYOUTS, random_design
from pictures import chromium, librsvg, pixels, same_picture
from tool import GROUND, MOTIFS, inches, make, run

XLINK = "{http://www.w3.org/1999/xlink}href"
# Half an EMU (1/914400 in): a true size is the EMU nearest to its pixels.
HALF_EMU = Fraction(1, 2 * 914400)


def made(seed, folder, **choices):
    """A random design's SVG and PNG, its cloth by Python, and its SVG's elements."""
    design = folder / "design.toml"
    design.write_text(random_design(seed, **choices))
    files, _ = make(folder, design, "--as", "svg,png")
    return files, cloth.read(design), ElementTree.parse(files["svg"]).getroot()


def printed(root):
    """Every copy: its motif, the linear part as printed, its place as an exact fraction."""
    for use in root.iter(f"{cloth.SVG}use"):
        *linear, x, y = re.fullmatch(r"matrix\((.*)\)", use.attrib["transform"])[1].split(" ")
        yield use.attrib[XLINK], tuple(linear), (Fraction(x), Fraction(y))


@pytest.mark.parametrize("seed", range(100, 100 + 3 * len(LAYOUTS)))
def test_size_and_steps(seed, tmp_path):
    files, laid, root = made(seed, tmp_path)
    run("xmllint", "--noout", "--nonet", files["svg"])
    ids = [element.attrib["id"] for element in root.iter() if "id" in element.attrib]
    assert len(ids) == len(set(ids)), "an id stands twice"
    assert root.attrib["viewBox"] == f"0 0 {laid.tile[0]} {laid.tile[1]}"
    for side, count in zip(("width", "height"), laid.tile):
        assert abs(inches(root.attrib[side]) - count / laid.dpi) <= HALF_EMU, f"{side} {root.attrib[side]}"

    marks = defaultdict(list)
    for motif, linear, place in printed(root):
        marks[motif, linear].append(place)
    assert len({motif for motif, _ in marks}) == len(laid.entries)
    for places in marks.values():
        for (ax, ay), (bx, by) in itertools.combinations(places, 2):
            assert (ax, ay) != (bx, by), "a copy stands twice"
            assert laid.lattice_has((ax - bx, ay - by)), f"{ax - bx}, {ay - by} is no step of the lattice"


@pytest.mark.parametrize("seed", range(200, 200 + 3 * len(LAYOUTS)))
def test_every_printed_copy_is_where_the_cloth_has_one(seed, tmp_path):
    """To the 1/512 px that rounding places to 1/256 px may take; and in the cloth's painting order."""
    _, laid, root = made(seed, tmp_path)
    entry_of = {motif: index for index, motif in enumerate(sorted({m for m, _, _ in printed(root)}))}
    copies, last = laid.copies(), -1
    for motif, linear, (x, y) in printed(root):
        near = [
            index
            for index, copy in enumerate(copies)
            if copy.entry == entry_of[motif] and max(abs(copy.at[0] - x), abs(copy.at[1] - y)) <= Fraction(1, 512)
        ]
        assert near, f"{motif} at {float(x)}, {float(y)} is not on the cloth"
        assert max(near) > last, f"{motif} at {float(x)}, {float(y)} is painted out of order"
        last = min(index for index in near if index > last)


def test_the_lattice_test_can_fail():
    """A step a 256th of a pixel off is no step."""
    laid = cloth.Cloth(cloth.tomllib.loads(random_design(1)))
    (w, h) = laid.block
    assert laid.lattice_has((w, h / 2)) and laid.lattice_has((2 * w, 0 * h)) and laid.lattice_has((w, -3 * h / 2))
    assert not laid.lattice_has((w, h)) and not laid.lattice_has((w, h / 2 + Fraction(1, 256)))


@pytest.mark.parametrize("motif", sorted(path.stem for path in MOTIFS.glob("*.svg")))
def test_every_motif_opens_the_same_in_three_renderers(motif, tmp_path):
    """One by one, so that what a renderer sees otherwise has a name; text is outlines by now."""
    ways = ["--croquis"] if motif.startswith("page-") else ["--tile", "6in", "--ground", GROUND]
    files, said = make(tmp_path, MOTIFS / f"{motif}.svg", *ways, "--dpi", 96, "--as", "svg,png")
    size = said["tile"]["width_px"], said["tile"]["height_px"]
    ours = pixels(files["png"])
    same_picture(librsvg(files["svg"], *size), ours, f"{motif}, librsvg")
    same_picture(chromium(files["svg"], *size), ours, f"{motif}, Chromium")


@pytest.mark.parametrize("seed", range(300, 300 + len(LAYOUTS)))
def test_opens_the_same_in_three_renderers(seed, tmp_path):
    """At 96 dpi a tile's pixel is a CSS pixel, so true size alone must bring each renderer to the same picture."""
    files, laid, _ = made(seed, tmp_path, dpi=96, longest=800)
    ours = pixels(files["png"])
    same_picture(librsvg(files["svg"], *laid.tile), ours, f"design {seed}, librsvg")
    same_picture(chromium(files["svg"], *laid.tile), ours, f"design {seed}, Chromium")


def test_clipped_copies_look_the_same(tmp_path):
    plain, _ = make(tmp_path / "plain", MOTIFS / "crab.svg", "--dpi", 96, "--as", "svg,png", "--ground", GROUND)
    cut, _ = make(tmp_path / "cut", MOTIFS / "crab.svg", "--dpi", 96, "--as", "svg", "--ground", GROUND, "--clip")
    assert "clip-path" in cut["svg"].read_text()
    same_picture(librsvg(cut["svg"]), librsvg(plain["svg"]), "clipped, librsvg", 0.5)
    same_picture(chromium(cut["svg"], 768, 768), pixels(plain["png"]), "clipped, Chromium")
