"""What a cut must come to, worked out by shapely from the motifs' own paths and the design as it is written."""

import functools
import math
import random
import re

import numpy
import shapely
from shapely import affinity

import corpora
from shapes import exact, filled, rings

COLORS = ["#20344d", "#c8452d", "#d8a72a", "#5b7f6a"]
#: Chords of a curve: they lie off by less than a ten-thousandth of a millimetre.
FINE = 200
#: The block in mm; the layout is a half-drop, so the tile is two blocks wide.
BLOCK = (70.0, 60.0)


def icons():
    """One-path drawings of a public set (@mdi/svg, Apache-2.0), their paths filled non-zero."""
    corpora.install()
    return list(corpora.drawings(corpora.CORPORA[1]).values())


def path_of(drawing):
    text = drawing.read_text()
    assert 'viewBox="0 0 24 24"' in text and text.count("<path") == 1, drawing
    return re.search(r' d="([^"]*)"', text).group(1)


class Design:
    """Icons at random places of a half-drop, turned and sized, each of a color."""

    def __init__(self, seed, folder, count=5):
        chance = random.Random(seed)
        self.seed, self.folder = seed, folder
        self.places = []
        entries = []
        drawings = icons()
        folder.mkdir(parents=True, exist_ok=True)
        for number in range(count):
            data = path_of(chance.choice(drawings))
            color = chance.choice(COLORS)
            width = chance.randint(15, 45)
            at = (round(chance.uniform(0, BLOCK[0]), 1), round(chance.uniform(0, BLOCK[1]), 1))
            turn = chance.randint(0, 359)
            flip = chance.random() < 0.3
            drawing = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 24 24"><path fill="{color}" d="{data}"/></svg>'
            (folder / f"{number}.svg").write_text(drawing)
            lines = [f'file = "{number}.svg"', f'width = "{width}mm"', f'at = ["{at[0]}mm", "{at[1]}mm"]', f"turn = {turn}"]
            if flip:
                lines.append('flip = "across"')
            entries.append("[[motif]]\n" + "\n".join(lines))
            area = filled(rings(data, FINE))
            area = affinity.translate(area, -12, -12)
            area = affinity.scale(area, width / 24 * (-1 if flip else 1), width / 24, origin=(0, 0))
            area = affinity.rotate(area, turn, origin=(0, 0))
            self.places.append((color, affinity.translate(area, *at)))
        block = f"{BLOCK[0]:g}mm x {BLOCK[1]:g}mm"
        text = f'name = "cut"\n[repeat]\nlayout = "half-drop"\nblock = "{block}"\n' + "\n".join(entries) + "\n"
        self.path = folder / "cut.toml"
        self.path.write_text(text)

    def window(self, tiles):
        return shapely.box(0, 0, 2 * BLOCK[0] * tiles[0], BLOCK[1] * tiles[1])

    def shapes(self, tiles, beyond=0.0):
        """(color, area) in mm and painting order, of all that reaches the goods."""
        window = self.window(tiles).buffer(beyond + 1e-3)
        found = []
        for color, area in self.places:
            for across in range(-3, 2 * tiles[0] + 4):
                for down in range(-3, tiles[1] + 4):
                    by = (across * BLOCK[0], down * BLOCK[1] + (across % 2) * BLOCK[1] / 2)
                    copy = affinity.translate(area, *by)
                    if copy.intersects(window):
                        found.append((color, copy))
        return found

    def silhouette(self, tiles, beyond=0.0):
        return exact(shapely.union_all, [area for _, area in self.shapes(tiles, beyond)])

    def inlay(self, tiles):
        """What is seen of each color, by its name."""
        covered = shapely.Polygon()
        seen = {}
        for color, area in reversed(self.shapes(tiles)):
            visible = exact(shapely.difference, area, covered)
            seen[color] = exact(shapely.union, seen.get(color, shapely.Polygon()), visible)
            covered = exact(shapely.union, covered, area)
        window = self.window(tiles)
        cut = {color[1:]: exact(shapely.intersection, area, window) for color, area in seen.items()}
        return {color: area for color, area in cut.items() if not area.is_empty}


def read_svg(path):
    """{layer: rings} of a written cut, in mm."""
    layers = {}
    for name, body in re.findall(r'<g id="cut-([^"]*)"[^>]*>(.*?)</g>', path.read_text(), re.S):
        layers[name] = [ring for data in re.findall(r' d="([^"]*)"', body) for ring in sound(data)]
    return layers


#: What a ring may cross itself by, in mm: less than a file's own rounding moves a line on the material.
CROSSES = 1e-4


def sound(data):
    """A written path's rings, none of which crosses itself; at a tip where two curves part slowly, chords must be short."""
    apart = []
    for chords in (FINE, 16 * FINE, 256 * FINE):
        parted = [loops(ring) for ring in rings(data, chords)]
        apart = [loop for found in parted for loop in found[:-1] if loop.area > CROSSES * loop.length / 2]
        if not apart:
            return [numpy.array(found[-1].exterior.coords) for found in parted]
    raise AssertionError(f"a ring crosses itself about {apart[0].centroid}: {data[:2000]}")


def loops(ring):
    """What a ring goes around, the largest last; more than one area if it crosses itself. They turn as it does."""
    whole = shapely.Polygon(ring)
    if whole.is_valid:
        return [whole]
    found = shapely.polygonize([exact(shapely.union_all, [shapely.LineString(ring)])]).geoms
    sign = 1.0 if whole.exterior.is_ccw else -1.0
    return [shapely.geometry.polygon.orient(loop, sign) for loop in sorted(found, key=lambda loop: loop.area)]


def area_of(found):
    """A layer's area: rings that turn the other way are holes, and no ring crosses another."""
    signed = sum(numpy.sum(r[:-1, 0] * r[1:, 1] - r[1:, 0] * r[:-1, 1]) / 2 for r in found)
    try:
        whole = shapely.build_area(shapely.MultiLineString(found))
    except shapely.errors.GEOSException:
        # What lies in an odd number of them, which is the same where none crosses another.
        areas = (shapely.make_valid(shapely.Polygon(ring)) for ring in found)
        whole = functools.reduce(lambda a, b: exact(shapely.symmetric_difference, a, b), areas)
    assert math.isclose(abs(signed), whole.area, rel_tol=1e-6, abs_tol=1e-4), (signed, whole.area)
    return whole
