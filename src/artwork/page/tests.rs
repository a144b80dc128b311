//! Sizes as drawings write them, right and wrong.

use super::*;
use crate::limits::Limits;

fn size_of(root: &str) -> Result<Option<Size>, ArtworkError> {
    let text = format!("<svg xmlns='{}' {root}/>", super::super::source::SVG);
    let source = Source::from_text("limpet".into(), text, Limits::default());
    let doc = source.parse()?;
    true_size(&source, &doc.root_element())
}

fn emu(root: &str) -> (i64, i64) {
    let size = size_of(root).expect("a size").expect("an absolute size");
    (size.width.emu(), size.height.emu())
}

#[test]
fn units_are_exact() {
    for (text, expected) in [
        ("40mm", 1_440_000),
        ("4cm", 1_440_000),
        ("160Q", 1_440_000),
        ("1in", 914_400),
        ("72pt", 914_400),
        ("6pc", 914_400),
        ("96px", 914_400),
        ("96", 914_400),
        ("9.6e1", 914_400),
        ("960E-1px", 914_400),
        ("0.1mm", 3_600),
        (".5in", 457_200),
        ("+2MM", 72_000),
        (" 3 mm ", 108_000),
        ("209.99999999999997mm", 7_560_000),
        ("0.33333333333333333333in", 304_800),
    ] {
        assert_eq!(emu(&format!("width='{text}' height='{text}'")), (expected, expected), "{text}");
    }
}

#[test]
fn a_missing_side_follows_from_the_view_box() {
    assert_eq!(emu("width='30mm' viewBox='0 0 300 100'"), (1_080_000, 360_000));
    assert_eq!(emu("height='30mm' width='auto' viewBox='0,0,1e2,3e2'"), (360_000, 1_080_000));
    assert_eq!(emu("width='1in' viewBox='0 0 3 1'"), (914_400, 304_800));
}

#[test]
fn relative_sizes_are_no_true_size() {
    for root in [
        "viewBox='0 0 4 3'",
        "width='100%' height='100%' viewBox='0 0 4 3'",
        "width='10em' viewBox='0 0 4 3'",
        "width='3mm' height='100%' viewBox='0 0 4 3'",
    ] {
        assert_eq!(size_of(root).expect(root), None, "{root}");
    }
}

#[test]
fn wrong_sizes_say_what_and_where() {
    for (root, message, hint) in [
        (
            "",
            "limpet:1: the drawing has no size: <svg> has no width and height in fixed units, and no viewBox",
            "write for example width=\"40mm\" height=\"30mm\", or a viewBox such as viewBox=\"0 0 400 300\"",
        ),
        (
            "width='100%' height='20mm'",
            "limpet:1: the drawing has no size: <svg> has no width and height in fixed units, and no viewBox",
            "write for example width=\"40mm\" height=\"30mm\", or a viewBox such as viewBox=\"0 0 400 300\"",
        ),
        (
            "width='0' height='4'",
            "limpet:1: width=\"0\" is not more than zero",
            "write a number and mm, cm, in, pt, pc, px or q, for example width=\"40mm\"",
        ),
        (
            "\n\nheight='-3mm' width='4'",
            "limpet:3: height=\"-3mm\" is not more than zero",
            "write a number and mm, cm, in, pt, pc, px or q, for example height=\"40mm\"",
        ),
        (
            "width='wide'",
            "limpet:1: width=\"wide\" is not a length",
            "write a number and mm, cm, in, pt, pc, px or q, for example width=\"40mm\"",
        ),
        (
            "width='nan'",
            "limpet:1: width=\"nan\" is not a length",
            "write a number and mm, cm, in, pt, pc, px or q, for example width=\"40mm\"",
        ),
        (
            "width='3furlong'",
            "limpet:1: width=\"3furlong\" has no unit that is known here",
            "write a number and mm, cm, in, pt, pc, px or q, for example width=\"40mm\"",
        ),
        (
            "width='1e30mm'",
            "limpet:1: width=\"1e30mm\" is too long; a length is at most 10 km",
            "write a number and mm, cm, in, pt, pc, px or q, for example width=\"40mm\"",
        ),
        (
            "width='1e-30mm' height='3'",
            "limpet:1: width=\"1e-30mm\" is not more than zero",
            "write a number and mm, cm, in, pt, pc, px or q, for example width=\"40mm\"",
        ),
        (
            "viewBox='0 0 4'",
            "limpet:1: viewBox=\"0 0 4\" is not four numbers",
            "write four numbers, for example viewBox=\"0 0 400 300\"",
        ),
        (
            "viewBox='0 0 0 4'",
            "limpet:1: viewBox=\"0 0 0 4\" has a width or height that is not more than zero",
            "write four numbers, for example viewBox=\"0 0 400 300\"",
        ),
    ] {
        let error = size_of(root).expect_err(root);
        assert_eq!(error.to_string(), message);
        assert_eq!(error.hint(), hint);
    }
}
