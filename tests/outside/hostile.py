"""Strangers' files, made here: bombs, rings, lies and rubbish. Nothing of them is kept in the project.

Each is a name, a file name and a function that gives its bytes. `says` is what the refusal must
say; `None` is a sound file, however odd, and a tile must come of it; with `EITHER` it may go both ways.
"""

import base64
import gzip
import io
import os
import struct
import zlib
from dataclasses import dataclass
from typing import Callable

from PIL import Image

SVG = "<svg xmlns='http://www.w3.org/2000/svg' xmlns:xlink='http://www.w3.org/1999/xlink' width='40mm' height='40mm' viewBox='0 0 100 100'{more}>{body}</svg>"


@dataclass(frozen=True)
class Hostile:
    name: str
    file: str
    make: Callable[[], bytes]
    says: str | None
    flags: tuple[str, ...] = ()


FILES: list[Hostile] = []

# Three of those that end by the usual eight seconds are given two, for the tests' sake; SWEEP=1 gives all of them eight.
SOON = () if os.environ.get("SWEEP") else ("--limit", "time=2")
EITHER = "refused or a tile"
TOO_LONG = "reading it takes longer than"


def add(name, make, says, *flags, file="stranger.svg"):
    FILES.append(Hostile(name, file, make, says, flags))


def svg(body, more=""):
    return SVG.format(body=body, more=more).encode()


def drawing(name, body, says, *flags, more=""):
    """A drawing whose body is text, or a function that makes it."""
    add(name, lambda: svg(body() if callable(body) else body, more), says, *flags)


RECT = "<rect width='50' height='50'/>"

# Entities.
DOCTYPE = "<!DOCTYPE svg [{}]>"


def entities(name, declared, used, says):
    add(name, lambda: (DOCTYPE.format(declared()) + svg(f"<title>{used()}</title>{RECT}").decode()).encode(), says)


entities("a billion laughs", lambda: "<!ENTITY a0 'ha'>" + "".join(f"<!ENTITY a{i} '{f'&a{i - 1};' * 10}'>" for i in range(1, 10)), lambda: "&a9;", "an entity stands for more than plain text")
entities("a long entity used often", lambda: f"<!ENTITY a '{'x' * 100_000}'>", lambda: "&a;" * 20_000, "bytes added by entities: 2000000000; the most is 4MiB")
entities("an entity in itself", lambda: "<!ENTITY a '&a;'>", lambda: "&a;", "an entity stands for more than plain text")
entities("an outside entity", lambda: "<!ENTITY a SYSTEM 'file:///etc/hostname'>", lambda: "&a;", "unknown entity reference")
entities("a parameter entity", lambda: "<!ENTITY % a '<!ENTITY b \"c\">'> %a;", lambda: "", "an entity stands for more than plain text")
entities("100 000 entities", lambda: "".join(f"<!ENTITY e{i} 'x'>" for i in range(100_000)), lambda: "&e99999;", None)
entities("an entity of markup", lambda: "<!ENTITY a '<g>'>", lambda: "&a;" * 9, "an entity stands for more than plain text")

# Uses and nesting.


def uses(levels, each, tag="g"):
    def use(i):
        return f"<use xlink:href='#u{i}'/>"

    links = "".join(f"<{tag} id='u{i}'>{use(i - 1) * each}</{tag}>" for i in range(1, levels + 1))
    return f"<defs><g id='u0'>{RECT}</g>{links}</defs>{use(levels)}"


drawing("a use bomb of 10^6", lambda: uses(6, 10), "elements, once every use is resolved")
drawing("a use bomb of 10^9", lambda: uses(9, 10), "elements, once every use is resolved")
drawing("a symbol bomb", lambda: uses(9, 10, "symbol"), "elements, once every use is resolved")
drawing("a chain of 900 uses", lambda: uses(900, 1), "stranger.svg: ")
drawing("a use of itself", f"<g id='a'><use xlink:href='#a'/></g>{RECT}", None)
drawing("a ring of uses", f"<g id='a'><use xlink:href='#b'/></g><g id='b'><use xlink:href='#a'/></g>{RECT}", EITHER)
drawing("20 000 nested groups", lambda: "<g>" * 20_000 + RECT + "</g>" * 20_000, "elements inside one another: 20002; the most is 256")
drawing("250 nested groups", lambda: "<g opacity='.99'>" * 250 + RECT + "</g>" * 250, None)
drawing("200 nested groups with masks", lambda: "<mask id='m'><rect width='100' height='100' fill='#fff'/></mask>" + "<g mask='url(#m)'>" * 200 + RECT + "</g>" * 200, None)
drawing("1 000 000 tags without an end", lambda: "<g>" * 1_000_000, "stranger.svg")
drawing("1 100 000 rectangles", lambda: "<rect width='1' height='1'/>" * 1_100_000, "elements")
drawing("300 000 rectangles as large as the page", lambda: "<rect width='100' height='100'/>" * 300_000, EITHER)
drawing("5 000 opacity groups", lambda: "<g opacity='.5'><path d='M0 0H100V100z'/><path d='M0 0H9V9z'/></g>" * 5_000, EITHER)

# Patterns, masks, clips, markers.


def patterns(levels, each):
    nested = ""
    for i in range(1, levels + 1):
        fill = f" fill='url(#p{i - 1})'" if i > 1 else ""
        inside = f"<rect width='9' height='9'{fill}/>" * each
        nested += f"<pattern id='p{i}' width='10' height='10' patternUnits='userSpaceOnUse'>{inside}</pattern>"
    return f"{nested}<rect width='90' height='90' fill='url(#p{levels})'/>"


def one_pattern(size, body="<rect width='5' height='5'/>"):
    return f"<pattern id='p' {size} patternUnits='userSpaceOnUse'>{body}</pattern><rect width='90' height='90' fill='url(#p)'/>"


drawing("patterns in patterns, 8 by 10", lambda: patterns(8, 10), "patterns, masks, clips and markers that lead to one another: 7; the most is 6")
drawing("patterns in patterns, 5 by 10", lambda: patterns(5, 10), "patterns inside patterns: 4; the most is 3")
drawing("patterns in patterns, 3 by 30", lambda: patterns(3, 30), EITHER)
drawing("a pattern 1e6 wide", one_pattern("width='1e6' height='1e6'"), "the side of a pattern's tile: 1000000% of the page's; the most is 400%")
drawing("a pattern 1e-6 wide", one_pattern("width='1e-6' height='1e-6'"), "cells of patterns")
drawing("a pattern that fills itself", one_pattern("width='9' height='9'", "<rect width='5' height='5' fill='url(#p)'/>"), EITHER)
drawing("a pattern of 100 000 paths", lambda: one_pattern("width='2' height='2'", "<path d='M0 0h1v1z'/>" * 100_000), "elements of paths in all cells of patterns")
drawing("a mask of itself", "<mask id='m'><rect width='50' height='50' fill='#fff' mask='url(#m)'/></mask><rect width='50' height='50' mask='url(#m)'/>", EITHER)
drawing("a ring of clips", "<clipPath id='a' clip-path='url(#b)'><rect width='9' height='9'/></clipPath><clipPath id='b' clip-path='url(#a)'><rect width='9' height='9'/></clipPath><rect width='50' height='50' clip-path='url(#a)'/>", EITHER)
drawing("a chain of 500 masks", lambda: "".join(f"<mask id='m{i}' mask='url(#m{i - 1})'><rect width='99' height='99' fill='#fff'/></mask>" for i in range(1, 501)) + "<rect width='50' height='50' mask='url(#m500)'/>", "lead to one another")
drawing("clips that cross everywhere", lambda: f"<clipPath id='c'><path d='{zigzag(20_000)}'/></clipPath><path d='{zigzag(20_000)}' clip-path='url(#c)' stroke='red'/>", None)
drawing("a marker bomb", lambda: "<marker id='m'>" + "<path d='M0 0H1V1Z'/>" * 1_000 + "</marker><path marker-mid='url(#m)' d='M0 0" + "L5 5L0 9" * 20_000 + "'/>", "parts of markers, at every point")
drawing("a marker on its own path", "<marker id='m'><path marker-end='url(#m)' d='M0 0H9'/></marker><path marker-end='url(#m)' d='M0 0H9V9' stroke='red'/>", EITHER)


def zigzag(count):
    return "M0 0" + "".join(f"L{i * 7_919 % 9_973 / 99.73:.2f} {i * 104_729 % 9_973 / 99.73:.2f}" for i in range(count))


# Filters.


def filtered(steps, more="", count=1):
    filters = "".join(f"<filter id='f{i}' {more}>{steps}</filter><rect width='90' height='90' filter='url(#f{i})'/>" for i in range(count))
    return filters


drawing("a filter region 1e6 wide", filtered("<feFlood flood-color='red'/>", "filterUnits='userSpaceOnUse' x='-5e5' y='-5e5' width='1e6' height='1e6'"), "blocks")
drawing("a blurred filter region 30 pages wide", filtered("<feFlood flood-color='red'/><feGaussianBlur stdDeviation='2'/>", "x='-15' y='-15' width='30' height='30'"), None, "--motif-width", "30mm", "--tile", "8in")
drawing("10^6 octaves", filtered("<feTurbulence baseFrequency='.1' numOctaves='1000000'/>"), "octaves of noise: 1000000; the most is 10")
drawing("10 octaves in 100 filters", filtered("<feTurbulence baseFrequency='.1' numOctaves='10'/>", count=100), EITHER)
drawing("a radius of 4 pages", filtered("<feMorphology radius='400'/>"), "the radius of feMorphology: 400% of the page's side; the most is 5%")
drawing("the largest radius on a large tile", filtered("<feMorphology operator='dilate' radius='5'/>"), EITHER, "--motif-width", "10in", "--tile", "10in", "--dpi", "300")
drawing("a matrix of 101", filtered(f"<feConvolveMatrix order='101' kernelMatrix='{'1 ' * 101 * 101}'/>"), "the order of feConvolveMatrix: 101; the most is 15")
drawing("the largest matrix", filtered(f"<feConvolveMatrix order='15' kernelMatrix='{'1 ' * 225}'/>" * 8), EITHER, "--dpi", "300")
drawing("500 blurs in a chain", filtered("<feGaussianBlur stdDeviation='9'/>" * 500), "steps in one filter: 500; the most is 64")
drawing("64 blurs in 31 filters", filtered("<feGaussianBlur stdDeviation='9'/>" * 64, count=31), EITHER)
drawing("64 blurs in 32 filters", filtered("<feGaussianBlur stdDeviation='9'/>" * 64, count=32), "steps in all filters: more than 2000; the most is 2000")
drawing("a filter that shows what it filters", "<filter id='f'><feImage xlink:href='#r'/></filter><rect id='r' width='50' height='50' filter='url(#f)'/>", EITHER)
drawing("blurs inside blurs", lambda: "<filter id='f'><feGaussianBlur stdDeviation='3'/></filter>" + "<g filter='url(#f)'>" * 100 + RECT + "</g>" * 100, EITHER)

# Paint.
drawing("10^5 stops", lambda: "<linearGradient id='g'>" + "".join(f"<stop offset='{i / 1e5}' stop-color='#{i % 4096:03x}'/>" for i in range(100_000)) + "</linearGradient><rect width='90' height='90' fill='url(#g)'/>", None)
drawing("a gradient of itself", "<linearGradient id='g' xlink:href='#g'/><rect width='90' height='90' fill='url(#g)'/>" + RECT, EITHER)
drawing("a chain of 20 000 gradients", lambda: "".join(f"<linearGradient id='g{i}' xlink:href='#g{i - 1}'/>" for i in range(1, 20_000)) + "<linearGradient id='g0'><stop stop-color='red'/></linearGradient><rect width='90' height='90' fill='url(#g19999)'/>", EITHER)

# Paths and numbers.
drawing("10^7 segments of a path", lambda: f"<path d='M0 0{'h1v1h-1' * 3_333_333}'/>", "reading it takes more memory than 1800MB")
drawing("10^6 dashes by number", lambda: f"<path d='M0 9H90' stroke='red' stroke-dasharray='{'1 2 ' * 500_000}'/>", None)
drawing("dashes of 1e-5", "<path d='M0 9H90' stroke='red' stroke-dasharray='1e-5'/>", None)
drawing("1 000 lines of dashes", lambda: "<path d='M0 9H90' stroke='red' stroke-dasharray='.001'/>" * 1_000, EITHER)
for number in ("NaN", "Infinity", "1e38", "-1e38", "1e-40", "1e999", "99999999999999999999999999"):
    drawing(f"paths to {number}", f"<path d='M0 0H{number}V{number}Z' stroke='red'/><path d='M0 0C{number} 0 0 {number} 9 9'/>{RECT}", EITHER)
    drawing(f"a transform of {number}", f"<g transform='scale({number})'>{RECT}</g><g transform='rotate({number})'>{RECT}</g>{RECT}", EITHER)
    drawing(f"a stroke of {number}", f"<path d='M0 0L9 9L0 18' fill='none' stroke='red' stroke-width='{number}' stroke-miterlimit='{number}' stroke-dashoffset='{number}'/>{RECT}", EITHER)
for size in ("1e9mm", "0", "-5mm", "1e-30mm", "NaN", "1e38", ""):
    add(f"a width of {size!r}", lambda size=size: f"<svg xmlns='http://www.w3.org/2000/svg' width='{size}' height='40mm'>{RECT}</svg>".encode(), EITHER)
for box in ("0 0 0 0", "0 0 1e38 1e38", "NaN NaN 5 5", "0 0 1e-30 1e-30", "-1e38 -1e38 100 100", "1 2 3"):
    add(f"a viewBox of {box!r}", lambda box=box: f"<svg xmlns='http://www.w3.org/2000/svg' width='40mm' height='40mm' viewBox='{box}'>{RECT}</svg>".encode(), EITHER)
drawing("arcs of any size", "".join(f"<path d='M0 0A{r} 1e-30 {t} 1 0 5 5A1e30 {r} 0 0 1 9 9'/>" for r in ("1e30", "1e-30", "0", "NaN") for t in (0, 1e30)) + RECT, EITHER)
drawing("an attribute of 60 MB", lambda: f"<path d='M0 0{' ' * 60_000_000}H9V9z'/>", None)
drawing("a drawing of 70 MB", lambda: "<!--" + "x" * 70_000_000 + "-->" + RECT, "bytes in the file: more than 64MiB; the most is 64MiB")
drawing("500 000 attributes", lambda: "<rect width='9' height='9' " + " ".join(f"a{i}='1'" for i in range(500_000)) + "/>", TOO_LONG)
drawing("100 000 ids of one name", lambda: "<rect id='a' width='9' height='9'/>" * 100_000, EITHER)

# Bytes that are no drawing.
for name, data, says in [
    ("nothing", b"", "the file is empty"),
    ("blanks", b" \n\t" * 99, "the file is empty"),
    ("one bracket", b"<", "is not well-formed XML"),
    ("null bytes", svg(RECT).replace(b"<rect", b"\0\0<rect"), "binary data"),
    ("null bytes far down", svg("<!--" + "x" * 999 + "\0-->" + RECT), "is not well-formed XML"),
    ("rubbish", bytes(i * 7919 % 251 for i in range(9_999)), "stranger.svg"),
    ("UTF-16 with its mark", svg(RECT).decode().encode("utf-16"), "UTF-16 text"),
    ("UTF-16 without its mark", svg(RECT).decode().encode("utf-16-be"), "binary data"),
    ("Latin-1 that says UTF-8", "<?xml version='1.0' encoding='UTF-8'?>".encode() + svg("<title>Möwe</title>").decode().encode("latin-1"), "is not UTF-8 text"),
    ("Latin-1 that says so", "<?xml version='1.0' encoding='ISO-8859-1'?>".encode() + svg("<title>Möwe</title>").decode().encode("latin-1"), "is not UTF-8 text"),
    ("overlong UTF-8", svg("<title>\x01</title>").replace(b"\x01", b"\xc0\xaf"), "is not UTF-8 text"),
    ("controls in text", svg("<title>\x01\x02\x1b[31m</title>" + RECT), "is not well-formed XML"),
    ("a ZIP", b"PK\x03\x04" + b"x" * 999, "a ZIP archive"),
    ("a GIF", b"GIF89a" + b"\xff" * 99, "a GIF picture"),
    ("a PDF", b"%PDF-1.7\n" + b"x" * 999, "a PDF page"),
    ("another root", b"<html><body/></html>", "the first element is <html>"),
]:
    add(name, lambda data=data: data, says)

# Compressed.


def packed(byte, count, gzip=False):
    """A run of one byte, a MiB at a time, so that the test itself stays small."""
    pack = zlib.compressobj(9, zlib.DEFLATED, 31 if gzip else 15)
    return b"".join(pack.compress(byte * (1 << 20)) for _ in range(count >> 20)) + pack.flush()


add("1 GiB in an svgz", lambda: packed(b" ", 1 << 30, gzip=True), "bytes in the file: more than 64MiB", file="stranger.svgz")
add("1 000 members of 1 MiB in an svgz", lambda: gzip.compress(b" " * (1 << 20)) * 1_000, "bytes in the file: more than 64MiB", file="stranger.svgz")
add("an svgz in an svgz", lambda: gzip.compress(gzip.compress(svg(RECT))), "binary data", file="stranger.svgz")
add("half an svgz", lambda: gzip.compress(svg(RECT + "<!--" + "abc" * 999 + "-->"))[:60], "the compressed drawing is damaged", file="stranger.svgz")
add("an svgz of rubbish", lambda: b"\x1f\x8b" + b"\xff" * 999, "the compressed drawing is damaged", file="stranger.svgz")

# Style sheets.


def styled(css):
    return lambda: f"<style>{css()}</style>" + "<g class='a b c'>" + "<rect class='a b' width='9' height='9'/>" * 2_000 + "</g>"


drawing("20 000 rules", styled(lambda: "".join(f".r{i} g > rect.b{{fill:red}}" for i in range(20_000))), EITHER)
drawing("rules 100 000 deep", styled(lambda: "a{" * 100_000), EITHER)
drawing("a selector of 100 000 parts", styled(lambda: " ".join(["g"] * 100_000) + "{fill:red}"), EITHER)
drawing("100 000 open parentheses", styled(lambda: ".a{fill:" + "url(" * 100_000), EITHER)
drawing("a style sheet without an end", styled(lambda: ".a{fill:red}/*" + "x" * 100_000), EITHER)
drawing("an outside style sheet", "<style>@import url(http://localhost/a.css);</style>" + RECT, "cannot be kept")
drawing("500 000 declarations", lambda: f"<rect width='9' height='9' style='{'fill:red;' * 500_000}'/>", TOO_LONG, *SOON)

# Text.
TEXT = "<text y='50' font-family='DejaVu Serif' font-weight='bold' font-size='{size}'{more}>{text}</text>"
drawing("300 000 letters", lambda: TEXT.format(size=9, more="", text="BUOY" * 75_000), TOO_LONG, *SOON)
drawing("20 000 spans", lambda: TEXT.format(size=9, more="", text="<tspan dx='1'>a</tspan>" * 20_000), TOO_LONG, *SOON)
drawing("letters of 1e9", TEXT.format(size="1e9", more="", text="BUOY") + RECT, EITHER)
drawing("letters apart by 1e30", TEXT.format(size="9", more=" letter-spacing='1e30' word-spacing='1e30'", text="B U O Y") + RECT, EITHER)
drawing("text along a path of 30 000", lambda: f"<path id='p' d='{zigzag(30_000)}'/>" + TEXT.format(size=1, more="", text=f"<textPath xlink:href='#p'>{'BUOY ' * 2_000}</textPath>"), EITHER)
drawing("100 000 things that are lost", lambda: "<foreignObject width='9' height='9'/>" * 100_000 + RECT, "cannot be kept")

# Drawings and pictures inside the drawing.


def uri(data, kind):
    return f"data:image/{kind};base64,{base64.b64encode(data).decode()}"


def inside(data, kind):
    return f"<image width='90' height='90' xlink:href='{uri(data, kind)}'/>"


def nested(levels):
    data = svg(RECT)
    for _ in range(levels):
        data = svg(inside(data, "svg+xml"))
    return data


add("a drawing in a drawing, 2 deep", lambda: nested(2), None)
add("a drawing in a drawing, 8 deep", lambda: nested(8), "an embedded drawing")
drawing("an embedded use bomb", lambda: inside(svg(uses(9, 10)), "svg+xml"), "an embedded drawing")
drawing("an embedded svgz bomb", lambda: inside(packed(b" ", 1 << 28, gzip=True), "svg+xml"), "an embedded drawing")
drawing("an embedded pattern bomb", lambda: inside(svg(patterns(5, 10)), "svg+xml"), "patterns")
drawing("an outside picture", "<image width='9' height='9' xlink:href='file:///etc/hostname'/>" + RECT, "cannot be kept")
drawing("an embedded PNG of 30 000 × 30 000", lambda: inside(png(30_000, 30_000), "png"), "pixels of an embedded image: 30000 × 30000; the most is 64000000")
drawing("an embedded header of 8 000 × 8 000", lambda: inside(png(8_000, 8_000)[:200], "png"), "cut off")
drawing("100 embedded PNGs of 16 million pixels", lambda: inside(png(4_000, 4_000), "png") * 100, "pixels of all embedded images")
drawing("1 000 uses of one embedded picture", lambda: f"<defs><g id='i'>{inside(png(2_000, 2_000), 'png')}</g></defs>" + "<use xlink:href='#i'/>" * 1_000, EITHER)

# Pictures.


def chunk(kind, data):
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def png(width, height, extra=b"", rows=None, color=0):
    """One grey bit a pixel, all white, packed as tight as it goes."""
    pack = zlib.compressobj(9)
    row = b"\0" + b"\xff" * ((width + 7) // 8)
    count = height if rows is None else rows
    data = b"".join(pack.compress(row * min(256, count - i)) for i in range(0, count, 256)) + pack.flush()
    header = struct.pack(">IIBBBBB", width, height, 1, color, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + extra + chunk(b"IDAT", data) + chunk(b"IEND", b"")


def picture(name, make, says, file="stranger.png", *flags):
    add(name, make, says, *flags, file=file)


def saved(kind, size=(60, 40), **how):
    out = io.BytesIO()
    Image.linear_gradient("L").resize(size).convert("RGB").save(out, kind, **how)
    return out.getvalue()


picture("a PNG of 30 000 × 30 000", lambda: png(30_000, 30_000), "pixels of the picture: 30000 × 30000; the most is 100000000")
picture("a PNG of 9 900 × 9 900", lambda: png(9_900, 9_900), None)
picture("a PNG header of 2^31", lambda: png(8, 8).replace(struct.pack(">II", 8, 8), struct.pack(">II", 2**31 - 1, 2**31 - 1)), "stranger.png")
picture("a PNG with too few rows", lambda: png(4_000, 4_000, rows=10), "the PNG cannot be read")
picture("a PNG of no pixels", lambda: png(8, 8).replace(struct.pack(">II", 8, 8), struct.pack(">II", 0, 8)), "the PNG cannot be read")
picture("a PNG with 1 GiB of profile", lambda: png(64, 64, chunk(b"iCCP", b"a\0\0" + packed(b"\0", 1 << 30))), EITHER)
picture("a PNG with 1 GiB of words", lambda: png(64, 64, chunk(b"zTXt", b"a\0\0" + packed(b"x", 1 << 30))), None)
picture("a PNG with 100 000 chunks", lambda: png(64, 64, chunk(b"tEXt", b"a\0b") * 100_000), None)
picture("a JPEG header of 65 535 × 65 535", lambda: sized_jpeg(65_535, 65_535), "pixels of the picture: 65535 × 65535; the most is 100000000", "stranger.jpg")
picture("a JPEG header of 9 000 × 9 000", lambda: sized_jpeg(9_000, 9_000), EITHER, "stranger.jpg")
picture("a JPEG of 2 000 scans", lambda: scans(2_000), EITHER, "stranger.jpg")


def sized_jpeg(width, height):
    data = saved("JPEG")
    at = data.index(b"\xff\xc0") + 5
    return data[:at] + struct.pack(">HH", height, width) + data[at + 4:]


def scans(count):
    """A progressive JPEG whose last scan comes again and again."""
    data = saved("JPEG", (2_000, 2_000), progressive=True)
    last = data.rindex(b"\xff\xda")
    return data[:last] + data[last:-2] * count + b"\xff\xd9"


def tiff(entries, data=b"", next_at=0):
    """A little-endian TIFF with one directory at 8 and `data` behind it."""
    head = struct.pack("<2sHI", b"II", 42, 8) + struct.pack("<H", len(entries))
    body = b"".join(struct.pack("<HHII", *entry) for entry in sorted(entries))
    return head + body + struct.pack("<I", next_at) + data


def plain_tiff(width, height, *more, data=b"\0" * 64, packing=1, next_at=0):
    own = [(256, 4, 1, width), (257, 4, 1, height), (258, 3, 1, 8), (259, 3, 1, packing), (262, 3, 1, 1),
           (273, 4, 1, 0), (277, 3, 1, 1), (278, 4, 1, height), (279, 4, 1, len(data))]
    tags = {entry[0]: entry for entry in [*own, *more]}
    at = 8 + 2 + 12 * len(tags) + 4
    if tags[273][3] == 0:
        tags[273] = (273, 4, 1, at)
    return tiff(list(tags.values()), data, next_at)


picture("a TIFF of 10^9 × 10^9", lambda: plain_tiff(10**9, 10**9), "stranger.tif", "stranger.tif")
picture("a TIFF with too few pixels", lambda: plain_tiff(9_000, 9_000), "the TIFF cannot be read", "stranger.tif")
picture("a TIFF that inflates to 1 GiB", lambda: plain_tiff(100, 100, data=packed(b"\0", 1 << 30), packing=8), EITHER, "stranger.tif")
picture("a TIFF that leads to itself", lambda: plain_tiff(8, 8, next_at=8), EITHER, "stranger.tif")
picture("a TIFF with a field of 4 GB", lambda: plain_tiff(8, 8, (34675, 7, 2**32 - 1, 8)), EITHER, "stranger.tif")
picture("a TIFF with a profile of rubbish", lambda: plain_tiff(8, 8, (34675, 7, 500, 8), data=b"x" * 600), EITHER, "stranger.tif")
picture("a TIFF of 65 535 samples", lambda: plain_tiff(64, 64, (277, 3, 1, 65_535)), "stranger.tif", "stranger.tif")
picture("a TIFF of 10^6 strips in one place", lambda: strips(1_000_000), EITHER, "stranger.tif")


def strips(count):
    """Each row is a strip of its own, and all are the same bytes."""
    tags = [(256, 4, 1, 64), (257, 4, 1, count), (258, 3, 1, 8), (259, 3, 1, 1), (262, 3, 1, 1), (277, 3, 1, 1), (278, 4, 1, 1)]
    at = 8 + 2 + 12 * (len(tags) + 2) + 4
    data = struct.pack("<I", at) * count + struct.pack("<I", 64) * count
    return tiff([*tags, (273, 4, count, at), (279, 4, count, at + 4 * count)], data)


def webp(width, height):
    """An extended header that lies about its canvas."""
    whole = saved("WEBP", lossless=True)
    canvas = struct.pack("<I", width - 1)[:3] + struct.pack("<I", height - 1)[:3]
    body = b"WEBPVP8X" + struct.pack("<I", 10) + b"\0\0\0\0" + canvas + whole[12:]
    return b"RIFF" + struct.pack("<I", len(body)) + body


picture("a WebP canvas of 2^24", lambda: webp(1 << 24, 1 << 24), "stranger.webp", "stranger.webp")
picture("a WebP canvas of 9 000 × 9 000", lambda: webp(9_000, 9_000), "the WebP cannot be read", "stranger.webp")
picture("a WebP header of 16 383 × 16 383", lambda: lossless_webp(16_383, 16_383), "pixels of the picture: 16383 × 16383", "stranger.webp")


def lossless_webp(width, height):
    """A lossless one with other sides in its header: 14 bits each behind the signature."""
    data = bytearray(saved("WEBP", lossless=True))
    at = data.index(b"VP8L") + 9
    rest = struct.unpack("<I", data[at:at + 4])[0] >> 28
    data[at:at + 4] = struct.pack("<I", (width - 1) | (height - 1) << 14 | rest << 28)
    return bytes(data)


def profile(**lies):
    """sRGB as littleCMS writes it, with some of its numbers changed."""
    from PIL import ImageCms

    data = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    for at, value in lies.get("words", []):
        data[at:at + 4] = struct.pack(">I", value)
    return bytes(data)


for name, lies in [("many tags", [(128, 2**31)]), ("a tag far off", [(136, 2**32 - 8)]), ("a tag without end", [(140, 2**32 - 1)]), ("a size of 4 GB", [(0, 2**32 - 1)])]:
    picture(f"a profile with {name}", lambda lies=lies: saved("PNG", icc_profile=profile(words=lies)), EITHER)
    picture(f"a JPEG profile with {name}", lambda lies=lies: saved("JPEG", icc_profile=profile(words=lies)), EITHER, "stranger.jpg")

# Designs.
MOTIF = '[[motif]]\nfile = "limpet.svg"\n'


def design(name, text, says, *flags):
    add(name, lambda: (text() if callable(text) else text).encode(), says, *flags, file="stranger.toml")


design("a design of 10^6 motifs", lambda: '[[motif]]\nfile="limpet.svg"\n' * 1_000_000, "places of motifs: 1000000; the most is 100000|takes more memory than")
design("a design of 20 000 motifs", lambda: '[[motif]]\nfile="limpet.svg"\nwidth="3mm"\nat=["7%","9%"]\n' * 20_000, EITHER)
design("a list 100 000 deep", lambda: "allow = " + "[" * 100_000 + "]" * 100_000, "stranger.toml")
design("tables 10 000 deep", lambda: "a = " + "{a=" * 10_000 + "1" + "}" * 10_000, "stranger.toml")
design("a name of 100 000 parts", lambda: "a." * 100_000 + "a = 1", "stranger.toml")
design("a text of 80 MB", lambda: 'name = "' + "x" * 80_000_000 + '"', "bytes in the file: more than 64MiB")
design("2 000 deliveries", lambda: MOTIF + "".join(f'[[deliver]]\nname = "n{i}"\nas = ["svg"]\n' for i in range(2_000)), EITHER)
for name, line in [
    ("a scale of 1e308", "scale = 1e308"), ("a scale of NaN", "scale = nan"), ("a turn of 1e300", "turn = 1e300"), ("a turn of inf", "turn = inf"),
    ("a width of 10^30 in", 'width = "1000000000000000000000000000000in"'), ("a width of 1e-30 in", 'width = "0.000000000000000000000000000001in"'),
    ("a place 10^20 blocks off", 'at = ["10000000000000000000000%", "0%"]'), ("a layer of 2^63", "layer = 9223372036854775807"),
]:
    design(f"a motif with {name}", MOTIF + line, "stranger.toml")
for name, line in [("a dpi of 10^18", "dpi = 1000000000000000000"), ("a dpi of 1e300", "dpi = 1e300"), ("a quality of 2^63", 'as = ["jpeg"]\nquality = 9223372036854775807'), ("a dpi of 10^-9", 'dpi = "0.000000001"')]:
    design(f"a delivery with {name}", f"{MOTIF}[[deliver]]\n{line}", "stranger.toml")
design("a tile of 10^12 in", f'repeat = {{ tile = "1000000000000in" }}\n{MOTIF}', "stranger.toml")
design("a block of one pixel", f'repeat = {{ layout = "straight", block = "1px", tile = "4000px" }}\n{MOTIF}width = "0.1mm"', EITHER)
design("a drop by a seven-digit share", f'repeat = {{ layout = "drop=1/9999991" }}\n{MOTIF}', "stranger.toml")
design("a motif that is the design", '[[motif]]\nfile = "stranger.toml"', "is not well-formed XML")
design("a motif that is a folder", '[[motif]]\nfile = "."', "is a folder")
design("a motif that never ends", '[[motif]]\nfile = "/dev/zero"', "bytes in the file: more than 64MiB")
design("a motif of noise that never ends", '[[motif]]\nfile = "/dev/urandom"', "bytes in the file: more than 64MiB|stranger|urandom")
design("limits without end", f"{MOTIF}[limits]\nnodes = 999999999999999\ndepth = 999999999999999", None)
design("null bytes in a design", "name = \"a\0b\"\n" + MOTIF, "stranger.toml")
add("a design in UTF-16", lambda: MOTIF.encode("utf-16"), "UTF-8", file="stranger.toml")
