"""Clean tiles of hard edges: stripes, plaids and checks, whose edges may lie exactly on the join.

Everything is whole numbers, so that a tile is seamless by construction. Half of the tiles are cut where a band begins,
the others anywhere.
"""

import numpy

from tile_motifs import color


def stripes(rng):
    """Bands, tone on tone, pinstripes of one pixel, or slanting; down or across."""
    sort = rng.choice(["bands", "tones", "pinstripes", "slanting"])
    if sort == "slanting":
        return {"pixels": slanting(rng)}
    widths, inks = a_sett(rng, sort)
    line = numpy.repeat(inks, widths, axis=0)
    return {"pixels": cut(rng, numpy.broadcast_to(line[None], (rng.randint(300, 900), *line.shape)))}


def plaids(rng):
    """Two setts crossed: half and half, or in a twill of two over two."""
    setts = [a_sett(rng, "bands"), a_sett(rng, "bands")]
    down, across = (numpy.repeat(inks, widths, axis=0) for widths, inks in setts)
    if rng.random() < 0.5:
        return {"pixels": cut(rng, (down[None].astype(int) + across[:, None] + 1 >> 1).astype(numpy.uint8))}
    down, across = (line[: len(line) // 4 * 4] for line in (down, across))
    y, x = numpy.mgrid[: len(across), : len(down)]
    return {"pixels": cut(rng, numpy.where(((x + y) % 4 < 2)[..., None], down[None], across[:, None]))}


def checks(rng):
    """Squares of two colors, strong or tone on tone, or a gingham: white, half and full."""
    size, columns, rows = rng.randint(3, 90), rng.randint(2, 8), rng.randint(2, 8)
    columns, rows = (2 * max(count, -(-150 // size)) for count in (columns, rows))
    y, x = numpy.mgrid[: rows * size, : columns * size] // size % 2
    inks = tones(rng, 2) if rng.random() < 0.5 else [color(rng, 256), color(rng, 256)]
    if rng.random() < 0.4:
        inks = [[255] * 3, [(255 + value + 1) // 2 for value in inks[0]], inks[0]]
        return {"pixels": cut(rng, numpy.array(inks, numpy.uint8)[x + y])}
    return {"pixels": cut(rng, numpy.array(inks, numpy.uint8)[(x + y) % 2])}


def a_sett(rng, sort):
    """Widths in pixels and colors of bands that fill a side."""
    if sort == "pinstripes":
        gap, count = rng.randint(4, 60), rng.randint(3, 12)
        count = max(count, -(-300 // gap))
        return [gap, 1] * count, numpy.array([*tones(rng, 1), color(rng)] * count, numpy.uint8)
    count = rng.randint(2, 7)
    inks = tones(rng, count) if sort == "tones" else [color(rng, 256) for _ in range(count)]
    widths = [rng.randint(1, 160) for _ in range(count)]
    times = max(1, -(-300 // sum(widths)))
    return widths * times, numpy.array(inks * times, numpy.uint8)


def tones(rng, count):
    """Colors near each other, a few levels apart."""
    base = color(rng, 256)
    return [[min(255, max(0, value + shade * rng.choice([-6, 4, 9]))) for value in base] for shade in range(count)]


def slanting(rng):
    """Bands across the corners, some turns to the right and some down, with hard steps; whole numbers throughout."""
    width, height = rng.randint(300, 900), rng.randint(300, 900)
    across, down = rng.randint(1, 9), rng.choice([-1, 1]) * rng.randint(1, 9)
    y, x = numpy.mgrid[:height, :width]
    phase = (x * across * height + y * down * width) % (width * height)
    ends = sorted(rng.randint(1, width * height - 1) for _ in range(rng.randint(1, 4)))
    inks = numpy.array([color(rng, 256) for _ in range(len(ends) + 1)], numpy.uint8)
    return inks[numpy.searchsorted(ends, phase, side="right")]


def cut(rng, pixels):
    """Turned half of the time; cut at a band's edge or anywhere."""
    if rng.random() < 0.5:
        pixels = pixels.swapaxes(0, 1)
    if rng.random() < 0.5:
        pixels = numpy.roll(pixels, [rng.randint(0, side) for side in pixels.shape[:2]], (0, 1))
    return numpy.ascontiguousarray(pixels)
