//! How far two outlines are apart: exactly, and only as far as it matters.

use kurbo::{Affine, Point};

use super::shape::Shape;
use super::{Vector, cross, dot, length, minus};

/// The nearest points of two outlines.
#[derive(Clone, Copy, Debug)]
pub(super) struct Near {
    /// Zero where they cross, or one lies in the other.
    pub(super) distance: f64,
    /// On the first.
    pub(super) a: Vector,
    /// On the second.
    pub(super) b: Vector,
}

/// A silhouette in its place.
#[derive(Clone, Copy)]
pub(super) struct Lying<'a> {
    pub(super) shape: &'a Shape,
    pub(super) pose: Affine,
    /// How much the pose stretches lengths.
    pub(super) size: f64,
}

impl Lying<'_> {
    pub(super) fn middle(&self) -> Vector {
        let [_, _, _, _, x, y] = self.pose.as_coeffs();
        [x, y]
    }

    fn place(&self, p: Vector) -> Vector {
        let q = self.pose * Point::new(p[0], p[1]);
        [q.x, q.y]
    }
}

/// The nearest points of two silhouettes, if they are nearer than `within`.
///
/// Groups of sides whose circles are farther apart than what is known already are left out.
pub(super) fn near(a: Lying<'_>, b: Lying<'_>, within: f64) -> Option<Near> {
    let (radius_a, radius_b) = (a.shape.radius * a.size, b.shape.radius * b.size);
    let way = minus(b.middle(), a.middle());
    let apart = radius_a + radius_b + within;
    if dot(way, way) >= apart * apart {
        return None;
    }
    let mut best: Option<Near> = None;
    let mut within = within;
    // Groups that come near the other's circle, in their places.
    let reach = |one: Lying<'_>, other: Vector, radius: f64| -> Vec<(usize, Vector, f64)> {
        let groups = one.shape.groups.iter().enumerate();
        groups
            .filter_map(|(i, group)| {
                let (middle, own) = (one.place(group.middle), group.radius * one.size * (1.0 + 1e-9));
                let apart = own + radius + within;
                let way = minus(middle, other);
                (dot(way, way) < apart * apart).then_some((i, middle, own))
            })
            .collect()
    };
    let near_a = reach(a, b.middle(), radius_b);
    let near_b = reach(b, a.middle(), radius_a);
    for (i, middle, radius) in near_a {
        let group = a.shape.groups[i];
        let mut sides_a: Option<Vec<[Vector; 2]>> = None;
        for (j, other, other_radius) in &near_b {
            let apart = radius + other_radius + within;
            let way = minus(middle, *other);
            if dot(way, way) >= apart * apart {
                continue;
            }
            let sides_a = sides_a.get_or_insert_with(|| {
                a.shape.sides[group.first..group.end].iter().map(|side| side.map(|p| a.place(p))).collect()
            });
            let group_b = b.shape.groups[*j];
            for side in &b.shape.sides[group_b.first..group_b.end] {
                let side_b = side.map(|p| b.place(p));
                for side_a in &*sides_a {
                    if let Some(found) = sides(*side_a, side_b, within) {
                        if found.distance == 0.0 {
                            return Some(found);
                        }
                        within = found.distance;
                        best = Some(found);
                    }
                }
            }
        }
    }
    // No sides cross: a contour lies wholly in the other silhouette, or wholly outside.
    let held = |inner: Lying<'_>, outer: Lying<'_>| {
        let back = outer.pose.inverse();
        inner.shape.contours.iter().find_map(|contour| {
            let p = inner.place(contour[0]);
            let q = back * Point::new(p[0], p[1]);
            holds(&outer.shape.sides, [q.x, q.y]).then_some(Near { distance: 0.0, a: p, b: p })
        })
    };
    held(a, b).or_else(|| held(b, a)).or(best)
}

/// Whether a point lies inside, by the sides that a ray from it crosses.
pub(super) fn holds(sides: &[[Vector; 2]], p: Vector) -> bool {
    let crossed = |[a, b]: &&[Vector; 2]| {
        (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0] + (p[1] - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
    };
    sides.iter().filter(crossed).count() % 2 == 1
}

/// The nearest points of two sides, if they are nearer than `within`.
fn sides(a: [Vector; 2], b: [Vector; 2], within: f64) -> Option<Near> {
    // By their boxes first.
    for axis in [0, 1] {
        let low = b[0][axis].min(b[1][axis]) - a[0][axis].max(a[1][axis]);
        let high = a[0][axis].min(a[1][axis]) - b[0][axis].max(b[1][axis]);
        if low >= within || high >= within {
            return None;
        }
    }
    if crosses(a, b) {
        return Some(Near { distance: 0.0, a: a[0], b: a[0] });
    }
    let mut best: Option<Near> = None;
    let mut most = within;
    let mut take = |distance: f64, on_a: Vector, on_b: Vector| {
        if distance < most {
            most = distance;
            best = Some(Near { distance, a: on_a, b: on_b });
        }
    };
    for p in a {
        let q = foot(b, p);
        take(length(minus(p, q)), p, q);
    }
    for q in b {
        let p = foot(a, q);
        take(length(minus(p, q)), p, q);
    }
    best
}

fn crosses([a, b]: [Vector; 2], [c, d]: [Vector; 2]) -> bool {
    let side = |from: Vector, to: Vector, p: Vector| cross(minus(to, from), minus(p, from));
    let opposite = |one: f64, other: f64| (one > 0.0) != (other > 0.0);
    opposite(side(a, b, c), side(a, b, d)) && opposite(side(c, d, a), side(c, d, b))
}

/// The point of a side that is nearest.
fn foot([a, b]: [Vector; 2], p: Vector) -> Vector {
    let (way, to) = (minus(b, a), minus(p, a));
    let long = dot(way, way);
    let along = if long > 0.0 { (dot(way, to) / long).clamp(0.0, 1.0) } else { 0.0 };
    [a[0] + along * way[0], a[1] + along * way[1]]
}
