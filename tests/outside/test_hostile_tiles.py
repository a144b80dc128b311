"""Strangers' tiles: cut off, lying, moving, of many pages or under a wrong name, given to `check`.

tests/outside/test_hostile.py gives it every other hostile file.
"""

import io
import struct

import numpy
import pytest
from PIL import Image

import hostile
from bounds import checked
from tool import MOTIFS


def tile(size=(48, 32), seed=8):
    """Noise: each pixel of a tile like no other."""
    return Image.fromarray(numpy.random.default_rng(seed).integers(0, 256, (size[1], size[0], 3), dtype=numpy.uint8))


def written(image, kind, **how):
    out = io.BytesIO()
    image.save(out, kind, **how)
    return out.getvalue()


def judged(folder, name, data):
    (folder / name).write_bytes(data)
    return checked(folder, name)


# Hundreds of each, so every tenth byte of files that are small.
@pytest.mark.parametrize("kind", ["PNG", "JPEG", "TIFF", "WEBP"])
def test_cut_off_at_every_tenth_byte(kind, tmp_path):
    """A tile without its end is never judged as if it were whole."""
    whole = hostile.saved(kind, (12, 8))
    assert judged(tmp_path, "whole", whole)[0] in (0, 1)
    for end in range(0, len(whole), 10):
        code, _, words = judged(tmp_path, "cut", whole[:end])
        assert code == 2 and "cut: " in words, f"cut at {end} of {len(whole)} and judged"


LYING = [
    ("a PNG of no pixels", lambda: hostile.png(8, 8).replace(struct.pack(">II", 8, 8), struct.pack(">II", 8, 0)), "the PNG cannot be read"),
    ("a PNG header of 100 000 × 100 000", lambda: resized_png(100_000, 100_000), "pixels of the picture: 100000 × 100000; the most is "),
    ("a TIFF of no pixels", lambda: hostile.plain_tiff(0, 8), "the TIFF cannot be read"),
    ("a TIFF header of 100 000 × 100 000", lambda: hostile.plain_tiff(100_000, 100_000), "pixels of the picture: 100000 × 100000; the most is "),
    ("a JPEG of no pixels", lambda: hostile.sized_jpeg(0, 40), "the JPEG cannot be read"),
    ("a JPEG header of 9 000 × 9 000", lambda: hostile.sized_jpeg(9_000, 9_000), "fewer than the 9000 × 9000 px that it says"),
    ("a JPEG header of 16 rows more", lambda: hostile.sized_jpeg(60, 56), "fewer than the 60 × 56 px that it says"),
    ("a WebP canvas of 9 000 × 9 000", lambda: hostile.webp(9_000, 9_000), "the WebP cannot be read"),
]


def resized_png(width, height):
    """A small PNG with another header, whose checksum is right."""
    data = hostile.png(8, 8)
    return data[:8] + hostile.chunk(b"IHDR", struct.pack(">II", width, height) + data[24:29]) + data[33:]


@pytest.mark.parametrize("make, says", [case[1:] for case in LYING], ids=[case[0].replace(" ", "-") for case in LYING])
def test_headers_that_lie(make, says, tmp_path):
    code, _, words = judged(tmp_path, "tile", make())
    assert code == 2 and says in words, (code, words)


def not_judged(report):
    return [finding["message"] for finding in report["findings"] if finding["code"] == "not-judged"]


def test_what_moves_is_refused_and_of_pages_the_first_is_judged(tmp_path):
    frames = [tile(seed=n) for n in range(3)]
    code, [report], _ = judged(tmp_path, "pages.tif", written(frames[0], "TIFF", save_all=True, append_images=frames[1:]))
    assert code in (0, 1) and [report["width_px"], report["height_px"]] == [48, 32]
    assert len(not_judged(report)) == 1, report["findings"]
    for name, kind, says in [("moving.png", "PNG", "a moving picture"), ("moving.webp", "WEBP", "moving pictures")]:
        code, _, words = judged(tmp_path, name, written(frames[0], kind, save_all=True, append_images=frames[1:]))
        assert code == 2 and says in words, words
    code, [report], _ = judged(tmp_path, "one.png", written(frames[0], "PNG"))
    assert not not_judged(report), report["findings"]


def test_a_name_that_says_another_kind_is_refused_and_one_that_says_none_is_not(tmp_path):
    """What a file is stands in its first bytes; printers go by its name."""
    for kind, name, better in [("PNG", "tile.tif", "tile.png"), ("JPEG", "tile.png", "tile.jpg"), ("TIFF", "tile.svg", "tile.tif")]:
        code, _, words = judged(tmp_path, name, written(tile(), kind))
        assert code == 2 and f"its contents are {kind}" in words and better in words, words
    for kind in ("PNG", "JPEG", "TIFF", "WEBP"):
        code, [report], _ = judged(tmp_path, "tile", written(tile(), kind))
        assert report["kind"].upper() == kind and code in (0, 1)
    code, _, words = judged(tmp_path, "limpet.png", (MOTIFS / "limpet.svg").read_bytes())
    assert code == 2 and "limpet.svg" in words, words
    code, _, words = judged(tmp_path, "tile.toml", written(tile(), "PNG"))
    assert code == 2 and "tile.toml" in words, words
