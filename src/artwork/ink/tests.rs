//! Queries on ink, checked against simple shapes whose answer is known.

use kurbo::{Affine, Rect};

use super::*;

fn ink(body: &str) -> Ink {
    let svg = format!("<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 100 100'>{body}</svg>");
    let motif = super::super::Motif::from_svg("test", svg.as_bytes(), &super::super::Intake::new());
    motif.expect("a motif").ink().clone()
}

fn near(a: Rect, b: Rect, error: f64) -> bool {
    [(a.x0, b.x0), (a.y0, b.y0), (a.x1, b.x1), (a.y1, b.y1)].iter().all(|(a, b)| (a - b).abs() <= error)
}

#[test]
fn the_norm_is_the_greatest_stretch() {
    for (to, stretch) in [
        (Affine::IDENTITY, 1.0),
        (Affine::rotate(0.8), 1.0),
        (Affine::scale_non_uniform(3.0, -5.0), 5.0),
        (Affine::rotate(0.3) * Affine::scale_non_uniform(0.1, 7.0) * Affine::rotate(1.0), 7.0),
        (Affine::new([0.0; 6]), 0.0),
    ] {
        assert!((norm(to) - stretch).abs() < 1e-12, "{to:?}: {}", norm(to));
    }
}

#[test]
fn bounds_of_a_turned_rectangle_are_its_corners() {
    let ink = ink("<rect x='40' y='40' width='20' height='20'/>");
    let half = 10.0 * std::f64::consts::SQRT_2;
    let turned = ink.bounds(Affine::rotate_about(std::f64::consts::FRAC_PI_4, (50.0, 50.0))).expect("ink");
    assert!(near(turned, Rect::new(50.0 - half, 50.0 - half, 50.0 + half, 50.0 + half), 1e-9), "{turned:?}");
}

/// The outline of a stroke is fine enough for a page of 10 000 pixels.
#[test]
fn bounds_hold_when_scaled_up() {
    let ink = ink("<path d='M50 20V80' stroke='red' stroke-width='10' stroke-linecap='round'/>");
    for to in [Affine::scale(100.0), Affine::rotate(0.4) * Affine::scale(100.0)] {
        let got = ink.bounds(to).expect("ink");
        let disc = |y: f64| Rect::from_center_size(to * Point::new(50.0, y), (1_000.0, 1_000.0));
        let truth = disc(20.0).union(disc(80.0));
        assert!(got.union(truth) == got, "{got:?} is smaller than {truth:?}");
        assert!(near(got, truth, 0.0003 * 500.0 + 0.05), "{got:?} is larger than {truth:?}");
    }
}

#[test]
fn a_flattened_transform_has_no_inside() {
    let ink = ink("<rect x='40' y='40' width='20' height='20'/>");
    let flat = Affine::scale_non_uniform(1.0, 0.0);
    assert!(ink.touches(flat, Rect::new(0.0, -1.0, 100.0, 1.0)));
    assert!(!ink.touches(flat, Rect::new(0.0, 1.0, 100.0, 2.0)));
    assert!(!ink.touches(flat, Rect::new(0.0, -1.0, 39.0, 1.0)));
}

/// A rectangle whose corner box meets the ink's box, but not the ink.
#[test]
fn a_corner_of_the_box_is_not_the_ink() {
    let ink = ink("<circle cx='50' cy='50' r='40'/>");
    assert!(!ink.touches(Affine::IDENTITY, Rect::new(10.0, 10.0, 20.0, 20.0)));
    assert!(ink.touches(Affine::IDENTITY, Rect::new(10.0, 10.0, 22.0, 22.0)));
    assert!(ink.touches(Affine::IDENTITY, Rect::new(49.0, 49.0, 49.0, 49.0)));
}

/// Lines that pass a rectangle by its corner, on either side.
#[test]
fn lines_pass_or_cross_a_rectangle() {
    let rect = Rect::new(0.0, 0.0, 10.0, 10.0);
    for (a, b, crossed) in [
        ((-5.0, 4.0), (4.0, -5.0), false),
        ((-5.0, 6.0), (6.0, -5.0), true),
        ((-1.0, 5.0), (11.0, 5.0), true),
        ((-1.0, 11.0), (11.0, 11.0), false),
    ] {
        let line = PathSeg::Line(kurbo::Line::new(a, b));
        assert_eq!(crosses(line, rect, 0), crossed, "{a:?} {b:?}");
    }
}

/// What the plan of a big tile asks: 2 000 placements of a motif of 125 curves, each against
/// nine rectangles around it. It takes about 250 ms; the bound is for a busy machine.
#[test]
fn a_big_plan_is_quick() {
    let curve = |i: i32| {
        format!(
            "<path d='M{} {}c3 -3 6 0 6 5s-2 7 -5 5s1 -2 2 -4s-5 -1 -3 -6' stroke='red'/>",
            i % 5 * 18 + 5,
            i / 5 * 18 + 5
        )
    };
    let ink = ink(&(0..25).map(curve).collect::<String>());
    let start = std::time::Instant::now();
    let mut met = 0;
    for i in 0..2_000 {
        let to = Affine::translate((f64::from(i), 40.0)) * Affine::rotate(f64::from(i)) * Affine::scale(2.0);
        let bounds = ink.bounds(to).expect("ink");
        for (dx, dy) in (0..9).map(|k| (f64::from(k % 3 - 1), f64::from(k / 3 - 1))) {
            let rect = bounds + kurbo::Vec2::new(dx * bounds.width() * 0.9, dy * bounds.height() * 0.9);
            met += u32::from(ink.touches(to, rect));
        }
    }
    let took = start.elapsed();
    assert!(met >= 2_000, "{met}");
    assert!(took.as_secs_f64() < 2.0, "{took:?}");
}
