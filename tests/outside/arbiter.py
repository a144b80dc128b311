"""Chromium as the arbiter, for drawings that librsvg paints otherwise than the program does.

Many drawings in one picture: each is in a document of its own, in a frame the size of the field.
The document is XHTML, since Chromium cuts a lone drawing off at its page. Only the root's place, size
and overflow are set, to lie on the field as in second_look.py.
"""

import re
import tempfile
from pathlib import Path

from pictures import CHROMIUM
from second_look import FIELD, PAGE, page, rgba
from tool import run

# Frames in a row and in a column of one picture.
SIDE = 8


def chromium(paths):
    """The fields of so many drawings, in their order."""
    fields = []
    for start in range(0, len(paths), SIDE * SIDE):
        fields += one_picture(paths[start : start + SIDE * SIDE])
    return fields


def one_picture(paths):
    with tempfile.TemporaryDirectory() as folder:
        folder = Path(folder)
        frames = []
        for index, path in enumerate(paths):
            (folder / f"{index}.xhtml").write_bytes(placed(path))
            left, top = index % SIDE * FIELD, index // SIDE * FIELD
            frames.append(f'<iframe src="{index}.xhtml" style="left:{left}px;top:{top}px"></iframe>')
        style = f"iframe{{position:absolute;border:0;width:{FIELD}px;height:{FIELD}px}}body{{margin:0}}"
        (folder / "all.html").write_text(f"<!DOCTYPE html><style>{style}</style>{''.join(frames)}")
        side, png = SIDE * FIELD, folder / "shot.png"
        own = [f"--user-data-dir={folder}/profile", f"--window-size={side},{side}", f"--screenshot={png}"]
        run("chromium", *CHROMIUM, "--default-background-color=00000000", *own, (folder / "all.html").as_uri())
        whole = rgba(png)
    assert whole.shape == (side, side, 4), whole.shape
    cells = whole.reshape(SIDE, FIELD, SIDE, FIELD, 4).swapaxes(1, 2).reshape(-1, FIELD, FIELD, 4)
    return list(cells[: len(paths)])


def placed(path):
    """The drawing's text, its root laid on the field."""
    width, height = page(path)
    fit = PAGE / max(width, height)
    left, top = (FIELD - width * fit) / 2, (FIELD - height * fit) / 2
    style = f"position:absolute;left:{left}px;top:{top}px;width:{width}px;height:{height}px;overflow:visible;"
    style += f"margin:0;transform:scale({fit});transform-origin:0 0;"
    text = path.read_bytes().decode("utf-8-sig")
    start, end = re.search(r"""<svg(?:\s+[^\s=>]+\s*=\s*(?:"[^"]*"|'[^']*'))*\s*/?>""", text).span()
    root = text[start:end]
    own = re.search(r"""\sstyle\s*=\s*(["'])""", root)
    if own:
        # Behind its own style, so that it wins; a style never holds the quote that encloses it.
        close = root.index(own[1], own.end())
        root = f"{root[:close]};{style}{root[close:]}"
    else:
        root = root.replace("<svg", f'<svg style="{style}"', 1)
    # A document type may hold entities, so it stays where it is; its name is not looked at.
    html = '<html xmlns="http://www.w3.org/1999/xhtml"><body style="margin:0">'
    return f"{text[:start]}{html}{root}{text[end:]}</body></html>".encode()
