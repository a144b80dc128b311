"""A disk that is full, a place that can't be written: a clear message, exit 2, and nothing half done.

Mounting a small disk takes root; where that can't be had, the test fails and says so.
"""

import os
import subprocess

import pytest

from shelf import FILES, Shelf
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


@pytest.mark.parametrize("measure", ["size", "nr_inodes"])
def test_a_disk_that_is_full_at_every_write(measure, tmp_path):
    """A disk that holds the old files and one page (or file) more, then two more, until a run fits: every write, and
    every new file, is once the one that the disk has no room for. A sample; SWEEP=1 takes every page."""
    disk = tmp_path / "disk"
    disk.mkdir()
    run("mount", "-t", "tmpfs", "-o", "size=64m,nr_inodes=100", "tmpfs", disk)
    try:
        shelf = Shelf(tmp_path, dpi=300, small=150, out=disk / "out")
        used = os.statvfs(disk)
        unit, taken = {
            "size": (os.sysconf("SC_PAGE_SIZE"), (used.f_blocks - used.f_bfree) * used.f_frsize),
            "nr_inodes": (1, used.f_files - used.f_ffree),
        }[measure]
        ends = []
        for more in range(0, 1000, 1 if measure == "nr_inodes" or os.environ.get("SWEEP") else 7):
            run("mount", "-o", f"remount,{measure}={taken + more * unit}", disk)
            done = subprocess.run(shelf.command("new"), capture_output=True, text=True, timeout=60)
            shelf.judge(done.returncode, done.stderr)
            assert not shelf.leftovers(), "a draft was left"
            if done.returncode == 0:
                break
            assert "no space left on device" in done.stderr.lower(), done.stderr
            assert "make room" in done.stderr, done.stderr
            ends.append(done.stderr.split(":")[1].rsplit("/", 1)[-1])
        assert shelf.new_ones() == set(FILES), "it never fitted"
        # It was full at one after the other of the files, and often.
        assert len(set(ends)) >= 3 and len(ends) >= 10, ends
        print(f"\n{measure}: full {len(ends)} times, at {', '.join(dict.fromkeys(ends))}", end="")
    finally:
        run("umount", disk)


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
