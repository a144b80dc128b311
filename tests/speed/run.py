#!/usr/bin/env python3
"""Seamfast and its peers on the same scenes, in turn, in one run: ratios, not seconds.

    tests/speed/run.py                all scenes (about 10 minutes)
    tests/speed/run.py --quick        the small ones
    tests/speed/run.py --rolls 20     how many random rolls prove exactness (default 3)

The peer is `resvg` (its command line, built from its package) and `rsvg-convert` (Debian's
librsvg2-bin), each making a PNG of the SVG that Seamfast exports, at the same pixels.
CPU is user + system seconds, peak memory is the largest resident set, both as the kernel
counted them for the child (wait4).
"""

import argparse
import os
import random
import shutil
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
from scenes import Scene, write  # noqa: E402

ROOT = Path(__file__).resolve().parents[2]
WORK = ROOT / "target" / "speed"
SEAMFAST = ROOT / "target" / "release" / "seamfast"
DIFFER = Path(__file__).with_name("differ.py")
RESVG_VERSION = "0.49.0"

SCENES = [Scene(layout, n, side) for layout in ("half-drop", "straight") for side in (2100, 6300, 16200) for n in (12, 200, 2000)]
SCENES += [Scene("half-drop", 200, 2100, "glass"), Scene("half-drop", 200, 6300, "glass"), Scene("straight", 200, 30000)]


@dataclass
class Cost:
    cpu: float
    wall: float
    mib: float

    def over(self, peer: "Cost") -> str:
        return f"{self.cpu / peer.cpu:6.2f} {self.wall / peer.wall:6.2f} {self.mib / peer.mib:6.2f}"


def run(*command: object, allowed: tuple[int, ...] = (0,)) -> Cost:
    """Runs a command to its end, which must be one of the codes allowed, and tells what it cost."""
    start = time.monotonic()
    with open(WORK / "log.txt", "wb") as log:
        process = subprocess.Popen([str(c) for c in command], stdout=log, stderr=log)
        _, status, usage = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode not in allowed:
        sys.exit(f"failed: {command}\n{(WORK / 'log.txt').read_text()}")
    return Cost(usage.ru_utime + usage.ru_stime, time.monotonic() - start, usage.ru_maxrss / 1024)


def make(design: Path, kind: str, *flags: object) -> Cost:
    return run(SEAMFAST, "make", design, "--as", kind, "--out", WORK / "out", *flags)


def out(scene: Scene, ending: str) -> Path:
    return WORK / "out" / f"{scene.name}.{ending}"


def rolled_pixels(scene: Scene, picture: Path, render, rolls: int) -> int:
    """The most pixels that differ between the design moved by whole pixels and the rolled picture."""
    rng = random.Random(scene.side)
    most = 0
    for _ in range(rolls):
        roll = (rng.randrange(scene.side), rng.randrange(scene.side))
        moved = render(write(scene, WORK / "moved", roll))
        # In a process of its own: a child's peak memory begins with its parent's.
        differ = subprocess.run([sys.executable, DIFFER, picture, moved, *map(str, roll)], capture_output=True, text=True, check=True)
        most = max(most, int(differ.stdout))
    return most


def by_seamfast(scene: Scene):
    def render(design: Path) -> Path:
        run(SEAMFAST, "make", design, "--as", "png", "--out", WORK / "moved")
        return WORK / "moved" / f"{scene.name}.png"

    return render


def by_resvg(scene: Scene, resvg: Path):
    def render(design: Path) -> Path:
        run(SEAMFAST, "make", design, "--as", "svg", "--out", WORK / "moved")
        run(resvg, WORK / "moved" / f"{scene.name}.svg", WORK / "moved" / "resvg.png", "-w", scene.side)
        return WORK / "moved" / "resvg.png"

    return render


def build() -> Path:
    """Seamfast and resvg's command line, both optimized, in this project's build folder."""
    subprocess.run(["cargo", "build", "--release", "--quiet"], cwd=ROOT, check=True)
    resvg = WORK / "peers" / "bin" / "resvg"
    if not resvg.exists():
        command = ["cargo", "install", "resvg", "--version", RESVG_VERSION, "--locked", "--quiet", "--root", WORK / "peers"]
        subprocess.run(command, check=True)
    if not shutil.which("rsvg-convert"):
        sys.exit("rsvg-convert is missing; install Debian's librsvg2-bin")
    return resvg


def compare(scene: Scene, resvg: Path, rolls: int) -> None:
    design = write(scene, WORK / "scenes")
    make(design, "svg")
    png, tiff = make(design, "png"), make(design, "tiff")
    one = make(design, "png", "--threads", 1)
    peer = run(resvg, out(scene, "svg"), out(scene, "resvg.png"), "-w", scene.side)
    other = run("rsvg-convert", out(scene, "svg"), "-w", scene.side, "-o", out(scene, "rsvg.png")) if scene.side < 30000 else None
    sizes = [out(scene, e).stat().st_size / 1e6 for e in ("png", "tif", "resvg.png")]
    ours = rolled_pixels(scene, out(scene, "png"), by_seamfast(scene), rolls)
    theirs = rolled_pixels(scene, out(scene, "resvg.png"), by_resvg(scene, resvg), 1)
    librsvg = png.over(other) if other else "     –      –      –"
    print(
        f"{scene.name:30} {png.cpu:6.2f} {png.mib:5.0f} │{png.over(peer)} │{tiff.over(peer)} │{librsvg} │"
        f"{png.wall / one.wall:5.2f} │{sizes[0]:6.1f}{sizes[1]:6.1f}{sizes[2]:6.1f} │{ours:3d} {theirs:9d}",
        flush=True,
    )
    for file in (WORK / "out").iterdir():
        file.unlink()


def growth() -> None:
    """Cost against tile height at one width and density: a straight line, and flat memory."""
    print("\ntile height at 4 200 px width, straight, TIFF: CPU s and peak MiB")
    for times in (1, 2, 4, 8):
        scene = Scene("straight", 50, 4200)
        design = write(scene, WORK / "scenes")
        text = design.read_text()
        entries = text.split("[[motif]]")[1:]
        body = "".join("[[motif]]" + e.split("[[deliver]]")[0] for e in entries)
        copies = []
        for k in range(times):
            for line in body.splitlines():
                if line.startswith("at = "):
                    x, y = (float(v) for v in line.replace("in", "").replace('"', "").split("[")[1].rstrip("]").split(","))
                    line = f'at = ["{x:.9f}in", "{y + 28 * k:.9f}in"]'
                copies.append(line)
        head = text.split("[[motif]]")[0].replace('tile = "4200px"', f'tile = "4200x{4200 * times}px"')
        design.write_text(head + "\n".join(copies) + "\n[[deliver]]\ndpi = 150\n")
        cost = make(design, "tiff")
        print(f"  {4200 * times:6d} px {cost.cpu:7.2f} s {cost.mib:6.0f} MiB   {cost.cpu / times:.3f} s a square", flush=True)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--quick", action="store_true")
    parser.add_argument("--rolls", type=int, default=3)
    parser.add_argument("--scene", help="only scenes whose name holds this")
    args = parser.parse_args()
    WORK.mkdir(parents=True, exist_ok=True)
    resvg = build()
    scenes = [s for s in SCENES if not args.quick or s.side <= 2100]
    scenes = [s for s in scenes if not args.scene or args.scene in s.name]
    if not scenes:
        sys.exit("no scene has that name")
    print(f"{'':30} PNG: CPU  MiB │ PNG to resvg        │ TIFF to resvg       │ PNG to librsvg      │ 2 thr│ MB: PNG  TIFF resvg│ differ under a roll")
    print(f"{'scene':30} {'s':>6} {'':5} │   CPU   wall memory │   CPU   wall memory │   CPU   wall memory │ to 1 │                    │ ours    resvg")
    for scene in scenes:
        compare(scene, resvg, args.rolls)
    growth()


if __name__ == "__main__":
    main()
