"""Clean tiles by class and number, painted by none of our code: number n of a class is always the same tile.

`straight` and the other layouts are laid from librsvg's pixels (tile_laying.py), `vector` is painted by librsvg in one
go (tile_vector.py), the rest has no motifs (tile_weaves.py, tile_textures.py).
"""

import random
from dataclasses import dataclass, field
from math import cos, pi
from typing import Callable

import numpy

from tile_laying import Laid, Lattice, Plan, woven
from tile_motifs import SMALLEST, color, picked

SHORTEST, LONGEST = 300, 1400


@dataclass(frozen=True)
class Tile:
    """A clean tile. `lattice` is `None` where nobody counts it; `paint` lays it again, with mistakes."""

    kind: str
    number: int
    pixels: numpy.ndarray = field(repr=False)
    lattice: Lattice | None = None
    plan: Plan | None = field(default=None, repr=False)
    paint: Callable | None = field(default=None, repr=False)

    @property
    def holds_motifs_twice(self):
        return self.lattice is not None and self.lattice.a * self.lattice.d < self.pixels.shape[0] * self.pixels.shape[1]


def side(rng, multiple=1, shortest=SHORTEST, longest=LONGEST):
    """A side in pixels, of any size between, small ones as likely as twice as large ones."""
    return max(1, round(shortest * (longest / shortest) ** rng.random() / multiple)) * multiple


def straight(rng):
    width, height = side(rng), side(rng)
    return width, height, Lattice(width, 0, height)


def grid(rng):
    """Blocks side by side, all alike."""
    columns, rows = rng.choice([(1, 2), (2, 1), (2, 2), (2, 3), (3, 1), (3, 2)])
    width, height = side(rng, columns), side(rng, rows)
    return width, height, Lattice(width // columns, 0, height // rows)


def drop(*shares):
    """Each column of blocks lies lower than the last by a share of the block."""

    def size(rng):
        p, q = rng.choice(shares)
        width, height = side(rng, q, 150 * q), side(rng, q)
        return width, height, Lattice(width, pow(p, -1, q) * width // q, height // q)

    return size


def brick(*shares):
    """Each row of blocks lies further to the right than the last by a share of the block."""

    def size(rng):
        p, q = rng.choice(shares)
        width, height = side(rng, q), side(rng, q, 150 * q)
        return width, height, Lattice(width, p * width // q, height // q)

    return size


def satin(order, *steps):
    """A satin weave's order: one spot in each column and each row of cells, each so many rows from the last."""

    def size(rng):
        step = rng.choice(steps)
        width, height = side(rng, order, 75 * order), side(rng, order, 75 * order)
        return width, height, Lattice(width, pow(step, -1, order) * width // order, height // order)

    return size


LAYOUTS = {
    "straight": straight,
    "grid": grid,
    "half-drop": drop((1, 2)),
    "brick": brick((1, 2)),
    "third-drop": drop((1, 3), (2, 3)),
    "quarter-drop": drop((1, 4), (3, 4)),
    "third-brick": brick((1, 3), (2, 3)),
    "satin5": satin(5, 2, 3),
    "satin8": satin(8, 3, 5),
}


def laid(layout):
    """Makes tiles of a layout: motifs strewn over the block, at least one over each join, and a ground."""

    def make(rng):
        width, height, lattice = LAYOUTS[layout](rng)
        cells = width * height // (lattice.a * lattice.d)
        count = rng.randint(6, 14) if cells == 1 else rng.randint(2, 6)
        # Not more than there is room for, some overlapping left in.
        count = max(2, min(count, lattice.a * lattice.d // SMALLEST**2 // 2))
        largest, chosen, places = min(width, height) * 0.6, [], []
        while len(places) < count:
            motif, pixels = picked(rng, max(largest, SMALLEST), chosen)
            tall, wide = pixels.shape[:2]
            if not lattice.keeps_apart(wide, tall, width, height):
                largest *= 0.85
                continue
            chosen.append(motif)
            places.append(placed(rng, pixels, places, width, height, lattice))
        plan = Plan(width, height, lattice, a_ground(rng, width, height, lattice), places)
        return {"pixels": plan.paint(), "lattice": lattice, "plan": plan, "paint": plan.paint}

    return make


def placed(rng, pixels, others, width, height, lattice):
    """A motif at a random place, if there is one in a dozen that leaves the others free; the first two lie over the joins."""
    tall, wide = pixels.shape[:2]
    for _ in range(12):
        x, y = int(rng.random() * width), int(rng.random() * height)
        if len(others) == 0:
            x = (width - wide // 4 - int(rng.random() * wide / 2)) % width
        if len(others) == 1:
            y = (height - tall // 4 - int(rng.random() * tall / 2)) % height
        if all(apart(x - o.x, y - o.y, (tall, wide), o.pixels.shape, width, height, lattice) for o in others):
            break
    return Laid(pixels, x, y)


def apart(x, y, size, other, width, height, lattice):
    """Are a box and all copies of another apart on the torus? x and y lead from the other's corner to the one's."""
    for i, j in lattice.steps(width, height):
        across, down = (x - i) % width, (y - j) % height
        if (across < other[1] or width - across < size[1]) and (down < other[0] or height - down < size[0]):
            return False
    return True


def a_ground(rng, width, height, lattice):
    """White, off-white, colored, none, or shades that come and go with the lattice."""
    sort = rng.choice(["white", "off-white", "colored", "none", "shaded", "shaded"])
    if sort == "none":
        return None
    base = {"white": lambda: [255] * 3, "off-white": lambda: [236 + int(rng.random() * 16) for _ in range(3)]}
    tone = numpy.array(base.get(sort, lambda: color(rng, 256))(), float)
    strip = numpy.broadcast_to(tone, (lattice.d, lattice.a, 3)).copy()
    if sort == "shaded":
        down, across = numpy.mgrid[: lattice.d, : lattice.a]
        for _ in range(2):
            # A wave of the dual lattice: a whole number of turns for each step.
            turns = rng.choice([0, 1])
            more = rng.choice([-1, 0, 1]) + round(turns * lattice.b / lattice.a)
            phase = turns * across / lattice.a + (more - turns * lattice.b / lattice.a) * down / lattice.d + rng.random()
            strip += numpy.cos(2 * pi * phase)[..., None] * [rng.uniform(2, 16) for _ in range(3)]
    return woven(strip.round().clip(0, 255).astype(numpy.uint8), lattice, width, height)


def mirror(rng):
    """A block cut anywhere, and beside or below it the same turned over: the last column is the first one again."""
    width, height = side(rng) // 2, side(rng) // 2
    lattice = Lattice(width, 0, height)
    places = []
    turned = rng.choice(["across", "down", "both"])
    while len(places) < 5:
        _, pixels = picked(rng, max(min(width, height) * 0.9, SMALLEST))
        # Cut off by the edges that are mirrored; over the others it comes in again.
        x, y = int(rng.random() * width), int(rng.random() * height)
        places.append(Laid(pixels[: None if turned == "across" else height - y, : None if turned == "down" else width - x], x, y))
    block = Plan(width, height, lattice, a_ground(rng, width, height, lattice), places).paint()
    if turned != "down":
        block = numpy.concatenate([block, block[:, ::-1]], 1)
    if turned != "across":
        block = numpy.concatenate([block, block[::-1]], 0)
    return {"pixels": block}


def clean(kind, number):
    """The tile of a class and number."""
    return Tile(kind, number, **classes()[kind](random.Random(f"{kind} {number}")))


def classes():
    """Every class' maker, by name."""
    from tile_textures import painting, photograph
    from tile_vector import vector
    from tile_weaves import checks, plaids, stripes

    makers = {layout: laid(layout) for layout in LAYOUTS}
    return makers | dict(
        vector=vector, mirror=mirror, stripes=stripes, plaids=plaids, checks=checks, photograph=photograph, painting=painting
    )
