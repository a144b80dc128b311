"""What `check` says of a tile, held against what is known of it, and counted.

A look is one file judged. It is `right` on what was asked of it: the verdict, the joins, the lattice.
"""

import json
import subprocess
from collections import Counter
from dataclasses import asdict, dataclass

from tile_faults import Spoiled
from tile_files import JPEG
from tool import program

VERDICTS = ("seamless", "fault", "unsure")


@dataclass(frozen=True)
class Look:
    """One file, and what was said of it. `placed`, `amount` and `lattice` are `None` where they are not asked."""

    fault: str
    kind: str
    number: int
    variant: str
    verdict: str
    right: bool
    placed: bool | None = None
    amount: bool | None = None
    lattice: bool | None = None
    said: str = ""


def check(paths):
    """The program's verdicts, by file name; that it finds faults is no failure of it."""
    done = subprocess.run([program(), "check", "--json", *map(str, paths)], stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=600)
    assert done.returncode in (0, 1), f"exit {done.returncode}\n{done.stdout[-2000:]}\n{done.stderr}"
    files = json.loads(done.stdout)["files"]
    assert [entry["file"] for entry in files] == [str(path) for path in paths], "not the files that were asked"
    assert all(entry["verdict"] in VERDICTS for entry in files)
    assert done.returncode == any(entry["verdict"] == "fault" for entry in files), "exit and verdicts differ"
    return files


def judged(subject, variant, entry):
    """The look at a clean or spoiled tile."""
    said = "; ".join(f"{finding['code']}: {finding['message']}" for finding in entry["findings"])
    if not isinstance(subject, Spoiled):
        lattice = None if subject.lattice is None else same_lattice(entry, subject.lattice)
        right = entry["verdict"] != "fault"
        return Look("clean", subject.kind, subject.number, variant, entry["verdict"], right, lattice=lattice, said=said)
    placed = amount = lattice = None
    if subject.expected == "no repeat":
        lattice = not same_lattice(entry, subject.tile.lattice)
        right = lattice
    elif subject.expected == "fault":
        right = entry["verdict"] == "fault"
    elif subject.expected == "told":
        right = entry["verdict"] != "seamless"
    else:
        # A missing line that nothing tells may be called seamless, but not proven to be.
        right = not any(join["proven"] for join in entry["joins"] if join["join"] in subject.joins)
    if entry["verdict"] == "fault" and subject.joins:
        wrong = [join for join in entry["joins"] if join["verdict"] == "fault"]
        placed = sorted(join["join"] for join in wrong) == sorted(subject.joins)
        if subject.fault in ("slip-1", "slip-2-3", "half-slip"):
            amount = placed and all(abs(abs(join["shift_px"] or 0) - subject.amount) <= 0.3 for join in wrong)
    return Look(subject.fault, subject.tile.kind, subject.number, variant, entry["verdict"], right, placed, amount, lattice, said)


def same_lattice(entry, lattice):
    """Is this the repeat that the program finds inside? A tile that it finds to be one block has no other."""
    inner = entry["inner"] or {}
    found = inner.get("lattice") or [entry["width_px"], 0, entry["height_px"]]
    return found == [lattice.a, lattice.b, lattice.d]


ASKED = {
    "slip-1": "≥ 99 %",
    "half-slip": "≥ 95 %",
    "doubled": "≥ 97 %",
    "dropped": "≥ 95 %",
    "dropped-lone": "no claim of proof",
    "soft-edge": "≥ 99 %",
    "frame": "not seamless",
    "soft-band": "not seamless",
    "stray": "another lattice",
}
COLUMNS = {"fault": "found", "seamless": "said seamless", "unsure": "unsure", "placed": "on the right join", "amount": "amount", "lattice": "lattice"}


def figures(looks):
    """Of each fault, and of each clean class: how many files, and in percent what was said; lossless ones and JPEG apart."""
    found = {}
    for look in looks:
        name = f"clean: {look.kind}" if look.fault == "clean" else look.fault
        found.setdefault(name, {"lossless": [], "JPEG": []})["JPEG" if look.variant in JPEG else "lossless"].append(look)
    return {name: {packing: counted(group) for packing, group in groups.items() if group} for name, groups in found.items()}


def counted(looks):
    said = Counter(look.verdict for look in looks)
    shares = {verdict: percent(said[verdict], len(looks)) for verdict in ("fault", "seamless", "unsure")}
    for what in ("placed", "amount", "lattice"):
        asked = [getattr(look, what) for look in looks if getattr(look, what) is not None]
        if asked:
            shares[what] = percent(sum(asked), len(asked))
    return {"files": len(looks), **shares}


def percent(part, whole):
    return round(100 * part / whole, 1)


def table(rows):
    """The figures as Markdown, in percent of the files. For a clean tile, found means called a fault."""
    lines = [f"| tiles | asked | files | {' | '.join(COLUMNS.values())} |", "| --- | --- |" + " ---: |" * (1 + len(COLUMNS))]
    for name, packings in rows.items():
        asked = "fault ≤ 1 %" if name.startswith("clean") else ASKED.get(name, "–")
        for packing, shares in packings.items():
            cells = [f"{shares[key]:.1f}" if key in shares else "–" for key in COLUMNS]
            lines.append(f"| {name}{', JPEG 90' * (packing == 'JPEG')} | {asked} | {shares['files']} | {' | '.join(cells)} |")
    return "\n".join(lines)


def as_json(looks):
    return json.dumps([asdict(look) for look in looks], indent=1, ensure_ascii=False)
