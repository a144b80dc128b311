//! Where ink really reaches: outlines of everything that is painted, with strokes widened,
//! clips cut, and masks and filters bounded.
//!
//! ```text
//!   ┌───────────┐ page
//!   │        ╭──┼─╮        bounds: the least upright rectangle around the ink
//!   │        ╰──┼─╯        touches: is there ink inside a rectangle?
//!   └───────────┘
//! ```
//!
//! The outlines stay curves, so the answers hold at any scale. Where they had to be flattened
//! or approximated, the error is known and always added: ink is never said to end too early.
//! Two things are only bounded, not followed: a soft mask or an image counts to its edge even
//! where it is transparent, and a filter counts as a rectangle. A rasteriser may colour part
//! of one pixel more than an outline covers; that is for the rasteriser to know.

use kurbo::{Affine, BezPath, ParamCurve, ParamCurveExtrema, PathSeg, Point, Rect, Shape as _};
use usvg::Tree;

use super::budget::Budget;

pub(super) mod clip;
mod filter;
mod fine;
pub(super) mod outline;
mod outside;
mod picture;
mod seen;
mod shared;
mod sight;
mod walk;

pub use fine::{Measured, narrow_gaps, narrow_parts};
pub use seen::{Clip, ClipPart, Hindrance, HindranceKind, InkName, Painted, Patterns, Seen};

/// The error of an answer, in units of the target.
const TOLERANCE: f64 = 0.02;

/// Where the ink of one drawing really reaches, in pixels of its tree.
#[derive(Clone, Debug, Default)]
pub struct Ink {
    shapes: Vec<Shape>,
    bounds: Option<Rect>,
}

/// How an outline is filled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rule {
    /// Where it turns around a place at all.
    NonZero,
    /// Where it turns around a place an odd number of times.
    EvenOdd,
}

/// One outline; every contour is closed.
#[derive(Clone, Debug)]
struct Shape {
    path: BezPath,
    rule: Rule,
    /// Of the path, without the slack.
    bounds: Rect,
    /// How far the truth may lie outside the path.
    slack: f64,
    paint: Paint,
    line: Option<Line>,
}

/// What an outline is painted with, for what is measured of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Paint {
    /// One color, sRGB, that hides what is under it.
    Flat([u8; 3]),
    /// Anything else.
    Mixed,
    /// The outline is only a bound of what is painted.
    Bound,
}

/// The line that an outline was widened from.
#[derive(Clone, Copy, Debug)]
struct Line {
    /// In its own space.
    width: f64,
    /// From there to the tree.
    to: Affine,
}

impl Ink {
    /// The ink of a tree.
    pub(super) fn of(tree: &Tree, budget: &Budget) -> Ink {
        let shapes = walk::shapes(tree, budget);
        let bounds = shapes.iter().map(|s| s.bounds.inflate(s.slack, s.slack)).reduce(|a, b| a.union(b));
        Ink { shapes, bounds }
    }

    /// Whether nothing is painted at all.
    pub fn is_empty(&self) -> bool {
        self.shapes.is_empty()
    }

    /// The least upright rectangle around the ink after a transform; `None` without ink.
    ///
    /// Curves are measured after the transform, so a turned circle stays a circle. At most
    /// the error of the outlines is added, never taken away.
    pub fn bounds(&self, to: Affine) -> Option<Rect> {
        let c = to.as_coeffs();
        if c[1] == 0.0 && c[2] == 0.0 {
            return self.bounds.map(|b| to.transform_rect_bbox(b));
        }
        let grow = norm(to);
        let mut all: Option<Rect> = None;
        for shape in &self.shapes {
            let slack = shape.slack * grow;
            let hull = to.transform_rect_bbox(shape.bounds).inflate(slack, slack);
            if all.is_some_and(|a| a.union(hull) == a) {
                continue;
            }
            let tight = shape.bounds_after(to).inflate(slack, slack);
            all = Some(all.map_or(tight, |a| a.union(tight)));
        }
        all
    }

    /// The rectangle, if the ink is one upright rectangle, filled.
    pub(super) fn rectangle(&self) -> Option<Rect> {
        let [shape] = &self.shapes[..] else { return None };
        shape.rectangle()
    }

    /// Whether there is ink inside a rectangle after a transform. Within 0.02 of the edge of
    /// the rectangle the answer may be yes where it is no; it is never no where it is yes.
    pub fn touches(&self, to: Affine, rect: Rect) -> bool {
        if rect.width() < 0.0 || rect.height() < 0.0 {
            return false;
        }
        let grow = norm(to);
        self.shapes.iter().any(|shape| {
            let slack = shape.slack * grow;
            let rect = rect.inflate(slack, slack);
            let hull = to.transform_rect_bbox(shape.bounds);
            meets(rect, hull) && (holds(rect, hull) || shape.touches(to, rect))
        })
    }
}

impl Shape {
    fn new(path: BezPath, rule: Rule, slack: f64) -> Option<Shape> {
        let bounds = path.bounding_box();
        let sound = bounds.is_finite() && !path.is_empty();
        sound.then_some(Shape { path, rule, bounds, slack, paint: Paint::Bound, line: None })
    }

    /// Painted so, and widened from this line.
    fn painted(self, paint: Paint, line: Option<Line>) -> Shape {
        Shape { paint, line, ..self }
    }

    fn bounds_after(&self, to: Affine) -> Rect {
        let boxes = self.path.segments().map(|s| ParamCurveExtrema::bounding_box(&(to * s)));
        boxes.reduce(|a, b| a.union(b)).unwrap_or_else(|| to.transform_rect_bbox(self.bounds))
    }

    /// No part of the edge inside means the rectangle is all in or all out.
    fn touches(&self, to: Affine, rect: Rect) -> bool {
        if self.path.segments().any(|s| crosses(to * s, rect, 0)) {
            return true;
        }
        if to.determinant().abs() < 1e-12 {
            return false;
        }
        self.holds(to.inverse() * rect.center())
    }
}

/// The most a transform stretches anything.
pub(super) fn norm(to: Affine) -> f64 {
    let [most, _] = stretch(to);
    most
}

/// The most and the least that a transform stretches anything: its singular values.
pub fn stretch(to: Affine) -> [f64; 2] {
    let [a, b, c, d, _, _] = to.as_coeffs();
    let (sum, difference) = ((a + d).hypot(b - c), (a - d).hypot(b + c));
    [(sum + difference) / 2.0, (sum - difference).abs() / 2.0]
}

/// Whether two rectangles have a point in common, edges included.
fn meets(a: Rect, b: Rect) -> bool {
    a.x0 <= b.x1 && b.x0 <= a.x1 && a.y0 <= b.y1 && b.y0 <= a.y1
}

fn holds(outer: Rect, inner: Rect) -> bool {
    outer.x0 <= inner.x0 && inner.x1 <= outer.x1 && outer.y0 <= inner.y0 && inner.y1 <= outer.y1
}

/// Whether part of a segment lies in a rectangle: halved until it is decided or too small to matter.
fn crosses(segment: PathSeg, rect: Rect, depth: u8) -> bool {
    let hull = control_box(&segment);
    if !meets(hull, rect) {
        return false;
    }
    if inside(rect, segment.start())
        || inside(rect, segment.end())
        || hull.width().max(hull.height()) <= TOLERANCE
        || depth >= 48
    {
        return true;
    }
    if let PathSeg::Line(line) = segment {
        return line_crosses(line.p0, line.p1, rect);
    }
    crosses(segment.subsegment(0.0..0.5), rect, depth + 1) || crosses(segment.subsegment(0.5..1.0), rect, depth + 1)
}

fn inside(rect: Rect, p: Point) -> bool {
    (rect.x0..=rect.x1).contains(&p.x) && (rect.y0..=rect.y1).contains(&p.y)
}

/// A line whose box meets the rectangle misses it only if all corners lie on one side.
fn line_crosses(a: Point, b: Point, rect: Rect) -> bool {
    let side = |x: f64, y: f64| (b - a).cross(Point::new(x, y) - a);
    let sides = [side(rect.x0, rect.y0), side(rect.x1, rect.y0), side(rect.x0, rect.y1), side(rect.x1, rect.y1)];
    !(sides.iter().all(|s| *s > 0.0) || sides.iter().all(|s| *s < 0.0))
}

fn control_box(segment: &PathSeg) -> Rect {
    match segment {
        PathSeg::Line(l) => Rect::from_points(l.p0, l.p1),
        PathSeg::Quad(q) => Rect::from_points(q.p0, q.p2).union_pt(q.p1),
        PathSeg::Cubic(c) => Rect::from_points(c.p0, c.p3).union_pt(c.p1).union_pt(c.p2),
    }
}

#[cfg(test)]
mod tests;
