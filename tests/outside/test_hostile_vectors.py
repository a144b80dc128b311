"""Strangers' drawings and pictures as vector files and as cuts: each ends within ten seconds and 2 GiB, made, or with a
sentence and exit 2."""

import shutil

import pytest

import hostile
from bounds import held, made

CASES = [case for case in hostile.FILES if not case.file.endswith(".toml")]


def flags_of(case, *more):
    """The case's own and more, its kind of file left out; and less time where it may go both ways, for the tests' sake."""
    pairs = list(zip(case.flags[::2], case.flags[1::2]))
    flags = [text for pair in pairs if pair[0] not in ("--as", "--dpi") for text in pair]
    for flag, value in [("--tile", "40mm"), ("--motif-width", "20mm")]:
        if flag not in flags:
            flags += [flag, value]
    flags += more
    if case.says in (hostile.EITHER, hostile.TOO_LONG) and "--limit" not in case.flags:
        flags += hostile.SOON
    return flags


def refused_alike(case, code, words):
    """What is refused as it is read is refused by every command; and nothing is, since the command was not understood."""
    assert "Usage:" not in words, words[:2000]
    if case.says not in (None, hostile.EITHER):
        assert code == 2 and any(part in words for part in case.says.split("|")), (code, words[:2000])


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name.replace(" ", "-"))
def test_as_vectors(case, tmp_path):
    (tmp_path / case.file).write_bytes(case.make())
    for kind in ["pdf", "plain-svg", "pattern-pdf"]:
        shutil.rmtree(tmp_path / "out", ignore_errors=True)
        code, words = made(tmp_path, case.file, *flags_of(case, "--dpi", "127", "--as", kind))
        refused_alike(case, code, words)
        if code == 2 and case.says == hostile.TOO_LONG:
            return  # so it is for the others


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name.replace(" ", "-"))
def test_as_a_cut(case, tmp_path):
    (tmp_path / case.file).write_bytes(case.make())
    for mode in ["silhouette", "inlay", "outline"]:
        shutil.rmtree(tmp_path / "out", ignore_errors=True)
        code, _, words = held(tmp_path, "cut", case.file, *flags_of(case, "--mode", mode, "--limit", "cut-time=6"))
        assert code in (0, 2), (code, words[:2000])
        assert (code == 0) == any((tmp_path / "out").glob("*-cut.svg")), words[:2000]
        refused_alike(case, code, words)
        if code == 2:
            return
