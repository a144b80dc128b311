"""`check` on files of other people's making: what it says of them, and whether it reads them at all.

And thickness: what it measures on an outline stands against what librsvg's pixels hold.
"""

import numpy
import pytest
import tifffile
from PIL import Image

from tool import MOTIFS, make, run, seamfast
from tile_files import in_palette

DPI = 150
# How evenly ink lies is another matter.
EVENNESS = ("alley", "bald-spot", "lump", "one-way")


@pytest.fixture(scope="module")
def tile(tmp_path_factory):
    """A tile of a few flat colors, as sRGB numbers; smooth edges make some more."""
    files, _ = make(tmp_path_factory.mktemp("tile"), MOTIFS / "anchor.svg", "--tile", "2in", "--ground", "#f3eee3", "--as", "png")
    exact = numpy.asarray(Image.open(files["png"]).convert("RGB"))
    flat = Image.fromarray(exact).quantize(200, dither=Image.Dither.NONE)
    return numpy.asarray(flat.convert("RGB"))


def judged(path, *flags):
    """What is said of one file: its verdict, kind and codes."""
    file = seamfast("check", path, *flags)["files"][0]
    codes = [f["code"] for f in file["findings"] if f["code"] not in EVENNESS]
    return file["verdict"], codes, file["inner"]["layout"]


def kinds(pixels, folder):
    """The same pixels in kinds of file that shops and programs hand on; each with what is to be said of it."""
    numbers = in_palette(pixels)
    where = {"resolution": (DPI, DPI), "resolutionunit": "INCH"}
    wide = pixels.astype(numpy.uint16) * 257
    numbers.save(folder / "palette.tif", dpi=(DPI, DPI))
    yield "palette.tif", ["no-profile"]
    numbers.save(folder / "palette-lzw.tif", dpi=(DPI, DPI), compression="tiff_lzw")
    yield "palette-lzw.tif", ["no-profile"]
    colors = numpy.zeros((3, 256), numpy.uint16)
    table = numpy.array(numbers.getpalette()).reshape(-1, 3)
    colors[:, : len(table)] = table.T * 257
    tifffile.imwrite(folder / "palette-big.tif", numpy.asarray(numbers), photometric="palette", colormap=colors, bigtiff=True, byteorder=">", **where)
    yield "palette-big.tif", ["no-profile"]
    numbers.save(folder / "palette.png", dpi=(DPI, DPI))
    yield "palette.png", ["no-profile"]
    tifffile.imwrite(folder / "deep.tif", wide, photometric="rgb", **where)
    yield "deep.tif", ["no-profile", "sixteen-bits"]
    Image.fromarray(pixels).save(folder / "silent.png")
    yield "silent.png", ["no-resolution", "no-profile"]
    Image.fromarray(pixels).save(folder / "coarse.png", dpi=(100, 100))
    yield "coarse.png", ["few-pixels", "no-profile"]


def test_every_kind_of_file_is_read_and_said_what_it_is(tile, tmp_path):
    seen = 0
    for name, said in kinds(tile, tmp_path):
        verdict, codes, layout = judged(tmp_path / name)
        # The resolution in a PNG is a whole number of pixels a metre.
        assert (verdict, [c for c in codes if c != "odd-resolution"], layout) == ("seamless", said, "half-drop"), name
        seen += 1
    assert seen == 7


@pytest.mark.parametrize("ending", ["tif", "jpg"])
def test_four_inks_with_a_profile(ending, tile, tmp_path):
    with open("/usr/share/color/icc/ghostscript/default_cmyk.icc", "rb") as file:
        icc = file.read()
    path = tmp_path / f"inks.{ending}"
    Image.fromarray(tile).convert("CMYK").save(path, dpi=(DPI, DPI), icc_profile=icc)
    verdict, codes, _ = judged(path)
    assert (verdict, codes) == ("seamless", ["other-profile"])


@pytest.mark.parametrize("ending", ["tif", "jpg"])
def test_four_inks_without_a_profile_are_judged_and_guessed(ending, tile, tmp_path):
    path = tmp_path / f"inks.{ending}"
    Image.fromarray(tile).convert("CMYK").save(path, dpi=(DPI, DPI))
    verdict, codes, _ = judged(path)
    assert (verdict, codes) == ("seamless", ["no-profile"])


def test_bars_are_as_thin_as_their_pixels(tmp_path):
    """Upright bars of random thickness, painted by librsvg at 100 pixels a point."""
    random = numpy.random.default_rng(7)
    drawing, picture = tmp_path / "bar.svg", tmp_path / "bar.png"
    told = 0
    for _ in range(12):
        thick = round(float(random.uniform(0.05, 0.5)), 2)
        body = f'<rect x="4" y="4" width="{thick}" height="12" fill="#124"/><rect x="{4 + thick}" y="4" width="6" height="3" fill="#c33"/>'
        drawing.write_text(f'<svg xmlns="http://www.w3.org/2000/svg" width="20pt" height="20pt" viewBox="0 0 20 20">{body}</svg>')
        run("rsvg-convert", "-w", 2000, "-h", 2000, "-o", picture, drawing)
        inside = numpy.asarray(Image.open(picture).convert("RGBA"))[1000, :, 3] > 127
        pixels = inside.sum() / 100
        found = [f for f in seamfast("check", drawing, "--dpi", 720)["files"][0]["findings"] if f["code"] == "thin-line"]
        assert bool(found) == (pixels < 0.98 * 0.25), (thick, pixels, found)
        if found:
            said = float(found[0]["message"].split("a line ")[1].split("pt")[0])
            assert abs(said - pixels) < 0.012, (thick, pixels, said)
            told += 1
    assert told >= 3

