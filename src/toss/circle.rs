//! The least circle around points.

use super::{Vector, length, minus};

/// The least circle that holds all points: its middle and radius.
///
/// Each point that lies outside is put on the rim of a new circle through at most two others (E. Welzl, "Smallest
/// enclosing disks", 1991, in its incremental form; the points come in the order they have).
pub(super) fn least_circle(points: &[Vector]) -> (Vector, f64) {
    let holds =
        |(middle, radius): (Vector, f64), p: Vector| length(minus(p, middle)) <= radius * (1.0 + 1e-12) + 1e-300;
    let two = |a: Vector, b: Vector| {
        let middle = [(a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0];
        (middle, length(minus(a, middle)).max(length(minus(b, middle))))
    };
    let Some(first) = points.first() else { return ([0.0; 2], 0.0) };
    let mut best = (*first, 0.0);
    for (i, p) in points.iter().enumerate() {
        if holds(best, *p) {
            continue;
        }
        best = (*p, 0.0);
        for (j, q) in points[..i].iter().enumerate() {
            if holds(best, *q) {
                continue;
            }
            best = two(*p, *q);
            for r in &points[..j] {
                if !holds(best, *r) {
                    best = three(*p, *q, *r).unwrap_or(best);
                }
            }
        }
    }
    best
}

/// The circle through three points, unless they lie on a line.
fn three(a: Vector, b: Vector, c: Vector) -> Option<(Vector, f64)> {
    let ([bx, by], [cx, cy]) = (minus(b, a), minus(c, a));
    let twice = 2.0 * (bx * cy - by * cx);
    if twice == 0.0 {
        return None;
    }
    let (bb, cc) = (bx * bx + by * by, cx * cx + cy * cy);
    let way = [(cy * bb - by * cc) / twice, (bx * cc - cx * bb) / twice];
    way.iter().all(|n| n.is_finite()).then(|| ([a[0] + way[0], a[1] + way[1]], length(way)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_circle_is_the_least() {
        let (middle, radius) = least_circle(&[[0.0, 0.0], [4.0, 0.0], [2.0, 1.0], [4.0, 3.0], [0.0, 3.0]]);
        assert!(length(minus(middle, [2.0, 1.5])) < 1e-12 && (radius - 2.5).abs() < 1e-12);
        // An even triangle of side 2: the circle through its corners has the radius 2/√3.
        let (_, radius) = least_circle(&[[0.0, 0.0], [1.0, 3f64.sqrt()], [2.0, 0.0]]);
        assert!((radius - 2.0 / 3f64.sqrt()).abs() < 1e-12);
        assert_eq!(least_circle(&[[1.0, 1.0], [3.0, 1.0], [2.0, 1.0]]), ([2.0, 1.0], 1.0));
    }
}
