//! From polygons back to curves: each run of chords of one curve becomes that stretch of it.

use std::collections::HashSet;

use kurbo::simplify::{SimplifyOptions, simplify_bezpath};
use kurbo::{BezPath, CubicBez, Line, PathEl, PathSeg, Shape as _};

use super::plane::{Chord, EXACT, Plane, Spot, point};
use super::region::{Region, Ring, ring_area};
use crate::artwork::Rule;

/// Sides shorter than this are what rounding left, in EMU: a quarter of a micrometre.
const CRUMB: f64 = 9.0;

/// A closed path of a region's edge, in EMU.
#[derive(Clone, Debug)]
pub struct Outline {
    /// Curves and lines; the last ends where the first begins.
    pub path: BezPath,
    /// Which piece of the region it belongs to.
    pub piece: usize,
    /// Whether it is the edge of a hole.
    pub hole: bool,
    /// Whether it stands as polygon, since its curves would have crossed.
    pub chords: bool,
}

/// Places where a region's edge touches itself: curves end there, lest rounding let them cross.
pub(super) type Joints = HashSet<Spot>;

pub(super) fn joints(region: &Region) -> Joints {
    let mut seen = HashSet::new();
    region.rings().flatten().map(|edge| edge.from).filter(|spot| !seen.insert(*spot)).collect()
}

/// A stretch of one curve along a ring.
#[derive(Clone, Copy, Debug)]
pub(super) struct Run {
    from: Spot,
    chord: Chord,
    t: [f64; 2],
    /// The first of its sides, and how many there are.
    pub sides: [usize; 2],
}

impl Plane {
    /// The edges of a region as curves. Slivers, which have no width to speak of, are left out.
    ///
    /// Curves may move by `exact` EMU where fewer then do.
    pub fn outlines(&self, region: &Region, exact: f64) -> Vec<Outline> {
        let mut out = Vec::new();
        let joints = joints(region);
        for (number, piece) in region.pieces.iter().enumerate() {
            let mut curved: Vec<Outline> = Vec::new();
            for (index, ring) in piece.iter().enumerate() {
                if is_sliver(ring) {
                    if index == 0 {
                        break;
                    }
                    continue;
                }
                let path = self.curved(ring, &joints);
                curved.push(Outline { path, piece: number, hole: index > 0, chords: false });
            }
            if exact > 0.0 {
                let fewer: Vec<Outline> = curved.iter().map(|outline| simpler(outline, exact)).collect();
                if fewer.iter().zip(&curved).any(|(a, b)| a.path.elements().len() < b.path.elements().len())
                    && is_true(&fewer, piece, exact)
                {
                    out.extend(fewer);
                    continue;
                }
            }
            if !is_true(&curved, piece, EXACT) {
                for (outline, ring) in curved.iter_mut().zip(piece.iter().filter(|ring| !is_sliver(ring))) {
                    (outline.path, outline.chords) = (polygon(ring), true);
                }
            }
            out.extend(curved);
        }
        out
    }

    fn curved(&self, ring: &Ring, joints: &Joints) -> BezPath {
        let runs = self.runs(ring, joints);
        let mut path = BezPath::new();
        let Some(first) = runs.first() else { return path };
        path.move_to(point(first.from));
        for (index, run) in runs.iter().enumerate() {
            path.push(self.element(run, runs[(index + 1) % runs.len()].from));
        }
        path.close_path();
        path
    }

    fn element(&self, run: &Run, to: Spot) -> PathEl {
        self.stretch(run.chord, run.t, [run.from, to])
    }

    /// The stretches of curves that a ring is made of, each with its sides.
    pub(super) fn segments(&self, ring: &Ring, joints: &Joints) -> Vec<(PathSeg, Run)> {
        let runs = self.runs(ring, joints);
        let segment = |(index, run): (usize, &Run)| {
            let to = runs[(index + 1) % runs.len()].from;
            let start = point(run.from);
            let segment = match self.element(run, to) {
                PathEl::CurveTo(a, b, end) => PathSeg::Cubic(CubicBez::new(start, a, b, end)),
                _ => PathSeg::Line(Line::new(start, point(to))),
            };
            (segment, *run)
        };
        runs.iter().enumerate().map(segment).collect()
    }

    /// The ring as stretches of curves, beginning where one ends.
    fn runs(&self, ring: &Ring, joints: &Joints) -> Vec<Run> {
        let count = ring.len();
        let mut runs: Vec<Run> = Vec::new();
        for (index, edge) in ring.iter().enumerate() {
            let to = ring[(index + 1) % count].from;
            let t = [edge.from, to].map(|end| self.along(edge.chord, end));
            self.go_on(joints, &mut runs, Run { from: edge.from, chord: edge.chord, t, sides: [index, 1] });
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
            if short && point(run.from).distance(point(to)) < CRUMB {
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
        kept
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
            && !joints.contains(&next.from)
            && way(run) == way(next)
            && (run.t[1] - next.t[0]).abs() <= 1.5 * self.share(run.chord)
            && way(run) * (next.t[1] - run.t[0]) > 0.0
    }

}

/// Whether curves are what the polygons are: cut into chords anew, they cover the same and cross nowhere.
fn is_true(curved: &[Outline], piece: &[Ring], exact: f64) -> bool {
    let mut all = BezPath::new();
    let mut length = 0.0;
    for outline in curved {
        all.extend(outline.path.elements().iter().copied());
        length += outline.path.perimeter(EXACT);
    }
    let mut elsewhere = Plane::new();
    let again = elsewhere.lay(&all, Rule::NonZero);
    let rings = again.rings().filter(|ring| !is_sliver(ring)).count();
    let truth = Region { pieces: vec![piece.to_vec()] };
    rings == curved.len() && again.against(&truth).area() <= exact * length
}

/// The outline in fewer curves, if there are any; corners stay.
fn simpler(outline: &Outline, exact: f64) -> Outline {
    let options = SimplifyOptions::default();
    let path = simplify_bezpath(outline.path.elements().iter().copied(), exact, &options);
    if path.elements().len() < outline.path.elements().len() { Outline { path, ..outline.clone() } } else { outline.clone() }
}

/// A ring that is nowhere wider than rounding.
fn is_sliver(ring: &Ring) -> bool {
    let next = ring.iter().cycle().skip(1);
    let length: f64 = ring.iter().zip(next).map(|(a, b)| point(a.from).distance(point(b.from))).sum();
    ring_area(ring).abs() <= CRUMB * length / 2.0
}

fn polygon(ring: &Ring) -> BezPath {
    let mut path = BezPath::new();
    for (index, edge) in ring.iter().enumerate() {
        path.push(if index == 0 { PathEl::MoveTo(point(edge.from)) } else { PathEl::LineTo(point(edge.from)) });
    }
    path.close_path();
    path
}
