"""An output folder that holds the files of one design and is to hold those of another, of the same names.

Whatever happens to the run between, each file must be the old one whole or the new one whole.
"""

import os
import shutil
import signal
import subprocess
import time
from pathlib import Path

from tool import MOTIFS, program

DESIGN = """name = "shore"
ground = "{ground}"
[repeat]
layout = "half-drop"
block = "2in x 4in"
[[motif]]
file = "{motifs}/limpet.svg"
width = "1.5in"
at = ["50%", "50%"]
[[deliver]]
as = ["svg", "png", "tiff"]
dpi = {dpi}
[[deliver]]
name = "shore-small"
as = ["jpeg", "tiff"]
packing = "lzw"
dpi = {small}
"""
FILES = ["shore-small.jpg", "shore-small.tif", "shore.png", "shore.svg", "shore.tif"]


class Shelf:
    """Designs `old` and `new`, and the folder, filled with the files of `old`."""

    def __init__(self, folder, dpi=60, small=30, out=None):
        self.folder = Path(folder)
        self.designs = {}
        self.files = {}
        self.out = Path(out or self.folder / "out")
        for name, ground in [("old", "linen"), ("new", "#d8e6ea")]:
            design = self.folder / f"{name}.toml"
            design.write_text(DESIGN.format(ground=ground, motifs=MOTIFS, dpi=dpi, small=small))
            self.designs[name] = design
            made = self.folder / name
            self.run(name, out=made)
            self.files[name] = {file.name: file.read_bytes() for file in made.iterdir()}
            assert sorted(self.files[name]) == FILES
        assert all(self.files["old"][name] != self.files["new"][name] for name in FILES)
        self.lay_out("old")

    def command(self, name, out=None):
        return [program(), "make", str(self.designs[name]), "--out", str(out or self.out)]

    def run(self, name, out=None):
        """A run that nothing happens to."""
        done = subprocess.run(self.command(name, out), stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=600)
        assert (done.returncode, done.stderr) == (0, ""), done

    def lay_out(self, name):
        """The folder as a run of this design leaves it."""
        shutil.rmtree(self.out, ignore_errors=True) if not os.path.ismount(self.out.parent) else None
        self.out.mkdir(exist_ok=True)
        for file, data in self.files[name].items():
            (self.out / file).write_bytes(data)

    def new_ones(self):
        """Which files are the new ones; each is old or new, and whole."""
        new = set()
        for file in FILES:
            data = (self.out / file).read_bytes()
            if data == self.files["new"][file]:
                new.add(file)
            else:
                assert data == self.files["old"][file], f"{file} is neither the old one nor the new one"
        return new

    def leftovers(self):
        return sorted(set(os.listdir(self.out)) - set(FILES))

    def judge(self, code, said, heard=True):
        """The files are as the program says; `heard` is false where its words were cut off."""
        new = self.new_ones()
        if code == 0:
            assert new == set(FILES), f"exit 0, but only these are new: {new}\n{said}"
        elif code == 2 and heard:
            assert said.startswith("error: "), said
            if "only these files are new: " in said:
                listed = said.split("only these files are new: ")[1].split("\n")[0]
                assert new == {Path(path).name for path in listed.split(", ")}, said
            elif "all files are in their places" in said or "can't write the answer" in said:
                assert new == set(FILES), said
            elif "some of the files may be new" in said:
                # The worker was killed in the middle of the renames; what is there is whole.
                assert new <= set(FILES), said
            else:
                assert not new, f"{new} changed, and this is not said:\n{said}"
        elif "unexpected error during closedir" in said:
            # Rust's own library panics where the system can't close a folder.
            assert not new, said
        elif code == 127:
            # The system could not even load the program.
            assert "error while loading shared libraries" in said and not new, said
        else:
            assert code == 2 or code == -signal.SIGKILL, f"exit {code}: {said}"
        return new


def members(session):
    """The living processes of a session."""
    found = []
    for entry in Path("/proc").iterdir():
        if entry.name.isdigit():
            try:
                fields = (entry / "stat").read_text().rsplit(")", 1)[1].split()
            except OSError:
                continue
            if int(fields[3]) == session and fields[0] not in "ZX":
                found.append(int(entry.name))
    return found


def doing(process):
    """What each thread of a process waits for, as the system tells it."""
    seen = []
    for task in sorted(Path(f"/proc/{process}/task").iterdir()):
        words = [(task / part).read_text().strip() for part in ["comm", "wchan", "syscall", "stack"]]
        state = (task / "stat").read_text().rsplit(")", 1)[1].split()[0]
        seen.append(" | ".join([task.name, state, *words]))
    return "\n".join(seen)


def wait_for(happened, seconds):
    """Waits until something has happened, and gives the seconds that took; None if it took longer. Time for which this
    process, too, was halted (a machine put to sleep, a busy one) counts little."""
    took, last = 0, time.monotonic()
    while not happened():
        if took > seconds:
            return None
        time.sleep(0.002)
        now = time.monotonic()
        took += min(now - last, 0.2)
        last = now
    return took


def end_of(child, told, seconds=10):
    """Waits for a process, which leads a session, and all in it; gives its words on standard error, and the seconds. If
    they do not end, what they do is looked at, and that fails."""
    ended = wait_for(lambda: child.poll() is not None, seconds)
    gone = wait_for(lambda: not members(child.pid), seconds)
    if ended is None or gone is None:
        seen = "\n".join(doing(process) for process in members(child.pid))
        os.killpg(child.pid, signal.SIGKILL)
        raise AssertionError(f"alive {seconds} s after {told}, doing\n{seen}")
    return child.communicate()[1], ended + gone
