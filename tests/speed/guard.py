#!/usr/bin/env python3
"""What the guard costs: the program as it is, and the same program in one process, in turn.

    tests/speed/guard.py [TIMES, 9]     medians of so many pairs, for each scene

Started by the loader, the program does not find itself, so it works in one process (it says so). That
it tried costs a millisecond or two, which are then missing in what the guard costs. CPU is user +
system seconds of all processes, as the kernel counted them (wait4); on a busy machine the clock says little.
"""

import os
import statistics
import subprocess
import sys
import time

from run import SEAMFAST, WORK
from scenes import Scene, write

LOADER = "/lib64/ld-linux-x86-64.so.2"
MOTIFS = SEAMFAST.parents[2] / "motifs"
SCENES = [Scene("half-drop", 200, 2100), Scene("half-drop", 200, 2100, "glass"), Scene("half-drop", 12, 6300), Scene("straight", 2000, 6300)]


def cost(command: list, alone: bool) -> tuple[float, float]:
    """CPU seconds and seconds by the clock."""
    begun = time.monotonic()
    with open(WORK / "said.txt", "w+b") as said:
        program = [LOADER, SEAMFAST] if alone else [SEAMFAST]
        process = subprocess.Popen([str(word) for word in (*program, *command)], stdout=subprocess.DEVNULL, stderr=said)
        _, status, usage = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
        seconds = time.monotonic() - begun
        said.seek(0)
        words = said.read().decode()
    if process.returncode not in (0, 1) or ("memory is not bounded" in words) != alone:
        sys.exit(f"failed: {command}: {words}")
    return usage.ru_utime + usage.ru_stime, seconds


def main() -> None:
    times = int(sys.argv[1]) if len(sys.argv) > 1 else 9
    WORK.mkdir(parents=True, exist_ok=True)
    commands = {scene.name: ["make", write(scene, WORK / "scenes"), "--as", "png", "--out", WORK / "out"] for scene in SCENES}
    commands["one motif, all defaults"] = ["make", MOTIFS / "limpet.svg", "--out", WORK / "out"]
    commands["check of its tile"] = ["check", WORK / "out" / "limpet.png"]
    print("with the guard to without: CPU, clock; CPU seconds with it")
    for name, command in commands.items():
        pairs = [(cost(command, False), cost(command, True)) for _ in range(times)]
        ratios = [statistics.median(guarded[i] / alone[i] for guarded, alone in pairs) for i in (0, 1)]
        print(f"{name:32} {ratios[0]:6.3f} {ratios[1]:6.3f} {statistics.median(g[0] for g, _ in pairs):7.3f} s", flush=True)


main()
