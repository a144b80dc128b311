"""Tiles laid from painted motifs, so that their repeat is true by construction.

A motif's pixels are laid at whole pixels of the torus: what leaves the tile by the right edge is the very pixels
that come in by the left one. For faults, what comes in again may be laid elsewhere than it should.
"""

from dataclasses import dataclass, field, replace

import numpy

JOINS = ("left-right", "top-bottom")


@dataclass(frozen=True)
class Lattice:
    """The steps (a, 0) and (b, d), in pixels, of all translations that carry the cloth onto itself; Hermite form."""

    a: int
    b: int
    d: int

    def steps(self, width, height):
        """The lattice's points on the tile."""
        assert width % self.a == 0 and height % self.d == 0 and height // self.d * self.b % self.a == 0
        return [((k * self.b + i * self.a) % width, k * self.d) for k in range(height // self.d) for i in range(width // self.a)]

    def keeps_apart(self, width, height, tile_width, tile_height):
        """Do copies of a box of this size leave each other free?"""
        for x, y in self.steps(tile_width, tile_height)[1:]:
            if min(x, tile_width - x) < width and min(y, tile_height - y) < height:
                return False
        return width <= tile_width and height <= tile_height


@dataclass(frozen=True)
class Laid:
    """A motif's pixels and where their upper left corner lies on the torus."""

    pixels: numpy.ndarray = field(repr=False)
    x: int
    y: int


@dataclass(frozen=True)
class Plan:
    """A tile before it is painted. The ground is a picture of it, or `None` where the cloth shows through."""

    width: int
    height: int
    lattice: Lattice
    ground: numpy.ndarray | None = field(repr=False)
    motifs: list = field(repr=False)

    def rolled(self, x, y):
        """The same cloth, cut elsewhere."""
        ground = None if self.ground is None else numpy.roll(self.ground, (y, x), (0, 1))
        motifs = [replace(laid, x=(laid.x + x) % self.width, y=(laid.y + y) % self.height) for laid in self.motifs]
        return replace(self, ground=ground, motifs=motifs)

    def paint(self, reentry=None, ground=None, stray=None):
        """The tile's pixels: RGB, or RGBA where there is no ground.

        `reentry` gives for a join how far off its place (x, y) is laid what crosses that join and comes in again by
        the left or the top; halves of a pixel are allowed. `ground` takes the place of the plan's. `stray` is the
        number of a motif and of its copy, and how far off that one lies, whole on the torus.
        """
        reentry = {join: (reentry or {}).get(join, (0, 0)) for join in JOINS}
        canvas = canvas_on(self.ground if ground is None else ground, self.width, self.height)
        for number, laid in enumerate(self.motifs):
            for copy, (x, y) in enumerate(self.lattice.steps(self.width, self.height)):
                x, y = (laid.x + x) % self.width, (laid.y + y) % self.height
                if stray and stray[:2] == (number, copy):
                    x, y = (x + stray[2][0]) % self.width, (y + stray[2][1]) % self.height
                self.lay(canvas, laid.pixels, x, y, reentry)
        return plain(canvas)

    def lay(self, canvas, pixels, x, y, reentry):
        """One copy, and those of its pieces that come in again. A piece off its place may cross the other join, too."""
        height, width = pixels.shape[:2]
        for i in (1, 0, -1):
            dx, dy = reentry["left-right"] if i < 0 and x + width > self.width else (0, 0)
            for j in (1, 0, -1):
                ex, ey = reentry["top-bottom"] if j < 0 and y + height > self.height else (0, 0)
                over(canvas, pixels, x + i * self.width + dx + ex, y + j * self.height + dy + ey)


def canvas_on(ground, width, height):
    """A canvas of premultiplied values in 16 bits; without alpha where a ground is under it."""
    if ground is None:
        return numpy.zeros((height, width, 4), numpy.uint16)
    return ground.astype(numpy.uint16)


def over(canvas, pixels, x, y):
    """Lays pixels on a canvas, source over, what lies on it; at halves of a pixel they are resampled."""
    if not (-pixels.shape[1] - 1 < x < canvas.shape[1] and -pixels.shape[0] - 1 < y < canvas.shape[0]):
        return
    if x % 1:
        pixels, x = half_across(pixels), int(x // 1)
    if y % 1:
        pixels, y = half_across(pixels.swapaxes(0, 1)).swapaxes(0, 1), int(y // 1)
    height, width = canvas.shape[:2]
    left, top = max(0, -x), max(0, -y)
    right, bottom = min(pixels.shape[1], width - x), min(pixels.shape[0], height - y)
    if left >= right or top >= bottom:
        return
    part = pixels[top:bottom, left:right].astype(numpy.uint16)
    alpha = part[..., 3:]
    ink = divided(part * alpha)[..., : canvas.shape[2]]
    if canvas.shape[2] == 4:
        ink[..., 3:] = alpha
    there = canvas[y + top : y + bottom, x + left : x + right]
    there[...] = ink + divided(there * (255 - alpha))


def divided(products):
    """Products of two 8-bit values, by 255, to the nearest."""
    products = products + 128
    return (products + (products >> 8)) >> 8


def half_across(pixels):
    """Pixels moved half a pixel to the right, one pixel wider: Keys' cubic (1981, a = -1/2) at the middle between two."""
    values = pixels.astype(float)
    values[..., :3] *= values[..., 3:] / 255
    values = numpy.pad(values, ((0, 0), (2, 2), (0, 0)))
    moved = (9 * (values[:, 1:-2] + values[:, 2:-1]) - values[:, :-3] - values[:, 3:]) / 16
    alpha = moved[..., 3:].clip(0, 255)
    moved[..., :3] *= 255 / numpy.maximum(alpha, 1)
    moved[..., 3:] = alpha
    return moved.round().clip(0, 255).astype(numpy.uint8)


def plain(canvas):
    """A canvas as 8-bit pixels whose colors are not multiplied by alpha."""
    if canvas.shape[2] == 3:
        return canvas.astype(numpy.uint8)
    alpha = canvas[..., 3:].astype(numpy.uint32)
    colors = (canvas[..., :3].astype(numpy.uint32) * 255 + alpha // 2) // numpy.maximum(alpha, 1)
    return numpy.concatenate([colors.clip(0, 255), alpha], axis=2).astype(numpy.uint8)


def woven(strip, lattice, width, height):
    """A tile from the pixels of one cell, a wide and d high: each row of cells lies b further to the right."""
    row = numpy.tile(strip, (1, width // lattice.a, 1))
    return numpy.concatenate([numpy.roll(row, k * lattice.b, 1) for k in range(height // lattice.d)])
