//! How far a point is off its place inside the tile, to fractions of a pixel.
//!
//! As in B. D. Lucas, T. Kanade, "An iterative image registration technique" (1981), with levels taken in a
//! straight line between pixels.

use super::image::Side;
use super::point::{PATCH, Point, SIDE, View};

const ROUNDS: usize = 8;
/// A step that changes nothing more, in pixels.
const STILL: f64 = 0.02;
/// A place further from the first guess is another one.
const FARTHEST: f64 = 1.5;
/// What may differ of a patch's contrast where levels between pixels are known only nearly.
const UNLIKE: f64 = 0.05;

/// By how much, across the join and along it, the surroundings of a point are off the place that lies `home` away;
/// `off` is where to begin.
pub(super) fn between(view: &View, point: &Point, home: [i64; 2], start: [i64; 2]) -> Option<[f64; 2]> {
    let ends = [view.image.lines(view.side) as i64, view.image.length(view.side) as i64];
    let start = start.map(|by| by as f64);
    let mut off = start;
    let mut normal = Normal::default();
    for _ in 0..ROUNDS {
        let at: [f64; 2] = std::array::from_fn(|i| (point.at[i] + home[i]) as f64 - off[i]);
        if (0..2).any(|i| at[i] < PATCH as f64 || at[i] >= (ends[i] - PATCH - 1) as f64) {
            return None;
        }
        normal = Normal::of(view, point, at);
        let by = normal.solved()?;
        off = std::array::from_fn(|i| off[i] - by[i]);
        if (0..2).any(|i| (off[i] - start[i]).abs() > FARTHEST) {
            return None;
        }
        if by.iter().all(|by| by.abs() < STILL) {
            break;
        }
    }
    (normal.left < UNLIKE * point.contrast).then_some(off)
}

/// The normal equations of a step, and what differs, squared.
#[derive(Default)]
struct Normal {
    gradients: [f64; 3],
    differences: [f64; 2],
    left: f64,
}

impl Normal {
    /// Of a point and a place between pixels.
    fn of(view: &View, point: &Point, at: [f64; 2]) -> Normal {
        let mut normal = Normal::default();
        let (whole, part) = (at.map(|at| at.floor() as i64), at.map(f64::fract));
        for (n, own) in point.patch.chunks_exact(view.image.channels()).enumerate() {
            let (row, column) = ((n / SIDE) as i64 - PATCH, (n % SIDE) as i64 - PATCH);
            let [a, b] = if view.side == Side::LeftRight { [column, row] } else { [row, column] };
            let corners = [[0, 0], [0, 1], [1, 0], [1, 1]].map(|[c, d]| view.pixel(whole[0] + a + c, whole[1] + b + d));
            for (c, own) in own.iter().enumerate() {
                let [p, q, r, s] = corners.map(|pixel| f64::from(pixel[c]));
                let (near, far) = (p + part[1] * (q - p), r + part[1] * (s - r));
                let (across, along) = (far - near, q - p + part[0] * (s - r - q + p));
                normal.add(across, along, f64::from(*own) - near - part[0] * across);
            }
        }
        normal
    }

    fn add(&mut self, across: f64, along: f64, difference: f64) {
        for (sum, term) in self.gradients.iter_mut().zip([across * across, across * along, along * along]) {
            *sum += term;
        }
        self.differences[0] += across * difference;
        self.differences[1] += along * difference;
        self.left += difference * difference;
    }

    /// The step that leaves least, at most a pixel each way.
    fn solved(&self) -> Option<[f64; 2]> {
        let ([aa, ab, bb], [a, b]) = (self.gradients, self.differences);
        let area = aa * bb - ab * ab;
        (area > 0.0).then(|| [(bb * a - ab * b) / area, (aa * b - ab * a) / area].map(|by| by.clamp(-1.0, 1.0)))
    }
}
