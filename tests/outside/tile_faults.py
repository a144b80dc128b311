"""Spoils clean tiles as people and programs spoil them, and knows what it did and where.

| fault | the mistake it stands for |
| --- | --- |
| slip-1, slip-2-3 | a copy that hangs over the edge was laid again by eye, so many pixels off along the join |
| half-slip | the same where the program snaps to half pixels, or the copy's place was half a pixel's fraction |
| gap | the copy was moved by the tile's size plus or minus one: off across the join |
| doubled | a page exported one pixel too large, its last or first line filled from its neighbour |
| dropped | a page exported or cropped one pixel too small |
| soft-edge | a page of fractional pixel size: its edge pixels are partly covered, by the page's color or by nothing |
| hairline | the edge of a rectangle or a frame left in the file, or a line of white from a careless crop |
| frame | the outline of the page or a frame around it, left in the file: a line along both edges |
| soft-band | some lines along one or both edges feathered or blurred: a selection with a soft edge, a healing brush |
| ground | a photographed or shaded ground that does not come back to where it began |
| noise | one edge was retouched in a file that had been compressed before |
| unmatched | no repeat at all: a window of a larger picture |
| stray | one copy inside a tile that holds its motifs twice was nudged by a pixel; no join is wrong |

A fault that nobody could see does not count: `shows` compares the spoiled tile with the true one, pixel by pixel at
the join, and `spoiled` takes another tile until it does.
"""

import io
import random
from dataclasses import dataclass, field

import numpy
from PIL import Image, ImageFilter

from tile_files import as_numbers
from tile_laying import JOINS
from tile_sight import Unfit, seen, shows, upright
from tiles import LAYOUTS, Tile, clean

LAID = [*LAYOUTS, "vector"]
ANY = [*LAID, "photograph", "painting"]
DROPS = [layout for layout in LAYOUTS if layout != "straight"]


@dataclass(frozen=True)
class Spoiled:
    """A spoiled tile: on which joins, by how much and to which side. `expected` is "fault", or "not seamless" where
    the join alone can't prove it, "told" where that must be said, or "no repeat" where only the repeat inside is wrong."""

    tile: Tile
    number: int
    fault: str
    joins: tuple
    amount: float
    side: str
    expected: str
    pixels: numpy.ndarray = field(repr=False)


def spoiled(fault, number):
    """Spoiled tile number n of a fault: the first of its tries that shows."""
    classes, spoil = FAULTS[fault]
    for attempt in range(60):
        rng = random.Random(f"{fault} {number} {attempt}")
        kind = classes[number % len(classes)]
        tile = clean(kind, rng.randrange(10**9))
        joins = rng.choices([JOINS[:1], JOINS[1:], JOINS], [2, 2, 1])[0]
        try:
            pixels, amount, side, expected = spoil(rng, tile, joins)
        except Unfit:
            continue
        return Spoiled(tile, number, fault, joins if fault != "stray" else (), amount, side, expected, pixels)
    raise AssertionError(f"{fault} {number}: in 60 tiles it never shows")


def laid_off(steps, across=False):
    """Copies that come in again lie off their place, along the join or across it."""

    def spoil(rng, tile, joins):
        step = rng.choice(steps)
        along = {"left-right": (0, step), "top-bottom": (step, 0)}
        reentry = {join: along[join][::-1] if across else along[join] for join in joins}
        pixels = tile.paint(reentry)
        for join in joins:
            # Each join for itself: a slip of one alone must show there.
            shows(tile.pixels, tile.paint({join: reentry[join]}), join, steps=2)
        proven = not across or tile.holds_motifs_twice
        return pixels, abs(step), "+" if step > 0 else "-", "fault" if proven else "not seamless"

    return spoil


def one_more(rng, tile, joins):
    pixels, side = tile.pixels, rng.choice(["first", "last"])
    for join in joins:
        lines = upright(pixels, join)
        more = numpy.concatenate([lines[:, :1], lines] if side == "first" else [lines, lines[:, -1:]], axis=1)
        longer = upright(more, join)
        shows(pixels, longer, join, -2 if side == "first" else -1)
        pixels = longer
    return pixels, 1, side, "fault"


def one_less(rng, tile, joins):
    pixels, side = tile.pixels, rng.choice(["first", "last"])
    for join in joins:
        lines = upright(pixels, join)
        shorter = upright(lines[:, 1:] if side == "first" else lines[:, :-1], join)
        shows(pixels, shorter, join, -2 if side == "first" else -3)
        pixels = shorter
    return pixels, 1, side, "fault" if tile.holds_motifs_twice else "not seamless"


def edge_line(levels, colors, least):
    """The first or last line is covered in part by another color, or is partly clear."""

    def spoil(rng, tile, joins):
        pixels, side, cover, name = tile.pixels, rng.choice(["first", "last"]), rng.choice(levels), rng.choice(colors)
        ink = named_ink(name, pixels, rng)
        for join in joins:
            at = [0 if side == "first" else -1]
            lines = covered(upright(pixels, join), at, [cover], ink)
            shows(pixels, upright(lines, join), join, levels=least)
            pixels = upright(lines, join)
        return pixels, cover, f"{side}, {name}", "fault"

    return spoil


def framed(rng, tile, joins):
    """A line of one to three pixels along both edges of a join."""
    pixels, deep, cover, name = tile.pixels, rng.randint(1, 3), rng.choice([0.5, 1.0]), rng.choice(["white", "black", "color"])
    ink = named_ink(name, pixels, rng)
    for join in joins:
        at = [*range(deep), *range(-deep, 0)]
        lines = upright(covered(upright(pixels, join), at, [cover] * len(at), ink), join)
        shows(pixels, lines, join)
        pixels = lines
    return pixels, deep, name, "told"


def soft_band(rng, tile, joins):
    """Two to twelve lines along an edge, or along both, fade into a color or nothing, or are blurred."""
    pixels, deep, sides = tile.pixels, rng.randint(2, 12), rng.choice([["first"], ["last"], ["first", "last"]])
    name = rng.choice(["white", "ground", "clear", "blur", "blur", "blur"])
    ink, strong = named_ink(name, pixels, rng), rng.uniform(1, 3)
    fading = 1 - (numpy.arange(deep) + 0.5) / deep
    for join in joins:
        lines = upright(pixels, join)
        for side in sides:
            at = range(deep) if side == "first" else range(-1, -deep - 1, -1)
            lines = blurred(lines, at, strong) if name == "blur" else covered(lines, at, fading, ink)
        shows(pixels, upright(lines, join), join)
        pixels = upright(lines, join)
    return pixels, deep, f"{' and '.join(sides)}, {name}", "told"


def blurred(lines, at, strong):
    """Some columns, blurred as a picture that ends at its edges is."""
    soft = numpy.asarray(Image.fromarray(numpy.ascontiguousarray(lines)).filter(ImageFilter.GaussianBlur(strong)))
    lines = lines.copy()
    lines[:, list(at)] = soft[:, list(at)]
    return lines


def named_ink(name, pixels, rng):
    """A color to cover with; the ground's is the one that is there most. `None` where nothing is to be."""
    if name not in ("white", "black", "ground", "color"):
        return None
    _, first, counts = numpy.unique(as_numbers(pixels), return_index=True, return_counts=True)
    ground = pixels.reshape(-1, pixels.shape[2])[first[counts.argmax()]]
    inks = {"white": [255] * 4, "black": [0, 0, 0, 255], "ground": ground, "color": [*(rng.randrange(256) for _ in range(3)), 255]}
    return numpy.array(inks[name], float)[: pixels.shape[2]]


def covered(lines, at, covers, ink):
    """Some columns, each blended with a color or made clear by its share."""
    lines, at, cover = lines.copy(), list(at), numpy.array(covers)[:, None]
    if ink is None:
        if lines.shape[2] == 3:
            lines = numpy.pad(lines, ((0, 0), (0, 0), (0, 1)), constant_values=255)
        lines[:, at, 3:] = (lines[:, at, 3:] * (1 - cover)).round()
        return lines
    there = lines[:, at].astype(float)
    if lines.shape[2] == 4:
        # Blended as light, not as numbers: where nothing is, its color does not count.
        alpha = there[..., 3:] * (1 - cover) + ink[3] * cover
        there[..., :3] = (there[..., :3] * there[..., 3:] * (1 - cover) + ink[:3] * ink[3] * cover) / numpy.maximum(alpha, 1)
        there[..., 3:] = alpha
    else:
        there = there * (1 - cover) + ink * cover
    lines[:, at] = there.round().clip(0, 255)
    return lines


def ramp(rng, tile, joins):
    """The ground climbs by some levels over the tile and does not come back; the motifs lie on it unchanged."""
    if tile.plan.ground is None:
        raise Unfit
    amount, turn = rng.randint(2, 12), rng.choice([-1, 1])
    ground = tile.plan.ground.astype(float)
    for join in joins:
        along = upright(ground, join)
        along += (turn * amount * (numpy.arange(along.shape[1]) / (along.shape[1] - 1) - 0.5))[None, :, None]
    if ground.min() < 0 or ground.max() > 255:
        ground += -min(0, ground.min()) - max(0, ground.max() - 255)
    pixels = tile.paint(ground=ground.round().clip(0, 255).astype(numpy.uint8))
    for join in joins:
        true, false = (upright(picture, join).astype(int) for picture in (tile.pixels, pixels))
        jumps = numpy.abs((false[:, 0] - false[:, -1]) - (true[:, 0] - true[:, -1])).min(axis=1)
        if (jumps >= amount - 1).mean() < 0.25:
            raise Unfit
    return pixels, amount, "+" if turn > 0 else "-", "fault"


def packed_edge(rng, tile, joins):
    """A strip along one edge has been a JPEG of low quality, the rest has not."""
    pixels, quality, side, deep = tile.pixels, rng.randint(20, 50), rng.choice(["first", "last"]), rng.choice([8, 16])
    for join in joins:
        lines = upright(pixels, join).copy()
        where = slice(0, deep) if side == "first" else slice(-deep, None)
        data = io.BytesIO()
        Image.fromarray(numpy.ascontiguousarray(lines[:, where, :3])).save(data, "JPEG", quality=quality)
        lines[:, where, :3] = numpy.asarray(Image.open(data))
        shows(pixels, upright(lines, join), join, levels=12, count=24)
        pixels = upright(lines, join)
    return pixels, quality, side, "fault"


def window(rng, tile, joins):
    """A window of the tile, 60 to 95 % of a side."""
    pixels, share = tile.pixels, rng.uniform(0.6, 0.95)
    if tile.holds_motifs_twice:
        # Else the window could be a repeat by chance.
        raise Unfit
    for join in joins:
        lines = upright(pixels, join)
        size = round(lines.shape[1] * share)
        part = upright(lines[:, :size], join)
        shows(pixels, part, join, size - 2)
        pixels = part
    return pixels, round(share, 2), "", "fault"


def one_nudged(rng, tile, _):
    """One copy of one motif lies a pixel off, whole, wherever it is."""
    number = int(rng.random() * len(tile.plan.motifs))
    copy = int(rng.random() * len(tile.plan.lattice.steps(tile.plan.width, tile.plan.height)))
    step = rng.choice([(1, 0), (-1, 0), (0, 1), (0, -1)])
    pixels = tile.paint(stray=(number, copy, step))
    if (numpy.abs(seen(pixels) - seen(tile.pixels)).max(axis=2) >= 20).sum() < 12:
        raise Unfit
    return pixels, 1, "", "no repeat"


PARTS = [share / 10 for share in range(1, 10)]
FAULTS = {
    "slip-1": (LAID, laid_off([-1, 1])),
    "slip-2-3": (LAID, laid_off([-3, -2, 2, 3])),
    "half-slip": ([*LAYOUTS, "vector", "vector", "vector"], laid_off([-0.5, 0.5])),
    "gap": (LAID, laid_off([-1, 1], across=True)),
    "doubled": (ANY, one_more),
    "dropped": (DROPS, one_less),
    "dropped-lone": (["straight", "photograph", "painting"], one_less),
    "soft-edge": (ANY, edge_line(PARTS, ["white", "black", "ground", "clear"], 10)),
    "hairline": (ANY, edge_line([0.5, 1.0], ["white", "black", "color"], 20)),
    "frame": (ANY, framed),
    "soft-band": (ANY, soft_band),
    "ground": (list(LAYOUTS), ramp),
    "noise": (ANY, packed_edge),
    "unmatched": (["straight", "vector", "photograph", "painting"], window),
    "stray": (DROPS, one_nudged),
}
