//! How far every point is from a silhouette: fast, and nearly true.

use super::{Vector, dot, length, minus};

/// Cells along the longer side.
const CELLS: f64 = 80.0;

/// The distance to an outline on a grid, less than zero inside.
///
/// Between the grid's points it is bent straight, so it may be wrong by a part of a cell. Beyond the grid it is never
/// more than the truth.
#[derive(Clone, Debug)]
pub(super) struct Field {
    corner: Vector,
    cell: f64,
    /// Cells to a length.
    per: f64,
    across: usize,
    down: usize,
    values: Vec<f32>,
}

impl Field {
    /// Of sides, with so much room around the box `[left, top, right, bottom]`.
    pub(super) fn new(sides: &[[Vector; 2]], [l, t, r, b]: [f64; 4], room: f64) -> Field {
        let corner = [l - room, t - room];
        let (width, height) = (r - l + 2.0 * room, b - t + 2.0 * room);
        let cell = width.max(height) / CELLS;
        let (across, down) = ((width / cell).ceil() as usize + 1, (height / cell).ceil() as usize + 1);
        let mut values = Vec::with_capacity(across * down);
        for y in 0..down {
            let mut from = 0;
            for x in 0..across {
                let p = [corner[0] + x as f64 * cell, corner[1] + y as f64 * cell];
                values.push(signed(sides, p, &mut from) as f32);
            }
        }
        Field { corner, cell, per: 1.0 / cell, across, down, values }
    }

    /// The distance at a point.
    pub(super) fn at(&self, p: Vector) -> f64 {
        let (x, y) = ((p[0] - self.corner[0]) * self.per, (p[1] - self.corner[1]) * self.per);
        if x >= 0.0 && y >= 0.0 && x < (self.across - 1) as f64 && y < (self.down - 1) as f64 {
            return self.mean(x, y);
        }
        let (inner, out) = self.clamped(p);
        beyond(
            self.mean(inner[0].min((self.across - 1) as f64 - 1e-9), inner[1].min((self.down - 1) as f64 - 1e-9)),
            out,
        )
    }

    /// As [`mixed`](Field::mixed), without its slope.
    fn mean(&self, x: f64, y: f64) -> f64 {
        let (i, j) = (x as usize, y as usize);
        let (fx, fy) = (x - i as f64, y - j as f64);
        let at = j * self.across + i;
        let (Some([a, b]), Some([c, d])) =
            (self.values.get(at..at + 2), self.values.get(at + self.across..at + self.across + 2))
        else {
            return 0.0;
        };
        let [a, b, c, d] = [*a, *b, *c, *d].map(f64::from);
        let (top, bottom) = (a + (b - a) * fx, c + (d - c) * fx);
        top + (bottom - top) * fy
    }

    /// The distance, and the way in which it grows, of length one.
    pub(super) fn slope(&self, p: Vector) -> (f64, Vector) {
        let (inner, out) = self.clamped(p);
        let (near, way) = self.mixed(inner);
        let way = if out == 0.0 {
            way
        } else {
            let away = minus(p, [self.corner[0] + inner[0] * self.cell, self.corner[1] + inner[1] * self.cell]);
            [away[0] + near.max(0.0) * way[0], away[1] + near.max(0.0) * way[1]]
        };
        let size = length(way);
        let way = if size > 0.0 { [way[0] / size, way[1] / size] } else { [1.0, 0.0] };
        (if out == 0.0 { near } else { beyond(near, out) }, way)
    }

    /// The area within a distance of the silhouette, itself included.
    pub(super) fn area_within(&self, distance: f64) -> f64 {
        let count = self.values.iter().filter(|value| f64::from(**value) <= distance).count();
        count as f64 * self.cell * self.cell
    }

    /// In cells, brought onto the grid, and how far it was off it.
    fn clamped(&self, p: Vector) -> (Vector, f64) {
        let raw = [(p[0] - self.corner[0]) / self.cell, (p[1] - self.corner[1]) / self.cell];
        let inner = [raw[0].clamp(0.0, (self.across - 1) as f64), raw[1].clamp(0.0, (self.down - 1) as f64)];
        let off = minus(raw, inner);
        (inner, if off == [0.0; 2] { 0.0 } else { length(off) * self.cell })
    }

    /// The mean of the four points around, and its slope.
    fn mixed(&self, [x, y]: Vector) -> (f64, Vector) {
        let (i, j) = ((x as usize).min(self.across - 2), (y as usize).min(self.down - 2));
        let (fx, fy) = (x - i as f64, y - j as f64);
        let at = j * self.across + i;
        let row = |at: usize| [f64::from(self.values[at]), f64::from(self.values[at + 1])];
        let ([a, b], [c, d]) = (row(at), row(at + self.across));
        let (top, bottom) = (a + (b - a) * fx, c + (d - c) * fx);
        (top + (bottom - top) * fy, [(b - a) * (1.0 - fy) + (d - c) * fy, bottom - top])
    }
}

/// The distance of a point off the grid: the silhouette lies inside, so the angle on the grid's edge is a right one or more.
fn beyond(near: f64, out: f64) -> f64 {
    let near = near.max(0.0);
    (near * near + out * out).sqrt()
}

/// From a point to the nearest side; below zero inside. `from` is a good side to begin with.
fn signed(sides: &[[Vector; 2]], p: Vector, from: &mut usize) -> f64 {
    let mut best = sides.get(*from).map_or(f64::INFINITY, |side| square(side, p));
    let mut inside = false;
    for (i, side) in sides.iter().enumerate() {
        let [a, b] = *side;
        if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0] + (p[1] - a[1]) / (b[1] - a[1]) * (b[0] - a[0]) {
            inside = !inside;
        }
        let near = square(side, p);
        if near < best {
            (best, *from) = (near, i);
        }
    }
    if inside { -best.sqrt() } else { best.sqrt() }
}

fn square([a, b]: &[Vector; 2], p: Vector) -> f64 {
    let (way, to) = (minus(*b, *a), minus(p, *a));
    let long = dot(way, way);
    let along = if long > 0.0 { (dot(way, to) / long).clamp(0.0, 1.0) } else { 0.0 };
    let off = [to[0] - along * way[0], to[1] - along * way[1]];
    dot(off, off)
}
