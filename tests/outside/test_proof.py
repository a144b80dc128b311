"""Evidence for the eye, judged by other people's programs: the sheet by poppler, pictures by Pillow, the page by Chromium."""

import re

import numpy
import pytest
from PIL import Image

from tool import MOTIFS, make, run, seamfast

MM = 10  # pixels at 254 dpi


@pytest.fixture(scope="module")
def evidence(tmp_path_factory):
    """A half-drop of 6 in at 200 dpi, and what proof makes of it, on either paper."""
    folder = tmp_path_factory.mktemp("evidence")
    flags = ["--motif-width", "2in", "--tile", "6in", "--dpi", 200, "--ground", "#f3eee3", "--as", "png"]
    files, _ = make(folder, MOTIFS / "crab.svg", MOTIFS / "kelp.svg", *flags)
    made = {}
    for paper in ["a4", "letter"]:
        said = seamfast("proof", files["png"], "--out", folder / paper, "--paper", paper, "--cloth", "54inx1yd")
        assert said["verdict"] == "seamless" and len(said["files"]) == 7
        made[paper] = folder / paper
    return files["png"], made


def sheet(folder, name):
    """The sheet as poppler paints it, at 254 dpi."""
    pdf = next(folder.glob("*-proof.pdf"))
    run("pdftocairo", "-r", 254, "-png", "-singlefile", pdf, folder / name)
    return numpy.asarray(Image.open(folder / f"{name}.png").convert("L")).astype(float)


def marks(row):
    """Where the dark marks of a row lie: the middle of each, weighed by its darkness."""
    dark = 255 - row
    edges = numpy.flatnonzero(numpy.diff(numpy.concatenate([[0], (dark > 40).astype(int), [0]])))
    return [float(numpy.average(numpy.arange(a, b), weights=dark[a:b])) for a, b in zip(edges[::2], edges[1::2])]


def ruler(page, count, apart):
    """The lowest rows of the page with exactly so many marks, evenly apart; where they lie."""
    for row in page[::-1]:
        found = marks(row)
        if len(found) == count and numpy.allclose(numpy.diff(found), apart, atol=1):
            return found
    raise AssertionError(f"no row has {count} marks {apart} px apart")


@pytest.mark.parametrize("paper, size", [("a4", (2100, 2970)), ("letter", (2159, 2794))])
def test_the_rulers_are_true_in_poppler(evidence, paper, size):
    page = sheet(evidence[1][paper], "sheet")
    # ISO 216 A4; 8.5 × 11 in. Poppler paints a part of a pixel whole.
    assert all(asked <= painted <= asked + 1 for painted, asked in zip(page.shape[::-1], size))
    inches = ruler(page, 33, 254 / 8)  # eighths of an inch over four
    assert inches[-1] - inches[0] == pytest.approx(1016, abs=0.5)
    millimetres = ruler(page, 101, MM)
    assert millimetres[-1] - millimetres[0] == pytest.approx(100 * MM, abs=0.5)


def test_the_cloth_on_the_sheet_is_true(evidence):
    """Inside the PDF are print pixels, untouched; poppler paints them where and as large as 200 dpi asks for."""
    tile, made = evidence
    pixels = numpy.asarray(Image.open(tile).convert("RGB")).astype(int)
    run("pdfimages", "-png", next(made["a4"].glob("*.pdf")), made["a4"] / "inside")
    inside = numpy.asarray(Image.open(made["a4"] / "inside-000.png").convert("RGB")).astype(int)
    assert inside.shape[1] == int(186 / 25.4 * 200)
    # Inside are print pixels, untouched: rolled so that the corner of four tiles lies in the middle.
    height, width = inside.shape[:2]
    rolled = numpy.roll(numpy.tile(pixels, (3, 3, 1)), (height // 2, width // 2), axis=(0, 1))
    assert (rolled[:height, :width] == inside).all()
    # At 254 dpi a pixel is 1.27 of the page's; the picture lies in the middle, 12 mm + 18 mm below the top.
    page = sheet(made["a4"], "page")
    left, top = (2100 - width * 1.27) / 2, 300
    own = Image.fromarray(inside.astype(numpy.uint8)).convert("L")
    x, y, size = 400, 500, 600

    def differs(by):
        corner = ((x - left) / 1.27 + by, (y - top) / 1.27)
        there = (corner[0], corner[1], corner[0] + size / 1.27, corner[1] + size / 1.27)
        seen = own.resize((size, size), Image.Resampling.BILINEAR, box=there)
        return numpy.abs(numpy.asarray(seen).astype(float) - page[y : y + size, x : x + size]).mean()

    assert differs(0) < min(differs(-1), differs(1)) / 2 < 20, [differs(by) for by in (-1, 0, 1)]


def test_the_loupe_shows_print_pixels(evidence):
    """Each window is 32 × 32 pixels of the rolled tile, 12 times as large, with nothing between them."""
    tile, made = evidence
    pixels = numpy.asarray(Image.open(tile).convert("RGB"))
    loupe = numpy.asarray(Image.open(next(made["a4"].glob("*-loupe.png"))).convert("RGB"))
    seen = loupe[66 : 66 + 384, 28 : 28 + 384]
    small = seen[::12, ::12]
    assert (numpy.repeat(numpy.repeat(small, 12, 0), 12, 1) == seen).all()
    rolled = numpy.roll(pixels, 16, axis=1)  # the left-right join lies in the middle
    rows = [y for y in range(pixels.shape[0]) if (numpy.roll(rolled, -y, axis=0)[:32, :32] == small).all()]
    assert len(rows) >= 1


def test_the_moved_tile_is_the_rolled_tile(evidence):
    """A half-drop moved by half both ways is the same picture: it is moved a quarter down."""
    tile, made = evidence
    pixels = numpy.asarray(Image.open(tile).convert("RGB"))
    shifted = Image.open(next(made["a4"].glob("*-shifted.png")))
    assert shifted.info["dpi"][0] == pytest.approx(200, abs=0.01)
    height, width = pixels.shape[:2]
    assert (numpy.asarray(shifted) == numpy.roll(pixels, (-(height // 4), -(width // 2)), axis=(0, 1))).all()
    assert (numpy.asarray(shifted) != pixels).any()


def test_the_cloth_is_at_its_scale(evidence):
    """54 in at 1 : 5 and 150 dpi are 1620 px; the tile of 6 in repeats every 180 of them, by the mean of its light."""
    cloth = numpy.asarray(Image.open(next(evidence[1]["a4"].glob("*-cloth.png"))).convert("RGB"))
    left, top = 76 + 15, 76
    printed = cloth[top : top + 1080, left : left + 1620].astype(int)
    assert (printed[:, 180:] == printed[:, :-180]).all() and (printed[180:] == printed[:-180]).all()
    pixels = numpy.asarray(Image.open(evidence[0]).convert("RGB")) / 255
    light = numpy.where(pixels <= 0.04045, pixels / 12.92, ((pixels + 0.055) / 1.055) ** 2.4)  # IEC 61966-2-1
    # A picture's pixel covers 6⅔ tile pixels; three of them 20.
    mean = light[: 20 * 60, : 20 * 60].reshape(60, 20, 60, 20, 3).mean(axis=(1, 3))
    shown = printed[:180, :180] / 255
    shown = numpy.where(shown <= 0.04045, shown / 12.92, ((shown + 0.055) / 1.055) ** 2.4)
    shown = shown.reshape(60, 3, 60, 3, 3).mean(axis=(1, 3))
    assert numpy.abs(shown - mean).max() < 0.004


def test_the_page_opens_offline(evidence):
    """Chromium shows every picture of the page at its own size, with no network and no complaint."""
    page = next(evidence[1]["a4"].glob("*-proof.html"))
    flags = "--headless --no-sandbox --disable-gpu --disable-background-networking --disable-component-update --disable-sync"
    seen, _ = run(
        "chromium", *flags.split(), "--no-first-run", f"--user-data-dir={page.parent / 'profile'}", "--dump-dom", page.as_uri()
    )
    assert len(re.findall(r"<img ", seen)) == 7  # two joins, the corner, and four figures
    assert "seamless" in seen and "half-drop" in seen


def nearest_ink(ink, around):
    """The farthest that a bare pixel's middle lies from that of the nearest ink on the torus: of those around a place, and some others."""
    height, width = ink.shape
    y, x = numpy.nonzero(ink)
    images = numpy.concatenate([numpy.stack([y + i * height, x + j * width], 1) for i in (-1, 0, 1) for j in (-1, 0, 1)])
    bare = numpy.argwhere(~ink)
    near = bare[(numpy.abs(bare - numpy.array(around)) < 12).all(1)]
    return max(float(numpy.sqrt(((images - place) ** 2).sum(1)).min()) for place in numpy.concatenate([near, bare[::60]]))


def test_evenness_agrees_with_brute_force(tmp_path):
    """Discs at random places of a torus, one place left out; at 50 dpi each pixel is a cell of its own."""
    random = numpy.random.default_rng(7)
    size, radius = 160, 7
    y, x = numpy.mgrid[:size, :size]
    ink = numpy.zeros((size, size), bool)
    for row in range(8):
        for column in range(8):
            if (row, column) == (3, 7):
                continue
            middle = numpy.array([row * 20 + 10, column * 20 + 10]) + random.uniform(-2, 2, 2)
            dy, dx = (numpy.abs(a - m) for a, m in zip((y, x), middle))
            ink |= numpy.hypot(numpy.minimum(dy, size - dy), numpy.minimum(dx, size - dx)) < radius
    # A level band of 9 px is cleared; it is the only one.
    ink[78:87] = False
    picture = Image.fromarray(numpy.where(ink, 40, 240).astype(numpy.uint8))
    picture.save(tmp_path / "discs.png", dpi=(50, 50))
    said = seamfast("check", tmp_path / "discs.png")["files"][0]["evenness"]
    assert said["bare"] == pytest.approx(1 - ink.mean(), abs=1e-4)
    found = said["bald_spots"]["largest"][0]
    widest = 2 * nearest_ink(ink, (found["y"], found["x"])) - 1  # from edge to edge of ink
    assert widest - 0.01 <= found["diameter_px"] <= widest + 2
    # The place that was left out, or where the band runs by it.
    assert abs(found["y"] - 73) < 14 and min(abs(found["x"] - 150), 160 - abs(found["x"] - 150)) < 12
    assert said["alleys"][0]["degrees"] == 0 and said["alleys"][0]["width_px"] == pytest.approx(gap(ink), abs=0.51)
    assert said["alleys"][0]["y"] == pytest.approx(82, abs=3)
    # The share of ink in windows of a quarter of the block, by sums over the rolled picture.
    side = round(said["lumps"]["window_px"])
    assert side == 80
    twice = numpy.pad(numpy.tile(ink, (2, 2)).cumsum(0).cumsum(1), ((1, 0), (1, 0)))
    sums = twice[side:, side:] - twice[:-side, side:] - twice[side:, :-side] + twice[:-side, :-side]
    sums = sums[:size, :size] / side**2
    assert said["lumps"]["most"]["coverage"] == pytest.approx(sums.max(), abs=1e-4)
    assert said["lumps"]["least"]["coverage"] == pytest.approx(sums.min(), abs=1e-4)
    assert said["lumps"]["spread"] == pytest.approx(sums.std() / sums.mean(), abs=1e-3)


def gap(ink):
    """The longest run of rows without ink, round the torus."""
    bare = ~ink.any(1)
    turns = numpy.concatenate([bare, bare])
    runs = numpy.diff(numpy.flatnonzero(numpy.concatenate([[True], ~turns, [True]]))) - 1
    return runs.max()
