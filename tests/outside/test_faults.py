"""Each call to the system fails once, or is the last one before a kill: every file stays whole, the program says
what became of them, and the next run leaves nothing behind.

strace makes the calls fail (`-e inject`): the first of a kind, then the second, until a run has no more of them. A
sample of them; SWEEP=1 takes all. Without leave to trace (ptrace) this fails, since then nothing would be tested.
"""

import os
import subprocess

import pytest

from shelf import FILES, Shelf

# Kinds of calls, and which of them can be seen to fail. A `?` is for calls that not every machine has.
CALLS = {
    "write,pwrite64": ["EIO", "ENOSPC"],
    "openat": ["EACCES", "ENOSPC", "EIO"],
    "fsync,fdatasync": ["EIO", "ENOSPC"],
    "?rename,?renameat,renameat2": ["EIO", "EACCES", "ENOSPC"],
    "?unlink,unlinkat,?rmdir": ["EIO", "EACCES"],
    "?mkdir,mkdirat": ["ENOSPC"],
    "fchmod,?chmod": ["EACCES"],
    "flock": ["EIO"],
    "lseek": ["EIO"],
    "read,pread64": ["EIO"],
    "statx,?newfstatat": ["EIO", "EACCES"],
    "getdents64": ["EIO"],
}
# close is not made to fail: strace then leaves the file open, as no system does, and a pipe that stays open never ends.
KILLED_AT = ["openat", "write,pwrite64", "fsync,fdatasync", "?rename,?renameat,renameat2", "?unlink,unlinkat", "flock", "close"]
EVERY = 1 if os.environ.get("SWEEP") else 4
# More calls of one kind than any run makes: a fault that is never used up is a fault of the test.
MANY = 2000


@pytest.fixture(scope="module")
def shelf(tmp_path_factory):
    return Shelf(tmp_path_factory.mktemp("faults"))


def traced(shelf, calls, what, nth):
    """A run whose nth call (of each thread) meets with something; gives its end, words, and the calls that met it."""
    log = shelf.folder / "log"
    trace = ["strace", "-f", "-y", "-o", log, "-e", f"trace={calls}"]
    trace += ["-e", f"inject={calls}:{what}:when={nth}"]
    done = subprocess.run([*trace, *shelf.command("new")], stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=60)
    lines = log.read_text(errors="replace").splitlines()
    assert any("+++" in line for line in lines), f"strace traced nothing: {done.stderr}"
    met = [line for line in lines if "(INJECTED)" in line or "killed by SIGKILL" in line]
    return done, met


def each_call(shelf, calls, what, first=1):
    """The call that fails moves on until a run makes no such call; prints how the runs ended."""
    ends = {}
    shelf.lay_out("old")
    for nth in range(first, MANY, EVERY):
        done, met = traced(shelf, calls, what, nth)
        if not met:
            assert done.returncode == 0, done
            break
        # What is said on standard output or error may be what fails.
        heard = not any("(1<" in line or "(2<" in line for line in met)
        try:
            shelf.judge(done.returncode, done.stderr, heard)
            if shelf.leftovers() or nth % 5 == 0:
                shelf.run("new")
                assert not shelf.leftovers() and shelf.new_ones() == set(FILES)
        except AssertionError as wrong:
            raise AssertionError(f"{calls} {nth}: {met}\n{wrong}") from wrong
        words = done.stderr.replace(str(shelf.out), "…").split("\n")[0]
        end = f"exit {done.returncode} {words}"
        ends[end] = ends.get(end, 0) + 1
        shelf.lay_out("old")
    else:
        raise AssertionError(f"more than {MANY} calls of {calls}")
    assert ends, f"no run met with {what} in {calls}"
    print(f"\n{calls} {what}: {sum(ends.values())} runs", *(f"{n:4} × {end}" for end, n in sorted(ends.items())), sep="\n  ")


@pytest.mark.parametrize("calls", CALLS)
def test_each_call_fails_once(calls, shelf):
    for number, error in enumerate(CALLS[calls]):
        # Samples of the several errors are not of the same calls.
        each_call(shelf, calls, f"error={error}", 1 + number * EVERY // len(CALLS[calls]))


def test_killed_at_each_call(shelf):
    for number, call in enumerate(KILLED_AT):
        each_call(shelf, call, "signal=KILL", 1 + number % EVERY)


def test_faults_are_really_met(shelf):
    """The harness itself: a refused rename and a refused flush are seen, and said."""
    shelf.lay_out("old")
    done, met = traced(shelf, "?rename,?renameat,renameat2", "error=EIO", 2)
    assert met and done.returncode == 2 and "only these files are new: " in done.stderr, (done, met)
    shelf.judge(done.returncode, done.stderr)
    shelf.lay_out("old")
    done, met = traced(shelf, "fsync", "error=EIO", len(FILES) + 1)
    assert met and done.returncode == 2 and "all files are in their places" in done.stderr, (done, met)
    assert shelf.judge(done.returncode, done.stderr) == set(FILES)
    shelf.lay_out("old")
