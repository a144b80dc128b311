//! A region grown by a distance, or shrunk: the band beside each side of its edge, and a fan at each corner.
//!
//! ```text
//!        ╭────────╮  band
//!   fan ◜│········│◝
//!        └────────┘  side
//! ```
//!
//! Everything within the distance of an edge lies in one of them, and nothing else does, so
//! their union with the region is the grown one. To shrink is to grow what is outside.

use kurbo::{
    Arc, BezPath, Circle, CubicBez, ParamCurve, ParamCurveDeriv, ParamCurveNearest, PathSeg, Point, Shape as _, Vec2,
};

use super::plane::{EXACT, Plane, point};
use super::region::{Region, Ring, ring_bounds};
use super::runs::{Run, joints};
use crate::artwork::Rule;

/// Lines beside curves, and arcs, are this exact, in EMU.
const FINE: f64 = EXACT / 16.0;
/// Sides that reach no farther, in EMU, don't tell which way the edge goes: 4 micrometres.
const SHORT: f64 = 4.0 * EXACT;
/// A turn by more than this, in radians, may be one to the other side.
const BACK: f64 = 3.0;

/// Sides of bands that are kept by themselves.
const MANY: usize = 2_000_000;

/// How corners turn out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Corner {
    /// An arc around the corner.
    Round,
    /// Both sides go on until they meet, at most so many distances from the corner; past that it is cut off.
    Mitre(f64),
}

impl Plane {
    /// The region grown by a distance in EMU; a negative distance shrinks it.
    pub fn grown(&mut self, region: &Region, by: f64, corner: Corner) -> Region {
        if by == 0.0 || region.is_empty() {
            return region.clone();
        }
        let mut bands = Bands::default();
        let joints = joints(region);
        for ring in region.rings() {
            let segments = self.segments(ring, &joints);
            for (segment, run) in &segments {
                bands.push(self.band(ring, segment, run, by));
            }
            // What is hardly longer than rounding says nothing of the way.
            let long: Vec<usize> = (0..segments.len()).filter(|index| reach(&segments[*index].0) > SHORT).collect();
            for (index, &here) in long.iter().enumerate() {
                let next = long[(index + 1) % long.len()];
                let (segment, after) = (&segments[here].0, &segments[next].0);
                let sure = next == (here + 1) % segments.len();
                let fan = fan(segment.end(), [ways(segment)[1], ways(after)[0]], by, corner, sure);
                fan.into_iter().for_each(|fan| bands.push(self.lay(&fan, Rule::NonZero)));
            }
            if let (true, Some((segment, _))) = (long.is_empty(), segments.first()) {
                bands.push(self.lay(&disc(segment.start(), by), Rule::NonZero));
            }
        }
        if by > 0.0 {
            Region::union(std::iter::once(region).chain(bands.all()))
        } else {
            region.without(&Region::union(bands.all()))
        }
    }

    /// The region with every hole filled that is nowhere wider than `breadth`, in EMU.
    pub fn filled(&self, region: &Region, breadth: f64) -> Region {
        let mut rings: Vec<Ring> = Vec::new();
        for piece in &region.pieces {
            rings.extend(piece.iter().take(1).cloned());
            rings.extend(piece.iter().skip(1).filter(|hole| width(hole) > breadth).cloned());
        }
        // What lay in a hole is now inside.
        Region::settled(&rings, Rule::NonZero)
    }

    /// What lies beside a side: outside, or inside if `by` is less than nothing.
    fn band(&mut self, ring: &Ring, segment: &PathSeg, run: &Run, by: f64) -> Region {
        // The very sides of the ring, so that no gap is left between them and the band.
        let [first, count] = run.sides;
        let mut band: Ring = (first..first + count).map(|side| ring[side % ring.len()]).collect();
        let [start, end] = [first, first + count].map(|side| point(ring[side % ring.len()].from));
        let [begins, ends] = ways(segment).map(|way| right(way) * by);
        let mut path = BezPath::new();
        path.move_to(end);
        path.line_to(segment.end() + ends);
        if let PathSeg::Cubic(cubic) = segment {
            let offset = parallel(*cubic, by);
            path.extend(offset.reverse_subpaths().elements().iter().skip(1).copied());
        }
        path.line_to(segment.start() + begins);
        path.line_to(start);
        for side in path.segments() {
            self.add(&side, &mut band);
        }
        Region::settled(&[band], Rule::NonZero)
    }
}

/// Bands and fans; as soon as they are many they are made one, lest memory be taken for all that overlaps.
#[derive(Default)]
struct Bands {
    /// Made one already, and not yet.
    done: Vec<Region>,
    rest: Vec<Region>,
    sides: usize,
}

impl Bands {
    fn push(&mut self, band: Region) {
        self.sides += band.rings().map(Vec::len).sum::<usize>();
        self.rest.push(band);
        if self.sides > MANY {
            self.done.push(Region::union(&self.rest));
            self.rest.clear();
            self.sides = 0;
        }
    }

    fn all(&self) -> impl Iterator<Item = &Region> {
        self.done.iter().chain(&self.rest)
    }
}

/// The way at either end.
pub(super) fn ways(side: &PathSeg) -> [Vec2; 2] {
    let c = side.to_cubic();
    let first = [c.p1, c.p2, c.p3].into_iter().map(|p| p - c.p0).find(|way| *way != Vec2::ZERO);
    let last = [c.p2, c.p1, c.p0].into_iter().map(|p| c.p3 - p).find(|way| *way != Vec2::ZERO);
    [first, last].map(|way| way.unwrap_or(Vec2::new(1.0, 0.0)).normalize())
}

/// A quarter turn to the outside.
fn right(way: Vec2) -> Vec2 {
    Vec2::new(way.y, -way.x)
}

/// The line beside a curve, from its start to its end: to the right of its way, or to the left if `by` is less than nothing.
fn parallel(curve: CubicBez, by: f64) -> BezPath {
    let mut path = BezPath::new();
    kurbo::offset::offset_cubic(curve, -by, FINE, &mut path);
    // Held against the curve; where it fails, as it may near a sharp bend, the line is followed in small steps.
    let off = |p: Point| (curve.nearest(p, FINE / 4.0).distance_sq.sqrt() - by.abs()).abs();
    let fits = path.segments().all(|part| [0.2, 0.4, 0.6, 0.8].into_iter().all(|t| off(part.eval(t)) <= 4.0 * FINE));
    if !fits {
        path = BezPath::new();
        path.move_to(beside(curve, 0.0, by).0);
        follow(curve, by, [0.0, 1.0], 0, &mut path);
    }
    path
}

/// A point of the line beside a curve, and how it goes on there, for the curve's own parameter.
fn beside(curve: CubicBez, t: f64, by: f64) -> (Point, Vec2) {
    let (first, second) = (curve.deriv(), curve.deriv().deriv());
    let at = |t: f64| first.eval(t).to_vec2();
    // At a cusp the way is that of a place beside it.
    let mut way = at(t);
    if way.hypot2() < 1e-12 {
        way = if t < 0.5 { at(t + 1e-6) } else { at(t - 1e-6) };
    }
    let long = way.hypot().max(1e-9);
    let bend = way.cross(second.eval(t).to_vec2()) / (long * long * long);
    (curve.eval(t) + right(way / long) * by, way * (1.0 + bend * by))
}

/// The line beside a stretch of a curve, by cubics that have its ends and its ways there, each as long as it is true.
fn follow(curve: CubicBez, by: f64, [from, to]: [f64; 2], depth: u8, path: &mut BezPath) {
    let ((a, first), (b, last)) = (beside(curve, from, by), beside(curve, to, by));
    let third = (to - from) / 3.0;
    let part = CubicBez::new(a, a + first * third, b - last * third, b);
    let off = |t: f64| part.eval(t).distance(beside(curve, from + (to - from) * t, by).0);
    if depth >= 12 || [0.25, 0.5, 0.75].into_iter().all(|t| off(t) <= FINE) {
        path.curve_to(part.p1, part.p2, part.p3);
        return;
    }
    let middle = f64::midpoint(from, to);
    follow(curve, by, [from, middle], depth + 1, path);
    follow(curve, by, [middle, to], depth + 1, path);
}

/// What lies within the distance of a corner and beside none of its sides; all around it where the way there and back
/// is not sure, or hardly different.
fn fan(at: Point, [from, to]: [Vec2; 2], by: f64, corner: Corner, sure: bool) -> Option<BezPath> {
    let turn = from.cross(to).atan2(from.dot(to));
    if corner == Corner::Round && (!sure || turn.abs() > BACK) {
        return Some(disc(at, by));
    }
    // Only where the edge turns away from that side is there a gap.
    if turn * by.signum() <= 1e-9 {
        return None;
    }
    let [a, b] = [right(from) * by, right(to) * by];
    let mut path = BezPath::new();
    path.move_to(at);
    path.line_to(at + a);
    match corner {
        Corner::Mitre(limit) if 1.0 <= limit * (turn / 2.0).cos() => {
            let tip = (a + b).normalize() * (by.abs() / (turn / 2.0).cos());
            path.line_to(at + tip);
        }
        Corner::Mitre(_) => {}
        Corner::Round => {
            let arc = Arc::new(at, Vec2::new(by.abs(), by.abs()), a.atan2(), turn, 0.0);
            path.extend(arc.append_iter(FINE));
        }
    }
    path.line_to(at + b);
    path.close_path();
    Some(path)
}

fn disc(at: Point, by: f64) -> BezPath {
    Circle::new(at, by.abs()).to_path(FINE)
}

/// How far a side reaches from its start.
fn reach(side: &PathSeg) -> f64 {
    let cubic = side.to_cubic();
    [cubic.p1, cubic.p2, cubic.p3].into_iter().map(|p| p.distance(cubic.p0)).fold(0.0, f64::max)
}

/// How wide a ring is at most across: the lesser side of the upright box around it.
fn width(ring: &Ring) -> f64 {
    let at = ring_bounds(ring);
    at.width().min(at.height())
}
