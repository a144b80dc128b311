"""Runs the program under test, and the outside's own tools, as a person at a shell would.

Nothing here is forgiving: a missing program, an exit code or a word on standard error that
was not expected ends the test.
"""

import json
import os
import subprocess
from fractions import Fraction
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
MOTIFS = ROOT / "motifs"
GROUND = "#f3eee3"


def program():
    """The built program; the path comes from tests/run, so that no stale one is judged."""
    path = os.environ.get("SEAMFAST")
    assert path, "SEAMFAST must hold the path of the built program; tests/run sets it"
    return path


def run(*command, code=0):
    """Runs a command; gives its standard output and error as text."""
    command = [str(part) for part in command]
    done = subprocess.run(command, stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=300)
    assert done.returncode == code, f"{' '.join(command)}\nexit {done.returncode}\n{done.stdout}\n{done.stderr}"
    return done.stdout, done.stderr


def seamfast(*arguments):
    """What the program says in JSON."""
    out, _ = run(program(), *arguments, "--json")
    return json.loads(out)


def make(folder, *arguments):
    """Makes files in a folder: {ending: path} and what was said of them."""
    said = seamfast("make", *arguments, "--out", folder)
    files = {Path(f["path"]).suffix[1:]: Path(f["path"]) for f in said["files"]}
    assert files and all(path.stat().st_size > 0 for path in files.values()), said
    return files, said


UNITS = {"in": Fraction(1), "mm": Fraction(10, 254), "cm": Fraction(100, 254), "pt": Fraction(1, 72), "px": Fraction(1, 96)}


def inches(text):
    """A length such as 640.08mm, exactly, in inches."""
    number, unit = text[:-2].strip(), text[-2:]
    return Fraction(number) * UNITS[unit]
