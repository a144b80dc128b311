"""A tile's pixels as files of the kinds that people hand in, written by Pillow and tifffile."""

import numpy
import tifffile
from PIL import Image

DPI = 150
LOSSLESS = ("png", "tiff", "tiff16", "cmyk", "palette")
JPEG = ("jpeg444", "jpeg420")


def fitting(pixels):
    """The kinds of file that can hold these pixels as they are, or, for JPEG, nearly."""
    kinds = ["png", "tiff", "tiff16", *JPEG]
    if pixels.shape[2] == 3:
        kinds.append("cmyk")
        if len(numpy.unique(as_numbers(pixels))) <= 256:
            kinds.append("palette")
    return kinds


def write(pixels, folder, name, kind):
    """Writes the file and gives its path. What has alpha is laid on white for JPEG."""
    pixels = numpy.ascontiguousarray(pixels)
    picture = Image.fromarray(pixels)
    if kind in JPEG:
        path = folder / f"{name}.jpg"
        if picture.mode == "RGBA":
            picture = Image.alpha_composite(Image.new("RGBA", picture.size, "white"), picture).convert("RGB")
        picture.save(path, quality=90, subsampling={"jpeg444": 0, "jpeg420": 2}[kind], dpi=(DPI, DPI))
    elif kind in ("png", "palette"):
        path = folder / f"{name}.png"
        if kind == "palette":
            picture = in_palette(pixels)
        picture.save(path, compress_level=1, dpi=(DPI, DPI))
    else:
        path = folder / f"{name}.tif"
        more = {"extrasamples": ["unassalpha"]} if picture.mode == "RGBA" else {}
        values, photometric = pixels, "rgb"
        if kind == "tiff16":
            values = pixels.astype(numpy.uint16) * 257
        if kind == "cmyk":
            # Three inks without a profile, and a black that is left empty, so that no color is lost.
            values, photometric = numpy.pad(255 - pixels, ((0, 0), (0, 0), (0, 1))), "separated"
        tifffile.imwrite(path, values, photometric=photometric, resolution=(DPI, DPI), resolutionunit="INCH", **more)
    return path


def as_numbers(pixels):
    """Each pixel's channels in one number."""
    return (pixels.astype(numpy.uint32) << (8 * numpy.arange(pixels.shape[2], dtype=numpy.uint32))).sum(axis=2, dtype=numpy.uint32)


def in_palette(pixels):
    """The same colors by number."""
    _, first, numbers = numpy.unique(as_numbers(pixels), return_index=True, return_inverse=True)
    picture = Image.fromarray(numbers.reshape(pixels.shape[:2]).astype(numpy.uint8))
    picture.putpalette(pixels.reshape(-1, 3)[first].tobytes())
    return picture
