"""The truth about the tiles that `check` is held against: clean ones are seamless, spoiled ones are spoiled as told."""

import numpy
import pytest
import tifffile
from PIL import Image

from tile_faults import FAULTS, spoiled
from tile_files import JPEG, LOSSLESS, fitting, write
from tile_laying import JOINS
from tile_sight import seen
from tile_textures import original, periodic
from tiles import LAYOUTS, classes, clean

NUMBERS = range(2)


@pytest.mark.parametrize("number", NUMBERS)
@pytest.mark.parametrize("kind", LAYOUTS)
def test_a_laid_tile_has_no_seam(kind, number):
    """Cut elsewhere and laid anew, it is the tile rolled: 0 pixels differ. So no join is unlike any other place."""
    tile = clean(kind, number)
    for x, y in [(tile.plan.width // 2, tile.plan.height // 2), (1, 0), (0, 1), (17, tile.plan.height - 5)]:
        laid = tile.plan.rolled(x, y).paint()
        assert numpy.array_equal(laid, numpy.roll(tile.pixels, (y, x), (0, 1)))


@pytest.mark.parametrize("number", NUMBERS)
def test_a_vector_tile_has_no_seam(number):
    """The same of librsvg's painting in one go, but for its rounding: a few levels in one pixel of a thousand."""
    tile = clean("vector", number)
    x, y = tile.plan.width // 2, tile.plan.height // 3
    apart = numpy.abs(seen(tile.plan.rolled(x, y).paint()) - seen(numpy.roll(tile.pixels, (y, x), (0, 1))))
    assert apart.max() <= 16 and (apart > 0).mean() < 0.001, (apart.max(), (apart > 0).mean())


@pytest.mark.parametrize("number", NUMBERS)
@pytest.mark.parametrize("kind", [*LAYOUTS, "vector"])
def test_the_lattice_is_all_of_it(kind, number):
    """The translations that carry the picture onto itself, asked of its autocorrelation, are the lattice's and no others.

    For `vector`, librsvg's rounding is allowed for.
    """
    tile = clean(kind, number)
    values = seen(tile.pixels).astype(float)
    height, width = values.shape[:2]
    transformed = numpy.fft.rfft2(values, axes=(0, 1))
    power = numpy.fft.irfft2((numpy.abs(transformed) ** 2).sum(axis=2), (height, width))
    # Sum of squared differences to the picture moved by each step: 0 where it is carried onto itself.
    apart = 2 * (power[0, 0] - power) / (width * height)
    found = {(int(x), int(y)) for y, x in numpy.argwhere(apart < 0.05)}
    assert found == set(tile.lattice.steps(width, height))


def test_periodic_plus_smooth():
    """The smooth component is harmonic inside, as Moisan defines it, and the periodic one jumps at the join no more than inside."""
    for name in ("coffee.png", "gravel.png"):
        picture = original(name).astype(float)
        part = periodic(picture)
        smooth = picture - part
        around = sum(numpy.roll(smooth, step, axis) for step in (1, -1) for axis in (0, 1))
        assert numpy.abs(around - 4 * smooth)[1:-1, 1:-1].max() < 1e-6
        assert numpy.abs(smooth.mean(axis=(0, 1))).max() < 1e-6
        for axis in (0, 1):
            jump = lambda values: numpy.abs(values.take(0, axis) - values.take(-1, axis)).mean()
            assert jump(part) < 1.2 * numpy.abs(numpy.diff(part, axis=axis)).mean()
            assert jump(part) < 0.7 * jump(picture)


@pytest.mark.parametrize("kind", classes())
def test_a_number_is_always_the_same_tile(kind):
    one, other = clean(kind, 5), clean(kind, 5)
    assert numpy.array_equal(one.pixels, other.pixels)
    assert one.pixels.shape != clean(kind, 6).pixels.shape or not numpy.array_equal(one.pixels, clean(kind, 6).pixels)
    assert (one.pixels != one.pixels[0, 0]).any(), "nothing is on it"


@pytest.mark.parametrize("kind", [*LAYOUTS, "vector"])
def test_laid_without_a_mistake_it_is_the_clean_tile(kind):
    tile = clean(kind, 1)
    assert numpy.array_equal(tile.paint({join: (0, 0) for join in JOINS}), tile.pixels)


@pytest.mark.parametrize("fault", FAULTS)
def test_a_fault_is_where_it_is_told(fault):
    """Of a slip, the tile beyond the largest motif's reach is untouched; lines more or less are one; others keep the size."""
    for number in range(4):
        one = spoiled(fault, number)
        height, width = one.pixels.shape[:2]
        was_high, was_wide = one.tile.pixels.shape[:2]
        step = {"doubled": 1, "dropped": -1, "dropped-lone": -1}.get(fault)
        if step:
            assert width - was_wide == step * ("left-right" in one.joins) and height - was_high == step * ("top-bottom" in one.joins)
        elif fault == "unmatched":
            assert (width < was_wide) == ("left-right" in one.joins) and (height < was_high) == ("top-bottom" in one.joins)
        else:
            assert (height, width) == (was_high, was_wide)
            apart = numpy.abs(seen(one.pixels) - seen(one.tile.pixels)).max(axis=2)
            assert apart.any()
        if fault in ("soft-edge", "hairline"):
            touched = numpy.argwhere(apart)
            at = {"first": 0, "last": -1}[one.side.split(",")[0]]
            on = numpy.zeros(apart.shape, bool)
            if "left-right" in one.joins:
                on[:, at] = True
            if "top-bottom" in one.joins:
                on[at] = True
            assert on[tuple(touched.T)].all(), "a pixel off the edge is changed"
        if fault in ("slip-1", "slip-2-3", "half-slip", "gap"):
            # What comes in again by the left and top has moved; nothing at the far corner of the tile has.
            reach = max(64, int(0.6 * min(height, width)) + 4)
            far = apart[reach if "top-bottom" in one.joins else 8 : -8, reach if "left-right" in one.joins else 8 : -8]
            assert not far.any()


@pytest.mark.parametrize("kind", ["half-drop", "checks"])
def test_files_hold_the_pixels(kind, tmp_path):
    tile = clean(kind, 2)
    for variant in fitting(tile.pixels):
        path = write(tile.pixels, tmp_path, variant, variant)
        if variant in LOSSLESS:
            if variant == "tiff16":
                there = tifffile.imread(path) // 257
            else:
                picture = Image.open(path)
                there = numpy.asarray(picture if picture.mode in ("RGB", "RGBA") else picture.convert("RGB"))
            assert numpy.array_equal(there, tile.pixels), variant
        else:
            assert variant in JPEG and Image.open(path).size == tile.pixels.shape[1::-1]
