"""Pictures as motifs, judged by Pillow and, for their colors, by Little CMS.

A picture is laid on a tile of its own size at its own resolution, so that each of its pixels is one
of the tile's, and the tile is held against what Little CMS makes of the file: relative colorimetric,
without black point compensation, to sRGB.
"""

import io

import numpy
import pytest
from PIL import Image, ImageCms, ImageOps

from tool import make, program, run

PROFILES = "/usr/share/color/icc/ghostscript"
SIDE = 96


def colors(channels):
    """A picture of SIDE × SIDE px: smooth, and with every channel at both its ends."""
    y, x = numpy.mgrid[0:SIDE, 0:SIDE] / (SIDE - 1)
    waves = [x, y, (x + y) / 2, x * y * 0.6]
    return numpy.stack([numpy.rint(w * 255) for w in waves[:channels]], -1).astype("uint8")


def profile(name):
    with open(f"{PROFILES}/{name}.icc", "rb") as file:
        return file.read()


def tile(folder, file, *more):
    """The tile that the picture fills, as RGB."""
    size = f"{SIDE / 100}in"
    files, said = make(folder / "out", file, "--layout", "straight", "--tile", size, "--dpi", 100, "--as", "png", *more)
    assert (said["tile"]["width_px"], said["tile"]["height_px"]) == (SIDE, SIDE)
    return numpy.asarray(Image.open(files["png"]).convert("RGB")).astype(int)


def by_little_cms(image, icc):
    """The picture in sRGB by Little CMS."""
    step = ImageCms.buildTransform(
        io.BytesIO(icc),
        ImageCms.createProfile("sRGB"),
        image.mode,
        "RGB",
        renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC,
        flags=ImageCms.Flags.NONE,
    )
    return numpy.asarray(ImageCms.applyTransform(image, step)).astype(int)


@pytest.mark.parametrize("kind, more", [("png", {}), ("tif", {"compression": "tiff_lzw"}), ("webp", {"lossless": True})])
@pytest.mark.parametrize("name", ["a98", "rommrgb"])
def test_rgb_through_its_profile(kind, more, name, tmp_path):
    icc = profile(name)
    image = Image.fromarray(colors(3))
    assert numpy.abs(by_little_cms(image, icc) - colors(3)).mean() > 5, "the profile is another than sRGB"
    file = tmp_path / f"shell.{kind}"
    image.save(file, dpi=(100, 100), icc_profile=icc, **more)
    # WebP has no resolution; width makes up for it.
    ours = tile(tmp_path, file, *(["--motif-width", f"{SIDE / 100}in"] if kind == "webp" else []))
    apart = numpy.abs(ours - by_little_cms(image, icc))
    assert apart.mean() <= 2 and apart.max() <= 8, (apart.mean(), apart.max())


@pytest.mark.parametrize("kind", ["tif", "jpg"])
def test_cmyk_through_its_profile(kind, tmp_path):
    icc = profile("default_cmyk")
    image = Image.fromarray(colors(4), "CMYK")
    file = tmp_path / f"shell.{kind}"
    image.save(file, dpi=(100, 100), icc_profile=icc, **({} if kind == "tif" else {"quality": 100, "subsampling": 0}))
    # Of a JPEG what counts is what is in the file.
    apart = numpy.abs(tile(tmp_path, file) - by_little_cms(Image.open(file), icc))
    # The two interpolate between the profile's entries in different ways.
    assert apart.mean() <= 2 and apart.max() <= 16, (apart.mean(), apart.max())


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_photo_is_upright(orientation, tmp_path):
    image = Image.fromarray(colors(3)[: SIDE // 2])
    exif = Image.Exif()
    exif[0x0112] = orientation
    file = tmp_path / "shell.jpg"
    image.save(file, dpi=(100, 100), exif=exif, quality=100, subsampling=0)
    upright = ImageOps.exif_transpose(Image.open(file))
    width, height = upright.size
    size = f"{width / 100}x{height / 100}in"
    files, _ = make(tmp_path, file, "--layout", "straight", "--tile", size, "--dpi", 100, "--as", "png")
    apart = numpy.abs(numpy.asarray(Image.open(files["png"]).convert("RGB")).astype(int) - numpy.asarray(upright))
    assert apart.mean() < 1, apart.mean()


def test_deep_and_grey_pictures(tmp_path):
    grey = colors(1)[..., 0].astype("uint16") * 257
    file = tmp_path / "shell.png"
    Image.fromarray(grey).save(file, dpi=(100, 100))
    assert (tile(tmp_path, file) == colors(1).astype(int)).all()


def test_four_inks_without_a_profile_are_refused_by_name(tmp_path):
    file = tmp_path / "shell.tif"
    Image.fromarray(colors(4), "CMYK").save(file, dpi=(100, 100))
    _, said = run(program(), "make", file, "--out", tmp_path, code=2)
    assert "no-profile: four inks without a profile" in said and "or allow it by name: no-profile" in said


def test_a_small_copy_is_a_mean_and_not_a_choice(tmp_path):
    """A picture of single-pixel stripes, an eighth as large, is even grey."""
    stripes = numpy.zeros((768, 768), "uint8")
    stripes[:, ::2] = 255
    file = tmp_path / "stripes.png"
    Image.fromarray(stripes).save(file, dpi=(100, 100))
    small = tile(tmp_path, file, "--motif-width", f"{SIDE / 100}in")
    assert numpy.abs(small - 127.5).max() <= 1


def test_the_vector_file_carries_the_picture(tmp_path):
    """rsvg-convert paints the exported SVG; at one pixel for one the colors are the picture's."""
    file = tmp_path / "shell.png"
    Image.fromarray(colors(3)).save(file, dpi=(100, 100))
    files, _ = make(tmp_path / "out", file, "--layout", "straight", "--tile", "0.96in", "--dpi", 100, "--as", "svg")
    run("rsvg-convert", "-w", SIDE, "-h", SIDE, "-o", tmp_path / "seen.png", files["svg"])
    seen = numpy.asarray(Image.open(tmp_path / "seen.png").convert("RGB")).astype(int)
    assert numpy.abs(seen - colors(3))[2:-2, 2:-2].max() <= 1
