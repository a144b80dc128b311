//! The plane that is cut, in whole EMU, y down, and the curves that lie on it.
//!
//! A curve is cut into chords once, always from the same end, so a curve drawn by one shape
//! and, backwards, by its neighbor has the same points. A moved copy's points are the moved
//! points, bit for bit.

use i_overlay::core::edge_data::{EdgeDataMerge, OverlayEdgeData};
use i_overlay::i_float::int::point::IntPoint;
use i_overlay::segm::boolean::ShapeCountBoolean;
use kurbo::{BezPath, CubicBez, ParamCurve, PathEl, PathSeg, Point, Vec2};

use super::curve::{Curve, chords, is_straight, on_axes};
use super::region::{Edge, Region, Ring};
use crate::artwork::Rule;

/// How far a chord may lie off its curve, in EMU: a micrometre.
pub const EXACT: f64 = 36.0;

/// Whole numbers of EMU.
pub(super) type Whole = i64;
/// A place on the plane.
pub(super) type Spot = IntPoint<Whole>;

/// A stretch of a curve.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Chord {
    curve: u32,
    index: u32,
}

/// Where two curves lie on one another, one of them gives its name.
impl OverlayEdgeData for Chord {
    type Store = ();

    fn merge(both: EdgeDataMerge<ShapeCountBoolean, Chord>, _: &mut ()) -> Chord {
        both.lhs_data.min(both.rhs_data)
    }
}

/// All curves that regions of one job are made of.
#[derive(Debug)]
pub struct Plane {
    curves: Vec<Curve>,
    exact: f64,
}

impl Default for Plane {
    fn default() -> Plane {
        Plane::with_chords(EXACT)
    }
}

impl Plane {
    /// A plane without curves.
    pub fn new() -> Plane {
        Plane::default()
    }

    /// A plane whose chords lie so far off their curves at most, in EMU.
    pub(super) fn with_chords(exact: f64) -> Plane {
        Plane { curves: Vec::new(), exact }
    }

    /// Lays a path on the plane, in EMU; every contour is taken as closed. What is filled under the rule is the region.
    pub fn lay(&mut self, path: &BezPath, rule: Rule) -> Region {
        let mut rings: Vec<Ring> = Vec::new();
        let mut start: Option<Point> = None;
        let mut last = Point::ZERO;
        for element in path.elements() {
            let segment = match *element {
                PathEl::MoveTo(p) => {
                    self.close(&mut rings, start.replace(p), last);
                    rings.push(Vec::new());
                    last = p;
                    continue;
                }
                PathEl::ClosePath => {
                    self.close(&mut rings, start, last);
                    last = start.unwrap_or(last);
                    continue;
                }
                PathEl::LineTo(p) => PathSeg::Line(kurbo::Line::new(last, p)),
                PathEl::QuadTo(a, p) => PathSeg::Quad(kurbo::QuadBez::new(last, a, p)),
                PathEl::CurveTo(a, b, p) => PathSeg::Cubic(CubicBez::new(last, a, b, p)),
            };
            last = segment.end();
            if let Some(ring) = rings.last_mut() {
                self.add(&segment, ring);
            }
        }
        self.close(&mut rings, start, last);
        Region::settled(&rings, rule)
    }

    fn close(&mut self, rings: &mut [Ring], start: Option<Point>, last: Point) {
        if let (Some(start), Some(ring)) = (start, rings.last_mut())
            && start != last
        {
            self.add(&PathSeg::Line(kurbo::Line::new(last, start)), ring);
        }
    }

    /// Cuts a segment into chords and adds them to a ring.
    pub(super) fn add(&mut self, segment: &PathSeg, ring: &mut Ring) {
        let cubic = segment.to_cubic();
        let [a, b, c, d] = [cubic.p0, cubic.p1, cubic.p2, cubic.p3].map(Point::round);
        let backwards = ([d.x, d.y, c.x, c.y]) < ([a.x, a.y, b.x, b.y]);
        let curve = if backwards { CubicBez::new(d, c, b, a) } else { CubicBez::new(a, b, c, d) };
        let straight = matches!(segment, PathSeg::Line(_)) || is_straight(curve);
        let chords = if straight { 1 } else { chords(curve, self.exact) };
        let number = u32::try_from(self.curves.len()).unwrap_or(u32::MAX);
        let curve = Curve { curve, moved: [0, 0], chords, straight };
        let edge = |index: u32| {
            let end = if backwards { index + 1 } else { index };
            Edge { from: curve.spot(end), chord: Chord { curve: number, index } }
        };
        if backwards {
            ring.extend((0..chords).rev().map(edge));
        } else {
            ring.extend((0..chords).map(edge));
        }
        self.curves.push(curve);
    }

    /// The region moved by whole EMU: its points are the moved points.
    pub fn moved(&mut self, region: &Region, by: [Whole; 2]) -> Region {
        let mut names = std::collections::HashMap::new();
        let curves = &mut self.curves;
        region.map(|edge| {
            let curve = *names.entry(edge.chord.curve).or_insert_with(|| {
                let old = curves[edge.chord.curve as usize];
                curves.push(Curve { moved: [old.moved[0] + by[0], old.moved[1] + by[1]], ..old });
                u32::try_from(curves.len() - 1).unwrap_or(u32::MAX)
            });
            let from = Spot::new(edge.from.x + by[0], edge.from.y + by[1]);
            Edge { from, chord: Chord { curve, ..edge.chord } }
        })
    }

    /// Whether two chords are of one curve.
    pub(super) fn of_one(a: Chord, b: Chord) -> bool {
        a.curve == b.curve
    }

    /// Where on its curve an end of an edge lies, 0 to 1.
    pub(super) fn along(&self, chord: Chord, at: Spot) -> f64 {
        let curve = &self.curves[chord.curve as usize];
        let [a, b] = [curve.spot(chord.index), curve.spot(chord.index + 1)].map(point);
        let (way, off) = (b - a, point(at) - a);
        let share = if way.hypot2() > 0.0 { (off.dot(way) / way.hypot2()).clamp(0.0, 1.0) } else { 0.5 };
        (f64::from(chord.index) + share) / f64::from(curve.chords)
    }

    /// How much of a curve one chord is.
    pub(super) fn share(&self, chord: Chord) -> f64 {
        1.0 / f64::from(self.curves[chord.curve as usize].chords)
    }

    /// Where two curves truly cross near where their chords do, and both parameters there; `None` where they don't, or
    /// hardly differ in their ways.
    pub(super) fn crossing(&self, a: (Chord, f64), b: (Chord, f64), near: Point) -> Option<([f64; 2], Point)> {
        let curves = [a.0, b.0].map(|chord| &self.curves[chord.curve as usize]);
        let mut t = [a.1, b.1];
        // Ends are where they are.
        if t.iter().any(|t| *t <= 1e-9 || *t >= 1.0 - 1e-9) {
            return None;
        }
        for _ in 0..6 {
            let [(p, u), (q, v)] = [curves[0].at(t[0]), curves[1].at(t[1])];
            let (off, turn) = (q - p, u.cross(v));
            if turn.abs() <= 0.02 * u.hypot() * v.hypot() {
                return None;
            }
            let step = [off.cross(v) / turn, off.cross(u) / turn];
            t = [t[0] + step[0], t[1] + step[1]];
            if step[0].abs() * u.hypot() + step[1].abs() * v.hypot() < 1e-3 {
                break;
            }
        }
        let at = curves[0].at(t[0]).0;
        let met = at.distance(curves[1].at(t[1]).0) < 0.01 && at.distance(near) <= 4.0 * EXACT;
        (met && t.iter().all(|t| (0.0..=1.0).contains(t))).then(|| (t, on_axes(curves, at)))
    }

    /// The stretch of a curve between two parameters, its ends laid on these points.
    pub(super) fn stretch(&self, chord: Chord, [from, to]: [f64; 2], [start, end]: [Point; 2]) -> PathEl {
        let curve = &self.curves[chord.curve as usize];
        if curve.straight || (to - from).abs() * f64::from(curve.chords) <= 1.0 {
            return PathEl::LineTo(end);
        }
        let mut part = curve.curve.subsegment(from.min(to)..from.max(to));
        if from > to {
            part = CubicBez::new(part.p3, part.p2, part.p1, part.p0);
        }
        let by = Vec2::new(curve.moved[0] as f64, curve.moved[1] as f64);
        let [first, last] = [start - (part.p0 + by), end - (part.p3 + by)];
        PathEl::CurveTo(part.p1 + by + first, part.p2 + by + last, end)
    }
}

/// As a point of floats: exact below 2^53 EMU.
pub(super) fn point(at: Spot) -> Point {
    Point::new(at.x as f64, at.y as f64)
}

/// The nearest place in whole EMU.
#[allow(clippy::cast_possible_truncation, reason = "rounded; the length of the goods is bounded before")]
pub(super) fn spot(at: Point) -> Spot {
    Spot::new(at.x.round() as Whole, at.y.round() as Whole)
}
