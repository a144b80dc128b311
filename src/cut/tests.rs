//! Known areas. Figures of closed form, as tables of geometry have them; shapely 2.2 gives the same.

use kurbo::{Affine, BezPath, Circle, Point, Rect, Shape as _};

use super::*;
use crate::artwork::Rule;

/// EMU in the unit of these figures, a millimetre.
const MM: f64 = 36_000.0;

fn lay(plane: &mut Plane, path: &BezPath, rule: Rule) -> Region {
    plane.lay(&(Affine::scale(MM) * path), rule)
}

fn square(x: f64, y: f64, side: f64) -> BezPath {
    Rect::new(x, y, x + side, y + side).to_path(0.1)
}

/// The area of what is drawn, with its curves, in square mm.
fn drawn(plane: &Plane, region: &Region) -> f64 {
    plane.outlines(region, 0.0).iter().map(|outline| outline.path.area()).sum::<f64>().abs() / (MM * MM)
}

#[test]
fn two_squares() {
    let mut plane = Plane::new();
    let a = lay(&mut plane, &square(0.0, 0.0, 2.0), Rule::NonZero);
    let b = lay(&mut plane, &square(1.0, 1.0, 2.0), Rule::NonZero);
    assert_eq!(drawn(&plane, &Region::union([&a, &b])), 7.0);
    assert_eq!(drawn(&plane, &a.within(&b)), 1.0);
    assert_eq!(drawn(&plane, &a.against(&b)), 6.0);
    assert_eq!(drawn(&plane, &a.without(&b)), 3.0);
}

/// The lens of unit circles whose middles lie 1 apart is 2π/3 − √3/2.
#[test]
fn two_circles() {
    let mut plane = Plane::new();
    // 16 curves to a circle bulge over it by less than a millionth.
    let circle = |x: f64| Circle::new((x, 0.0), 10.0).to_path(1e-7);
    let (a, b) = (lay(&mut plane, &circle(0.0), Rule::NonZero), lay(&mut plane, &circle(10.0), Rule::NonZero));
    let lens = 100.0 * (2.0 * std::f64::consts::PI / 3.0 - 3.0_f64.sqrt() / 2.0);
    let both = a.within(&b);
    assert!((drawn(&plane, &both) - lens).abs() < 1e-4, "{}", drawn(&plane, &both));
    let all = Region::union([&a, &b]);
    let want = 200.0 * std::f64::consts::PI - lens;
    assert!((drawn(&plane, &all) - want).abs() < 1e-4, "{}", drawn(&plane, &all));
    // Corners lie where the circles cross.
    let corner = Point::new(5.0 * MM, 75.0_f64.sqrt() * MM);
    let nearest = plane.outlines(&both, 0.0)[0]
        .path
        .segments()
        .map(|side| kurbo::ParamCurve::start(&side).distance(corner))
        .fold(f64::MAX, f64::min);
    assert!(nearest < 1.0, "{nearest} EMU off");
}

/// The five-pointed star drawn in one go, its points on a unit circle: its middle is filled, or not.
#[test]
fn a_pentagram_under_both_rules() {
    let mut star = BezPath::new();
    for point in 0..5 {
        let angle = f64::from(point * 2) * std::f64::consts::TAU / 5.0;
        let at = (1000.0 * angle.cos(), 1000.0 * angle.sin());
        if point == 0 { star.move_to(at) } else { star.line_to(at) }
    }
    star.close_path();
    let mut plane = Plane::new();
    let whole = lay(&mut plane, &star, Rule::NonZero);
    assert!((drawn(&plane, &whole) / 1e6 - 1.122_569_941_4).abs() < 1e-7, "{}", drawn(&plane, &whole));
    let hollow = lay(&mut plane, &star, Rule::EvenOdd);
    assert!((drawn(&plane, &hollow) / 1e6 - 0.775_676_752_2).abs() < 1e-7, "{}", drawn(&plane, &hollow));
    assert_eq!(hollow.pieces().count(), 5);
}

#[test]
fn a_frame_grows_and_shrinks() {
    let mut plane = Plane::new();
    let hole = lay(&mut plane, &square(3.0, 3.0, 4.0), Rule::NonZero);
    let frame = lay(&mut plane, &square(0.0, 0.0, 10.0), Rule::NonZero).without(&hole);
    assert_eq!(drawn(&plane, &frame), 84.0);
    for (by, corner, want) in [
        (-1.0, Corner::Mitre(4.0), 28.0),
        (1.0, Corner::Mitre(4.0), 140.0),
        (1.0, Corner::Round, 136.0 + std::f64::consts::PI),
    ] {
        let other = plane.grown(&frame, by * MM, corner);
        let found = drawn(&plane, &other);
        assert!((found - want).abs() < 1e-4, "{by} {corner:?}: {found}, not {want}");
    }
    assert_eq!(drawn(&plane, &plane.filled(&frame, 4.0 * MM)), 100.0);
    assert_eq!(drawn(&plane, &plane.filled(&frame, 3.9 * MM)), 84.0);
}

#[test]
fn a_moved_copy_has_the_moved_points() {
    let mut plane = Plane::new();
    let leaf = BezPath::from_svg("M1.13 2.71C9.7 -3.1 13.3 8.9 4.4 7.7Z").expect("a path");
    let home = lay(&mut plane, &leaf, Rule::NonZero);
    let by = [7_315_201, -1_234_567];
    let moved = plane.moved(&home, by);
    let points =
        |region: &Region| -> Vec<_> { region.rings().flatten().map(|edge| [edge.from.x, edge.from.y]).collect() };
    let want: Vec<_> = points(&home).into_iter().map(|[x, y]| [x + by[0], y + by[1]]).collect();
    assert_eq!(points(&moved), want);
    assert!(want.len() > 20);
}

/// A shape and its neighbor that draws the same edge backwards leave neither gap nor overlap.
#[test]
fn an_edge_drawn_there_and_back_is_one() {
    let mut plane = Plane::new();
    let left = BezPath::from_svg("M0 0H10C14.3 3.1 5.2 6.7 10 10H0Z").expect("a path");
    let right = BezPath::from_svg("M20 0H10C14.3 3.1 5.2 6.7 10 10H20Z").expect("a path");
    let (left, right) = (lay(&mut plane, &left, Rule::NonZero), lay(&mut plane, &right, Rule::EvenOdd));
    assert!(left.within(&right).is_empty());
    let both = Region::union([&left, &right]);
    assert_eq!(drawn(&plane, &both), 200.0);
    assert_eq!(plane.outlines(&both, 0.0).len(), 1);
}

/// Where two pieces touch in a point they are two pieces.
#[test]
fn what_touches_in_a_point_is_apart() {
    let mut plane = Plane::new();
    let a = lay(&mut plane, &square(0.0, 0.0, 2.0), Rule::NonZero);
    let b = lay(&mut plane, &square(2.0, 2.0, 2.0), Rule::NonZero);
    let both = Region::union([&a, &b]);
    assert_eq!(both.pieces().count(), 2);
    // A hole that touches the edge stays a hole.
    let whole = lay(&mut plane, &square(0.0, 0.0, 4.0), Rule::NonZero);
    let hole = lay(&mut plane, &BezPath::from_svg("M0 2L2 1V3Z").expect("a path"), Rule::NonZero);
    let rest = whole.without(&hole);
    assert_eq!((rest.pieces().count(), drawn(&plane, &rest)), (1, 14.0));
}

/// An island that touches the sheet around it keeps its own hole, though the sheet's edge goes around that as well.
#[test]
fn a_hole_belongs_to_the_innermost_piece() {
    let mut plane = Plane::new();
    let mut region = lay(&mut plane, &square(0.0, 0.0, 10.0), Rule::NonZero);
    for (drawing, adds) in [("M2 2H8V8H2Z", false), ("M2 5L4 3L6 5L4 7Z", true), ("M3.5 4.5H4.5V5.5H3.5Z", false)] {
        let shape = lay(&mut plane, &BezPath::from_svg(drawing).expect("a path"), Rule::NonZero);
        region = if adds { Region::union([&region, &shape]) } else { region.without(&shape) };
    }
    let mut areas: Vec<f64> = region.pieces().map(|piece| drawn(&plane, &piece)).collect();
    areas.sort_by(f64::total_cmp);
    assert_eq!(areas, [7.0, 64.0]);
}
