"""Tiles painted by librsvg in one go: every copy and every piece that comes in again is a `<use>`, at eighths of a pixel.

A program that draws vectors exports such tiles. Places are multiples of 1/8 px and steps whole pixels, so that numbers
in the renderer are exact and like pieces are painted alike.
"""

import tempfile

import numpy
from PIL import Image

from tile_laying import JOINS, Lattice
from tile_motifs import HOME, SMALLEST, color, drawn, picked
from tool import run


def vector(rng):
    """Half of them straight, half of them half-drops."""
    from tiles import drop, straight

    width, height, lattice = (straight if rng.random() < 0.5 else drop((1, 2)))(rng)
    count = rng.randint(4, 8) if lattice.b == 0 else rng.randint(2, 5)
    ground = rng.choice([None, "white", "#f3eee3", f"rgb({','.join(map(str, color(rng, 256)))})"])
    art = []
    while len(art) < count:
        motif, _ = picked(rng, max(min(width, height) * 0.45, SMALLEST))
        text = drawn(motif, f"m{len(art)}", color(rng))
        if text is None:
            continue
        x, y = int(rng.random() * width * 8) / 8, int(rng.random() * height * 8) / 8
        if len(art) == 0:
            x = width - motif.side / 2 + int(rng.random() * 160 - 80) / 8
        if len(art) == 1:
            y = height - motif.side / 2 + int(rng.random() * 160 - 80) / 8
        art.append((text, x % width, y % height))
    drawing = Drawing(width, height, lattice, ground, art)
    return {"pixels": drawing.paint(), "lattice": lattice, "plan": drawing, "paint": drawing.paint}


class Drawing:
    """A tile as vectors; paints as a Plan does."""

    def __init__(self, width, height, lattice, ground, art):
        self.width, self.height, self.lattice, self.ground, self.art = width, height, lattice, ground, art

    def rolled(self, x, y):
        """The same cloth, cut elsewhere."""
        art = [(text, (left + x) % self.width, (top + y) % self.height) for text, left, top in self.art]
        return Drawing(self.width, self.height, self.lattice, self.ground, art)

    def paint(self, reentry=None, ground=None, stray=None):
        """Pixels; `reentry`, `ground` and `stray` as in Plan.paint, but a ground is laid under what is painted."""
        canvas = painted(self.svg(reentry or {}, stray, bare=ground is not None))
        if ground is not None:
            canvas = Image.alpha_composite(Image.fromarray(ground).convert("RGBA"), canvas)
        return numpy.asarray(canvas if self.ground is None and ground is None else canvas.convert("RGB"))

    def svg(self, reentry, stray, bare):
        head = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
        body = ["<defs>", *(text for text, _, _ in self.art), "</defs>"]
        if self.ground and not bare:
            body.append(f'<rect width="{self.width}" height="{self.height}" fill="{self.ground}"/>')
        (dx, dy), (ex, ey) = (reentry.get(join, (0, 0)) for join in JOINS)
        for number, (_, left, top) in enumerate(self.art):
            for copy, (x, y) in enumerate(self.lattice.steps(self.width, self.height)):
                x, y = (left + x) % self.width, (top + y) % self.height
                if stray and stray[:2] == (number, copy):
                    x, y = x + stray[2][0], y + stray[2][1]
                # Ink may hang over a drawing's page, so all neighbours are asked in.
                for i in (1, 0, -1):
                    for j in (1, 0, -1):
                        u, v = x + i * self.width - i * dx - j * ex, y + j * self.height - i * dy - j * ey
                        body.append(f'<use xlink:href="#m{number}" x="{u!r}" y="{v!r}"/>')
        return f'<svg {head} width="{self.width}" height="{self.height}">{"".join(body)}</svg>'


def painted(svg):
    HOME.mkdir(parents=True, exist_ok=True)
    with tempfile.NamedTemporaryFile("w", suffix=".svg", dir=HOME) as source, tempfile.NamedTemporaryFile(suffix=".png") as png:
        source.write(svg)
        source.flush()
        run("rsvg-convert", "-o", png.name, source.name)
        return Image.open(png.name).convert("RGBA")
