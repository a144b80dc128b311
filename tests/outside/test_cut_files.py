"""Files for cutters, read back by other people's programs: sizes, areas, order, and that neighbors meet."""

import os
import re

import ezdxf
import ezdxf.path
import numpy
import pytest
import shapely

import cut_truth
from shapes import rings
from tool import ROOT, run, seamfast

KINDS = "svg,dxf,dxf-r12,pdf,hpgl"
SQUARE = '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100"><path d="M0 0H100V100H0Z"/></svg>'


def made(folder, *arguments):
    said = seamfast("cut", *arguments, "--as", KINDS, "--name", "cut", "--out", folder)
    files = {name: folder / f"cut-cut{end}" for name, end in
             [("svg", ".svg"), ("dxf", ".dxf"), ("r12", "-r12.dxf"), ("pdf", ".pdf"), ("hpgl", ".plt")]}
    assert {str(path) for path in files.values()} == {file["path"] for file in said["files"]}
    return said, files


def dxf_rings(path):
    """{layer: rings} of a DXF, by ezdxf, which finds nothing to mend in it."""
    drawing = ezdxf.readfile(path)
    audit = drawing.audit()
    assert not audit.errors and not audit.fixes, (audit.errors, audit.fixes)
    layers = {}
    for entity in drawing.modelspace():
        points = [(p.x, p.y) for p in ezdxf.path.make_path(entity).flattening(1e-4)]
        layers.setdefault(entity.dxf.layer, []).append(numpy.array(points))
    return drawing, layers


def hpgl_strokes(path):
    """Lines of a plot, in mm."""
    strokes, at = [], None
    for order, numbers in re.findall(r"(PU|PD)([-\d,]*);", path.read_text()):
        places = numpy.array([int(n) for n in numbers.split(",") if n], dtype=float).reshape(-1, 2) / 40
        if order == "PU":
            if len(places):
                strokes.append([places[-1]])
        else:
            strokes[-1].extend(places)
    return [numpy.array(stroke) for stroke in strokes]


def extent(all_rings):
    points = numpy.vstack(all_rings)
    return points.min(axis=0), points.max(axis=0)


def test_a_square_of_100_mm_is_100_mm_in_each(tmp_path):
    (tmp_path / "square.svg").write_text(SQUARE)
    _, files = made(tmp_path, tmp_path / "square.svg", "--layout", "straight", "--tile", "120mm")
    sizes = {"svg": extent([r for found in cut_truth.read_svg(files["svg"]).values() for r in found])}
    for kind in ("dxf", "r12"):
        drawing, layers = dxf_rings(files[kind])
        sizes[kind] = extent([r for found in layers.values() for r in found])
        if kind == "dxf":
            assert drawing.dxfversion == "AC1015" and drawing.header["$INSUNITS"] == 4
        else:
            assert drawing.dxfversion == "AC1009"
    sizes["hpgl"] = extent(hpgl_strokes(files["hpgl"]))
    for kind, (least, most) in sizes.items():
        assert numpy.allclose(most - least, 100, atol=5e-4), (kind, least, most)
    # hp2xx measures the plot by itself.
    _, told = run("hp2xx", "-t", "-m", "eps", "-f", tmp_path / "plot.eps", files["hpgl"])
    width, height = map(float, re.search(r"Width\s+x\s+height:\s+([\d.]+)\s+x\s+([\d.]+)\s+mm", told).groups())
    assert (width, height) == (100.0, 100.0), told
    box = re.search(r"%%BoundingBox:\s+(.*)", (tmp_path / "plot.eps").read_text()).group(1).split()
    assert all(abs((float(box[i + 2]) - float(box[i])) * 25.4 / 72 - 100) < 1 for i in (0, 1)), box
    run("qpdf", "--check", files["pdf"])
    page, _ = run("pdfinfo", "-box", files["pdf"])
    points = [float(n) for n in re.search(r"TrimBox:\s+(.*)", page).group(1).split()]
    assert numpy.allclose(points, [0, 0, 120 * 72 / 25.4, 120 * 72 / 25.4], atol=0.01), points
    # The square as drawn: at 254 dpi a millimetre is 10 pixels.
    run("pdftocairo", "-png", "-r", "254", "-singlefile", files["pdf"], tmp_path / "page")
    from PIL import Image

    ink = numpy.array(Image.open(tmp_path / "page.png").convert("L")) < 250
    rows, columns = numpy.where(ink.any(axis=1))[0], numpy.where(ink.any(axis=0))[0]
    assert ink.shape == (1200, 1200)
    assert abs(rows[-1] - rows[0] - 1000) <= 1 and abs(columns[-1] - columns[0] - 1000) <= 1, (rows, columns)
    run("xmllint", "--noout", files["svg"])
    run("rsvg-convert", "-w", "600", "-o", tmp_path / "look.png", files["svg"])
    assert re.search(r'width="120mm" height="120mm" viewBox="0 0 120 120"', files["svg"].read_text())


@pytest.mark.parametrize("seed", [3, 4])
@pytest.mark.parametrize("mode", ["silhouette", "inlay"])
def test_each_kind_of_file_has_the_same_areas(seed, mode, tmp_path):
    design = cut_truth.Design(seed, tmp_path / "design")
    said, files = made(tmp_path, design.path, "--mode", mode)
    truth = {name: cut_truth.area_of(found).area for name, found in cut_truth.read_svg(files["svg"]).items()}
    told = {layer["name"]: layer["area_mm2"] for layer in said["sheets"][0]["layers"]}
    assert truth.keys() == told.keys()
    for name in truth:
        assert abs(told[name] - truth[name]) < 1e-5 * truth[name]
    for kind, exact in (("dxf", 1e-4), ("r12", 1e-3)):
        _, layers = dxf_rings(files[kind])
        assert set(layers) == {name.upper() for name in truth}
        for name, found in layers.items():
            # ezdxf turns polylines as it likes, so holes are told by where they lie.
            area = shapely.build_area(shapely.MultiLineString([numpy.vstack([r, r[:1]]) for r in found])).area
            assert abs(area - truth[name.lower()]) < exact * area, (kind, name, area)
    strokes = hpgl_strokes(files["hpgl"])
    signed = sum(numpy.sum(r[:-1, 0] * r[1:, 1] - r[1:, 0] * r[:-1, 1]) / 2 for r in strokes)
    # A plotter's unit is 25 micrometres: lines lie half of it off at most.
    length = sum(numpy.hypot(*numpy.diff(r, axis=0).T).sum() for r in strokes)
    assert abs(abs(signed) - sum(truth.values())) < 0.0125 * length
    run("qpdf", "--check", files["pdf"])


def test_what_lies_inside_is_cut_first(tmp_path):
    design = cut_truth.Design(5, tmp_path / "design")
    _, files = made(tmp_path, design.path, "--mode", "silhouette")
    text = files["svg"].read_text()
    paths = [shapely.Polygon(rings(data)[0]) for data in re.findall(r' d="([^"]*)"', text)]
    pairs = 0
    for later, outer in enumerate(paths):
        for inner in paths[later + 1 :]:
            pairs += 1
            assert not outer.contains(inner)
    assert pairs > 20


def edges_at(layers, axis, where):
    """Places along an edge of the tile where a cut meets it."""
    found = []
    for ring in (r for all_rings in layers.values() for r in all_rings):
        on = numpy.isclose(ring[:, axis], where, atol=1e-6)
        found.extend(ring[on, 1 - axis])
    return numpy.unique(numpy.round(found, 5))


@pytest.mark.parametrize("seed", [6, 7])
def test_tiles_cut_alone_meet_their_neighbors(seed, tmp_path):
    """Every place where a cut meets the left edge lies within a micrometre of one at the right edge; above and below too."""
    design = cut_truth.Design(seed, tmp_path / "design", count=8)
    _, files = made(tmp_path, design.path, "--mode", "inlay")
    layers = cut_truth.read_svg(files["svg"])
    met = 0
    for axis, side in ((0, 2 * cut_truth.BLOCK[0]), (1, cut_truth.BLOCK[1])):
        near, far = edges_at(layers, axis, 0.0), edges_at(layers, axis, side)
        inner = lambda places: places[(places > 1e-3) & (places < (cut_truth.BLOCK[1] if axis == 0 else 2 * cut_truth.BLOCK[0]) - 1e-3)]
        near, far = inner(near), inner(far)
        assert len(near) == len(far), (axis, near, far)
        assert numpy.allclose(near, far, atol=1e-3), (axis, near - far)
        met += len(near)
    assert met >= 8


def test_no_cut_runs_along_a_join_of_welded_tiles(tmp_path):
    design = cut_truth.Design(6, tmp_path / "design", count=8)
    seamfast("cut", design.path, "--tiles", "2x2", "--out", tmp_path)
    layers = cut_truth.read_svg(tmp_path / "cut-cut.svg")
    for axis, where in ((0, 2 * cut_truth.BLOCK[0]), (1, cut_truth.BLOCK[1])):
        for ring in layers["silhouette"]:
            on = numpy.isclose(ring[:, axis], where, atol=1e-6)
            assert not (on[:-1] & on[1:]).any()


def test_a_roll_goes_on_where_it_ends(tmp_path):
    design = cut_truth.Design(6, tmp_path / "design", count=8)
    seamfast("cut", design.path, "--roll", "--out", tmp_path)
    text = (tmp_path / "cut-cut.svg").read_text()
    bottom = cut_truth.BLOCK[1]
    ends = {0.0: [], bottom: []}
    for data in re.findall(r' d="([^"]*)"', text):
        if data.endswith("Z"):
            continue
        numbers = [float(n) for n in re.findall(r"-?[\d.]+(?:e-?\d+)?", data)]
        for x, y in (numbers[:2], numbers[-2:]):
            ends[y].append(x)
    assert len(ends[0.0]) >= 4
    assert numpy.allclose(sorted(ends[0.0]), sorted(ends[bottom]), atol=1e-3)


def test_a_welded_cloth_of_circles_keeps_its_curves(tmp_path):
    """No visible arc has more curves than the circle has there, and one more where the arc begins within a curve."""
    (tmp_path / "buoy.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="30mm" height="30mm" viewBox="0 0 30 30"><circle cx="15" cy="15" r="15"/></svg>'
    )
    alone = tmp_path / "alone"
    seamfast("cut", tmp_path / "buoy.svg", "--layout", "straight", "--tile", "40mm", "--simplify", "0", "--out", alone)
    whole = (alone / "buoy-cut.svg").read_text().count("C")
    seamfast("cut", tmp_path / "buoy.svg", "--tile", "50mm", "--tiles", "3x3", "--simplify", "0", "--out", tmp_path)
    found = (tmp_path / "buoy-cut.svg").read_text()
    curves = sum(data.count("C") for data in re.findall(r' d="([^"]*)"', found))
    # The truth: each circle's edge outside all others, by shapely; an arc touches these quarters of it.
    middles = [(x * 25, y * 50 + (x % 2) * 25) for x in range(-1, 8) for y in range(-2, 5)]
    middles = [(x + 12.5, y + 25) for x, y in middles]
    window = shapely.box(0, 0, 150, 150)
    discs = [shapely.Point(m).buffer(15, quad_segs=720) for m in middles]
    touched = 0
    for number, disc in enumerate(discs):
        others = shapely.unary_union([d for n, d in enumerate(discs) if n != number and d.intersects(disc)])
        seen = disc.exterior.difference(others).intersection(window.buffer(-1e-9))
        arcs = shapely.get_parts(shapely.line_merge(seen) if seen.geom_type != "LineString" else seen)
        for arc in arcs:
            if arc.length < 1e-3:
                continue
            x, y = (numpy.array(arc.coords) - middles[number]).T
            quarter = numpy.unique(numpy.floor((numpy.arctan2(y, x) + 1e-6) / (2 * numpy.pi / whole)))
            touched += len(quarter)
    assert whole <= curves <= 1.5 * touched, (whole, curves, touched)
