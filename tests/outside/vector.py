"""Vector files as other people's readers see them: boxes, structure, pictures.

PDF is read by qpdf, poppler (pdfinfo, pdftocairo), MuPDF and a search of its own for numbers; SVG by libxml2 and librsvg.
"""

import re
import subprocess
import tempfile
from pathlib import Path

from pictures import pixels
from tool import run

# A point in inches, and what a number of 32 bits may be off at 14 400 points.
POINT = 1 / 72
NUMBER = 0.0005


def boxes(pdf):
    """A page's boxes in points, digit by digit as they stand in the file: pdfinfo rounds them to two decimals."""
    run("qpdf", "--check", pdf)
    text = pdf.read_bytes()
    found = {}
    for name in ("MediaBox", "BleedBox", "TrimBox"):
        match = re.search(rb"/%s \[([-\d. ]+)\]" % name.encode(), text)
        assert match, f"{pdf} has no {name}"
        found[name] = [float(n) for n in match[1].split()]
    said = run("pdfinfo", "-box", pdf)[0]
    for name, numbers in found.items():
        shown = [float(n) for n in re.search(rf"{name}: +(.*)", said)[1].split()]
        assert all(abs(a - b) <= 0.0051 for a, b in zip(shown, numbers)), f"{name}: pdfinfo says {shown}, the file {numbers}"
    return found


def plain_text(pdf):
    """The PDF with its streams unpacked, as text."""
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "plain.pdf"
        run("qpdf", "--qdf", "--object-streams=disable", pdf, out)
        return out.read_bytes().decode("latin-1")


def poppler(pdf, dpi):
    """The page as poppler paints it."""
    with tempfile.TemporaryDirectory() as folder:
        run("pdftocairo", "-png", "-singlefile", "-r", dpi, pdf, Path(folder) / "page")
        return pixels(Path(folder) / "page.png")


def mupdf(pdf, dpi):
    """The page as MuPDF paints it; without profiles, which changes nothing in sRGB."""
    with tempfile.TemporaryDirectory() as folder:
        png = Path(folder) / "page.png"
        run("mutool", "draw", "-q", "-r", dpi, "-o", png, pdf)
        return pixels(png)


def librsvg_true(svg, dpi):
    """The drawing as librsvg paints it at its own true size."""
    with tempfile.TemporaryDirectory() as folder:
        png = Path(folder) / "out.png"
        run("rsvg-convert", "--dpi-x", dpi, "--dpi-y", dpi, "--unlimited", "-o", png, svg)
        return pixels(png)


def quiet(*command):
    """A command whose failure is an answer: its exit code and all that it said."""
    done = subprocess.run([str(c) for c in command], stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=300)
    return done.returncode, done.stdout + done.stderr
