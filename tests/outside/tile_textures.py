"""Clean tiles without motifs: photographs made seamless, and textures like paintings.

The photographs are those that come inside scikit-image's package and that its documentation says are free (CC0, public
domain, or no known restrictions); things, never people. A photograph is made seamless by its periodic component:
L. Moisan, "Periodic plus smooth image decomposition", J. Math. Imaging Vis. 39 (2011).
"""

import sys
import zipfile
from functools import lru_cache
from math import pi

import numpy
from PIL import Image

from tile_motifs import HOME, color
from tool import run

PACKAGE = "scikit_image-0.26.0"
PHOTOGRAPHS = ["brick.png", "coffee.png", "coins.png", "grass.png", "gravel.png", "hubble_deep_field.jpg"]


@lru_cache(maxsize=len(PHOTOGRAPHS))
def original(name):
    """A photograph, in red, green and blue, out of the package's file, which is fetched and never installed."""
    if not list(HOME.glob(f"{PACKAGE}-*.whl")):
        requirement = PACKAGE.replace("_", "-").replace("-0", "==0")
        run(sys.executable, "-m", "pip", "download", "-q", "--disable-pip-version-check", "--no-deps", "-d", HOME, requirement)
    (package,) = HOME.glob(f"{PACKAGE}-*.whl")
    with zipfile.ZipFile(package) as files, files.open(f"skimage/data/{name}") as data:
        return numpy.asarray(Image.open(data).convert("RGB"))


def window(rng):
    """A piece of a photograph, as it was taken."""
    picture = original(rng.choice(PHOTOGRAPHS))
    height, width = (rng.randint(260, size) for size in picture.shape[:2])
    y, x = (rng.randint(0, size - part) for size, part in zip(picture.shape[:2], (height, width)))
    return picture[y : y + height, x : x + width]


def photograph(rng):
    return {"pixels": periodic(window(rng)).round().clip(0, 255).astype(numpy.uint8)}


def periodic(picture):
    """The periodic component of a picture, in floating point."""
    picture = picture.astype(float)
    height, width = picture.shape[:2]
    # What jumps from each edge to the opposite one ...
    jumps = numpy.zeros_like(picture)
    jumps[0] += picture[-1] - picture[0]
    jumps[-1] += picture[0] - picture[-1]
    jumps[:, 0] += picture[:, -1] - picture[:, 0]
    jumps[:, -1] += picture[:, 0] - picture[:, -1]
    # ... is spread over the picture by Poisson's equation, as smoothly as can be, and taken off.
    y, x = numpy.ogrid[:height, :width]
    laplacian = 2 * numpy.cos(2 * pi * x / width) + 2 * numpy.cos(2 * pi * y / height) - 4
    laplacian[0, 0] = 1
    smooth = numpy.fft.fft2(jumps, axes=(0, 1)) / laplacian[..., None]
    smooth[0, 0] = 0
    return picture - numpy.fft.ifft2(smooth, axes=(0, 1)).real


def painting(rng):
    """Washes, brush strokes, camouflage or paper: periodic noise, in colors of its own."""
    width, height = rng.randint(300, 1000), rng.randint(300, 1000)
    sort = rng.choice(["wash", "strokes", "camouflage", "paper"])
    if sort == "camouflage":
        bands = numpy.sort([rng.uniform(-1, 1) for _ in range(3)])
        field = noise(rng, width, height, 60, 60)
        inks = numpy.array([color(rng, 256) for _ in range(4)], float)
        # Edges one to two pixels wide, as a brush or a renderer leaves them.
        steepness = rng.uniform(12, 40)
        shares = 1 / (1 + numpy.exp(-steepness * (field[..., None] - bands)))
        pixels = inks[0] + (shares[..., None] * numpy.diff(inks, axis=0)).sum(axis=2)
    else:
        across, down = {"wash": (50, 50), "strokes": (60, 4), "paper": (2, 2)}[sort]
        dark, light = numpy.array(color(rng, 256), float), numpy.array(color(rng, 256), float)
        if sort == "paper":
            dark = light - 12
        share = 0.5 + 0.25 * noise(rng, width, height, across, down) + 0.08 * noise(rng, width, height, 3, 3)
        pixels = dark + (light - dark) * share[..., None]
    return {"pixels": pixels.round().clip(0, 255).astype(numpy.uint8)}


def noise(rng, width, height, across, down):
    """White noise on the torus through a Gaussian low pass of so many pixels each way; mean 0, deviation 1."""
    white = numpy.random.RandomState(rng.randrange(2**32)).normal(size=(height, width))
    y, x = numpy.fft.fftfreq(height)[:, None], numpy.fft.rfftfreq(width)
    passed = numpy.fft.rfft2(white) * numpy.exp(-2 * pi**2 * ((x * across) ** 2 + (y * down) ** 2))
    passed[0, 0] = 0
    values = numpy.fft.irfft2(passed, (height, width))
    return values / values.std()
