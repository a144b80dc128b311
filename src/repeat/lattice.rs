//! The steps that carry a cloth onto itself.

use super::share::gcd;

/// A lattice of whole units, kept as the two steps of the trade and in row form.
///
/// ```text
///   row form:  (a, 0) across, and (b, d) down to the next row, 0 <= b < a
///   half-drop of a W × H block:  steps (W, H/2) and (0, H)  =  rows (2W, 0), (W, H/2)
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lattice {
    steps: [[i64; 2]; 2],
    across: i64,
    shift: i64,
    down: i64,
}

impl Lattice {
    /// From two steps; `None` if they lie on one line or are larger than 2³¹ units.
    pub fn from_steps(steps: [[i64; 2]; 2]) -> Option<Lattice> {
        if steps.iter().flatten().any(|n| n.abs() > 1 << 31) {
            return None;
        }
        // Euclid on the y parts leaves one step with y = 0: the row step.
        let [mut u, mut v] = steps;
        while v[1] != 0 {
            let times = u[1].div_euclid(v[1]);
            (u, v) = (v, [u[0] - times * v[0], u[1] - times * v[1]]);
        }
        let (down, across) = (u[1].abs(), v[0].abs());
        if down == 0 || across == 0 {
            return None;
        }
        let shift = (u[0] * u[1].signum()).rem_euclid(across);
        Some(Lattice { steps, across, shift, down })
    }

    /// The two steps as the layout names them.
    pub fn steps(&self) -> [[i64; 2]; 2] {
        self.steps
    }

    /// The shortest step straight across.
    pub fn across(&self) -> i64 {
        self.across
    }

    /// How far the next row of [`Lattice::down`] units is moved across.
    pub fn shift(&self) -> i64 {
        self.shift
    }

    /// The height of one row: `across × down` units hold the whole cloth.
    pub fn down(&self) -> i64 {
        self.down
    }

    /// The shortest step straight down.
    pub fn straight_down(&self) -> i64 {
        self.down * (self.across / gcd(self.across, self.shift))
    }

    /// Does this vector carry the cloth onto itself?
    pub fn contains(&self, [x, y]: [i64; 2]) -> bool {
        y % self.down == 0 && (x - y / self.down * self.shift) % self.across == 0
    }

    /// All steps that bring a box `[left, top, right, bottom]` into touch with a window,
    /// in lattice order (down, then across): the same order wherever the window is.
    #[allow(clippy::cast_possible_truncation, reason = "rounded first; the cast saturates")]
    pub fn steps_into(&self, [l, t, r, b]: [f64; 4], window: [i64; 4]) -> Vec<[i64; 2]> {
        let [wl, wt, wr, wb] = window.map(|n| n as f64);
        let rows = (((wt - b) / self.down as f64).ceil() as i64)..=(((wb - t) / self.down as f64).floor() as i64);
        let mut steps = Vec::new();
        for row in rows {
            let (x0, y) = (row * self.shift, row * self.down);
            let first = ((wl - r - x0 as f64) / self.across as f64).ceil() as i64;
            let last = ((wr - l - x0 as f64) / self.across as f64).floor() as i64;
            steps.extend((first..=last).map(|i| [x0 + i * self.across, y]));
        }
        steps
    }
}
