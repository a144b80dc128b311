"""A second opinion on the whole job: a design's TOML laid out as cloth by brute force.

Written from the definitions of the layouts, sharing nothing with the program: half-drop moves
alternate columns down by half a block, brick alternate rows across, drop=p/q and brick=p/q by that
share, a mirror layout turns every second block over. Each motif's own drawing is put on the cloth
by a chain of SVG transforms, which leaves the arithmetic to whoever renders it.

Every tile is a whole number of blocks and every step a whole number of pixels; the tile's pixels
are the multiple of that nearest to size × resolution, and the design is stretched to fit them.
"""

import re
import tomllib
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor, hypot
from pathlib import Path
from xml.etree import ElementTree

from tool import inches

SVG = "{http://www.w3.org/2000/svg}"


@dataclass(frozen=True)
class Copy:
    """One motif on the cloth: its page's middle in pixels, exact, and how its block is turned over."""

    entry: int
    at: tuple
    mirror: tuple
    block: tuple


class Cloth:
    """A design laid out around one tile, whose corner is the origin."""

    def __init__(self, design):
        self.entries = design["motif"]
        self.ground = design["ground"]
        self.dpi = Fraction(str(design["deliver"][0]["dpi"]))
        layout = design["repeat"]["layout"]
        name, _, share = layout.partition("=")
        share = Fraction(share or "1/2")
        self.mirrored = (name in ("mirror", "mirror-across"), name in ("mirror", "mirror-down"))
        self.drop = share if name in ("half-drop", "drop") else 0
        self.brick = share if name == "brick" else 0
        blocks = [self.drop.denominator if self.drop else 1, self.brick.denominator if self.brick else 1]
        blocks = [2 if turned else n for turned, n in zip(self.mirrored, blocks)]
        # A column's drop and a row's brick are whole pixels too.
        divisors = [blocks[0] * (self.brick.denominator if self.brick else 1)]
        divisors.append(blocks[1] * (self.drop.denominator if self.drop else 1))
        unit = re.search("[a-z]+$", design["repeat"]["tile"])[0]
        sides = design["repeat"]["tile"].removesuffix(unit).split("x")
        self.asked = [inches(side + unit) for side in sides]
        self.tile = [nearest(side * self.dpi, n) for side, n in zip(self.asked, divisors)]
        self.block = [Fraction(pixels, n) for pixels, n in zip(self.tile, blocks)]
        self.stretch = [pixels / side for pixels, side in zip(self.tile, self.asked)]
        self.drawings = [Drawing(Path(entry["file"]), index) for index, entry in enumerate(self.entries)]

    def lattice_has(self, step):
        """Does this step carry the cloth onto itself, as drawn? For steps between like copies."""
        (w, h), (x, y) = self.block, step
        if any(self.mirrored):
            w, h = (2 * side if turned else side for side, turned in zip((w, h), self.mirrored))
        column, row = (x / w, (y - self.drop * x / w * h) / h) if not self.brick else ((x - self.brick * y / h * w) / w, y / h)
        return column.denominator == 1 and row.denominator == 1

    def copies(self):
        """All copies that could reach the tile, in painting order: layer, order in the design, how the
        block is turned over, then from the top and from the left."""
        found = []
        for index, entry in enumerate(self.entries):
            reach = ceil(self.drawings[index].radius(entry) * max(self.stretch))
            home = [self.home(text, axis) for axis, text in enumerate(entry["at"])]
            far = [ceil((2 * reach + side + abs(at)) / block) + 2 for side, at, block in zip(self.tile, home, self.block)]
            for i in range(-far[0] - far[1], far[0] + far[1] + 1):
                for j in range(-far[0] - far[1], far[0] + far[1] + 1):
                    copy = self.copy(index, home, i, j)
                    if all(-reach <= at <= side + reach for at, side in zip(copy.at, self.tile)):
                        found.append(copy)
        order = lambda c: (self.entries[c.entry].get("layer", 0), c.entry, c.mirror[1], c.mirror[0], c.at[1], c.at[0])
        return sorted(found, key=order)

    def home(self, text, axis):
        """A coordinate in the block, in pixels."""
        if text.endswith("%"):
            return Fraction(text[:-1]) / 100 * self.block[axis]
        return inches(text) * self.stretch[axis]

    def copy(self, entry, home, i, j):
        """The copy in the block of column i and row j."""
        (w, h), mirror = self.block, (self.mirrored[0] and i % 2 == 1, self.mirrored[1] and j % 2 == 1)
        inside = [side - at if turned else at for side, at, turned in zip(self.block, home, mirror)]
        corner = (i * w + j * self.brick * w, j * h + i * self.drop * h)
        return Copy(entry, (corner[0] + inside[0], corner[1] + inside[1]), mirror, (i, j))

    def svg(self):
        """The cloth as a picture of its centre tile."""
        w, h = self.tile
        body = [drawing.definition for drawing in self.drawings]
        body = ["<defs>", *body, "</defs>", f'<rect width="{w}" height="{h}" fill="{self.ground}"/>']
        for copy in self.copies():
            entry, drawing = self.entries[copy.entry], self.drawings[copy.entry]
            flip = {"none": (1, 1), "across": (-1, 1), "down": (1, -1), "both": (-1, -1)}[entry.get("flip", "none")]
            chain = [
                f"translate({float(copy.at[0])!r} {float(copy.at[1])!r})",
                f"scale({-1 if copy.mirror[0] else 1} {-1 if copy.mirror[1] else 1})",
                f"scale({float(self.stretch[0])!r} {float(self.stretch[1])!r})",
                f"rotate({entry.get('turn', 0)})",
                f"scale({flip[0]} {flip[1]})",
                f"scale({float(drawing.scale(entry))!r})",
                f"translate({float(-drawing.middle[0])!r} {float(-drawing.middle[1])!r})",
            ]
            body.append(f'<use xlink:href="#drawing{copy.entry}" transform="{" ".join(chain)}"/>')
        return picture(w, h, f"0 0 {w} {h}", body)


class Drawing:
    """A motif file's own text, ready to be used many times."""

    def __init__(self, path, index):
        text = path.read_text()
        root = ElementTree.fromstring(text)
        known = {"width", "height", "viewBox"}
        assert set(root.attrib) == known, f"{path.name}: the cloth can't carry {set(root.attrib) - known}"
        x, y, w, h = (Fraction(part) for part in root.attrib["viewBox"].split())
        self.size, self.view = [inches(root.attrib[side]) for side in ("width", "height")], (w, h)
        # Else the drawing would sit in the middle of a page of another shape.
        assert abs(self.size[0] / self.size[1] / (w / h) - 1) < Fraction(1, 10**6), path.name
        self.middle = (x + w / 2, y + h / 2)
        inner = text[text.index(">", text.index("<svg")) + 1 : text.rindex("</svg>")]
        inner = re.sub(r'\bid="', f'id="d{index}-', inner)
        inner = re.sub(r'url\(#|href="#', lambda found: found[0] + f"d{index}-", inner)
        self.definition = f'<g id="drawing{index}">{inner}</g>'

    def scale(self, entry):
        """Inches on the goods for one unit of the drawing."""
        if "width" in entry:
            return inches(entry["width"]) / self.view[0]
        return self.size[0] * Fraction(str(entry.get("scale", 1))) / self.view[0]

    def radius(self, entry):
        """Inches from the middle that ink may reach, wherever it is turned; generous."""
        return hypot(*self.view) * float(self.scale(entry))


def read(path):
    """The cloth of a design file."""
    return Cloth(tomllib.loads(path.read_text()))


def nearest(value, multiple):
    """The whole multiple nearest to a value, and at least one."""
    return max(1, floor(value / multiple + Fraction(1, 2))) * multiple


def picture(width, height, view, body):
    """An SVG of so many pixels."""
    head = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
    return "\n".join([f'<svg {head} width="{width}" height="{height}" viewBox="{view}">', *body, "</svg>"])
