"""Motifs for tiles: drawings that other people made, painted by a renderer that is not ours.

Each is a drawing of one of the public corpora at a fixed size, painted by librsvg once and kept under
target/tiles. Motif number n is always the same drawing at the same size; its pixels change only with librsvg.
"""

import os
import random
import re
import tempfile
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import numpy
from PIL import Image

import corpora
from tool import ROOT, run

HOME = ROOT / "target/tiles"
COUNT = 480
SMALLEST, LARGEST = 60, 400
# Share of each corpus. Icons of one color are painted in any color; the others keep theirs.
SHARES = {"openmoji, color": 0.5, "game-icons": 0.2, "@mdi/svg": 0.2, "flag-icons": 0.1}
ONE_COLOR = {"game-icons", "@mdi/svg"}


@dataclass(frozen=True)
class Motif:
    """A drawing and the side of the square, in pixels, that it is painted into."""

    corpus: str
    path: Path
    side: int

    @property
    def takes_color(self):
        return self.corpus in ONE_COLOR


@lru_cache(maxsize=1)
def library():
    """All motifs, in order."""
    corpora.install()
    drawings = {corpus.name: corpora.drawings(corpus) for corpus in corpora.CORPORA if corpus.name in SHARES}
    found = []
    for number in range(COUNT):
        rng = random.Random(f"motif {number}")
        (corpus,) = rng.choices(list(SHARES), list(SHARES.values()))
        names = list(drawings[corpus])
        side = round(SMALLEST * (LARGEST / SMALLEST) ** rng.random())
        found.append(Motif(corpus, drawings[corpus][names[int(rng.random() * len(names))]], side))
    return found


@lru_cache(maxsize=COUNT)
def painted(motif):
    """The motif's pixels, red, green, blue and alpha in 8 bits, cut to where ink is; `None` if there is next to none."""
    kept = HOME / "painted" / f"{motif.corpus.replace('/', '-')}-{motif.path.parent.name}-{motif.path.stem}-{motif.side}.npy"
    if not kept.exists():
        kept.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile(suffix=".png") as png:
            run("rsvg-convert", "-a", "-w", motif.side, "-h", motif.side, "-o", png.name, motif.path)
            pixels = numpy.asarray(Image.open(png.name).convert("RGBA"))
        # Others may paint the same at this moment: the file appears whole.
        draft = kept.with_suffix(f".{os.getpid()}")
        with draft.open("wb") as file:
            numpy.save(file, pixels)
        draft.replace(kept)
    pixels = numpy.load(kept)
    inked = pixels[..., 3] > 127
    if inked.mean() < 0.04:
        return None
    rows, columns = (numpy.flatnonzero(pixels[..., 3].any(axis)) for axis in (1, 0))
    return pixels[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]


def picked(rng, largest, but=()):
    """A random motif of at most so many pixels, other than those there are, and its pixels in its color."""
    assert largest >= SMALLEST, f"no motif is as small as {largest} px"
    motifs = library()
    while True:
        motif = motifs[int(rng.random() * COUNT)]
        if motif.side <= largest and motif not in but:
            pixels = painted(motif)
            if pixels is not None:
                return motif, in_color(pixels, color(rng)) if motif.takes_color else pixels


def in_color(pixels, ink):
    """A motif of one color, in another."""
    pixels = pixels.copy()
    pixels[..., :3] = ink
    return pixels


def color(rng, lightest=200):
    """An ink: any color that is not near white."""
    while True:
        ink = [int(rng.random() * 256) for _ in range(3)]
        if min(ink) < lightest:
            return ink


def drawn(motif, name, ink):
    """The drawing's own text as a group that fills a square of its side at the origin; ids get a name before them.

    `None` if the page is not a square at the origin, or if a style sheet would reach into other drawings.
    """
    text = motif.path.read_text()
    start = re.search(r"<svg\b[^>]*>", text)
    view = re.search(r'viewBox="([^"]*)"', start[0])
    if not view or "<style" in text:
        return None
    x, y, width, height = (float(part) for part in view[1].split())
    if (x, y) != (0, 0) or width != height:
        return None
    inner = text[start.end() : text.rindex("</svg>")]
    inner = re.sub(r'\bid="', f'id="{name}-', inner)
    inner = re.sub(r'url\(#|href="#', lambda found: f"{found[0]}{name}-", inner)
    style = f'fill="rgb({",".join(map(str, ink))})" color="rgb({",".join(map(str, ink))})"' if motif.takes_color else ""
    return f'<g id="{name}" transform="scale({motif.side / width!r})" {style}>{inner}</g>'
