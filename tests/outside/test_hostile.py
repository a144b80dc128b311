"""Strangers' files: each ends within ten seconds and 2 GiB, as a tile or with a sentence and exit 2.

Time and memory are what the kernel counted for the program and all that it started (wait4). Ten
seconds are the bound on a hang, which a machine that is busy with other things may stretch: so
it is processor time that is held against it, and the clock against ten times that.
"""

import os
import re
import shutil
import signal
import subprocess
import time

import pytest
from PIL import Image

import hostile
from tool import MOTIFS, program

SECONDS = 10
BYTES = 2 << 30
# What a crash says, or a panic, or the allocator: never to be seen.
THROWN = re.compile(r"panicked|RUST_BACKTRACE|memory allocation of|overflowed its stack|core dumped|fatal runtime")


def ended(folder, *flags):
    """Runs `make` in a folder: exit code, what it said, processor seconds and peak bytes."""
    with open(folder / "said.txt", "w+b") as said:
        process = subprocess.Popen([program(), "make", *flags], cwd=folder, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=said)
        begun = time.monotonic()
        while True:
            pid, status, usage = os.wait4(process.pid, os.WNOHANG)
            if pid:
                break
            if time.monotonic() - begun > 10 * SECONDS:
                os.kill(process.pid, signal.SIGKILL)
                os.wait4(process.pid, 0)
                pytest.fail(f"hangs: {flags}")
            time.sleep(0.005)
            # A child's peak begins with its parent's, so this is never too little.
        process.returncode = os.waitstatus_to_exitcode(status)
        said.seek(0)
        words = said.read().decode()
    return process.returncode, words, usage.ru_utime + usage.ru_stime, usage.ru_maxrss * 1024


def hold(folder, *flags):
    """Holds a run to the bounds; gives its exit code and words."""
    code, words, seconds, peak = ended(folder, *flags)
    assert seconds < SECONDS and peak < BYTES, f"{seconds:.1f} s, {peak / 2**20:.0f} MiB: {words[:500]}"
    assert not THROWN.search(words), words[:2000]
    assert code in (0, 2), (code, words[:2000])
    assert (code == 0) == (not words.startswith("error: ") and "\nerror: " not in words), (code, words[:2000])
    left = list((folder / "out").iterdir()) if (folder / "out").exists() else []
    assert not [f for f in left if f.name.startswith(".")], left
    if code == 2:
        assert not left, left
        assert len(words) < 100_000, f"{len(words)} bytes of words"
    return code, words


def usual(case):
    """A tile of 200 px, unless the case says otherwise."""
    flags = list(case.flags)
    if case.file.endswith(".toml"):
        return flags
    for flag, value in [("--tile", "40mm"), ("--dpi", "127"), ("--motif-width", "20mm"), ("--as", "png")]:
        if flag not in flags:
            flags += [flag, value]
    return flags


@pytest.mark.parametrize("case", hostile.FILES, ids=lambda case: case.name.replace(" ", "-"))
def test_a_stranger(case, tmp_path):
    (tmp_path / case.file).write_bytes(case.make())
    shutil.copy(MOTIFS / "limpet.svg", tmp_path)
    code, words = hold(tmp_path, case.file, *usual(case))
    if case.says is None:
        assert code == 0, words[:2000]
    elif case.says != hostile.EITHER:
        assert code == 2 and any(part in words for part in case.says.split("|")), (code, words[:2000])
    if code == 0:
        for path in (tmp_path / "out").glob("*.png"):
            with Image.open(path) as tile:
                tile.load()
                assert case.flags or case.file.endswith(".toml") or tile.size == (200, 200)


def test_there_are_as_many_as_promised():
    assert len(hostile.FILES) >= 60 and len({case.name for case in hostile.FILES}) == len(hostile.FILES)


@pytest.mark.parametrize("kind", ["PNG", "JPEG", "TIFF", "WEBP"])
def test_pictures_cut_off_at_every_tenth_byte(kind, tmp_path):
    """A picture without its end is never taken for whole."""
    whole = hostile.saved(kind, (12, 8))
    name = f"cut.{kind.lower()}"
    assert len(whole) > 50
    for end in range(0, len(whole), 10):
        (tmp_path / name).write_bytes(whole[:end])
        code, words = hold(tmp_path, name, "--motif-width", "20mm", "--tile", "40mm", "--dpi", "50", "--as", "png")
        assert code == 2, f"cut at {end} of {len(whole)} and taken"


def test_a_drawing_cut_off_at_every_hundredth_byte_as_a_page(tmp_path):
    """Every tenth byte of all test drawings is cut in tests/artwork/hostile.rs, without the program around it."""
    whole = (MOTIFS / "page-harbour.svg").read_bytes().rstrip()
    for end in range(0, len(whole), max(100, len(whole) // 40)):
        (tmp_path / "cut.svg").write_bytes(whole[:end])
        code, words = hold(tmp_path, "cut.svg", "--croquis", "--as", "png")
        assert code == 2, f"cut at {end} of {len(whole)} and taken"
