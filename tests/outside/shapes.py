"""Paths as areas, by other people's making: followed by fontTools, made areas by shapely (GEOS)."""

import numpy
import shapely
from fontTools.pens.recordingPen import DecomposingRecordingPen
from fontTools.svgLib.path import parse_path

CHORDS = 64


class Chords(DecomposingRecordingPen):
    """A path as rings of points, so many to a curve."""

    def __init__(self, chords=CHORDS):
        super().__init__({})
        self.chords, self.rings = chords, []

    def moveTo(self, point):
        self.rings.append([point])

    def lineTo(self, point):
        self.rings[-1].append(point)

    def curve(self, *points):
        points = numpy.array([self.rings[-1][-1], *points], dtype=float)
        for t in numpy.linspace(0, 1, self.chords + 1)[1:]:
            row = points
            while len(row) > 1:
                row = row[:-1] * (1 - t) + row[1:] * t
            self.rings[-1].append(tuple(row[0]))

    curveTo = qCurveTo = curve

    def closePath(self):
        pass

    endPath = closePath


def rings(data, chords=CHORDS):
    """A path's contours as arrays of points; each ends where it begins."""
    pen = Chords(chords)
    parse_path(data, pen)
    found = []
    for ring in pen.rings:
        points = numpy.array(ring, dtype=float)
        points = points[numpy.append(True, numpy.any(numpy.diff(points, axis=0) != 0, axis=1))]
        if len(points) > 2:
            if numpy.any(points[0] != points[-1]):
                points = numpy.vstack([points, points[:1]])
            found.append(points)
    return found


def winding(ring, at):
    """How often a ring turns around a place."""
    x, y = ring[:, 0] - at.x, ring[:, 1] - at.y
    up = (y[:-1] <= 0) & (y[1:] > 0)
    down = (y[:-1] > 0) & (y[1:] <= 0)
    left = x[:-1] * y[1:] - x[1:] * y[:-1]
    return int(numpy.sum(up & (left > 0))) - int(numpy.sum(down & (left < 0)))


def filled(all_rings, rule="nonzero"):
    """What is filled: faces between all lines, each asked how often it is gone around."""
    lines = exact(shapely.union_all, [shapely.LineString(ring) for ring in all_rings])
    faces = []
    for face in shapely.polygonize([lines]).geoms:
        at = shapely.point_on_surface(face)
        turns = sum(winding(ring, at) for ring in all_rings)
        if turns % 2 if rule == "evenodd" else turns:
            faces.append(face)
    return exact(shapely.union_all, faces)


#: Where GEOS' own rounding leaves it no answer it is asked for one on the finest of these grids that has one, in mm.
GRIDS = [1e-7, 1e-6, 1e-5]


def exact(operation, *areas):
    """An overlay of shapely's; some are refused, and some answers are not sound."""
    refused = "no answer is sound"
    for grid in [None, *GRIDS]:
        try:
            found = operation(*(areas if grid is None else map(shapely.make_valid, areas)), grid_size=grid)
        except shapely.errors.GEOSException as error:
            refused = error
            continue
        if shapely.is_valid(found):
            return found
    raise AssertionError(refused)


def grown(area, by):
    """What lies no farther than `by` from an area; less than nothing takes away as much.

    GEOS' own buffer straightens bays first, by a hundredth of the distance. Here every side has its rectangle and every
    corner its fan, so nothing is farther off than the chords: a circle has 1 000.
    """
    parts = []
    # The outside lies to the right of every ring.
    area = shapely.MultiPolygon([shapely.geometry.polygon.orient(part) for part in shapely.get_parts(area)])
    for ring in shapely.get_rings(shapely.get_parts(area)):
        points = shapely.get_coordinates(ring)[:-1]
        after = numpy.roll(points, -1, axis=0)
        way = after - points
        way /= numpy.hypot(*way.T)[:, None]
        off = numpy.column_stack([way[:, 1], -way[:, 0]]) * by
        parts.append(shapely.polygons(numpy.stack([points + off, after + off, after, points], axis=1)))
        angles = numpy.arctan2(off[:, 1], off[:, 0])
        turns = (numpy.roll(angles, -1) - angles + numpy.pi) % (2 * numpy.pi) - numpy.pi
        open_to = turns * numpy.sign(by) > 0
        fans = []
        for corner, angle, turn in zip(after[open_to], angles[open_to], turns[open_to]):
            steps = angle + numpy.linspace(0, turn, 2 + int(abs(turn) * 160))
            arc = corner + abs(by) * numpy.column_stack([numpy.cos(steps), numpy.sin(steps)])
            fans.append(shapely.Polygon(numpy.vstack([[corner], arc])))
        parts.append(numpy.array(fans, dtype=object))
    band = exact(shapely.union_all, numpy.concatenate(parts))
    return exact(shapely.union if by > 0 else shapely.difference, area, band)
