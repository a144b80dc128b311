//! Bare circles between the ink: the largest is the bald spot, half of the bare ground lies in those that
//! are no larger than the usual one.
//!
//! The distance to the nearest ink is taken for every cell at once, exactly, on the torus (P. Felzenszwalb
//! and D. Huttenlocher, "Distance transforms of sampled functions", Theory of Computing 8, 2012). A circle
//! that can't grow touches ink on three sides, or on two that face each other; from the best cell its true
//! middle is found among the circles through the nearest ink.

use super::field::{Field, Steps};

/// A bare circle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pocket {
    /// Its middle.
    pub middle: [f64; 2],
    /// Its diameter, from the edge of ink to the edge of ink.
    pub diameter: f64,
}

/// The bare circles of a field that can't grow; none has its middle in a larger one.
#[derive(Clone, Debug, PartialEq)]
pub struct Pockets {
    /// The largest first, at most [`Pockets::MOST`]; each once, wherever blocks repeat it.
    pub largest: Vec<Pocket>,
    /// The diameter that halves the area of all pockets.
    pub usual: f64,
    /// How many there are.
    pub count: usize,
}

impl Pockets {
    /// The most that are listed.
    pub const MOST: usize = 12;

    /// How much larger the largest is than the usual one.
    pub fn ratio(&self) -> f64 {
        self.largest.first().map_or(1.0, |first| first.diameter / self.usual)
    }
}

/// The pockets of a field that repeats by a lattice's steps; `None` without ink or without ground.
pub(super) fn pockets(field: &Field, steps: Steps) -> Option<Pockets> {
    let distances = distances(field)?;
    let cell = field.cell();
    let found = greedy(field, &distances);
    let first = *found.first()?;
    let edge = cell[0].max(cell[1]) / 2.0;
    // What is smaller than a few cells is the drawing of a motif.
    let large: Vec<(usize, f64)> = found.into_iter().filter(|(_, r)| *r >= 2.0 * edge || *r == first.1).collect();
    let total: f64 = large.iter().map(|(_, r)| r * r).sum();
    let mut sum = 0.0;
    let usual = large.iter().find(|(_, r)| {
        sum += r * r;
        sum >= total / 2.0
    });
    let diameter = |r: f64| (2.0 * (r - edge)).max(0.0);
    let mut largest: Vec<Pocket> = Vec::new();
    for (at, radius) in &large {
        if largest.len() == Pockets::MOST {
            break;
        }
        let (middle, radius) = refined(field, *at, *radius);
        // The same in another block is no other pocket.
        if largest.iter().all(|other| steps.distance(other.middle, middle) > 3.0 * edge) {
            largest.push(Pocket { middle, diameter: diameter(radius) });
        }
    }
    largest.sort_by(|a, b| b.diameter.total_cmp(&a.diameter));
    Some(Pockets { largest, usual: diameter(usual?.1).max(edge), count: large.len() })
}

/// From each cell's middle to the middle of the nearest ink.
fn distances(field: &Field) -> Option<Vec<f64>> {
    let (across, down) = (field.across(), field.down());
    let ink = field.ink().iter().filter(|ink| **ink).count();
    if ink == 0 || ink == across * down {
        return None;
    }
    let mut squares: Vec<f64> = field.ink().iter().map(|ink| if *ink { 0.0 } else { f64::INFINITY }).collect();
    for x in 0..across {
        let column: Vec<f64> = (0..down).map(|y| squares[y * across + x]).collect();
        for (y, square) in transformed(&column, field.cell()[1]).into_iter().enumerate() {
            squares[y * across + x] = square;
        }
    }
    for row in squares.chunks_exact_mut(across) {
        let nearer = transformed(row, field.cell()[0]);
        row.copy_from_slice(&nearer);
    }
    Some(squares.into_iter().map(f64::sqrt).collect())
}

/// The lower envelope of a parabola on each sample of a ring, at the samples.
fn transformed(values: &[f64], step: f64) -> Vec<f64> {
    let count = values.len();
    // Three times round: what is nearest to the middle turn lies at most one turn away.
    let value = |at: usize| values[at % count];
    let mut hull: Vec<(usize, f64)> = Vec::new();
    for at in (0..3 * count).filter(|at| value(*at).is_finite()) {
        let x = at as f64 * step;
        loop {
            let Some((last, begins)) = hull.last().copied() else {
                hull.push((at, f64::NEG_INFINITY));
                break;
            };
            let l = last as f64 * step;
            let meet = ((value(at) + x * x) - (value(last) + l * l)) / (2.0 * (x - l));
            if meet > begins {
                hull.push((at, meet));
                break;
            }
            hull.pop();
        }
    }
    if hull.is_empty() {
        return values.to_vec();
    }
    let mut piece = 0;
    let nearest = (count..2 * count).map(|at| {
        let x = at as f64 * step;
        while piece + 1 < hull.len() && hull[piece + 1].1 <= x {
            piece += 1;
        }
        let away = x - hull[piece].0 as f64 * step;
        away * away + value(hull[piece].0)
    });
    nearest.collect()
}

/// Cells whose circle no neighbour's is larger than, the largest first; none lies in a larger one's circle.
fn greedy(field: &Field, distances: &[f64]) -> Vec<(usize, f64)> {
    let (across, down) = (field.across(), field.down());
    let neighbour = |at: usize, dx: usize, dy: usize| {
        let (x, y) = ((at % across + dx + across - 1) % across, (at / across + dy + down - 1) % down);
        distances[y * across + x]
    };
    let top = |at: &usize| {
        let here = distances[*at];
        here > 0.0 && (0..9).all(|n| neighbour(*at, n % 3, n / 3) <= here)
    };
    let mut tops: Vec<usize> = (0..distances.len()).filter(top).collect();
    tops.sort_by(|a, b| distances[*b].total_cmp(&distances[*a]).then(a.cmp(b)));
    let mut covered = vec![false; distances.len()];
    let mut found = Vec::new();
    for at in tops {
        if covered[at] {
            continue;
        }
        let radius = distances[at];
        found.push((at, radius));
        around(field, at, radius, |cell, _| covered[cell] = true);
    }
    found
}

/// Every cell whose middle lies within a radius of a cell's, with the way to it; one that is reached twice over the
/// edge is given twice.
fn around(field: &Field, at: usize, radius: f64, mut each: impl FnMut(usize, [f64; 2])) {
    let (across, down) = (field.across(), field.down());
    let [w, h] = field.cell();
    let reach = [(radius / w) as isize + 1, (radius / h) as isize + 1];
    let (x, y) = ((at % across) as isize, (at / across) as isize);
    for dy in -reach[1]..=reach[1] {
        for dx in -reach[0]..=reach[0] {
            let way = [dx as f64 * w, dy as f64 * h];
            if way[0] * way[0] + way[1] * way[1] <= radius * radius {
                let cell = [(x + dx).rem_euclid(across as isize), (y + dy).rem_euclid(down as isize)];
                each(cell[1] as usize * across + cell[0] as usize, way);
            }
        }
    }
}

/// The most ink cells that circles are drawn through: all triples of them are tried.
const NEAREST: usize = 40;

/// The true middle of the circle that a cell is best for, and its radius to the middles of ink cells.
fn refined(field: &Field, at: usize, radius: f64) -> ([f64; 2], f64) {
    let [w, h] = field.cell();
    let loose = 1.5 * w.hypot(h);
    let square = |[x, y]: [f64; 2]| x * x + y * y;
    let mut near = Vec::new();
    around(field, at, radius + 2.0 * loose, |cell, way| {
        if field.ink()[cell] {
            near.push(way);
        }
    });
    near.sort_by(|a, b| square(*a).total_cmp(&square(*b)));
    let nearest = |[x, y]: [f64; 2]| near.iter().map(|p| square([p[0] - x, p[1] - y])).fold(f64::INFINITY, f64::min);
    let mut best = ([0.0, 0.0], radius);
    let mut take = |middle: [f64; 2]| {
        let clear = if square(middle) <= loose * loose { nearest(middle).sqrt() } else { 0.0 };
        if clear > best.1 {
            best = (middle, clear);
        }
    };
    let touched = &near[..near.len().min(NEAREST)];
    for (i, a) in touched.iter().enumerate() {
        for (j, b) in touched[..i].iter().enumerate() {
            take([(a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0]);
            touched[..j].iter().filter_map(|c| middle(*a, *b, *c)).for_each(&mut take);
        }
    }
    let across = field.across();
    let cell = field.middle((at % across) as f64, (at / across) as f64);
    ([cell[0] + best.0[0], cell[1] + best.0[1]], best.1)
}

/// The middle of the circle through three points.
fn middle(a: [f64; 2], b: [f64; 2], c: [f64; 2]) -> Option<[f64; 2]> {
    let ([bx, by], [cx, cy]) = ([b[0] - a[0], b[1] - a[1]], [c[0] - a[0], c[1] - a[1]]);
    let twice = 2.0 * (bx * cy - by * cx);
    let (bb, cc) = (bx * bx + by * by, cx * cx + cy * cy);
    (twice.abs() > 1e-12).then(|| [a[0] + (cy * bb - by * cc) / twice, a[1] + (bx * cc - cx * bb) / twice])
}

#[cfg(test)]
mod tests;
