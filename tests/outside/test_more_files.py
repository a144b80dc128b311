"""The files that not every design needs: JPEG, grey and palette PNG, BigTIFF, a limit of bytes."""

import numpy
import pytest
import tifffile
from PIL import Image

from tool import GROUND, MOTIFS, make, program, run

Image.MAX_IMAGE_PIXELS = None


def pixels(path):
    return numpy.asarray(Image.open(path).convert("RGB")).astype(int)


@pytest.mark.parametrize("motif", ["lighthouse", "mussel"])
def test_jpeg(motif, tmp_path):
    flags = ["--tile", "6in", "--dpi", 254, "--ground", GROUND]
    files = make(tmp_path, MOTIFS / f"{motif}.svg", *flags, "--quality", 95, "--as", "jpeg,png")[0]
    picture = Image.open(files["jpg"])
    assert (picture.size, picture.mode) == ((1524, 1524), "RGB")
    assert picture.info["dpi"] == (254, 254) and picture.info["jfif_unit"] == 1
    assert len(picture.info["icc_profile"]) > 500
    # 4:4:4: every component has one sample a pixel.
    assert [(h, v) for _, h, v, _ in picture.layer] == [(1, 1)] * 3
    apart = pixels(files["jpg"]) - pixels(files["png"])
    assert numpy.sqrt((apart**2).mean()) < 3, "the joined strips are another picture"
    # Were a strip lost or out of turn, some row would be far off.
    assert numpy.sqrt((apart**2).mean(axis=(1, 2))).max() < 12


def test_grey_and_palette_png(tmp_path):
    drawing = tmp_path / "knot.svg"
    svg = '<svg xmlns="http://www.w3.org/2000/svg" width="1in" height="1in" viewBox="0 0 10 10">{}</svg>'
    drawing.write_text(svg.format('<circle cx="5" cy="5" r="4" fill="#333"/>'))
    flags = [drawing, "--tile", "3in", "--ground", "white", "--as", "png"]
    full = make(tmp_path / "full", *flags)[0]["png"]
    for colors, mode in [("grey", "L"), ("palette", "P")]:
        png = make(tmp_path / colors, *flags, "--colors", colors)[0]["png"]
        assert Image.open(png).mode == mode
        assert "OK: " in run("pngcheck", png)[0]
        assert numpy.array_equal(pixels(png), pixels(full))
        assert png.stat().st_size < full.stat().st_size
    # What the art does not allow is refused, with what to do.
    where = tmp_path / "refused"
    _, said = run(program(), "make", MOTIFS / "mussel.svg", "--colors", "palette", "--as", "png", "--out", where, code=2)
    assert "more than 256 colors" in said and not where.exists()


def test_a_limit_of_bytes_names_a_setting_that_meets_it(tmp_path):
    flags = [MOTIFS / "mussel.svg", "--tile", "6in", "--ground", GROUND, "--as", "jpeg", "--out", tmp_path]
    _, said = run(program(), "make", *flags, "--max-bytes", "40kB", code=2)
    setting, value = said.split("; ")[1].split(" makes ")[0].split(" = ")
    assert setting in ("quality", "dpi"), said
    files = make(tmp_path, *flags[:-2], "--max-bytes", "40kB", f"--{setting}", value)[0]
    assert files["jpg"].stat().st_size <= 40_000


def test_above_four_gigabytes_a_tiff_is_big(tmp_path):
    """60 000 × 24 000 px are 4.3 GB before they are packed."""
    size = ["--tile", "60000x24000px", "--motif-width", "60in", "--ground", GROUND]
    path = make(tmp_path, MOTIFS / "limpet.svg", *size, "--as", "tiff")[0]["tif"]
    with tifffile.TiffFile(path) as tiff:
        assert tiff.is_bigtiff
        (page,) = tiff.pages
        assert page.shape == (24_000, 60_000, 3)
        # The half-drop: row y is row y + 12 000 moved by half the width.
        rows = page.rowsperstrip
        upper, lower = decoded(tiff, page, 7_504 // rows), decoded(tiff, page, (7_504 + 12_000) // rows)
        assert upper.std() > 5, "no ink in the rows compared"
        assert numpy.array_equal(numpy.roll(upper, 30_000, axis=1), lower)


def decoded(tiff, page, index):
    """The rows of one strip."""
    tiff.filehandle.seek(page.dataoffsets[index])
    data = tiff.filehandle.read(page.databytecounts[index])
    return page.decode(data, index)[0].reshape(-1, page.shape[1], 3)
