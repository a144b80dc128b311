"""Makes tiles, whole and spoiled, has `seamfast check` judge them, and counts what it gets right.

    SEAMFAST=target/release/seamfast .venv/bin/python tests/outside/judge_tiles.py --count 200 --only slip-1 --keep DIR

prints a Markdown table; the tiles that were misjudged are kept in DIR, each with what was done to it and what was said.
"""

import argparse
import json
import multiprocessing
import random
import shutil
import tempfile
from pathlib import Path

from tile_faults import FAULTS, Spoiled, spoiled
from tile_files import JPEG, fitting, write
from tile_motifs import library
from tile_textures import PHOTOGRAPHS, original
from tile_verdicts import as_json, check, figures, judged, table
from tiles import classes, clean

BATCH = 40


def names_of(only):
    """The faults and clean classes that are meant: all of them, or those named; `clean` is all clean classes."""
    every = [*FAULTS, *classes()]
    return [name for name in every if not only or name in only or ("clean" in only and name in classes())]


def subject(name, number):
    """A spoiled or a clean tile."""
    return spoiled(name, number) if name in FAULTS else clean(name, number)


def variants(subject):
    """The kinds of file to try a tile in: PNG, and another one; clean tiles as JPEG, too."""
    rng = random.Random(json.dumps(story(subject)))
    others = [kind for kind in fitting(subject.pixels) if kind not in ("png", *JPEG)]
    if isinstance(subject, Spoiled):
        return ["png", rng.choice([*others, *JPEG])]
    return ["png", rng.choice(others), rng.choice(JPEG)]


def judge(names, count, seed=1, keep=None, jobs=1):
    """The looks at `count` tiles of each name, from number seed × 100 000 on. Misjudged files are kept in a folder."""
    parts = [(name, seed * 100_000 + at, min(BATCH, count - at), keep) for name in names for at in range(0, count, BATCH)]
    # What is fetched is fetched once, before the work is shared out.
    library(), original(PHOTOGRAPHS[0])
    with multiprocessing.Pool(jobs) as pool:
        looks = [look for part in pool.imap(judge_part, parts, chunksize=1) for look in part]
    assert looks, "nothing was judged"
    return looks


def judge_part(part):
    """Some tiles of one name: made, written, judged together, and taken away again."""
    name, first, count, keep = part
    with tempfile.TemporaryDirectory() as folder:
        batch = []
        for tile in (subject(name, number) for number in range(first, first + count)):
            for kind in variants(tile):
                batch.append((tile, kind, write(tile.pixels, Path(folder), f"{len(batch)}-{kind}", kind)))
        return judge_batch(batch, keep)


def judge_batch(batch, keep):
    looks = []
    for (subject, variant, path), entry in zip(batch, check([path for _, _, path in batch])):
        look = judged(subject, variant, entry)
        looks.append(look)
        if keep and not (look.right and look.lattice is not False):
            kept = keep / f"{look.fault}-{look.kind}-{look.number}-{variant}{path.suffix}"
            shutil.move(path, kept)
            kept.with_suffix(".json").write_text(json.dumps({"truth": story(subject), "said": entry}, indent=1))
    return looks


def story(subject):
    """What was done to a tile, in words and numbers."""
    if not isinstance(subject, Spoiled):
        lattice = subject.lattice and [subject.lattice.a, subject.lattice.b, subject.lattice.d]
        return {"kind": subject.kind, "number": subject.number, "lattice": lattice}
    mistake = {key: getattr(subject, key) for key in ("fault", "number", "joins", "amount", "side", "expected")}
    return {**mistake, "tile": story(subject.tile)}


def main():
    reader = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    reader.add_argument("--count", type=int, default=50, help="tiles of each fault and class")
    reader.add_argument("--only", nargs="*", help=f"some of: {', '.join(FAULTS)}, clean, {', '.join(classes())}")
    reader.add_argument("--seed", type=int, default=1, help="number of the first tile, in hundred thousands")
    reader.add_argument("--keep", type=Path, help="a folder for the misjudged ones")
    reader.add_argument("--json", type=Path, help="a file for every single look")
    reader.add_argument("--jobs", type=int, default=1, help="tiles made and judged at the same time")
    asked = reader.parse_args()
    unknown = set(asked.only or ()) - {*FAULTS, "clean", *classes()}
    if unknown:
        reader.error(f"no such fault or class: {', '.join(sorted(unknown))}")
    if asked.keep:
        asked.keep.mkdir(parents=True, exist_ok=True)
    looks = judge(names_of(asked.only), asked.count, asked.seed, asked.keep, asked.jobs)
    print(f"seed {asked.seed}, {asked.count} of each, {len(looks)} files\n\n{table(figures(looks))}")
    if asked.json:
        asked.json.write_text(as_json(looks))


if __name__ == "__main__":
    main()
