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

use kurbo::{Arc, BezPath, ParamCurve, PathSeg, Point, Vec2};

use super::outline::Run;
use super::plane::{EXACT, Plane, point};
use super::region::{Region, Ring};
use crate::artwork::Rule;

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
        let mut bands = Vec::new();
        for ring in region.rings() {
            let segments = self.segments(ring);
            for (index, (segment, run)) in segments.iter().enumerate() {
                let next = &segments[(index + 1) % segments.len()].0;
                bands.push(self.band(ring, segment, run, by));
                bands.extend(fan(segment.end(), ways(segment)[1], ways(next)[0], by, corner).map(|fan| self.lay(&fan, Rule::NonZero)));
            }
        }
        if by > 0.0 {
            Region::union(std::iter::once(region).chain(&bands))
        } else {
            region.without(&Region::union(&bands))
        }
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
            let mut offset = BezPath::new();
            kurbo::offset::offset_cubic(*cubic, -by, EXACT / 2.0, &mut offset);
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

/// The way at either end.
fn ways(side: &PathSeg) -> [Vec2; 2] {
    let c = side.to_cubic();
    let first = [c.p1, c.p2, c.p3].into_iter().map(|p| p - c.p0).find(|way| *way != Vec2::ZERO);
    let last = [c.p2, c.p1, c.p0].into_iter().map(|p| c.p3 - p).find(|way| *way != Vec2::ZERO);
    [first, last].map(|way| way.unwrap_or(Vec2::new(1.0, 0.0)).normalize())
}

/// A quarter turn to the outside.
fn right(way: Vec2) -> Vec2 {
    Vec2::new(way.y, -way.x)
}

/// What lies within the distance of a corner and beside none of its sides.
fn fan(at: Point, from: Vec2, to: Vec2, by: f64, corner: Corner) -> Option<BezPath> {
    let (cross, dot) = (from.cross(to), from.dot(to));
    let turn = cross.atan2(dot);
    // Only where the edge turns away from that side is there a gap.
    if turn * by.signum() * SIDE <= 1e-9 {
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
            path.extend(arc.append_iter(EXACT / 4.0));
        }
    }
    path.line_to(at + b);
    path.close_path();
    Some(path)
}
/// The sign of a turn that opens a gap on the outside.
const SIDE: f64 = 1.0;


impl Plane {
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
}

/// How wide a ring is at most across: the lesser side of the upright box around it.
fn width(ring: &Ring) -> f64 {
    let bounds = ring.iter().map(|edge| kurbo::Rect::from_points(point(edge.from), point(edge.from)));
    bounds.reduce(|a, b| a.union(b)).map_or(0.0, |b| b.width().min(b.height()))
}
