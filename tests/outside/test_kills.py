"""Killed at random moments while old files are being overwritten: each file stays whole, old or new, and the
next run takes away what was left.

40 kills that come before the run has ended by itself; SWEEP=1 makes it 1 000. Moments are random with a fixed seed.
"""

import os
import random
import signal
import subprocess
import time

from shelf import FILES, Shelf, end_of, wait_for
from tool import program

KILLS = 1000 if os.environ.get("SWEEP") else 40


def start(command):
    """In a session of its own, as a shell on a terminal would."""
    return subprocess.Popen(
        command, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, start_new_session=True
    )


def test_kills_at_random_moments(tmp_path):
    shelf = Shelf(tmp_path, dpi=600, small=400)
    begun = time.monotonic()
    for _ in range(5):
        shelf.run("old")
    usual = (time.monotonic() - begun) / 5
    dice = random.Random(8)
    ends, worst, killed = {}, 0, 0
    while killed < KILLS:
        how = dice.choice([signal.SIGKILL, signal.SIGINT, signal.SIGTERM])
        child = start(shelf.command("new"))
        time.sleep(dice.uniform(0, usual * 1.1))
        # Ctrl-C goes to everyone at the terminal; the others to the one that was started.
        os.killpg(child.pid, how) if how == signal.SIGINT else os.kill(child.pid, how)
        said, took = end_of(child, how.name)
        worst = max(worst, took)
        if child.returncode == -how:
            new, end = shelf.new_ones(), "ended at once"
        else:
            new, end = shelf.judge(child.returncode, said), {0: "too late", 2: "stopped"}[child.returncode]
        left = shelf.leftovers()
        if how != signal.SIGKILL:
            assert not left, f"{left} left after {how.name}, {end}"
            assert new in (set(), set(FILES)), f"{how.name}: only {new} are new"
        if end == "stopped":
            assert said == "error: stopped; no file was changed\n", said
        killed += end != "too late"
        end = f"{how.name}, {end}{', drafts left' if left else ''}{', some files new' if 0 < len(new) < len(FILES) else ''}"
        ends[end] = ends.get(end, 0) + 1
        begun = time.monotonic()
        shelf.run("new")
        # How long a run takes changes with what else the machine does.
        usual += (min(time.monotonic() - begun, 2 * usual) - usual) / 10
        assert not shelf.leftovers() and shelf.new_ones() == set(FILES)
        shelf.lay_out("old")
    print(f"\n{killed} kills, a run takes {usual:.2f} s, the longest end {worst:.2f} s:", *sorted(ends.items()), sep="\n  ")
    # The kills fell into the work and not only beside it.
    assert sum(n for end, n in ends.items() if "drafts left" in end) >= KILLS / 20, ends
    assert sum(n for end, n in ends.items() if "stopped" in end) >= KILLS / 20, ends


def test_ctrl_c_before_anyone_listens(tmp_path):
    """Everyone at the terminal gets it: also a worker that has only just been started."""
    shelf = Shelf(tmp_path, dpi=100, small=50)
    dice, ends = random.Random(11), []
    for _ in range(100):
        child = start(shelf.command("new"))
        time.sleep(dice.uniform(0, 0.03))
        os.killpg(child.pid, signal.SIGINT)
        said, _ = end_of(child, "Ctrl-C")
        ends.append(child.returncode)
        if child.returncode == 2:
            assert said == "error: stopped; no file was changed\n", said
        else:
            assert child.returncode in (-signal.SIGINT, 0), said
        assert not shelf.leftovers()
        shelf.lay_out("old")
    assert ends.count(2) >= 10, ends


def heavy(folder):
    """Work that looks up seldom: the name, and a command that takes some seconds."""
    svg = '<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="60mm" viewBox="0 0 600 600">{}</svg>'
    dice = random.Random(9)

    def drawing(name, inside):
        (folder / name).write_text(svg.format(inside))
        return str(folder / name)

    strokes = "".join(
        f'<path d="M{dice.randrange(600)} {dice.randrange(600)}q9 {dice.randrange(40)} {dice.randrange(40)} 5" '
        f'fill="none" stroke="#{dice.randrange(0x1000000):06x}" stroke-width="2"/>'
        for _ in range(60_000)
    )
    blur = '<filter id="f" filterUnits="userSpaceOnUse" x="-100" y="-100" width="800" height="800">{}</filter><circle cx="300" cy="300" r="290" fill="#284" filter="url(#f)"/>'
    noise = blur.format('<feTurbulence baseFrequency=".05" numOctaves="8"/><feComposite in2="SourceGraphic" operator="in"/>')
    pattern = '<pattern id="p" width="2.7" height="2.7" patternUnits="userSpaceOnUse"><path d="M.3 .3q1 .5 2 2z" fill="#a33"/></pattern><circle cx="300" cy="300" r="290" fill="url(#p)"/>'
    flat = '<circle cx="300" cy="300" r="200" fill="#c33"/>'
    big = ["--tile", "100in", "--dpi", "300", "--ground", "linen"]
    yield "intake of 60 000 paths", [drawing("strokes.svg", strokes), "--as", "svg"]
    yield "a pattern as shapes", [drawing("pattern.svg", pattern), "--as", "svg"]
    yield "a filter in one piece", [drawing("noise.svg", noise), "--motif-width", "12in", "--tile", "16in", "--dpi", "300", "--as", "png", "--limit", "time=60s"]
    yield "a large PNG and its reading back", [drawing("flat.svg", flat), *big, "--as", "png"]
    yield "a large JPEG and its reading back", [drawing("flat.svg", flat), "--tile", "60in", "--dpi", "300", "--ground", "linen", "--as", "jpeg"]
    yield "many copies", [drawing("flat.svg", flat), "--motif-width", "1mm", "--block", "4mm", "--tile", "2400mm", "--layout", "straight", "--dpi", "127", "--as", "svg,png"]
    yield "tries for --max-bytes", [drawing("blur.svg", blur.format('<feGaussianBlur stdDeviation="9"/>')), *big, "--as", "png", "--max-bytes", "100kB"]
    yield "colors counted for a palette", [drawing("flat.svg", flat), "--tile", "40in", "--dpi", "300", "--ground", "linen", "--as", "png", "--colors", "palette"]


def test_ctrl_c_ends_any_work(tmp_path):
    """How long it takes is printed, not asserted; only that nothing hangs and nothing stays."""
    dice = random.Random(10)
    moments = 8 if os.environ.get("SWEEP") else 1
    for number, (what, arguments) in enumerate(heavy(tmp_path)):
        command = [program(), "make", *arguments, "--out"]
        most = 1.0
        if os.environ.get("SWEEP"):
            begun = time.monotonic()
            subprocess.run([*command, tmp_path / f"whole{number}"], stdin=subprocess.DEVNULL, capture_output=True, timeout=600)
            most = time.monotonic() - begun
        times, ends = [], []
        for moment in range(moments):
            out = tmp_path / f"out{number}-{moment}"
            child = start([*command, out])
            # Work that is soon done may be over by then; that end is counted, too.
            time.sleep(dice.uniform(0.05, min(most, 20)))
            if child.poll() is None:
                os.killpg(child.pid, signal.SIGINT)
            said, took = end_of(child, "Ctrl-C")
            times.append(took)
            ends.append(child.returncode)
            assert child.returncode in (-signal.SIGINT, 0, 2), said
            if child.returncode == 2:
                assert said.startswith(("error: stopped", "error: " + str(out))), said
            if child.returncode == 0:
                assert not [name for name in os.listdir(out) if name.startswith(".")]
            else:
                assert not out.exists(), list(out.iterdir())
        ends = {end: ends.count(end) for end in sorted(set(ends))}
        print(f"\n{what}: moments within {most:.1f} s; from Ctrl-C to the end at most {max(times):.2f} s; exits {ends}", end="")


def test_a_stop_while_a_lock_is_taken_over(tmp_path):
    """A run that is halted (not ended) keeps its files; the next is told at once, and can once it is gone."""
    shelf = Shelf(tmp_path, dpi=400, small=200)
    child = start(shelf.command("new"))
    assert wait_for(shelf.leftovers, 10) is not None and child.poll() is None, "it was done before it was seen"
    os.killpg(child.pid, signal.SIGSTOP)
    done = subprocess.run(shelf.command("new"), capture_output=True, text=True, timeout=600)
    assert done.returncode == 2 and "is being made by another run" in done.stderr, done
    assert not shelf.new_ones()
    os.killpg(child.pid, signal.SIGKILL)
    end_of(child, "SIGKILL")
    shelf.run("new")
    assert not shelf.leftovers()
