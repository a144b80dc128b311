"""PNG and TIFF as the printer's programs see them: size, resolution, profile, packing, pixels."""

import io
import itertools
import json
from fractions import Fraction

import numpy
import pytest
import tifffile
from PIL import Image, ImageCms

from tool import GROUND, MOTIFS, make, run

# As asked, exact, and px/m as PNG stores it: a metre is 10000/254 inches, to the nearest whole.
DPI = [("72", 72, 2835), ("150", 150, 5906), ("254", 254, 10000), ("300", 300, 11811), ("299.5", Fraction(599, 2), 11791)]
GROUNDS = [(GROUND, "RGB"), ("none", "RGBA")]
PACKINGS = {"deflate": "ADOBE_DEFLATE", "lzw": "LZW", "none": "NONE"}


def made(folder, *arguments):
    return make(folder, MOTIFS / "mussel.svg", "--tile", "3in", *arguments)[0]


def exif(path):
    out, _ = run("exiftool", "-json", "-n", path)
    return json.loads(out)[0]


@pytest.mark.parametrize("ground, mode", GROUNDS)
@pytest.mark.parametrize("dpi, exact, per_metre", DPI)
def test_png(ground, mode, dpi, exact, per_metre, tmp_path):
    png = made(tmp_path, "--dpi", dpi, "--ground", ground, "--as", "png")["png"]
    picture = Image.open(png)
    # A half-drop's tile is even both ways.
    side = 2 * round(3 * exact / 2)
    assert (picture.size, picture.mode) == ((side, side), mode)
    assert picture.info["dpi"][0] == pytest.approx(per_metre * 0.0254, abs=1e-6)
    assert picture.info["srgb"] in (0, 1), "no sRGB chunk"
    seen = exif(png)
    assert seen["PixelsPerUnitX"] == seen["PixelsPerUnitY"] == per_metre
    assert seen["PixelUnits"] == 1, "the unit is not the metre"
    out, _ = run("pngcheck", "-v", png)
    assert "No errors detected" in out
    picture.load()
    if mode == "RGBA":
        alpha = picture.getchannel("A")
        assert alpha.getextrema() == (0, 255), "bare ground or full ink is missing"


@pytest.mark.parametrize("packing", PACKINGS)
@pytest.mark.parametrize("ground, mode", GROUNDS)
@pytest.mark.parametrize("dpi, exact, _per_metre", DPI)
def test_tiff(packing, ground, mode, dpi, exact, _per_metre, tmp_path):
    files = made(tmp_path, "--dpi", dpi, "--ground", ground, "--as", "png,tiff", "--packing", packing)
    with tifffile.TiffFile(files["tif"]) as tiff:
        (page,) = tiff.pages
        tag = lambda name: page.tags[name].value if name in page.tags else None
        exact = Fraction(exact)
        for name in ("XResolution", "YResolution"):
            assert tag(name) == (exact.numerator, exact.denominator), name
        assert tag("ResolutionUnit") == 2, "the unit is not the inch"
        assert page.compression.name == PACKINGS[packing]
        assert (packing == "lzw") == (tag("Predictor") == 2), f"predictor {tag('Predictor')}"
        assert page.photometric.name == "RGB"
        assert tag("ExtraSamples") == ((2,) if mode == "RGBA" else None)
        assert tag("BitsPerSample") == (8,) * len(mode)
        if packing != "lzw":  # tifffile needs a further library for LZW; libtiff reads all three below
            assert numpy.array_equal(page.asarray(), numpy.asarray(Image.open(files["png"])))
    tiff, png = Image.open(files["tif"]), Image.open(files["png"])
    assert tiff.mode == png.mode == mode
    assert numpy.array_equal(numpy.asarray(tiff), numpy.asarray(png)), "the TIFF holds other pixels than the PNG"
    said, complaints = run("tiffinfo", "-s", files["tif"])
    assert not complaints and "Warning" not in said, complaints
    assert f"Resolution: {float(exact):g}, {float(exact):g} pixels/inch" in said
    seen = exif(files["tif"])
    assert seen["XResolution"] == float(exact) and seen["ResolutionUnit"] == 2
    assert not [key for key in seen if key in ("Warning", "Error")], seen


def test_the_profile_is_srgb(tmp_path):
    """By name to exiftool, and by deed to littlecms: it leaves sRGB colors as they are, to one level."""
    tif = made(tmp_path, "--as", "tiff")["tif"]
    seen = exif(tif)
    assert "sRGB" in seen["ProfileDescription"]
    assert seen["ColorSpaceData"].strip() == "RGB"
    data = Image.open(tif).info["icc_profile"]
    profile = ImageCms.ImageCmsProfile(io.BytesIO(data))
    srgb = ImageCms.createProfile("sRGB")
    colors = list(itertools.product(range(0, 256, 17), repeat=3))
    picture = Image.new("RGB", (len(colors), 1))
    picture.putdata(colors)
    for one, other in [(profile, srgb), (srgb, profile)]:
        turned = ImageCms.profileToProfile(picture, one, other)
        apart = numpy.abs(numpy.asarray(turned).astype(int) - numpy.asarray(picture)).max()
        assert apart <= 1, f"a color moves by {apart} levels"


def test_a_ground_lies_under_the_same_ink(tmp_path):
    """The tile without a ground, laid over it by Pillow, is the tile with it, but for rounding."""
    bare = Image.open(made(tmp_path / "bare", "--as", "png")["png"])
    full = Image.open(made(tmp_path / "full", "--as", "png", "--ground", GROUND)["png"])
    laid = Image.alpha_composite(Image.new("RGBA", bare.size, GROUND), bare).convert("RGB")
    apart = numpy.abs(numpy.asarray(laid).astype(int) - numpy.asarray(full))
    assert apart.max() <= 2, f"{apart.max()} levels"
