"""Could an eye see it? A spoiled tile is held against the true one, pixel by pixel, at the join."""

import numpy


class Unfit(Exception):
    """This tile can't have this fault so that it shows."""


def upright(pixels, join):
    """The picture, turned over so that the join runs down; twice is none."""
    return pixels if join == "left-right" else pixels.swapaxes(0, 1)


def seen(pixels):
    """What an eye gets: colors as they count, and alpha."""
    values = pixels.astype(int)
    if values.shape[2] == 3:
        return numpy.pad(values, ((0, 0), (0, 0), (0, 1)), constant_values=255)
    values[..., :3] = values[..., :3] * values[..., 3:] // 255
    return values


def shows(true, false, join, start=-2, levels=20, count=12, steps=0):
    """Fails with Unfit unless the fault is in at least `count` pixels of at least `levels` (of 255) in the two pixels
    before the join and the four behind it.

    The false tile is read across the join, from its last two columns on to its first four; the true one from column
    `start` on, which is what should stand there. What lies off its place must also step otherwise from the last column
    to the first, in so many pixels: a contour beside the join may be moved along it, and no eye sees a step.
    """
    true, false = upright(true, join), upright(false, join)
    found = false[:, numpy.arange(-2, 4)]
    wanted = true[:, numpy.arange(start, start + 6) % true.shape[1]]
    apart = seen(found) - seen(wanted)
    if (numpy.abs(apart).max(axis=2) >= levels).sum() < count:
        raise Unfit
    if (numpy.abs(apart[:, 2] - apart[:, 1]).max(axis=1) >= levels).sum() < steps:
        raise Unfit
