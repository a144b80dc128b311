//! Runs: the stretches of curves that a ring of chords is made of.

use std::collections::HashSet;

use kurbo::{CubicBez, Line, PathEl, PathSeg, Point};

use super::plane::{Chord, Plane, Spot, point, spot};
use super::region::{Region, Ring};

/// Sides shorter than this are what rounding left, in EMU: a quarter of a micrometre.
pub(super) const CRUMB: f64 = 9.0;

/// Places where a region's edge touches itself: curves end there, lest rounding let them cross.
pub(super) type Joints = HashSet<Spot>;

/// All of them.
pub(super) fn joints(region: &Region) -> Joints {
    let mut seen = HashSet::new();
    region.rings().flatten().map(|edge| edge.from).filter(|spot| !seen.insert(*spot)).collect()
}

/// A stretch of one curve along a ring.
#[derive(Clone, Copy, Debug)]
pub(super) struct Run {
    /// Where it begins: where curves truly cross, which the chords miss by a little.
    pub from: Point,
    chord: Chord,
    t: [f64; 2],
    /// The first of its sides, and how many there are.
    pub sides: [usize; 2],
}

impl Plane {
    /// A run as it is drawn.
    pub(super) fn element(&self, run: &Run, [from, to]: [Point; 2]) -> PathEl {
        self.stretch(run.chord, run.t, [from, to])
    }

    /// The runs of a ring as segments.
    pub(super) fn segments(&self, ring: &Ring, joints: &Joints) -> Vec<(PathSeg, Run)> {
        let runs = self.runs(ring, joints);
        let segment = |(index, run): (usize, &Run)| {
            let to = runs[(index + 1) % runs.len()].from;
            let segment = match self.element(run, [run.from, to]) {
                PathEl::CurveTo(a, b, end) => PathSeg::Cubic(CubicBez::new(run.from, a, b, end)),
                _ => PathSeg::Line(Line::new(run.from, to)),
            };
            (segment, *run)
        };
        runs.iter().enumerate().map(segment).collect()
    }

    /// The ring as stretches of curves, beginning where one ends.
    pub(super) fn runs(&self, ring: &Ring, joints: &Joints) -> Vec<Run> {
        let count = ring.len();
        let mut runs: Vec<Run> = Vec::new();
        for (index, edge) in ring.iter().enumerate() {
            let to = ring[(index + 1) % count].from;
            let t = [edge.from, to].map(|end| self.along(edge.chord, end));
            let next = Run { from: point(edge.from), chord: edge.chord, t, sides: [index, 1] };
            self.go_on(joints, &mut runs, next);
        }
        // What rounding left goes; its neighbors may then be one.
        let mut kept: Vec<Run> = Vec::with_capacity(runs.len());
        let mut crumbs: Option<Run> = None;
        for index in 0..runs.len() {
            let (mut run, to) = (runs[index], runs[(index + 1) % runs.len()].from);
            if let Some(crumb) = crumbs.take() {
                (run.from, run.sides) = (crumb.from, [crumb.sides[0], crumb.sides[1] + run.sides[1]]);
            }
            let short = (run.t[1] - run.t[0]).abs() <= 1.5 * self.share(run.chord);
            if short && run.from.distance(to) < CRUMB {
                crumbs = Some(run);
            } else {
                self.go_on(joints, &mut kept, run);
            }
        }
        if let (Some(crumb), Some(first)) = (crumbs, kept.first_mut()) {
            (first.from, first.sides) = (crumb.from, [crumb.sides[0], crumb.sides[1] + first.sides[1]]);
        }
        // The ring may have begun in the middle of a curve.
        if let [first, .., last] = kept[..]
            && self.goes_on(joints, &last, &first)
        {
            let sides = [last.sides[0], last.sides[1] + first.sides[1]];
            kept[0] = Run { t: [last.t[0], first.t[1]], sides, ..last };
            kept.pop();
        }
        self.meet(&mut kept, joints);
        kept
    }

    /// Lays the corners where the curves cross, not their chords.
    fn meet(&self, runs: &mut [Run], joints: &Joints) {
        for index in 0..runs.len() {
            let next = (index + 1) % runs.len();
            let (run, after) = (runs[index], runs[next]);
            if joints.contains(&spot(after.from)) {
                continue;
            }
            if let Some((t, at)) = self.crossing((run.chord, run.t[1]), (after.chord, after.t[0]), after.from) {
                runs[index].t[1] = t[0];
                (runs[next].t[0], runs[next].from) = (t[1], at);
            }
        }
    }

    fn go_on(&self, joints: &Joints, runs: &mut Vec<Run>, next: Run) {
        match runs.last_mut() {
            Some(last) if self.goes_on(joints, last, &next) => {
                last.t[1] = next.t[1];
                last.sides[1] += next.sides[1];
            }
            _ => runs.push(next),
        }
    }

    fn goes_on(&self, joints: &Joints, run: &Run, next: &Run) -> bool {
        let way = |run: &Run| (run.t[1] - run.t[0]).signum();
        Plane::of_one(run.chord, next.chord)
            && !joints.contains(&spot(next.from))
            && way(run) == way(next)
            && (run.t[1] - next.t[0]).abs() <= 1.5 * self.share(run.chord)
            && way(run) * (next.t[1] - run.t[0]) > 0.0
    }
}
