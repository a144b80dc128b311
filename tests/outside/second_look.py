"""One drawing put into repeat by the program, and the same field painted by librsvg.

    ┌───────────────┐   The field is one tile, twice the page a side: ink that hangs over
    │   ┌───────┐   │   the page lies on bare ground instead of coming in by the other side,
    │   │ page  │   │   so that a renderer of single drawings shows the same picture.
    │   └───────┘   │
    └───────────────┘
"""

import io
import re
import signal
import subprocess
import tempfile
from dataclasses import dataclass, field
from pathlib import Path
from xml.etree import ElementTree

import numpy
from PIL import Image

from tool import program

# The page's longer side and the field's sides, in pixels; both at 96 to the inch.
PAGE, FIELD = 200, 400
# Root mean square difference, of 255, that two renderers may have: the bar of this check.
SLACK = 8.0
# Seconds of a processor's time for one drawing.
PATIENCE = 5
UNITS = {"": 1, "px": 1, "pt": 96 / 72, "pc": 16, "in": 96, "mm": 96 / 25.4, "cm": 96 / 2.54, "Q": 96 / 101.6}


@dataclass
class Look:
    """What became of one drawing."""

    verdict: str  # accepted, refused, crashed or hung
    why: list = field(default_factory=list)
    apart: float | None = None


def page(path):
    """A drawing's width and height in CSS pixels, as SVG 2 sizes an outermost svg."""
    root = ElementTree.parse(path).getroot()
    view = [float(part) for part in re.split(r"[\s,]+", root.get("viewBox", "").strip()) if part]
    sides = []
    for side in ("width", "height"):
        found = re.fullmatch(r"\s*([-+.\deE]+?)\s*(px|pt|pc|in|mm|cm|Q|)\s*", root.get(side, ""))
        sides.append(float(found[1]) * UNITS[found[2]] if found else None)
    if len(view) == 4:
        ratio = view[2] / view[3]
        if sides == [None, None]:
            return tuple(view[2:])
        return sides[0] or sides[1] * ratio, sides[1] or sides[0] / ratio
    return tuple(side or 100 for side in sides)


def look(path):
    """The whole: the program's verdict and, for what it took, how far librsvg's picture is from it."""
    with tempfile.TemporaryDirectory() as folder:
        seen, ours = tile(path, Path(folder))
        if ours is not None:
            seen.apart = apart(ours, librsvg(path))
        return seen


def tile(path, folder):
    """The field as the program makes it, or why it doesn't."""
    try:
        width, height = page(path)
    except ElementTree.ParseError:
        width, height = PAGE, PAGE
    inches = width * PAGE / max(width, height) / 96
    asked = ["--layout", "straight", "--tile", f"{FIELD}px", "--dpi", 96, "--motif-width", f"{inches:.6f}in"]
    asked += ["--ground", "none", "--as", "png", "--name", "tile", "--out", folder, "--threads", 1]
    # Processor time, so that a busy machine makes no hangs; what only waits is ended later.
    command = ["prlimit", f"--cpu={PATIENCE}", program(), "make", path, *asked]
    try:
        done = subprocess.run([str(c) for c in command], stdin=subprocess.DEVNULL, capture_output=True, timeout=60)
    except subprocess.TimeoutExpired:
        return Look("hung"), None
    said = done.stderr.decode()
    if done.returncode in (-signal.SIGKILL, -signal.SIGXCPU):
        return Look("hung"), None
    if done.returncode == 0:
        return Look("accepted"), rgba(folder / "tile.png")
    if done.returncode == 2 and said.startswith("error: ") and "panicked" not in said:
        return Look("refused", reasons(said)), None
    return Look("crashed", [f"exit {done.returncode}: {said}"]), None


def tile_of(path):
    """The field of a drawing that was accepted before."""
    with tempfile.TemporaryDirectory() as folder:
        seen, ours = tile(path, Path(folder))
        assert ours is not None, f"{path}: {seen}"
        return ours


def reasons(said):
    """The codes of what can't be kept; else what the error says, without the drawing's name and values."""
    codes = re.search(r"or allow it by name: (.*)", said)
    if codes:
        return codes[1].split(", ")
    first = said.removeprefix("error: ").splitlines()[0]
    first = re.sub(r"^\S+\.svg(:\d+)*: ", "", first)
    limit = re.fullmatch(r"(.*?): .*; the most is .*", first)
    return [f"limit: {limit[1]}" if limit else re.sub(r"0x\w+|\"[^\"]*\"", "…", first)]


def librsvg(path):
    """The field as librsvg paints it."""
    width, height = page(path)
    fit = PAGE / max(width, height)
    placed = ["--left", (FIELD - width * fit) / 2, "--top", (FIELD - height * fit) / 2]
    size = ["-w", width * fit, "-h", height * fit, "--page-width", FIELD, "--page-height", FIELD]
    command = [str(part) for part in ["rsvg-convert", *size, *placed, path]]
    done = subprocess.run(command, stdin=subprocess.DEVNULL, capture_output=True, timeout=60)
    # What it can't paint at all counts as an empty field.
    return rgba(io.BytesIO(done.stdout)) if done.returncode == 0 and done.stdout else numpy.zeros((FIELD, FIELD, 4))


def rgba(source):
    """Colors times their alpha, and alpha, of 255."""
    straight = numpy.asarray(Image.open(source).convert("RGBA")).astype(float)
    straight[..., :3] *= straight[..., 3:] / 255
    return straight


def apart(one, other):
    """Root mean square difference over the page's area, on black or on white ground, whichever is more.

    Ink off the page counts, but bare ground around it doesn't make the difference smaller.
    """
    assert one.shape == other.shape == (FIELD, FIELD, 4), (one.shape, other.shape)
    on_black = one - other
    on_white = on_black[..., :3] - on_black[..., 3:]
    most = max(numpy.square(d).sum() for d in (on_black[..., :3], on_white))
    return float(numpy.sqrt(most / (3 * PAGE * PAGE)))
