//! Where a shape is thinner, or the ground beside it narrower, than a limit: walls that face each other.
//!
//! ```text
//!        ╭───────────────╮          From points along the outline a ray goes straight in (or out).
//!    ────╯  ↓   ↓   ↓    ╰────      Where it soon meets a wall that runs back nearly parallel, the
//!    ────╮  ↑   ↑   ↑    ╭────      shape is that thick there. A stretch of such points is a thin
//!        ╰───────────────╯          part if it is some times longer than wide, and no tip.
//! ```
//!
//! Contours are closed, don't cross, and are oriented alike, holes the other way, as
//! [`weld`](super::ink::weld) leaves them. Lengths are in whatever unit they have.

use std::cell::Cell;

use kurbo::{Point, Rect, Vec2};

use grid::Grid;

mod grid;
#[cfg(test)]
mod tests;

/// Contours of chords.
pub type Contours = Vec<Vec<[f64; 2]>>;

/// A width within so much of the limit meets it: less than flattened curves and whole pixels change.
pub(super) const NEAR: f64 = 0.98;
/// Walls that are no farther from parallel than 26° face each other.
const FACING: f64 = 0.9;
/// A part that widens by more than this share of its length is a tip: 4°.
const TAPER: f64 = 0.07;
/// A thin part is so many times longer than wide, and than the limit.
const TIMES: [f64; 2] = [4.0, 3.0];
/// A part that ends in nothing at one end, and fades towards it, is a tip, too, up to so many limits: a
/// crescent's horn prints a little shorter.
const ENDS: f64 = 0.25;
const FADES: f64 = 0.7;
const TIP: f64 = 40.0;
/// Where an outline turns by more than 60° from one point to the next, a part ends.
const CORNER: f64 = 0.5;

/// A part that is narrower than asked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Narrow {
    /// Where it is narrowest; of a part that ends in a tip, without the narrowest fifth of its length.
    pub width: f64,
    /// The rectangle around it.
    pub bounds: Rect,
}

/// A point of an outline where the wall that faces it is near.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spot {
    pub(super) at: Point,
    /// Towards the other wall, of length one.
    pub(super) towards: Vec2,
    pub(super) width: f64,
}

/// Which side of the outline is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Look {
    /// Through the shape.
    In,
    /// Over the ground.
    Out,
}

/// Stretches of spots narrower than `limit` but not than `least`, `limit` apart from one another,
/// where `counts` says that they count; `None` if there is more to look at than `left`.
pub(super) fn narrow(
    contours: &Contours,
    look: Look,
    [least, limit]: [f64; 2],
    counts: &dyn Fn(Point) -> bool,
    left: &Cell<u64>,
) -> Option<Vec<Vec<Spot>>> {
    let grid = Grid::new(contours, limit, left)?;
    let mut found = Vec::new();
    for steps in walked(contours, look, limit, left)? {
        let mut spots = Vec::with_capacity(steps.len());
        for step in steps {
            let hit = if counts(step.at) { grid.hit(step.at, step.towards, limit, left)? } else { None };
            // The wall that faces this one runs back; its distance is measured square to it.
            let back = hit.map(|hit| (hit.distance, -hit.along.dot(step.along))).filter(|(_, back)| *back >= FACING);
            let width = back.map(|(distance, back)| distance * back).filter(|w| (least..NEAR * limit).contains(w));
            spots.push((step, width.map(|width| Spot { at: step.at, towards: step.towards, width })));
        }
        found.extend(stretches(&spots).into_iter().filter(|spots| is_long(spots, limit)));
    }
    Some(found)
}

/// A point of an outline.
#[derive(Clone, Copy, Debug)]
pub(super) struct Step {
    pub(super) at: Point,
    /// As the outline runs, of length one.
    along: Vec2,
    /// In or out, of length one.
    pub(super) towards: Vec2,
}

/// Points every `step` along each contour, each with the direction in or out.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a count of steps; too many are refused")]
pub(super) fn walked(contours: &Contours, look: Look, step: f64, left: &Cell<u64>) -> Option<Vec<Vec<Step>>> {
    let turn = if look == Look::In { hand(contours) } else { -hand(contours) };
    let mut all = Vec::new();
    for contour in contours {
        let mut steps = Vec::new();
        let mut ahead = step / 2.0;
        for (a, b) in sides(contour) {
            let length = (b - a).hypot();
            if length == 0.0 {
                continue;
            }
            let along = (b - a) / length;
            spend(left, 1 + (length / step) as u64)?;
            while ahead < length {
                steps.push(Step { at: a + along * ahead, along, towards: Vec2::new(-along.y, along.x) * turn });
                ahead += step;
            }
            ahead -= length;
        }
        all.push(steps);
    }
    Some(all)
}

/// 1 if the shape lies to the left of its outlines as they are written (x to the right, y up), else -1.
fn hand(contours: &Contours) -> f64 {
    let area: f64 = contours.iter().flat_map(|c| sides(c)).map(|(a, b)| a.to_vec2().cross(b.to_vec2())).sum();
    if area < 0.0 { -1.0 } else { 1.0 }
}

fn sides(contour: &[[f64; 2]]) -> impl Iterator<Item = (Point, Point)> {
    let point = |[x, y]: &[f64; 2]| Point::new(*x, *y);
    contour.iter().zip(contour.iter().cycle().skip(1)).map(move |(a, b)| (point(a), point(b)))
}

/// Takes some of what may be looked at.
pub(super) fn spend(left: &Cell<u64>, some: u64) -> Option<()> {
    left.set(left.get().checked_sub(some)?);
    Some(())
}

/// The unbroken stretches of spots along a closed contour.
fn stretches(points: &[(Step, Option<Spot>)]) -> Vec<Vec<Spot>> {
    let count = points.len();
    let breaks = |n: usize| {
        let (before, here) = (points[(n + count - 1) % count], points[n % count]);
        before.1.is_none() || here.1.is_none() || before.0.along.dot(here.0.along) < CORNER
    };
    // Begin behind a break, so that no stretch is cut in two; without one the contour is one stretch.
    let start = (0..count).find(|n| breaks(*n)).unwrap_or(0);
    let mut found: Vec<Vec<Spot>> = Vec::new();
    for n in start..start + count {
        let Some(spot) = points[n % count].1 else { continue };
        match found.last_mut() {
            Some(stretch) if n > start && !breaks(n % count) => stretch.push(spot),
            _ => found.push(vec![spot]),
        }
    }
    found
}

/// Whether a stretch is a thin part: some times longer than wide, and no tip. Its spots are `step`, the
/// limit, apart.
pub(super) fn is_long(spots: &[Spot], step: f64) -> bool {
    let Some((most, ends)) = ends(spots) else { return false };
    let length = spots.len() as f64 * step;
    let mean = spots.iter().map(|spot| spot.width).sum::<f64>() / spots.len() as f64;
    let rise = (ends[0] - ends[1]).abs() / length;
    let fades = is_tip(most, ends) && mean <= FADES * most;
    let least = (TIMES[0] * mean).max(TIMES[1] * step).max(if fades { TIP * step } else { 0.0 });
    // To one part in a thousand, since lengths are counted in steps.
    length > 0.999 * least && rise <= TAPER
}

/// The greatest width of a stretch, and those at its ends.
fn ends(spots: &[Spot]) -> Option<(f64, [f64; 2])> {
    let most = spots.iter().map(|spot| spot.width).fold(0.0, f64::max);
    Some((most, [spots.first()?.width, spots.last()?.width]))
}

fn is_tip(most: f64, [a, b]: [f64; 2]) -> bool {
    a.min(b) <= ENDS * most
}

/// What stretches come to: those that touch are one part.
pub(super) fn parts<'a>(stretches: impl IntoIterator<Item = &'a [Spot]>, near: f64) -> Vec<Narrow> {
    let mut parts: Vec<Narrow> = Vec::new();
    for spots in stretches {
        let walls = spots.iter().flat_map(|spot| [spot.at, spot.at + spot.towards * spot.width]);
        let bounds = walls.map(|p| Rect::from_points(p, p)).reduce(|a, b| a.union(b));
        let mut widths: Vec<f64> = spots.iter().map(|spot| spot.width).collect();
        widths.sort_by(f64::total_cmp);
        let pointed = ends(spots).is_some_and(|(most, ends)| is_tip(most, ends));
        let width = widths.get(if pointed { widths.len() / 5 } else { 0 });
        parts.extend(bounds.zip(width).map(|(bounds, width)| Narrow { width: *width, bounds }));
    }
    joined(parts, near)
}

/// More parts than this are told apart no further.
const MOST_PARTS: usize = 2_000;

/// Parts whose rectangles come as near as that are one, narrowest first.
pub(super) fn joined(parts: Vec<Narrow>, near: f64) -> Vec<Narrow> {
    let mut found: Vec<Narrow> = Vec::new();
    for mut part in parts {
        let mut n = if found.len() > MOST_PARTS { found.len() } else { 0 };
        while n < found.len() {
            if part.bounds.inflate(near, near).overlaps(found[n].bounds) {
                let other = found.swap_remove(n);
                part = Narrow { width: part.width.min(other.width), bounds: part.bounds.union(other.bounds) };
                n = 0;
            } else {
                n += 1;
            }
        }
        found.push(part);
    }
    found.sort_by(|a, b| a.width.total_cmp(&b.width).then(a.bounds.x0.total_cmp(&b.bounds.x0)));
    found
}
