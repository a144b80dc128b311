//! From polygons back to curves: each run of chords of one curve becomes that stretch of it.
//!
//! A piece's curves are held against its polygons. Where two curves meet at nearly one way they may cross once more than
//! their chords do; about such places the chords stay.

use kurbo::simplify::{SimplifyOptions, simplify_bezpath};
use kurbo::{BezPath, Line, ParamCurve, ParamCurveNearest, PathEl, PathSeg, Point, Shape as _, Vec2};

use super::plane::{EXACT, Plane, point};
use super::region::{Region, Ring};
use super::runs::{CRUMB, Joints, joints};
use super::sound::{blunted, held, is_sliver, polygons};

/// Corners whose ways differ by less than this, there or back, in radians, are looked at with doubt.
const SLIGHT: f64 = 0.2;
/// Runs that come so near a place in doubt stay chords, in EMU.
const NEAR: f64 = 2.0 * EXACT;
/// How often chords take the place of what is in doubt, before they take the place of all.
const TRIES: usize = 4;

/// A closed path of a region's edge, in EMU.
#[derive(Clone, Debug)]
pub struct Outline {
    /// Curves and lines; the last ends where the first begins.
    pub path: BezPath,
    /// Which piece of the region it belongs to.
    pub piece: usize,
    /// Whether it is the edge of a hole.
    pub hole: bool,
    /// Whether some of it stands as chords, since its curves would have crossed.
    pub chords: bool,
}

impl Plane {
    /// The edges of a region as curves. Slivers, which have no width to speak of, are left out.
    ///
    /// Curves may move by `exact` EMU where fewer then do.
    pub fn outlines(&self, region: &Region, exact: f64) -> Vec<Outline> {
        let mut out = Vec::new();
        let joints = joints(region);
        for (number, piece) in region.pieces.iter().enumerate() {
            if piece.first().is_none_or(is_sliver) {
                continue;
            }
            let drawn = |doubts: &[Point]| -> Vec<Outline> {
                let rings = piece.iter().enumerate().filter(|(_, ring)| !is_sliver(ring));
                let outline = |(index, ring)| {
                    let (path, chords) = self.drawn(ring, &joints, doubts);
                    // Of what is hardly wider than rounding the curves may leave nothing.
                    let wide = path.area().abs() > CRUMB * path.perimeter(EXACT) / 2.0;
                    wide.then_some(Outline { path, piece: number, hole: index > 0, chords })
                };
                rings.filter_map(outline).collect()
            };
            let mut curved = drawn(&[]);
            if exact > 0.0
                && let Some(fewer) = simpler(&curved, exact).filter(|fewer| held(fewer, piece, exact).is_ok())
            {
                out.extend(fewer);
                continue;
            }
            let mut doubts = Vec::new();
            for again in (0..TRIES).rev() {
                let Err(places) = held(&curved, piece, EXACT) else { break };
                if again == 0 || places.is_empty() {
                    // A needle as thin as rounding may cross itself whatever is left out.
                    curved = polygons(piece, number);
                    break;
                }
                doubts.extend(places);
                curved = drawn(&doubts);
            }
            out.extend(curved);
        }
        out
    }

    /// A ring's path, and whether some of it stands as chords.
    fn drawn(&self, ring: &Ring, joints: &Joints, doubts: &[Point]) -> (BezPath, bool) {
        let runs = self.segments(ring, joints);
        let count = runs.len();
        let in_doubt = |side: &PathSeg| {
            let about = side.bounding_box().inflate(NEAR, NEAR);
            doubts.iter().any(|at| about.contains(*at) && side.nearest(*at, 1.0).distance_sq < NEAR * NEAR)
        };
        let mut stays: Vec<bool> = runs.iter().map(|(side, _)| in_doubt(side)).collect();
        for index in 0..count {
            let next = (index + 1) % count;
            let (side, after) = (&runs[index].0, &runs[next].0);
            if is_spike(side, after) && cross_again(side, after) {
                (stays[index], stays[next]) = (true, true);
            }
        }
        // Where chords meet, they meet at their own spots.
        let corner = |index: usize| {
            let (run, before) = (runs[index % count].1, (index + count - 1) % count);
            let as_chords = stays[index % count] || stays[before];
            if as_chords { point(ring[run.sides[0] % ring.len()].from) } else { run.from }
        };
        let mut path = BezPath::new();
        if count == 0 {
            return (path, false);
        }
        path.move_to(corner(0));
        let mut chords = false;
        for (index, (segment, run)) in runs.iter().enumerate() {
            let [from, to] = [corner(index), corner(index + 1)];
            if stays[index] && matches!(segment, PathSeg::Cubic(_)) {
                chords = true;
                let [first, sides] = run.sides;
                (first + 1..first + sides).for_each(|side| path.line_to(point(ring[side % ring.len()].from)));
                path.line_to(to);
            } else {
                path.push(self.element(run, [from, to]));
            }
        }
        path.close_path();
        (if chords { blunted(&path) } else { path }, chords)
    }
}

/// Whether the edge of a curve turns right back.
fn is_spike(side: &PathSeg, next: &PathSeg) -> bool {
    let straight = |side: &PathSeg| matches!(side, PathSeg::Line(_));
    let [from, to] = [super::grow::ways(side)[1], super::grow::ways(next)[0]];
    !(straight(side) && straight(next)) && from.dot(to) < 0.0 && from.cross(to).abs() < SLIGHT
}

/// Whether the two sides of a spike, both followed away from its tip, change places.
fn cross_again(side: &PathSeg, next: &PathSeg) -> bool {
    let (tip, back) = (side.end(), side.reverse());
    let long = tip.distance(back.end()).min(tip.distance(next.end()));
    // The first place so far from the tip, by halving.
    let off = |side: &PathSeg, far: f64| {
        let (mut near, mut t) = (0.0, 1.0);
        for _ in 0..48 {
            let middle = f64::midpoint(near, t);
            *(if side.eval(middle).distance(tip) < far { &mut near } else { &mut t }) = middle;
        }
        side.eval(t) - tip
    };
    let turns = (0..24).map(|half| long * 0.5_f64.powf(f64::from(half) / 2.0)).map(|far| {
        let turn = off(&back, far).cross(off(next, far)) / (far * far);
        if turn.abs() < 1e-9 { 0.0 } else { turn.signum() }
    });
    let (mut left, mut right) = (false, false);
    turns.for_each(|turn| (left, right) = (left || turn < 0.0, right || turn > 0.0));
    left && right
}

/// The outlines in fewer curves, if there are any; corners stay.
fn simpler(outlines: &[Outline], exact: f64) -> Option<Vec<Outline>> {
    let mut fewer = false;
    let simple = |outline: &Outline| {
        let path = simplify_bezpath(outline.path.elements().iter().copied(), exact, &SimplifyOptions::default());
        if path.elements().len() >= outline.path.elements().len() {
            return outline.clone();
        }
        fewer = true;
        Outline { path: unhooked(&path, exact), ..outline.clone() }
    };
    let simple = outlines.iter().map(simple).collect();
    fewer.then_some(simple)
}

/// Curves that begin or end with a short way back, as fitting leaves them, go straight on: a blade would turn about there.
fn unhooked(path: &BezPath, exact: f64) -> BezPath {
    let mut last = Point::ZERO;
    let element = |element: PathEl| {
        let from = last;
        last = element.end_point().unwrap_or(last);
        let PathEl::CurveTo(a, b, to) = element else { return element };
        let chord = to - from;
        let back = |way: Vec2| way.dot(chord) < 0.0 && way.hypot() < 0.1 * chord.hypot();
        let hooks = [back(a - from), back(to - b)];
        let near = |p: Point| Line::new(from, to).nearest(p, 1.0).distance_sq <= exact * exact;
        match hooks {
            [false, false] => element,
            _ if near(a) && near(b) => PathEl::LineTo(to),
            [first, second] => PathEl::CurveTo(if first { from } else { a }, if second { to } else { b }, to),
        }
    };
    path.elements().iter().copied().map(element).collect()
}
