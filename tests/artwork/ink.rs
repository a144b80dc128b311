//! Where ink is said to reach, held against what a painter really paints.
//!
//! Each drawing in `tests/artwork/drawings/ink` and `patterns` is painted at four pixels per unit on a canvas with
//! room around it. Every painted pixel must lie within one pixel of the ink, the bounds must
//! not reach further than one pixel past what is painted, and where nothing is painted for
//! two pixels around there must be no ink.

use kurbo::{Affine, Rect};
use seamfast::artwork::{Intake, Motif};

use crate::common::{MARGIN, SCALE, drawings, paint, painted, pixel, stem};

/// How far the bounds may reach past what is painted, in pixels. Filters are bounded by
/// rectangles, and a blur by 3.5 deviations, of which the last are too faint to see.
fn slack(name: &str) -> f64 {
    match name {
        "filter-blur" | "filter-then-clip" => 20.0,
        "filter-blur-turned" => 48.0,
        "filter-drop-shadow" | "filter-two-in-a-row" => 10.0,
        "stroke-miter-clip" => 14.0, // a disc at the corner,
        _ => 1.0,
    }
}

/// Whether the ink is followed, not only bounded.
fn is_followed(name: &str) -> bool {
    !name.starts_with("filter-") && name != "gradient-and-effects" && name != "stroke-miter-clip"
}

/// Where a shape ends beside a mark of its pattern, two soft edges may share a pixel though
/// the shapes have no point in common: it is painted, faintly, without ink.
const FAINT: u8 = 24;

fn alpha(pixmap: &resvg::tiny_skia::Pixmap, x: i64, y: i64) -> u8 {
    let at = |v: i64| u32::try_from(v).unwrap_or(u32::MAX);
    pixmap.pixel(at(x), at(y)).map_or(0, |p| p.alpha())
}

fn alpha_bounds(pixmap: &resvg::tiny_skia::Pixmap) -> Option<Rect> {
    let (w, h) = (i64::from(pixmap.width()), i64::from(pixmap.height()));
    let all = (0..h).flat_map(|y| (0..w).map(move |x| (x, y))).filter(|(x, y)| painted(pixmap, *x, *y));
    all.map(|(x, y)| pixel(x, y)).reduce(|a, b| a.union(b))
}

#[test]
fn ink_reaches_as_far_as_paint() {
    let to = Affine::translate((f64::from(MARGIN), f64::from(MARGIN))) * Affine::scale(f64::from(SCALE));
    let mut wrong = Vec::new();
    for path in [drawings("ink"), drawings("patterns")].concat() {
        let name = stem(&path);
        let motif = Motif::read(&path, &Intake::new()).unwrap_or_else(|e| panic!("{e}\n{}", e.hint()));
        let pixmap = paint(&[motif.tree()]);
        let Some(extent) = alpha_bounds(&pixmap) else {
            if !motif.ink().is_empty() || motif.ink().bounds(to).is_some() {
                wrong.push(format!("{name}: ink, but nothing painted"));
            }
            continue;
        };
        let Some(bounds) = motif.ink().bounds(to) else {
            wrong.push(format!("{name}: painted, but no ink"));
            continue;
        };
        let faint = if path.parent().is_some_and(|p| p.ends_with("patterns")) { FAINT } else { 0 };
        let most = extent.inflate(slack(&name), slack(&name));
        if most.union(bounds) != most {
            wrong.push(format!("{name}: bounds {bounds:?} are larger than painted {extent:?}"));
        }
        let around = |x: i64, y: i64, reach: i64| {
            (y - reach..=y + reach).flat_map(move |y| (x - reach..=x + reach).map(move |x| (x, y)))
        };
        for y in 0..i64::from(pixmap.height()) {
            for x in 0..i64::from(pixmap.width()) {
                let edge = || around(x, y, 1).any(|(x, y)| !painted(&pixmap, x, y));
                if painted(&pixmap, x, y) && edge() {
                    if alpha(&pixmap, x, y) > faint && !motif.ink().touches(to, pixel(x, y).inflate(1.0, 1.0)) {
                        wrong.push(format!("{name}: pixel {x},{y} is painted without ink"));
                    }
                } else if x % 3 == 0
                    && y % 3 == 0
                    && is_followed(&name)
                    && around(x, y, 2).all(|(x, y)| !painted(&pixmap, x, y))
                    && motif.ink().touches(to, pixel(x, y))
                {
                    wrong.push(format!("{name}: ink at {x},{y}, where nothing is painted"));
                }
            }
        }
    }
    let shown: Vec<&String> = wrong.iter().take(40).collect();
    assert!(wrong.is_empty(), "{} wrong:\n{shown:#?}", wrong.len());
}

#[test]
fn bounds_turn_with_the_motif() {
    let svg =
        br#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100"><circle cx="50" cy="50" r="10"/></svg>"#;
    let motif = Motif::from_svg("limpet", svg, &Intake::new()).expect("a motif");
    let turned = motif.ink().bounds(Affine::rotate_about(0.7, (50.0, 50.0))).expect("ink");
    let expected = Rect::new(40.0, 40.0, 60.0, 60.0);
    for (got, want) in
        [(turned.x0, expected.x0), (turned.y0, expected.y0), (turned.x1, expected.x1), (turned.y1, expected.y1)]
    {
        assert!((got - want).abs() < 0.02, "{turned:?}");
    }
}

#[test]
fn a_rectangle_inside_the_ink_is_touched_and_one_in_a_hole_is_not() {
    let svg = br#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100"><path fill-rule="evenodd" d="M0 0H100V100H0ZM30 30H70V70H30Z"/></svg>"#;
    let motif = Motif::from_svg("buoy", svg, &Intake::new()).expect("a motif");
    for (rect, touched) in [
        (Rect::new(10.0, 10.0, 12.0, 12.0), true),
        (Rect::new(40.0, 40.0, 60.0, 60.0), false),
        (Rect::new(20.0, 20.0, 80.0, 80.0), true),
        (Rect::new(29.0, 40.0, 31.0, 41.0), true),
        (Rect::new(101.0, 0.0, 110.0, 110.0), false),
        (Rect::new(-10.0, -10.0, 200.0, 200.0), true),
        (Rect::new(60.0, 60.0, 40.0, 40.0), false),
    ] {
        assert_eq!(motif.ink().touches(Affine::IDENTITY, rect), touched, "{rect:?}");
        let turn = Affine::rotate_about(std::f64::consts::FRAC_PI_2, (50.0, 50.0));
        let flipped = turn.transform_rect_bbox(rect);
        assert_eq!(
            motif.ink().touches(turn, if rect.width() < 0.0 { rect } else { flipped }),
            touched,
            "turned {rect:?}"
        );
    }
}
