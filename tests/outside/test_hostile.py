"""Strangers' files: each ends within ten seconds and 2 GiB, made or judged, or with a sentence and exit 2."""

import shutil

import pytest
from PIL import Image

import hostile
from bounds import checked, made
from tool import MOTIFS


def usual(case):
    """A tile of 200 px, unless the case says otherwise."""
    flags = list(case.flags)
    if case.file.endswith(".toml"):
        return flags
    for flag, value in [("--tile", "40mm"), ("--dpi", "127"), ("--motif-width", "20mm"), ("--as", "png")]:
        if flag not in flags:
            flags += [flag, value]
    return flags


@pytest.mark.parametrize("case", hostile.FILES, ids=lambda case: case.name.replace(" ", "-"))
def test_a_stranger(case, tmp_path):
    (tmp_path / case.file).write_bytes(case.make())
    shutil.copy(MOTIFS / "limpet.svg", tmp_path)
    code, words = made(tmp_path, case.file, *usual(case))
    if case.says is None:
        assert code == 0, words[:2000]
    elif case.says != hostile.EITHER:
        assert code == 2 and any(part in words for part in case.says.split("|")), (code, words[:2000])
    if code == 0:
        for path in (tmp_path / "out").glob("*.png"):
            with Image.open(path) as tile:
                tile.load()
                assert case.flags or case.file.endswith(".toml") or tile.size == (200, 200)
    is_judged(case, tmp_path)


def is_judged(case, folder):
    """The same file given to `check`. What may go both ways is given less time without SWEEP=1, for the tests' sake."""
    limits = [text for pair in zip(case.flags, case.flags[1:]) if pair[0] == "--limit" for text in pair]
    if case.says in (hostile.EITHER, hostile.TOO_LONG) and not limits:
        limits = list(hostile.SOON)
    code, tiles, words = checked(folder, case.file, *limits)
    # A tile may be larger than a motif; a drawing is the same to both, but its page is not laid in blocks.
    if case.file.endswith((".svg", ".svgz")) and case.says not in (None, hostile.EITHER, "blocks"):
        assert code == 2 and any(part in words for part in case.says.split("|")), (code, words[:2000])
    elif case.says is None:
        assert tiles, (code, words[:2000])


def test_there_are_as_many_as_promised():
    assert len(hostile.FILES) >= 60 and len({case.name for case in hostile.FILES}) == len(hostile.FILES)


@pytest.mark.parametrize("kind", ["PNG", "JPEG", "TIFF", "WEBP"])
def test_pictures_cut_off_at_every_tenth_byte(kind, tmp_path):
    """A picture without its end is never taken for whole."""
    whole = hostile.saved(kind, (12, 8))
    name = f"cut.{kind.lower()}"
    assert len(whole) > 50
    for end in range(0, len(whole), 10):
        (tmp_path / name).write_bytes(whole[:end])
        code, words = made(tmp_path, name, "--motif-width", "20mm", "--tile", "40mm", "--dpi", "50", "--as", "png")
        assert code == 2, f"cut at {end} of {len(whole)} and taken"


def test_a_drawing_cut_off_at_every_hundredth_byte_as_a_page(tmp_path):
    """Every tenth byte of all test drawings is cut in tests/artwork/hostile.rs, without the program around it."""
    whole = (MOTIFS / "page-harbour.svg").read_bytes().rstrip()
    for end in range(0, len(whole), max(100, len(whole) // 40)):
        (tmp_path / "cut.svg").write_bytes(whole[:end])
        code, words = made(tmp_path, "cut.svg", "--croquis", "--as", "png")
        assert code == 2, f"cut at {end} of {len(whole)} and taken"
