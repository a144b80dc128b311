"""A disk that is full, a place that can't be written: a clear message, exit 2, and nothing half done.

Mounting a small disk takes root; where that can't be had, the test fails and says so.
"""

import subprocess

import pytest

from tool import GROUND, MOTIFS, program, run


@pytest.fixture
def small_disk(tmp_path):
    """A disk of 1 MiB."""
    run("mount", "-t", "tmpfs", "-o", "size=1m", "tmpfs", tmp_path)
    yield tmp_path
    run("umount", tmp_path)


def make(out, *flags, code=2):
    words = [program(), "make", MOTIFS / "page-harbour.svg", "--croquis", "--ground", GROUND, "--out", out, *flags]
    return run(*words, code=code)[1]


@pytest.mark.parametrize("kind", ["png", "tiff", "jpeg", "png,tiff"])
def test_a_full_disk(kind, small_disk):
    out = small_disk / "out"
    make(out, "--as", "svg", code=0)
    old = (out / "page-harbour.svg").read_bytes()
    said = make(out, "--as", f"svg,{kind}", "--dpi", 900)
    assert "no space left" in said.lower() and "make room" in said, said
    assert [f.name for f in out.iterdir()] == ["page-harbour.svg"], "a draft was left"
    assert (out / "page-harbour.svg").read_bytes() == old


def test_a_file_size_limit(tmp_path):
    """The shell's limit on file sizes (ulimit -f, in KiB): the system ends the program or refuses the
    write; either way the old file is whole."""
    make(tmp_path, "--as", "png", code=0)
    old = (tmp_path / "page-harbour.png").read_bytes()
    words = f"ulimit -f 100; exec {program()} make {MOTIFS}/page-harbour.svg --croquis --as png --dpi 600 --out {tmp_path}"
    done = subprocess.run(["bash", "-c", words], capture_output=True, text=True, timeout=120)
    assert done.returncode != 0
    assert (tmp_path / "page-harbour.png").read_bytes() == old


@pytest.mark.parametrize("place", ["/proc/seamfast", "/dev/null", "/dev/null/out"])
def test_a_place_that_cannot_be_written(place):
    said = make(place, "--as", "png")
    assert place in said and "--out" in said, said
