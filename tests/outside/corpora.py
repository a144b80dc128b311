"""Five public corpora of drawings, as they come from the people who made them.

Four are packages of icons, emoji and flags, installed in the pinned version and never committed.
The renderer's own test drawings are in no package: RESVG_TESTS names the folder or the .tar.gz
that holds them, and whoever leaves it out is told that they were not run.
"""

import json
import os
import tarfile
from dataclasses import dataclass
from pathlib import Path

from tool import ROOT, run

HOME = ROOT / "target/corpora"


@dataclass(frozen=True)
class Corpus:
    """Where drawings come from, and how many there must be: a harness that finds none shows nothing."""

    name: str
    package: str
    folder: str
    count: int


CORPORA = [
    Corpus("resvg tests", "", "", 1721),
    Corpus("@mdi/svg", "@mdi/svg@7.4.47", "svg", 7447),
    Corpus("openmoji, color", "openmoji@17.0.0", "color/svg", 4495),
    Corpus("game-icons", "@iconify-json/game-icons@1.2.4", "icons.json", 4134),
    Corpus("flag-icons", "flag-icons@7.5.0", "flags", 542),
]


def install():
    """Installs the packages, unless they are there in these versions."""
    HOME.mkdir(parents=True, exist_ok=True)
    packages = [corpus.package for corpus in CORPORA if corpus.package]
    listed = HOME / "installed.json"
    if not listed.exists() or json.loads(listed.read_text()) != packages:
        (HOME / "package.json").write_text('{"private": true}')
        # npm asks for a certificate authority of the machine's own by another name than everyone else.
        if "SSL_CERT_FILE" in os.environ:
            os.environ.setdefault("NODE_EXTRA_CA_CERTS", os.environ["SSL_CERT_FILE"])
        run("npm", "install", "--ignore-scripts", "--no-audit", "--no-fund", "--no-save", "--prefix", HOME, *packages)
        listed.write_text(json.dumps(packages))


def drawings(corpus):
    """The corpus' files by name, in order; `None` if the drawings of no package are not here."""
    package = corpus.package.rpartition("@")[0]
    folder = HOME / "node_modules" / package / corpus.folder if package else tests_folder()
    if folder is None:
        return None
    if folder.suffix == ".json":
        folder = written_out(folder, HOME / corpus.name)
    found = {str(path.relative_to(folder)): path for path in sorted(folder.rglob("*.svg"))}
    assert len(found) == corpus.count, f"{corpus.name}: {len(found)} drawings in {folder}, not {corpus.count}"
    return found


def tests_folder():
    """The renderer's tests, unpacked if need be."""
    given = os.environ.get("RESVG_TESTS")
    if not given:
        return None
    folder = Path(given)
    if folder.is_file():
        with tarfile.open(folder) as packed:
            folder = HOME / "resvg-tests"
            packed.extractall(folder, filter="data")
    inner = folder / "drawings"
    return inner if inner.is_dir() else folder


def written_out(path, folder):
    """Icons that come as one JSON file, each as the drawing that its maker's documentation says it is."""
    icons = json.loads(path.read_text())
    folder.mkdir(exist_ok=True)
    for name, icon in icons["icons"].items():
        left, top = icon.get("left", 0), icon.get("top", 0)
        width, height = icon.get("width", icons["width"]), icon.get("height", icons["height"])
        view = f'viewBox="{left} {top} {width} {height}"'
        path, text = folder / f"{name}.svg", f'<svg xmlns="http://www.w3.org/2000/svg" {view}>{icon["body"]}</svg>'
        # To write thousands of files takes far longer than to see that they are there.
        if not path.exists() or path.read_text() != text:
            path.write_text(text)
    return folder
