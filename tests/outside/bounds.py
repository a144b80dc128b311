"""Runs the program on strangers' files and holds it to ten seconds and 2 GiB.

Time and memory are what the kernel counted for the program and all that it started (wait4). Ten
seconds are the bound on a hang, which a machine that is busy with other things may stretch: so
it is processor time that is held against it, and the clock against ten times that.
"""

import json
import os
import re
import signal
import subprocess
import time

import pytest

from tool import program

SECONDS = 10
BYTES = 2 << 30
# What a crash says, or a panic, or the allocator: never to be seen.
THROWN = re.compile(r"panicked|RUST_BACKTRACE|memory allocation of|overflowed its stack|core dumped|fatal runtime")


def ended(folder, *command):
    """Runs a command of the program in a folder: exit code, its two outputs, processor seconds and peak bytes."""
    with open(folder / "said.txt", "w+b") as said, open(folder / "told.txt", "w+b") as told:
        process = subprocess.Popen([program(), *command], cwd=folder, stdin=subprocess.DEVNULL, stdout=told, stderr=said)
        begun = time.monotonic()
        while True:
            pid, status, usage = os.wait4(process.pid, os.WNOHANG)
            if pid:
                break
            if time.monotonic() - begun > 10 * SECONDS:
                os.kill(process.pid, signal.SIGKILL)
                os.wait4(process.pid, 0)
                pytest.fail(f"hangs: {command}")
            time.sleep(0.005)
            # A child's peak begins with its parent's, so this is never too little.
        process.returncode = os.waitstatus_to_exitcode(status)
        words = [read(file) for file in (told, said)]
    return process.returncode, *words, usage.ru_utime + usage.ru_stime, usage.ru_maxrss * 1024


def read(file):
    file.seek(0)
    return file.read().decode()


def held(folder, *command):
    """The same within the bounds, and without a crash: exit code and both outputs."""
    code, out, words, seconds, peak = ended(folder, *command)
    assert seconds < SECONDS and peak < BYTES, f"{seconds:.1f} s, {peak / 2**20:.0f} MiB: {words[:500]}"
    assert not THROWN.search(words), words[:2000]
    # Who can't do it says why, and who says so can't do it.
    assert (code == 2) == (words.startswith("error: ") or "\nerror: " in words), (code, words[:2000])
    assert len(words) < 100_000 or code != 2, f"{len(words)} bytes of words"
    return code, out, words


def made(folder, *flags):
    """`make` within the bounds, and nothing left of what failed: exit code and words."""
    code, _, words = held(folder, "make", *flags)
    assert code in (0, 2), (code, words[:2000])
    left = list((folder / "out").iterdir()) if (folder / "out").exists() else []
    assert not [f for f in left if f.name.startswith(".")], left
    assert code == 0 or not left, left
    return code, words


def checked(folder, *flags):
    """`check` within the bounds, and its report is whole: exit code, the report of each tile, and words."""
    code, out, words = held(folder, "check", *flags, "--json")
    assert code in (0, 1, 2), (code, words[:2000])
    if code == 2:
        assert not out, out[:2000]
        return code, [], words
    tiles = json.loads(out)["files"]
    assert tiles and (code == 1) == any(tile["verdict"] == "fault" for tile in tiles), tiles
    for tile in tiles:
        assert [join["join"] for join in tile["joins"]] == ["left-right", "top-bottom"], tile
        assert tile["verdict"] in [join["verdict"] for join in tile["joins"]], tile
        assert tile["width_px"] > 0 and tile["height_px"] > 0 and all(join["reason"] for join in tile["joins"]), tile
    return code, tiles, words
