//! Strangers' files: nothing hangs, nothing crashes, and what is refused is refused in words.

use std::time::{Duration, Instant};

use seamfast::artwork::{ArtworkError, Croquis, Intake, Motif};

use crate::common::drawings;

fn svg(body: &str) -> String {
    format!("<svg xmlns='http://www.w3.org/2000/svg' width='40mm' height='40mm' viewBox='0 0 100 100'>{body}</svg>")
}

/// Takes a drawing both ways; it must not take long.
fn take(text: &str) -> Result<Motif, ArtworkError> {
    let start = Instant::now();
    let result = Motif::from_svg("stranger", text.as_bytes(), &Intake::new());
    let _ = Croquis::from_svg("stranger", text.as_bytes(), &Intake::new());
    assert!(start.elapsed() < Duration::from_secs(20), "{:?} for {}…", start.elapsed(), &text[..text.len().min(60)]);
    result
}

fn refused(text: &str) -> String {
    take(text).expect_err("refused").to_string()
}

#[test]
fn entities_that_grow() {
    let laughs = "<!DOCTYPE svg [<!ENTITY a 'ha'><!ENTITY b '&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;'>]><svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 1 1'><title>&b;</title></svg>";
    assert_eq!(refused(laughs), "stranger:1: an entity stands for more than plain text");
    let long = format!(
        "<!DOCTYPE svg [<!ENTITY a '{}'>]><svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 1 1'><title>{}</title></svg>",
        "x".repeat(100_000),
        "&a;".repeat(20_000)
    );
    assert_eq!(refused(&long), "stranger: bytes added by entities: 2000000000; the most is 4MiB");
    let outside = "<!DOCTYPE svg [<!ENTITY a SYSTEM '/etc/hostname'>]><svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 1 1'><title>&a;</title></svg>";
    assert_eq!(refused(outside), "stranger:1:117: is not well-formed XML: unknown entity reference 'a'");
}

#[test]
fn uses_that_multiply_or_go_round() {
    let mut bomb = String::from("<path id='u0' d='M0 0H5V5Z'/>");
    for i in 1..=9 {
        bomb += &format!("<g id='u{i}'>{}</g>", format!("<use href='#u{}'/>", i - 1).repeat(10));
    }
    assert!(refused(&svg(&bomb)).starts_with("stranger: elements, once every use is resolved"), "a bomb");
    let round = svg(
        "<g id='a'><use href='#b'/></g><g id='b'><use href='#c'/></g><g id='c'><use href='#a'/></g><rect width='5' height='5'/>",
    );
    let _ = take(&round);
    assert!(take(&svg("<g id='a'><use href='#a'/></g><rect width='5' height='5'/>")).is_ok());
}

#[test]
fn groups_in_groups() {
    let deep = |n: usize| svg(&format!("{}<rect width='5' height='5'/>{}", "<g>".repeat(n), "</g>".repeat(n)));
    assert_eq!(refused(&deep(20_000)), "stranger: elements inside one another: 20002; the most is 256");
    assert!(take(&deep(250)).is_ok());
    assert!(refused(&svg(&chain(900))).starts_with("stranger: "));
    // What is taken can be painted on a common thread.
    for drawing in [deep(250), svg(&chain(240))] {
        let motif = take(&drawing).expect("a motif");
        let painted = crate::common::paint(&[motif.tree()]);
        assert!(painted.pixels().iter().any(|p| p.alpha() > 0));
    }
}

/// A rectangle used by a group that is used by a group …
fn chain(links: usize) -> String {
    let groups: String = (1..links).map(|i| format!("<g id='u{i}'><use href='#u{}'/></g>", i - 1)).collect();
    format!("<g id='u0'><rect width='5' height='5'/></g><defs>{groups}</defs><use href='#u{}'/>", links - 1)
}

#[test]
fn what_would_take_for_ever_to_paint() {
    let filter =
        |step: &str| svg(&format!("<filter id='f'>{step}</filter><rect width='50' height='50' filter='url(#f)'/>"));
    for (drawing, said) in [
        (
            filter("<feTurbulence baseFrequency='.1' numOctaves='1000000'/>"),
            "octaves of noise: 1000000; the most is 10",
        ),
        (filter("<feMorphology radius='400'/>"), "the radius of feMorphology: 400% of the page's side; the most is 5%"),
        (
            filter(&format!("<feConvolveMatrix order='101' kernelMatrix='{}'/>", "1 ".repeat(101 * 101))),
            "the order of feConvolveMatrix: 101; the most is 15",
        ),
        (filter(&"<feGaussianBlur stdDeviation='9'/>".repeat(500)), "steps in one filter: 500; the most is 64"),
        (
            svg(
                "<pattern id='p' width='1e6' height='1e6' patternUnits='userSpaceOnUse'><rect width='5' height='5'/></pattern><rect width='50' height='50' fill='url(#p)'/>",
            ),
            "the side of a pattern's tile: 1000000% of the page's; the most is 400%",
        ),
    ] {
        let message = refused(&drawing);
        assert!(message.starts_with(&format!("stranger: {said}")), "{message}");
    }
    for levels in [4, 6, 12] {
        let message = refused(&svg(&nested_patterns(levels)));
        let expected = if levels <= 6 {
            "patterns inside patterns: 4; the most is 3"
        } else {
            "patterns, masks, clips and markers that lead to one another: 7; the most is 6"
        };
        assert_eq!(message, format!("stranger: {expected}"));
    }
    assert!(take(&svg(&nested_patterns(3))).is_ok());
}

fn nested_patterns(levels: usize) -> String {
    let mut nested = String::new();
    for i in 1..=levels {
        let inside = if i == 1 {
            "<rect width='9' height='9'/>".to_owned()
        } else {
            format!("<rect width='9' height='9' fill='url(#p{})'/>", i - 1).repeat(5)
        };
        nested +=
            &format!("<pattern id='p{i}' width='10' height='10' patternUnits='userSpaceOnUse'>{inside}</pattern>");
    }
    nested + &format!("<rect width='50' height='50' fill='url(#p{levels})'/>")
}

#[test]
fn effects_beyond_all_numbers() {
    let filter = |region: &str| {
        svg(&format!(
            "\n<filter id='f' {region}><feFlood/></filter><rect x='9' width='50' height='50' filter='url(#f)'/>"
        ))
    };
    assert_eq!(
        refused(&filter("x='0' y='0' width='1' height='1e38'")),
        "stranger: the size of a number of a filter, mask or pattern: height=\"1e38\" in line 2; the most is 1000000000"
    );
    // Here the reader itself stops: a region that is nothing beside the place it lies at.
    let said = refused(&filter("x='0' y='0' width='1e-12' height='1'"));
    assert_eq!(said, "stranger: the drawing cannot be worked out: the SVG reader gave up");
    assert!(take(&filter("x='-1e6' y='0' width='2e6' height='1'")).is_ok());
}

#[test]
fn parts_that_multiply() {
    let marker = format!(
        "<marker id='m'>{}</marker><path marker-mid='url(#m)' d='M0 0{}'/>",
        "<path d='M0 0H1V1Z'/>".repeat(1_000),
        "L5 5L0 9".repeat(20_000)
    );
    assert!(refused(&svg(&marker)).starts_with("stranger: parts of markers, at every point: "));
    let many = |n: usize, paint: &str| format!("<rect width='9' height='9' fill='{paint}'/>").repeat(n);
    let pattern = |id: &str, inside: String| {
        format!("<pattern id='{id}' width='10' height='10' patternUnits='userSpaceOnUse'>{inside}</pattern>")
    };
    let patterns =
        [pattern("a", many(1_000, "red")), pattern("b", many(1_000, "url(#a)")), many(100, "url(#b)")].concat();
    assert!(
        refused(&svg(&patterns)).starts_with("stranger: things to paint, with every use of a pattern, mask or clip: ")
    );
}

#[test]
fn outlines_that_cross_everywhere() {
    let mut zigzag = String::from("M0 0");
    for i in 0..20_000_u64 {
        let at = |k: u64| (i.wrapping_mul(k) % 9973) as f64 / 99.73;
        zigzag += &format!("L{:.2} {:.2}", at(7_919), at(104_729));
    }
    let drawing = svg(&format!(
        "<clipPath id='c'><path d='{zigzag}'/></clipPath><path d='{zigzag}' clip-path='url(#c)' stroke='red'/>"
    ));
    assert!(!take(&drawing).expect("a motif").ink().is_empty());
    let dashes = svg(&"<path d='M0 0H100' stroke='red' stroke-dasharray='.001'/>".repeat(1_000));
    assert!(!take(&dashes).expect("a motif").ink().is_empty());
}

#[test]
fn images_that_say_they_are_huge() {
    // A PNG header of 30 000 × 30 000 pixels and nothing behind it.
    let header = "iVBORw0KGgoAAAANSUhEUgAAdTAAAHUwCAIAAAAAAAAA";
    let message = refused(&svg(&format!("<image width='5' height='5' href='data:image/png;base64,{header}'/>")));
    assert_eq!(message, "stranger: pixels of an embedded image: 30000 × 30000; the most is 64000000");
}

#[test]
fn numbers_without_end() {
    for path in [
        "M0 0H1e38V1e38Z",
        "M0 0L1e-40 0",
        "M0 0C1e38 0 0 1e38 -1e38 -1e38",
        "MNaN 0H5",
        "M0 0H1e999",
        "M0 0",
        "M0 0Z",
        "M0 0A1e30 1e-30 0 0 1 5 5",
    ] {
        for stroke in [
            "",
            "stroke='red'",
            "stroke='red' stroke-width='1e37'",
            "stroke='red' stroke-dasharray='1e-5'",
            "stroke='red' stroke-dasharray='1e-30 1e30'",
            "stroke='red' stroke-linejoin='miter-clip' stroke-miterlimit='1e30'",
        ] {
            for to in ["", "scale(1e30)", "scale(1e-30)", "matrix(0 0 0 0 0 0)", "matrix(1 1 1 1 0 0)", "rotate(1e30)"]
            {
                let drawing = svg(&format!(
                    "<clipPath id='c'><path d='{path}'/></clipPath><g transform='{to}' clip-path='url(#c)'><path d='{path}' {stroke}/></g><path d='{path}' transform='{to}' {stroke}/>"
                ));
                if let Ok(motif) = take(&drawing) {
                    let bounds = motif.ink().bounds(kurbo::Affine::rotate(0.3));
                    assert!(bounds.is_none_or(|b| !b.x0.is_nan() && b.width() >= 0.0), "{drawing}");
                    let _ = motif.ink().touches(kurbo::Affine::rotate(0.3), kurbo::Rect::new(0.0, 0.0, 10.0, 10.0));
                }
            }
        }
    }
}

/// Every drawing of these tests, cut off at every tenth byte.
#[test]
fn drawings_cut_off_anywhere() {
    let mut cut = 0;
    for folder in ["ink", "losses", "croquis"] {
        for path in drawings(folder) {
            let bytes = std::fs::read(&path).expect("a drawing");
            for end in (0..bytes.trim_ascii_end().len()).step_by(10) {
                assert!(
                    Croquis::from_svg("cut", &bytes[..end], &Intake::new()).is_err(),
                    "{} cut at {end} was taken apart",
                    path.display()
                );
                assert!(
                    Motif::from_svg("cut", &bytes[..end], &Intake::new()).is_err(),
                    "{} cut at {end} was taken",
                    path.display()
                );
                cut += 1;
            }
        }
    }
    assert!(cut > 1000, "{cut}");
}
