//! Ink and bare ground on a torus of cells.

use crate::repeat::shortest_steps;

/// The two steps that carry the cloth onto itself: `(across, 0)` and `(shift, down)`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Steps {
    /// Along a row.
    pub across: f64,
    /// How far the next row is moved along.
    pub shift: f64,
    /// From row to row.
    pub down: f64,
}

impl Steps {
    /// The area of a block.
    pub fn area(self) -> f64 {
        self.across * self.down
    }

    /// Two shortest steps that make the same lattice (Lagrange's reduction).
    pub fn reduced(self) -> [[f64; 2]; 2] {
        shortest_steps([[self.across, 0.0], [self.shift, self.down]])
    }

    /// How far apart two points are on the cloth, each with all its copies.
    pub fn distance(self, a: [f64; 2], b: [f64; 2]) -> f64 {
        let [u, v] = self.reduced();
        let way = [b[0] - a[0], b[1] - a[1]];
        let area = u[0] * v[1] - u[1] * v[0];
        let parts = [(way[0] * v[1] - way[1] * v[0]) / area, (u[0] * way[1] - u[1] * way[0]) / area];
        let [p, q] = parts.map(f64::round);
        // In a reduced lattice the nearest copy is one of these nine.
        let near = (-1..=1).flat_map(|i| (-1..=1).map(move |j| [p + f64::from(i), q + f64::from(j)]));
        near.map(|[p, q]| (way[0] - p * u[0] - q * v[0]).hypot(way[1] - p * u[1] - q * v[1]))
            .fold(f64::INFINITY, f64::min)
    }
}

/// No piece of ink.
pub(super) const NONE: usize = usize::MAX;

/// A torus of cells, each ink or bare, with the light that comes from it.
#[derive(Clone, Debug, PartialEq)]
pub struct Field {
    across: usize,
    down: usize,
    cell: [f64; 2],
    ink: Vec<bool>,
    light: Vec<f32>,
}

impl Field {
    /// From cells in rows; a cell is `cell` wide and high, and gives `light`, 0 to 1.
    ///
    /// # Panics
    /// If there are not as many as that comes to, or none.
    pub fn new([across, down]: [usize; 2], cell: [f64; 2], ink: Vec<bool>, light: Vec<f32>) -> Field {
        assert!(across * down > 0 && ink.len() == across * down && light.len() == ink.len(), "as many cells");
        Field { across, down, cell, ink, light }
    }

    /// Cells across.
    pub fn across(&self) -> usize {
        self.across
    }

    /// Cells down.
    pub fn down(&self) -> usize {
        self.down
    }

    /// How wide and high a cell is.
    pub fn cell(&self) -> [f64; 2] {
        self.cell
    }

    /// Every cell: is it ink?
    pub fn ink(&self) -> &[bool] {
        &self.ink
    }

    /// The share of bare cells.
    pub fn bare(&self) -> f64 {
        self.ink.iter().filter(|ink| !**ink).count() as f64 / self.ink.len() as f64
    }

    /// The cells of every piece of ink that hangs together, over the edges too.
    pub fn pieces(&self) -> Vec<usize> {
        self.islands().1
    }

    /// Pieces of ink that hang together, over the edges too: the piece of every cell, [`NONE`] for a bare one, and
    /// the cells of every piece.
    pub(super) fn islands(&self) -> (Vec<usize>, Vec<usize>) {
        let (across, down) = (self.across, self.down);
        let mut labels = vec![NONE; across * down];
        let mut sizes = Vec::new();
        let mut open = Vec::new();
        for start in 0..across * down {
            if labels[start] != NONE || !self.ink[start] {
                continue;
            }
            labels[start] = sizes.len();
            open.push(start);
            let mut size = 0;
            while let Some(at) = open.pop() {
                size += 1;
                let (x, y) = (at % across, at / across);
                for n in 0..9 {
                    let next = (y + n / 3 + down - 1) % down * across + (x + n % 3 + across - 1) % across;
                    if self.ink[next] && labels[next] == NONE {
                        labels[next] = sizes.len();
                        open.push(next);
                    }
                }
            }
            sizes.push(size);
        }
        (labels, sizes)
    }

    /// The light of every cell.
    #[cfg(test)]
    pub(super) fn lights(&self) -> &[f32] {
        &self.light
    }

    /// The light of every cell, mixed with that of those around it (1 4 6 4 1, both ways): the grain of cells goes.
    pub(super) fn softened(&self) -> Vec<f32> {
        let mixed = |values: &[f32], x: usize, y: usize, along: bool| {
            let at = |n: usize| {
                let (x, y) = if along {
                    ((x + n + self.across * 2 - 2) % self.across, y)
                } else {
                    (x, (y + n + self.down * 2 - 2) % self.down)
                };
                values[y * self.across + x]
            };
            (at(0) + at(4)) / 16.0 + (at(1) + at(3)) / 4.0 + at(2) * 0.375
        };
        let cells = || (0..self.light.len()).map(|at| (at % self.across, at / self.across));
        let across: Vec<f32> = cells().map(|(x, y)| mixed(&self.light, x, y, true)).collect();
        cells().map(|(x, y)| mixed(&across, x, y, false)).collect()
    }

    /// The middle of a cell.
    pub(super) fn middle(&self, x: f64, y: f64) -> [f64; 2] {
        [(x + 0.5) * self.cell[0], (y + 0.5) * self.cell[1]]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Closed forms, and a skew lattice where rounding its own coordinates goes wrong (4.42).
    #[test]
    fn distances_are_those_of_the_nearest_copies() {
        let near = |steps: [f64; 3], a, b, true_one: f64| {
            let [across, shift, down] = steps;
            let found = Steps { across, shift, down }.distance(a, b);
            assert!((found - true_one).abs() < 1e-9, "{found} is not {true_one}");
        };
        near([100.0, 0.0, 80.0], [1.0, 1.0], [99.0, 1.0], 2.0);
        near([100.0, 0.0, 80.0], [5.0, 5.0], [95.0, 75.0], 200f64.sqrt());
        near([100.0, 0.0, 80.0], [0.0, 0.0], [50.0, 40.0], 4100f64.sqrt());
        near([100.0, 0.0, 80.0], [12.5, 79.5], [13.5, 0.5], 2f64.sqrt());
        // A half-drop of 100 × 80: the columns' step (100, 40) as rows, (200, 0) and (100, 40).
        near([200.0, 100.0, 40.0], [1.0, 1.0], [99.0, 1.0], 1604f64.sqrt());
        near([200.0, 100.0, 40.0], [1.0, 1.0], [99.0, 41.0], 2.0);
        near([200.0, 100.0, 40.0], [0.0, 0.0], [50.0, 40.0], 50.0);
        near([200.0, 100.0, 40.0], [5.0, 75.0], [95.0, 35.0], 10.0);
        near([10.0, 9.0, 1.0], [0.0, 0.0], [4.6, 0.55], 3.429_650_127_928_504);
    }
}
