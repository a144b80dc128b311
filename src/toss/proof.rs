//! What a toss is proved by: every outline against every image of every other, side by side, without the placer's
//! circles, groups, cells and fields.
//!
//! The nearest points of two sides are found by their parameters (C. Ericson, "Real-time collision detection", 2005,
//! 5.1.9), what lies in another by how often its outline winds around it.

use kurbo::{Affine, Point, Rect};

use super::{Vector, cross, dot, minus};

/// A silhouette in its place.
#[derive(Clone, Debug)]
pub struct Outline {
    /// Closed contours on the cloth.
    pub contours: Vec<Vec<Vector>>,
    /// How far ink may reach beyond.
    pub slack: f64,
}

/// What is nearest to an outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Nearest {
    /// From ink to ink at least; zero where they touch, cross or lie in each other.
    pub distance: f64,
    /// Which one; its own number for an image of itself.
    pub other: usize,
}

/// Two outlines by their numbers, and how far they are apart.
pub type Close = (usize, usize, f64);

/// What is nearest to each outline on a cloth that two steps and some operators (the identity among them) carry onto
/// itself, and all pairs that are nearer than `within`, each once.
pub fn nearest(
    steps: [Vector; 2],
    operators: &[Affine],
    outlines: &[Outline],
    within: f64,
) -> (Vec<Option<Nearest>>, Vec<Close>) {
    let boxes: Vec<Option<Rect>> = outlines.iter().map(|one| bounds(&one.contours)).collect();
    let far = steps.iter().map(|s| dot(*s, *s)).sum::<f64>().sqrt();
    let mut found: Vec<Option<Nearest>> = vec![None; outlines.len()];
    let mut close: Vec<Close> = Vec::new();
    for j in 0..outlines.len() {
        for by in operators {
            let contours: Vec<Vec<Vector>> =
                outlines[j].contours.iter().map(|c| c.iter().map(|p| placed(*by, *p)).collect()).collect();
            let Some(there) = bounds(&contours) else { continue };
            for i in 0..=j {
                let Some(here) = boxes[i] else { continue };
                // As far as the nearest that either knows; without one, a whole step.
                let known = |n: usize| found[n].map_or(far, |near| near.distance);
                let reach = known(i).max(known(j)).max(within) + outlines[i].slack + outlines[j].slack;
                for step in steps_between(steps, there, here.inflate(reach, reach)) {
                    if i == j && *by == Affine::IDENTITY && step == [0.0; 2] {
                        continue;
                    }
                    let slack = outlines[i].slack + outlines[j].slack;
                    let Some(distance) = apart(&outlines[i].contours, &contours, step, reach) else { continue };
                    let distance = (distance - slack).max(0.0);
                    for (n, other) in [(i, j), (j, i)] {
                        if found[n].is_none_or(|near| distance < near.distance) {
                            found[n] = Some(Nearest { distance, other });
                        }
                    }
                    if distance < within {
                        match close.iter_mut().rev().take(64).find(|(a, b, _)| (*a, *b) == (i, j)) {
                            Some((_, _, least)) => *least = least.min(distance),
                            None => close.push((i, j, distance)),
                        }
                    }
                }
            }
        }
    }
    (found, close)
}

fn placed(by: Affine, [x, y]: Vector) -> Vector {
    let p = by * Point::new(x, y);
    [p.x, p.y]
}

fn bounds(contours: &[Vec<Vector>]) -> Option<Rect> {
    contours.iter().flatten().map(|[x, y]| Rect::new(*x, *y, *x, *y)).reduce(|a, b| a.union(b))
}

/// All steps that bring one box into touch with another.
fn steps_between([u, v]: [Vector; 2], from: Rect, to: Rect) -> Vec<Vector> {
    let area = cross(u, v);
    // The ways that may be gone make a rectangle; its corners in shares of the steps bound the shares of all.
    let (x, y) = ([to.x0 - from.x1, to.x1 - from.x0], [to.y0 - from.y1, to.y1 - from.y0]);
    if x[0] > x[1] || y[0] > y[1] {
        return Vec::new();
    }
    let corners = [[x[0], y[0]], [x[1], y[0]], [x[0], y[1]], [x[1], y[1]]];
    let range = |share: &dyn Fn(Vector) -> f64| {
        let all = corners.map(share);
        let (low, high) = (all.iter().copied().fold(f64::MAX, f64::min), all.iter().copied().fold(f64::MIN, f64::max));
        (low - 1e-9).ceil() as i64..=(high + 1e-9).floor() as i64
    };
    let mut found = Vec::new();
    for p in range(&|way| cross(way, v) / area) {
        for q in range(&|way| cross(u, way) / area) {
            let step = [p as f64 * u[0] + q as f64 * v[0], p as f64 * u[1] + q as f64 * v[1]];
            if (x[0]..=x[1]).contains(&step[0]) && (y[0]..=y[1]).contains(&step[1]) {
                found.push(step);
            }
        }
    }
    found
}

/// From one to the other, moved by a step; `None` if that is more than `within`.
fn apart(one: &[Vec<Vector>], other: &[Vec<Vector>], step: Vector, within: f64) -> Option<f64> {
    let other: Vec<Vec<Vector>> =
        other.iter().map(|c| c.iter().map(|p| [p[0] + step[0], p[1] + step[1]]).collect()).collect();
    let lies_in = |inner: &[Vec<Vector>], outer: &[Vec<Vector>]| {
        inner
            .iter()
            .any(|contour| !contour.is_empty() && outer.iter().map(|ring| winding(ring, contour[0])).sum::<i32>() != 0)
    };
    if lies_in(one, &other) || lies_in(&other, one) {
        return Some(0.0);
    }
    let mut least = within * within;
    let mut found = false;
    let (Some(around), Some(there)) = (bounds(one), bounds(&other)) else { return None };
    // Only what lies near the other's box.
    let sides = |contours: &[Vec<Vector>], window: Rect| -> Vec<[Vector; 2]> {
        let all = contours.iter().flat_map(|ring| ring.iter().zip(ring.iter().cycle().skip(1)).map(|(a, b)| [*a, *b]));
        all.filter(|[a, b]| gap_between(Rect::from_points((a[0], a[1]), (b[0], b[1])), window) <= within).collect()
    };
    let mine = sides(one, there);
    for [c, d] in sides(&other, around) {
        let box_of = Rect::from_points((c[0], c[1]), (d[0], d[1]));
        for [a, b] in &mine {
            let out = gap_between(Rect::from_points((a[0], a[1]), (b[0], b[1])), box_of);
            if out * out > least {
                continue;
            }
            let square = between(*a, *b, c, d);
            if square <= least {
                (least, found) = (square, true);
            }
        }
    }
    found.then(|| least.sqrt())
}

fn gap_between(a: Rect, b: Rect) -> f64 {
    (a.x0 - b.x1).max(b.x0 - a.x1).max(a.y0 - b.y1).max(b.y0 - a.y1).max(0.0)
}

/// The square of the distance of two sides, by the parameters of their nearest points.
fn between(p1: Vector, q1: Vector, p2: Vector, q2: Vector) -> f64 {
    let (d1, d2, r) = (minus(q1, p1), minus(q2, p2), minus(p1, p2));
    let (a, e, f) = (dot(d1, d1), dot(d2, d2), dot(d2, r));
    let (s, t);
    if a <= 0.0 && e <= 0.0 {
        return dot(r, r);
    }
    if a <= 0.0 {
        (s, t) = (0.0, (f / e).clamp(0.0, 1.0));
    } else {
        let c = dot(d1, r);
        if e <= 0.0 {
            (s, t) = ((-c / a).clamp(0.0, 1.0), 0.0);
        } else {
            let b = dot(d1, d2);
            let steep = a * e - b * b;
            let first = if steep > 0.0 { ((b * f - c * e) / steep).clamp(0.0, 1.0) } else { 0.0 };
            let along = (b * first + f) / e;
            if along < 0.0 {
                (s, t) = ((-c / a).clamp(0.0, 1.0), 0.0);
            } else if along > 1.0 {
                (s, t) = (((b - c) / a).clamp(0.0, 1.0), 1.0);
            } else {
                (s, t) = (first, along);
            }
        }
    }
    let way = [r[0] + s * d1[0] - t * d2[0], r[1] + s * d1[1] - t * d2[1]];
    dot(way, way)
}

/// How often a ring winds around a point: by its upward and downward crossings of the ray to the right.
fn winding(ring: &[Vector], p: Vector) -> i32 {
    let mut turns = 0;
    for (n, a) in ring.iter().enumerate() {
        let b = ring[(n + 1) % ring.len()];
        let left = cross(minus(b, *a), minus(p, *a));
        if a[1] <= p[1] && b[1] > p[1] && left > 0.0 {
            turns += 1;
        } else if a[1] > p[1] && b[1] <= p[1] && left < 0.0 {
            turns -= 1;
        }
    }
    turns
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(x: f64, y: f64, side: f64) -> Outline {
        Outline { contours: vec![vec![[x, y], [x + side, y], [x + side, y + side], [x, y + side]]], slack: 0.0 }
    }

    fn distance(a: Outline, b: Outline) -> f64 {
        let (found, _) = nearest([[100.0, 0.0], [0.0, 100.0]], &[Affine::IDENTITY], &[a, b], 0.0);
        found[0].expect("a neighbor").distance
    }

    /// Closed forms: side to side, corner to corner, over an edge, crossing, and one in the other.
    #[test]
    fn distances_are_those_of_the_outlines() {
        assert_eq!(distance(square(0.0, 0.0, 10.0), square(13.0, 2.0, 5.0)), 3.0);
        assert_eq!(distance(square(0.0, 0.0, 10.0), square(13.0, 14.0, 5.0)), 5.0);
        assert_eq!(distance(square(0.0, 0.0, 10.0), square(95.0, 4.0, 3.0)), 2.0);
        assert_eq!(distance(square(0.0, 0.0, 10.0), square(9.0, 9.0, 5.0)), 0.0);
        assert_eq!(distance(square(0.0, 0.0, 10.0), square(4.0, 4.0, 2.0)), 0.0);
        let slack = Outline { slack: 0.5, ..square(13.0, 2.0, 5.0) };
        assert_eq!(distance(square(0.0, 0.0, 10.0), slack), 2.5);
        // A small one that lies in the other across the edge.
        assert_eq!(distance(square(-5.0, 0.0, 10.0), square(97.0, 4.0, 1.0)), 0.0);
    }

    #[test]
    fn images_of_itself_count() {
        let alone = |steps, operators: &[Affine]| {
            let (found, close) = nearest(steps, operators, &[square(1.0, 1.0, 4.0)], 2.5);
            (found[0].expect("an image").distance, close.len())
        };
        assert_eq!(alone([[10.0, 0.0], [0.0, 20.0]], &[Affine::IDENTITY]), (6.0, 0));
        // A half-drop's neighbor lies lower by five: beside it, 2 to the right.
        assert_eq!(alone([[6.0, 3.0], [0.0, 12.0]], &[Affine::IDENTITY]), (2.0, 1));
        // Mirrored in the line x = 0, two away.
        let mirror = Affine::new([-1.0, 0.0, 0.0, 1.0, 0.0, 0.0]);
        assert_eq!(alone([[30.0, 0.0], [0.0, 20.0]], &[Affine::IDENTITY, mirror]), (2.0, 1));
    }
}
