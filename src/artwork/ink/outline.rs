//! The outline of one painted path: its fill, and its stroke widened.

use std::cell::Cell;

use kurbo::{Affine, BezPath, Cap, Circle, Join, ParamCurve, PathEl, Point, Rect, Shape as _, Stroke, StrokeOpts};
use usvg::tiny_skia_path::PathSegment;
use usvg::{LineCap, LineJoin, Paint};

use super::super::budget::Budget;
use super::{Rule, Shape, norm};
use crate::limits::Limits;

/// The tree's transform, in `f64`.
pub fn affine(t: usvg::Transform) -> Affine {
    Affine::new([t.sx, t.ky, t.kx, t.sy, t.tx, t.ty].map(f64::from))
}

/// A path of the tree as it stands, contours left open or closed.
pub fn bez(path: &usvg::tiny_skia_path::Path) -> BezPath {
    let p = |p: usvg::tiny_skia_path::Point| Point::new(f64::from(p.x), f64::from(p.y));
    let elements = path.segments().map(|s| match s {
        PathSegment::MoveTo(a) => PathEl::MoveTo(p(a)),
        PathSegment::LineTo(a) => PathEl::LineTo(p(a)),
        PathSegment::QuadTo(a, b) => PathEl::QuadTo(p(a), p(b)),
        PathSegment::CubicTo(a, b, c) => PathEl::CurveTo(p(a), p(b), p(c)),
        PathSegment::Close => PathEl::ClosePath,
    });
    BezPath::from_vec(elements.collect())
}

/// Closes every contour, as filling does.
pub fn close(path: &BezPath) -> BezPath {
    let mut out = BezPath::new();
    let mut open = false;
    for element in path.elements() {
        if matches!(element, PathEl::MoveTo(_)) && open {
            out.close_path();
        }
        open = !matches!(element, PathEl::ClosePath) && (open || !matches!(element, PathEl::MoveTo(_)));
        out.push(*element);
    }
    if open {
        out.close_path();
    }
    out
}

/// The filled area of a path. Like the painter, it holds nothing if the path is flat.
pub(super) fn fill(path: &usvg::Path, fill: &usvg::Fill, to: Affine) -> Option<Shape> {
    let flat = path.data().bounds();
    if flat.width() == 0.0 || flat.height() == 0.0 {
        return None;
    }
    Shape::new(to * close(&bez(path.data())), fill.rule().into(), 0.0)
}

/// The area that a stroke covers, worked out in the path's own space and then transformed.
/// Dashes that are too many, or longer than a painter can count, count as a whole line, and clipped miters as discs.
pub(super) fn stroke(
    path: &usvg::Path,
    stroke: &usvg::Stroke,
    to: Affine,
    accuracy: f64,
    budget: &Budget,
) -> Option<Shape> {
    let centre = bez(path.data());
    let width = f64::from(stroke.width().get());
    let extent = centre.bounding_box().inflate(width, width);
    // In own space; never finer than a millionth of the whole, lest a huge path take for ever.
    let accuracy = (accuracy / norm(to).max(1e-9)).max(1e-6 * extent.width().max(extent.height()));
    if !accuracy.is_finite() || !extent.is_finite() {
        return None;
    }
    let mut outline = widened(&centre, stroke, accuracy, budget).unwrap_or_else(|| {
        let style = Stroke::new(width * 1.5).with_caps(Cap::Round).with_join(Join::Round);
        kurbo::stroke(centre.elements().iter().copied(), &style, &StrokeOpts::default(), accuracy)
    });
    if stroke.linejoin() == LineJoin::MiterClip {
        corners(&centre, width * f64::from(stroke.miterlimit().get()), &mut outline);
    }
    Shape::new(to * close(&outline), Rule::NonZero, 2.0 * accuracy * norm(to))
}

/// The outline of a stroke, contours left open or closed; `None` if its dashes are not known.
/// Clipped miters are left out.
///
/// Round caps and joins are cubics that bulge over the circle by up to 0.03 % of its radius,
/// never under it.
pub(in crate::artwork) fn widened(
    centre: &BezPath,
    stroke: &usvg::Stroke,
    accuracy: f64,
    budget: &Budget,
) -> Option<BezPath> {
    let width = f64::from(stroke.width().get());
    let join = match stroke.linejoin() {
        LineJoin::Miter | LineJoin::MiterClip => Join::Miter,
        LineJoin::Round => Join::Round,
        LineJoin::Bevel => Join::Bevel,
    };
    let cap = match stroke.linecap() {
        LineCap::Butt => Cap::Butt,
        LineCap::Round => Cap::Round,
        LineCap::Square => Cap::Square,
    };
    let limit = f64::from(stroke.miterlimit().get());
    let mut style = Stroke::new(width).with_caps(cap).with_join(join).with_miter_limit(limit);
    match dashes(stroke, centre, budget) {
        Dashes::None => {}
        Dashes::Each(offset, pattern) => style = style.with_dashes(offset, pattern),
        Dashes::Unknown => return None,
    }
    let mut outline = kurbo::stroke(centre.elements().iter().copied(), &style, &StrokeOpts::default(), accuracy);
    dots(centre, width, cap, &mut outline);
    Some(outline)
}

/// The outline that a stroke covers in the path's own space, closed, as exact as asked; `None` if its dashes are more
/// than may still be worked out, or its miters are clipped.
pub fn covered(path: &usvg::Path, stroke: &usvg::Stroke, accuracy: f64, dashes: &Cell<f64>) -> Option<BezPath> {
    if stroke.linejoin() == LineJoin::MiterClip {
        return None;
    }
    let budget = Budget { dashes: dashes.clone(), ..Budget::new(Limits::default()) };
    let outline = widened(&bez(path.data()), stroke, accuracy, &budget);
    dashes.set(budget.dashes.get());
    outline.map(|outline| close(&outline))
}

/// How far a painter may be wrong about where a dash begins, in the stroke's own units.
const UNSURE: f64 = 0.01;

enum Dashes {
    None,
    Each(f64, Vec<f64>),
    Unknown,
}

fn dashes(stroke: &usvg::Stroke, centre: &BezPath, budget: &Budget) -> Dashes {
    let Some(array) = stroke.dasharray() else { return Dashes::None };
    let mut pattern: Vec<f64> = array.iter().map(|d| f64::from(*d)).collect();
    if pattern.len() % 2 == 1 {
        pattern.extend_from_within(..);
    }
    let period: f64 = pattern.iter().sum();
    if !(period > 0.0 && period.is_finite()) {
        return Dashes::None;
    }
    // A painter counts along the line in f32; so far away it no longer knows where a dash begins.
    if (period + f64::from(stroke.dashoffset()).abs()) * f64::from(f32::EPSILON) * pattern.len() as f64 > UNSURE {
        return Dashes::Unknown;
    }
    let dashes = centre.perimeter(period.max(1e-3)) / period * pattern.len() as f64;
    let left = budget.dashes.get() - dashes;
    if left.is_nan() || left < 0.0 {
        return Dashes::Unknown;
    }
    budget.dashes.set(left);
    // A dash without length is a dot under round and square caps.
    for dash in pattern.iter_mut().step_by(2).filter(|d| **d == 0.0) {
        *dash = period * 1e-6;
    }
    Dashes::Each(f64::from(stroke.dashoffset()).rem_euclid(period), pattern)
}

/// Contours without length: round and square caps make them dots.
fn dots(centre: &BezPath, width: f64, cap: Cap, outline: &mut BezPath) {
    if cap == Cap::Butt {
        return;
    }
    let mut start: Option<Point> = None;
    let mut drawn = (false, false); // any element after the move; any of them with length
    let mut flush = |start: Option<Point>, drawn: (bool, bool)| {
        if let (Some(p), (true, false)) = (start, drawn) {
            match cap {
                Cap::Round => outline.extend(Circle::new(p, width / 2.0).path_elements(width * 1e-6)),
                _ => outline.extend(Rect::from_center_size(p, (width, width)).path_elements(0.1)),
            }
        }
    };
    for element in centre.elements() {
        if let PathEl::MoveTo(p) = element {
            flush(start, drawn);
            (start, drawn) = (Some(*p), (false, false));
        } else {
            let moved = |p: &Point| start.is_some_and(|s| s != *p);
            let length = match element {
                PathEl::LineTo(a) => moved(a),
                PathEl::QuadTo(a, b) => moved(a) || moved(b),
                PathEl::CurveTo(a, b, c) => moved(a) || moved(b) || moved(c),
                PathEl::MoveTo(_) | PathEl::ClosePath => false,
            };
            drawn = (true, drawn.1 || length);
        }
    }
    flush(start, drawn);
}

/// Clipped miters reach as far as the limit from each corner; a disc there bounds them.
fn corners(centre: &BezPath, reach: f64, outline: &mut BezPath) {
    let segments: Vec<_> = centre.segments().collect();
    for pair in segments.windows(2) {
        let corner = pair[1].start();
        if pair[0].end() == corner {
            outline.extend(Circle::new(corner, reach / 2.0).path_elements(reach * 1e-3));
        }
    }
}

/// Whether a paint leaves anything visible.
pub(super) fn visible(paint: &Paint, opacity: usvg::Opacity) -> bool {
    let stops = |g: &usvg::BaseGradient| g.stops().iter().any(|s| s.opacity().get() > 0.0);
    opacity.get() > 0.0
        && match paint {
            Paint::Color(_) | Paint::Pattern(_) => true,
            Paint::LinearGradient(g) => stops(g),
            Paint::RadialGradient(g) => stops(g),
        }
}

/// Whether a paint is black all over: in a mask by luminance it lets nothing through.
pub(super) fn black(paint: &Paint) -> bool {
    let is_black = |c: usvg::Color| (c.red, c.green, c.blue) == (0, 0, 0);
    let stops = |g: &usvg::BaseGradient| g.stops().iter().all(|s| is_black(s.color()) || s.opacity().get() == 0.0);
    match paint {
        Paint::Color(c) => is_black(*c),
        Paint::LinearGradient(g) => stops(g),
        Paint::RadialGradient(g) => stops(g),
        Paint::Pattern(_) => false,
    }
}
