"""Anyone's artwork: every drawing of five public corpora is a tile or a refusal by name.

None may crash or hang, and what is taken must look as an independent renderer paints it: librsvg,
or, where that differs, Chromium. What both paint otherwise stands in corpora.toml with its reason.
Without SWEEP=1 a sample is looked at; corpora.json holds what became of each refused drawing in the
last whole run, and the README's table is made from it. MAKE=1 with SWEEP=1 writes both anew.
"""

import json
import multiprocessing
import os
import random
import re
import tomllib
from collections import Counter

import pytest

import corpora
from arbiter import chromium
from second_look import SLACK, apart, librsvg, look, tile_of
from tool import ROOT

SWEEP, MAKE = "SWEEP" in os.environ, "MAKE" in os.environ
# Drawings of each corpus that are looked at without SWEEP; the seed is fixed, so they stay the same.
SAMPLE, SEED = 130, 8
RECORD = ROOT / "tests/outside/corpora.json"
DISPUTES = tomllib.loads((ROOT / "tests/outside/corpora.toml").read_text())["family"]
# Another machine may have the fonts that were missing here.
OF_THIS_MACHINE = {"missing-font", "missing-glyph"}


@pytest.fixture(scope="module", autouse=True)
def installed():
    corpora.install()


@pytest.mark.parametrize("corpus", corpora.CORPORA, ids=lambda corpus: corpus.name)
def test_each_drawing_is_a_tile_or_a_named_refusal(corpus):
    drawings = corpora.drawings(corpus)
    if drawings is None:
        pytest.skip("NOT RUN: RESVG_TESTS names no folder or .tar.gz with these drawings, and no package has them")
    listed = {name for family in DISPUTES if family["corpus"] == corpus.name for name in family["drawings"]}
    assert listed <= set(drawings), f"corpora.toml: {listed - set(drawings)}"
    names = sorted(drawings if SWEEP else listed.union(random.Random(SEED).sample(sorted(drawings), SAMPLE)))
    with multiprocessing.Pool() as pool:
        looks = dict(zip(names, pool.map(look, [drawings[name] for name in names], chunksize=8)))
    bad = [f"{name}: {seen}" for name, seen in looks.items() if seen.verdict not in ("accepted", "refused")]
    assert not bad, "\n".join(bad)

    unlike_one = [name for name in names if (looks[name].apart or 0) > SLACK]
    unlike_both = held_against_chromium({name: drawings[name] for name in unlike_one}, looks)
    silent = [said for name, said in unlike_both.items() if name not in listed]
    assert not silent, "\n".join(["no renderer paints it so, and corpora.toml gives no reason", *silent])
    settled = [name for name in listed if name not in unlike_both]
    assert not settled, f"corpora.toml: no longer in dispute: {settled}"

    accepted = sum(seen.verdict == "accepted" for seen in looks.values())
    figures = {
        "drawings": len(looks),
        "accepted": accepted,
        "like librsvg": accepted - len(unlike_one),
        "like Chromium": len(unlike_one) - len(unlike_both),
        "in dispute": len(unlike_both),
    }
    print(corpus.name, figures)
    hold_against_record(corpus, figures, looks)


def held_against_chromium(drawings, looks):
    """Of drawings that are unlike librsvg's, those that are unlike Chromium's too, with both figures."""
    unlike = {}
    for (name, path), theirs in zip(drawings.items(), chromium(list(drawings.values()))):
        far = apart(tile_of(path), theirs)
        if far > SLACK:
            unlike[name] = f"{name}: RMS {looks[name].apart:.1f} to librsvg, {far:.1f} to Chromium"
    return unlike


def hold_against_record(corpus, figures, looks):
    """What was refused is what corpora.json says; a whole run may write it."""
    record = json.loads(RECORD.read_text())
    if SWEEP and MAKE:
        refused = {}
        for name, seen in looks.items():
            for reason in seen.why:
                refused.setdefault(reason, []).append(name)
        record[corpus.name] = {**figures, "refused": dict(sorted(refused.items()))}
        record = {corpus.name: record[corpus.name] for corpus in corpora.CORPORA if corpus.name in record}
        RECORD.write_text(json.dumps(record, indent=1, ensure_ascii=False) + "\n")
        write_table(record)
    known = why_by_name(record[corpus.name]["refused"])
    for name, seen in looks.items():
        if not OF_THIS_MACHINE & {*seen.why, *known.get(name, [])}:
            assert sorted(seen.why) == known.get(name, []), f"{name}: corpora.json says otherwise"
    if SWEEP:
        assert figures == {key: record[corpus.name][key] for key in figures}


def test_a_lost_part_shows(tmp_path):
    """The check of the check: a square of a seventeenth of the page's side, black or white, is missed, and its place too."""
    draw = lambda name, body: (tmp_path / name).write_text(
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 200"><circle cx="60" cy="60" r="50" fill="teal"/>{body}</svg>'
    )
    for color in ("black", "white"):
        draw("whole.svg", f'<path d="M150 150h12v12h-12z" fill="{color}"/>')
        draw("part.svg", "")
        draw("moved.svg", f'<path d="M130 150h12v12h-12z" fill="{color}"/>')
        theirs = librsvg(tmp_path / "whole.svg")
        assert apart(tile_of(tmp_path / "whole.svg"), theirs) < 2
        assert apart(tile_of(tmp_path / "part.svg"), theirs) > SLACK
        assert apart(tile_of(tmp_path / "moved.svg"), theirs) > SLACK


def test_the_readme_has_the_table_of_the_last_whole_run():
    record = json.loads(RECORD.read_text())
    assert list(record) == [corpus.name for corpus in corpora.CORPORA]
    assert table(record) in (ROOT / "README.md").read_text()


def why_by_name(refused):
    """The reasons of each refused drawing."""
    known = {}
    for reason, names in sorted(refused.items()):
        for name in names:
            known.setdefault(name, []).append(reason)
    return known


HEAD = "| corpus | drawings | accepted | as librsvg paints it | else as Chromium does | in dispute | refused, and why |"


def table(record):
    """The README's table."""
    rows = [HEAD, "| --- |" + " ---: |" * 5 + " --- |"]
    for corpus in (corpus for corpus in corpora.CORPORA if corpus.name in record):
        row = record[corpus.name]
        counts = Counter()
        for reason, names in row["refused"].items():
            counts[kind_of(reason)] += len(names)
        why = [f"{kind} {count}" for kind, count in sorted(counts.items(), key=lambda kind: (-kind[1], kind[0]))]
        refused = f"{row['drawings'] - row['accepted']}{': ' if why else ''}{', '.join(why)}"
        keys = ["drawings", "accepted", "like librsvg", "like Chromium", "in dispute"]
        figures = [f"{row[key]:,}".replace(",", " ") for key in keys]
        rows.append(f"| {corpus.name} | {' | '.join(figures)} | {refused} |")
    return "\n".join(rows)


def kind_of(reason):
    """The code of a loss, or what else it is."""
    return "a limit" if reason.startswith("limit: ") else "not sound" if " " in reason else f"`{reason}`"


def write_table(record):
    """Puts the table in the place of the one that is there."""
    readme = ROOT / "README.md"
    text = readme.read_text()
    there = re.compile(re.escape(HEAD) + r"(\n\|.*)*")
    assert there.search(text), "the README has lost the table's head"
    readme.write_text(there.sub(lambda _: table(record), text))
