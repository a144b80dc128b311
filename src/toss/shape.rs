//! One silhouette, made ready: its sides in groups, its field, the points that feel for others.

use super::circle::least_circle;
use super::field::Field;
use super::wishes::Silhouette;
use super::{Vector, cross, length, minus};

/// Sides in one group.
const GROUP: usize = 8;
/// Points along an outline that feel for other silhouettes.
const FEELERS: f64 = 56.0;
/// The most points at corners besides.
const CORNERS: usize = 48;

/// A silhouette about the middle of the least circle around it, at size one.
#[derive(Clone, Debug)]
pub(super) struct Shape {
    /// The circle's middle, from the middle of the motif's page.
    pub(super) middle: Vector,
    /// The circle's radius.
    pub(super) radius: f64,
    /// What the contours hold.
    pub(super) area: f64,
    pub(super) slack: f64,
    pub(super) contours: Vec<Vec<Vector>>,
    pub(super) sides: Vec<[Vector; 2]>,
    /// Neighboring sides, each group with a circle around it.
    pub(super) groups: Vec<Group>,
    pub(super) feelers: Vec<Vector>,
    /// Neighboring feelers.
    pub(super) feeling: Vec<Group>,
    pub(super) field: Field,
}

/// Some sides or points in a row, and the least circle around them.
#[derive(Clone, Copy, Debug)]
pub(super) struct Group {
    pub(super) first: usize,
    pub(super) end: usize,
    pub(super) middle: Vector,
    pub(super) radius: f64,
}

impl Group {
    fn new(first: usize, end: usize, points: &[Vector]) -> Group {
        let (middle, radius) = least_circle(points);
        Group { first, end, middle, radius }
    }
}

impl Shape {
    /// From a silhouette; `reach` is how far outside, at size one, its field is to be good. `None` without area.
    pub(super) fn new(silhouette: &Silhouette, reach: f64) -> Option<Shape> {
        let points: Vec<Vector> = silhouette.contours.iter().flatten().copied().collect();
        if points.iter().flatten().any(|n| !n.is_finite()) {
            return None;
        }
        let (middle, radius) = least_circle(&spread_out(&points));
        let contours: Vec<Vec<Vector>> = silhouette
            .contours
            .iter()
            .filter(|contour| contour.len() > 2)
            .map(|contour| contour.iter().map(|p| minus(*p, middle)).collect())
            .collect();
        let area: f64 = contours.iter().map(|contour| surface(contour)).sum();
        if !(area > 0.0 && radius > 0.0) {
            return None;
        }
        let (mut sides, mut groups) = (Vec::new(), Vec::new());
        for contour in &contours {
            let first = sides.len();
            sides.extend(contour.iter().zip(contour.iter().cycle().skip(1)).map(|(a, b)| [*a, *b]));
            for start in (first..sides.len()).step_by(GROUP) {
                let end = (start + GROUP).min(sides.len());
                let ends: Vec<Vector> = sides[start..end].iter().flatten().copied().collect();
                groups.push(Group::new(start, end, &ends));
            }
        }
        let bounds = contours.iter().flatten().fold([f64::MAX, f64::MAX, f64::MIN, f64::MIN], |[l, t, r, b], p| {
            [l.min(p[0]), t.min(p[1]), r.max(p[0]), b.max(p[1])]
        });
        let room = reach.clamp(0.1 * radius, radius);
        let field = Field::new(&sides, bounds, room);
        let (mut feelers, mut feeling) = (Vec::new(), Vec::new());
        for row in self::feelers(&contours) {
            for some in row.chunks(GROUP) {
                feeling.push(Group::new(feelers.len(), feelers.len() + some.len(), some));
                feelers.extend_from_slice(some);
            }
        }
        let slack = silhouette.slack;
        Some(Shape { middle, radius, area, slack, contours, sides, groups, feelers, feeling, field })
    }
}

/// The farthest points come first: the least circle is then found at once.
fn spread_out(points: &[Vector]) -> Vec<Vector> {
    let count = points.len().max(1) as f64;
    let sum = points.iter().fold([0.0; 2], |s, p| [s[0] + p[0], s[1] + p[1]]);
    let mean = [sum[0] / count, sum[1] / count];
    let mut points = points.to_vec();
    points.sort_by(|a, b| length(minus(*b, mean)).total_cmp(&length(minus(*a, mean))));
    points
}

/// What a contour holds.
pub(super) fn surface(contour: &[Vector]) -> f64 {
    let next = contour.iter().cycle().skip(1);
    contour.iter().zip(next).map(|(a, b)| cross(*a, *b)).sum::<f64>().abs() / 2.0
}

/// Points in even steps along all contours, and the sharpest corners, in the order of the contours.
fn feelers(contours: &[Vec<Vector>]) -> Vec<Vec<Vector>> {
    let sharp = |contour: &[Vector], i: usize| {
        let p = contour[i];
        let before = minus(p, contour[(i + contour.len() - 1) % contour.len()]);
        let after = minus(contour[(i + 1) % contour.len()], p);
        (cross(before, after) / (length(before) * length(after)).max(1e-300)).abs()
    };
    let around = |contour: &Vec<Vector>| -> f64 {
        contour.iter().zip(contour.iter().cycle().skip(1)).map(|(a, b)| length(minus(*b, *a))).sum()
    };
    let step = contours.iter().map(around).sum::<f64>() / FEELERS;
    let mut turns: Vec<f64> = contours.iter().flat_map(|c| (0..c.len()).map(|i| sharp(c, i))).collect();
    turns.sort_by(|a, b| b.total_cmp(a));
    // What turns less lies hardly off the straight way between two steps.
    let least = turns.get(CORNERS).copied().unwrap_or(0.0).max(0.35);
    let felt = |contour: &Vec<Vector>| {
        let mut found = Vec::new();
        let mut at = 0.0;
        for (i, a) in contour.iter().enumerate() {
            let b = contour[(i + 1) % contour.len()];
            let long = length(minus(b, *a));
            if sharp(contour, i) > least && at > 0.1 * step {
                found.push(*a);
            }
            while at < long {
                let share = at / long;
                found.push([a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share]);
                at += step;
            }
            at -= long;
        }
        found
    };
    contours.iter().map(felt).collect()
}
