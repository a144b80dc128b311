//! Alleys: straight bands of bare ground that never end. On a cloth that repeats, only a line along a step of
//! its lattice can be bare all along; each such direction is looked through at once, by letting all ink fall
//! along it on a line across.
//!
//! ```text
//!   ▓▓  ▓▓  ▓▓         seen along →   ▓ ▓
//!                      the shadow has a hole: an alley
//!   ▓▓  ▓▓  ▓▓                        ▓ ▓
//! ```

use super::field::{Field, Steps};

/// A bare band.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Alley {
    /// The lattice step along it.
    pub along: [f64; 2],
    /// How wide it is.
    pub width: f64,
    /// A point on its middle line.
    pub through: [f64; 2],
}

impl Alley {
    /// Its direction: degrees from a line across, 0 to 180, clockwise as it is seen.
    pub fn degrees(&self) -> f64 {
        libm::atan2(self.along[1], self.along[0]).to_degrees().rem_euclid(180.0)
    }
}

/// The longest step that is looked along, in shortest steps.
const FARTHEST: i32 = 6;
/// Lines across are this much finer than cells.
const FINER: f64 = 2.0;

/// The bare bands of a field, the widest first: at most one in a direction.
pub(super) fn alleys(field: &Field, steps: Steps) -> Vec<Alley> {
    let [u, v] = steps.reduced();
    let mut found = Vec::new();
    for q in 0..=FARTHEST {
        for p in if q == 0 { 1..=1 } else { -FARTHEST..=FARTHEST } {
            if gcd(p.unsigned_abs(), q.unsigned_abs()) == 1 {
                let along = [0, 1].map(|axis| f64::from(p) * u[axis] + f64::from(q) * v[axis]);
                found.extend(widest(field, along, steps.area()));
            }
        }
    }
    found.sort_by(|a: &Alley, b: &Alley| b.width.total_cmp(&a.width));
    found
}

/// The widest bare band along a step; lines along it lie `area` / its length apart.
fn widest(field: &Field, along: [f64; 2], area: f64) -> Option<Alley> {
    let [w, h] = field.cell();
    let length = along[0].hypot(along[1]);
    let (apart, fine) = (area / length, w.min(h) / FINER);
    let bins = (apart / fine).floor() as usize;
    if bins < 3 {
        return None;
    }
    let fine = apart / bins as f64;
    let across = [-along[1] / length, along[0] / length];
    // A cell's shadow: up to its sides and not its corners, which would make slanting bands too narrow.
    let half = (w * across[0].abs()).max(h * across[1].abs()) / 2.0;
    let mut shadow = vec![false; bins];
    let mut lit = bins;
    for (at, _) in field.ink().iter().enumerate().filter(|(_, ink)| **ink) {
        let [x, y] = field.middle((at % field.across()) as f64, (at / field.across()) as f64);
        let fall = x * across[0] + y * across[1];
        let (from, to) = (((fall - half) / fine).floor() as isize, ((fall + half) / fine).ceil() as isize);
        for bin in from..to {
            let bin = &mut shadow[bin.rem_euclid(bins as isize) as usize];
            lit -= usize::from(!*bin);
            *bin = true;
        }
        if lit == 0 {
            return None;
        }
    }
    let (from, count) = longest_hole(&shadow)?;
    let middle = (from as f64 + count as f64 / 2.0) * fine;
    Some(Alley { along, width: count as f64 * fine, through: [middle * across[0], middle * across[1]] })
}

/// Where the longest run of `false` on a ring begins, and how long it is; `None` without a `true`.
fn longest_hole(ring: &[bool]) -> Option<(usize, usize)> {
    let start = ring.iter().position(|dark| *dark)?;
    let (mut best, mut run) = ((0, 0), 0);
    for at in start + 1..=start + ring.len() {
        if ring[at % ring.len()] {
            run = 0;
        } else {
            run += 1;
            if run > best.1 {
                best = (at + 1 - run, run);
            }
        }
    }
    (best.1 > 0).then_some((best.0 % ring.len(), best.1))
}

fn gcd(a: u32, b: u32) -> u32 {
    if b == 0 { a } else { gcd(b, a % b) }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Squares of `side` at the points of a lattice in a field of 120 × 120 cells.
    fn squares(points: &[[usize; 2]], side: usize) -> Field {
        let mut ink = vec![false; 120 * 120];
        for [x, y] in points {
            for cell in 0..side * side {
                ink[(y + cell / side) % 120 * 120 + (x + cell % side) % 120] = true;
            }
        }
        Field::new([120, 120], [1.0, 1.0], ink, vec![0.0; 120 * 120])
    }

    #[test]
    fn straight_rows_leave_alleys_as_wide_as_their_gaps() {
        let field = squares(&[[10, 10], [70, 10], [10, 70], [70, 70]], 40);
        let found = alleys(&field, Steps { across: 60.0, shift: 0.0, down: 60.0 });
        let [first, second] = [found[0], found[1]];
        assert_eq!([first.width, second.width], [20.0, 20.0]);
        let mut directions = [first.degrees(), second.degrees()];
        directions.sort_by(f64::total_cmp);
        assert_eq!(directions, [0.0, 90.0]);
        // Rows end at 50 and begin at 70.
        let level = found.iter().find(|alley| alley.degrees() == 0.0).unwrap();
        assert_eq!(level.through[1].rem_euclid(60.0), 0.0);
    }

    /// A half-drop closes the alley along its rows: squares of 40 in steps of 60 overlap by 10 on each side.
    #[test]
    fn a_half_drop_closes_an_alley() {
        let field = squares(&[[0, 0], [60, 30], [0, 60], [60, 90]], 40);
        let found = alleys(&field, Steps { across: 120.0, shift: 60.0, down: 30.0 });
        assert!(found.iter().all(|alley| alley.degrees() != 0.0), "{found:?}");
        let upright = found.iter().find(|alley| (alley.degrees() - 90.0).abs() < 1e-9).unwrap();
        assert_eq!(upright.width, 20.0);
    }

    #[test]
    fn a_stripe_has_one_direction() {
        let mut ink = vec![false; 120 * 120];
        ink.iter_mut().take(120 * 30).for_each(|cell| *cell = true);
        let field = Field::new([120, 120], [1.0, 1.0], ink, vec![0.0; 120 * 120]);
        let found = alleys(&field, Steps { across: 120.0, shift: 0.0, down: 120.0 });
        assert_eq!((found.len(), found[0].width, found[0].degrees()), (1, 90.0, 0.0));
    }
}
