//! Whether drawn outlines are what the polygons are, and what is drawn where they can't be.
//!
//! Whole EMU are too coarse to see two lines cross that run a hundredth of one apart; a reader of files sees it. So
//! outlines are held against polygons on a plane that is finer.

use std::collections::HashSet;

use kurbo::{Affine, BezPath, CubicBez, Line, ParamCurve as _, PathEl, PathSeg, Point, Shape as _};

use super::outline::Outline;
use super::plane::{EXACT, Plane, Spot, Whole, point, spot};
use super::region::{Edge, Region, Ring, ring_area};
use super::runs::{CRUMB, joints};
use crate::artwork::Rule;

/// How many steps of the finer plane are one EMU.
const FINER: Whole = 64;
/// Chords of curves that are held against polygons lie no farther off, in EMU.
const CLOSE: f64 = EXACT / 16.0;
/// Tips narrower than this go, in EMU: writing a file may turn their sides over.
const NARROW: f64 = 1.0;

/// Holds curves against the polygons: cut into finer chords, they must cover the same and cross nowhere.
///
/// # Errors
/// Where they don't, as far as that is known.
pub(super) fn held(curved: &[Outline], piece: &[Ring], exact: f64) -> Result<(), Vec<Point>> {
    let finer = FINER as f64;
    let mut all = BezPath::new();
    let mut length = 0.0;
    let truth = finely(&Region { pieces: vec![piece.to_vec()] });
    let touch = joints(&truth);
    let mut corners = HashSet::new();
    let mut doubts = Vec::new();
    for outline in curved {
        for side in outline.path.segments() {
            // A corner that is come to twice: a needle without any width, or curves that touch where chords don't.
            let end = spot((side.end().to_vec2() * finer).to_point());
            if !corners.insert(end) && !touch.contains(&end) {
                doubts.push(side.end());
            }
            if let PathSeg::Cubic(cubic) = side
                && turns_over(cubic)
            {
                doubts.push(cubic.eval(0.5));
            }
        }
        all.extend(outline.path.elements().iter().copied());
        length += outline.path.perimeter(EXACT);
    }
    if !doubts.is_empty() {
        return Err(doubts);
    }
    let mut elsewhere = Plane::with_chords(CLOSE * finer);
    // A loop that goes around twice is a ring of its own by this rule, and by the other none.
    let again = elsewhere.lay(&(Affine::scale(finer) * all), Rule::EvenOdd);
    // Where it crosses itself two of its ways meet in one spot.
    let meet = joints(&again).into_iter().filter(|at| !touch.contains(at));
    doubts.extend(meet.map(|at| (point(at).to_vec2() / finer).to_point()));
    if !doubts.is_empty() {
        return Err(doubts);
    }
    let rings = again.rings().filter(|ring| ring_area(ring).abs() > CLOSE * finer * finer).count();
    let same = || again.against(&truth).area() <= exact * length * finer * finer;
    if rings == curved.len() && same() { Ok(()) } else { Err(doubts) }
}

fn finely(region: &Region) -> Region {
    region.map(|edge| Edge { from: Spot::new(edge.from.x * FINER, edge.from.y * FINER), ..edge })
}

/// Whether a cubic crosses itself, or turns back so sharply that writing it may make it.
///
/// `B(s) = B(t)` of the cubic `a t³ + b t² + c t + d` is `a (σ² − π) + b σ + c = 0` with `σ = s + t` and `π = s t`;
/// of these two lines in `σ` and `π` the vector products with `a` and the scalar ones give both.
fn turns_over(cubic: CubicBez) -> bool {
    let (c, b) =
        ((cubic.p1 - cubic.p0) * 3.0, (cubic.p2.to_vec2() - 2.0 * cubic.p1.to_vec2() + cubic.p0.to_vec2()) * 3.0);
    let a = cubic.p3.to_vec2() - 3.0 * cubic.p2.to_vec2() + 3.0 * cubic.p1.to_vec2() - cubic.p0.to_vec2();
    let turn = b.cross(a);
    if turn == 0.0 {
        return false;
    }
    let sum = -c.cross(a) / turn;
    let product = sum * sum + (b * sum + c).dot(a) / a.hypot2();
    let apart = sum * sum - 4.0 * product;
    // At the very ends it has no way, or closes.
    let inside = |t: f64| {
        (0.0..=1.0).contains(&t) && [cubic.p0, cubic.p3].iter().all(|end| cubic.eval(t).distance(*end) > NARROW)
    };
    if apart < 0.0 {
        // No loop, but two sides that pass so near one another.
        return inside(sum / 2.0) && a.hypot() * (-apart).powf(1.5) < NARROW;
    }
    [-1.0, 1.0].into_iter().all(|sign| inside(f64::midpoint(sum, sign * apart.sqrt())))
}

/// A piece's rings as they are, without their narrowest tips; where rounding let one cross itself, parted there.
pub(super) fn polygons(piece: &[Ring], number: usize) -> Vec<Outline> {
    let finer = FINER as f64;
    let all: BezPath = piece.iter().flat_map(|ring| polygon(ring, finer)).collect();
    let parted = Plane::with_chords(EXACT).lay(&all, Rule::NonZero);
    let drawn = |piece: &Vec<Ring>| -> Vec<Outline> {
        let outline = |(index, ring): (usize, &Ring)| Outline {
            path: blunted(&polygon(ring, 1.0 / finer)),
            piece: number,
            hole: index > 0,
            chords: true,
        };
        let wide = |ring: &Ring| ring_area(ring).abs() / finer > CRUMB * ring_length(ring) / 2.0;
        piece.iter().enumerate().filter(|(_, ring)| wide(ring)).map(outline).collect()
    };
    let outlines = parted.pieces.iter().flat_map(drawn);
    outlines.filter(|outline| !outline.path.is_empty()).collect()
}

/// A closed line from spot to spot.
fn polygon(ring: &Ring, scale: f64) -> BezPath {
    let at = |edge: &Edge| (point(edge.from).to_vec2() * scale).to_point();
    let to = |(index, edge)| if index == 0 { PathEl::MoveTo(at(edge)) } else { PathEl::LineTo(at(edge)) };
    ring.iter().enumerate().map(to).chain([PathEl::ClosePath]).collect()
}

/// A closed line without its tips between two straight sides, as far as they are narrow.
pub(super) fn blunted(path: &BezPath) -> BezPath {
    let is_line = |side: &PathSeg| matches!(side, PathSeg::Line(_));
    let tip = |side: &PathSeg, next: &PathSeg| {
        is_line(side) && is_line(next) && is_tip([side.start(), side.end(), next.end()])
    };
    let over = |side: PathSeg, next: PathSeg| PathSeg::Line(Line::new(side.start(), next.end()));
    let mut kept: Vec<PathSeg> = Vec::new();
    for mut side in path.segments() {
        while let Some(last) = kept.pop_if(|last| tip(last, &side)) {
            side = over(last, side);
        }
        kept.push(side);
    }
    // The line may have begun at a tip.
    let mut first = 0;
    while let [side, .., last] = kept[first..]
        && tip(&last, &side)
    {
        kept.pop();
        kept[first] = over(last, side);
        while let [side, next, ..] = kept[first..]
            && tip(&side, &next)
        {
            first += 1;
            kept[first] = over(side, next);
        }
        while let [.., before, last] = kept[first..]
            && tip(&before, &last)
        {
            kept.pop();
            if let Some(end) = kept.last_mut() {
                *end = over(before, last);
            }
        }
    }
    if kept.len() < first + 2 {
        return BezPath::new();
    }
    let mut path = BezPath::from_path_segments(kept[first..].iter().copied());
    path.close_path();
    path
}

/// Whether a line turns right back in `b`.
fn is_tip([a, b, c]: [Point; 3]) -> bool {
    let [back, on] = [a - b, c - b];
    back.dot(on) >= 0.0 && back.cross(on).abs() <= NARROW * back.hypot().max(on.hypot())
}

/// A ring that is nowhere wider than rounding.
pub(super) fn is_sliver(ring: &Ring) -> bool {
    ring_area(ring).abs() <= CRUMB * ring_length(ring) / 2.0
}

fn ring_length(ring: &Ring) -> f64 {
    let next = ring.iter().cycle().skip(1);
    ring.iter().zip(next).map(|(a, b)| point(a.from).distance(point(b.from))).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cubic(numbers: [f64; 8]) -> CubicBez {
        let [a, b, c, d, e, f, g, h] = numbers;
        CubicBez::new((a, b), (c, d), (e, f), (g, h))
    }

    #[test]
    fn cubics_that_cross_themselves_are_known() {
        // A loop; its half, which does not come to the crossing again; a bow.
        let looped = cubic([0.0, 0.0, 3000.0, 2000.0, -2000.0, 2000.0, 1000.0, 0.0]);
        assert!(turns_over(looped) && !turns_over(looped.subsegment(0.0..0.5)));
        assert!(!turns_over(cubic([0.0, 0.0, 300.0, 900.0, 700.0, 900.0, 1000.0, 0.0])));
        // A drop that one curve closes; a curve that begins without a way.
        assert!(!turns_over(cubic([0.0, 0.0, 3000.0, 2000.0, -2000.0, 2000.0, 0.0, 0.0])));
        assert!(!turns_over(cubic([0.0, 0.0, 0.0, 0.0, 700.0, 900.0, 1000.0, 0.0])));
        // A hook of 22 EMU, half an EMU wide, as parting a drawing at its cusp leaves it.
        assert!(turns_over(cubic([0.0, 0.0, 58.3, 10.1, 0.0, 1.1, -122.8, -25.9])));
    }

    #[test]
    fn tips_go_as_far_as_they_are_narrow() {
        // A square with a needle that is a twentieth of an EMU wide where it crosses itself.
        let needle = [(700.0, 0.0), (687.0, 35.0), (674.0, 70.0), (702.0, -6.0), (724.0, -69.0)];
        let square = [(1000.0, -400.0), (1000.0, -1000.0), (0.0, -1000.0), (0.0, 0.0)];
        let mut all = [&square[..], &needle].concat();
        for _ in 0..all.len() {
            all.rotate_left(1);
            let kept = blunted(&closed(&all));
            let has = |at: (f64, f64)| kept.segments().any(|side| side.end() == at.into());
            assert!(square.into_iter().all(has) && !has(needle[2]) && has(needle[4]), "{all:?}: {kept:?}");
        }
        let only = closed(&[(0.0, 0.0), (500.0, 0.0), (1000.0, 0.5), (400.0, 0.2)]);
        assert!(blunted(&only).is_empty());
        let mut bow = closed(&[(0.0, 0.0), (1000.0, 0.0)]);
        bow.pop();
        bow.curve_to((900.0, 10.0), (100.0, 10.0), (0.0, 0.0));
        assert_eq!(blunted(&bow).segments().count(), 2);
    }

    fn closed(corners: &[(f64, f64)]) -> BezPath {
        let to = |(index, at): (usize, &(f64, f64))| {
            if index == 0 { PathEl::MoveTo((*at).into()) } else { PathEl::LineTo((*at).into()) }
        };
        corners.iter().enumerate().map(to).chain([PathEl::ClosePath]).collect()
    }
}
