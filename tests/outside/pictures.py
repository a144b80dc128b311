"""Pictures as arrays: read, painted by other people's renderers, and held against each other."""

import tempfile
from pathlib import Path

import numpy
from PIL import Image

from tool import GROUND, run

# Largest root mean square difference between two renderers' anti-aliasing, of 255.
SLACK = 4.0

# No network, no first-run pages, one screen pixel for one CSS pixel.
CHROMIUM = """--headless --no-sandbox --disable-gpu --disable-background-networking --disable-component-update
    --disable-sync --no-first-run --hide-scrollbars --force-device-scale-factor=1 --force-color-profile=srgb""".split()


def pixels(path, ground=GROUND):
    """A picture's colors, laid over the ground if it lets it through."""
    picture = Image.open(path)
    assert picture.mode in ("RGB", "RGBA"), picture.mode
    if picture.mode == "RGBA":
        picture = Image.alpha_composite(Image.new("RGBA", picture.size, ground), picture)
    return numpy.asarray(picture.convert("RGB"))


def librsvg(svg, width=None, height=None, ground=GROUND):
    """The colors that librsvg paints; an SVG's file or text."""
    with tempfile.TemporaryDirectory() as folder:
        source, png = Path(folder) / "in.svg", Path(folder) / "out.png"
        source.write_text(svg.read_text() if isinstance(svg, Path) else svg)
        size = ["-w", width, "-h", height] if width else []
        run("rsvg-convert", *size, "-b", ground, "-o", png, source)
        return pixels(png, ground)


def chromium(svg, width, height):
    """The colors that Chromium paints of a file opened by itself, at 96 px to the inch."""
    with tempfile.TemporaryDirectory() as folder:
        png = Path(folder) / "shot.png"
        # Chromium's windows have a least size, below which it paints nothing.
        window = f"{max(width, 800)},{max(height, 600)}"
        own = [f"--user-data-dir={folder}/profile", f"--window-size={window}", f"--screenshot={png}"]
        run("chromium", *CHROMIUM, *own, svg.resolve().as_uri())
        return pixels(png)[:height, :width]


def rms(one, other):
    """Root mean square difference of two pictures of one size."""
    assert one.shape == other.shape, f"{one.shape} against {other.shape}"
    return float(numpy.sqrt(numpy.mean((one.astype(float) - other.astype(float)) ** 2)))


def inked(picture):
    """The share of pixels that are not the most common color: is there anything to compare?"""
    colors, counts = numpy.unique(picture.reshape(-1, 3), axis=0, return_counts=True)
    return 1 - counts.max() / counts.sum() if len(colors) > 1 else 0.0


def same_picture(one, other, what, slack=SLACK):
    """Fails unless two pictures agree, hold ink, and would not agree a pixel apart.

    The last is the check of the check: a comparison that a shifted picture also passes shows nothing.
    """
    assert inked(one) > 0.02, f"{what}: no ink to compare"
    apart = rms(one, other)
    shifted = min(rms(numpy.roll(one, 1, axis), other) for axis in (0, 1))
    print(f"{what}: RMS {apart:.2f}, shifted by a pixel {shifted:.2f}")
    assert apart <= slack, f"{what}: RMS {apart:.2f} of 255, more than {slack}"
    assert shifted > 1.5 * apart, f"{what}: RMS {apart:.2f}, but {shifted:.2f} when shifted by a pixel"
