//! What the inside of a tile is like, which its joins are held against.

use rayon::prelude::*;

use super::fit::{median, middle_level};
use super::image::{Image, REACH, Side, Strip};
use super::measure::Measures;
use super::profile::{changes, hardest};
use super::soft::{LineLook, look};

/// Boundaries inside the tile that the join is held against.
const INSIDE: usize = 160;
/// And so many with the hardest edges.
const HARDEST: usize = 40;

/// What the inside of a tile is like.
pub(super) struct Inside {
    /// Of each boundary that was looked at: where it lies, and what is measured there.
    pub(super) at: Vec<usize>,
    pub(super) measures: Vec<Measures>,
    pub(super) looks: Vec<LineLook>,
    pub(super) noise: f64,
    /// By line, the change from the one before.
    pub(super) changes: Vec<f64>,
}

impl Inside {
    pub(super) fn of(image: &Image, side: Side) -> Inside {
        let count = image.lines(side);
        let changes = changes(image, side);
        let (first, end) = (REACH + 1, count.saturating_sub(REACH + 1));
        let inside = end.saturating_sub(first);
        let number = inside.min(INSIDE);
        let mut at: Vec<usize> = (0..number).map(|i| first + (2 * i + 1) * inside / (2 * number)).collect();
        // A design's hardest edges are few, and easily missed.
        at.extend(hardest(&changes, REACH + 1, HARDEST));
        let flats: Vec<f64> = at.par_iter().map(|at| flat_noise(image, side, *at)).collect();
        let noise = median(flats);
        let both: Vec<(Measures, [LineLook; 2])> = at
            .par_iter()
            .map(|at| {
                let strip = Strip::around(image, side, *at);
                (Measures::of(&strip, noise), [-1, 0].map(|offset| look(&strip, offset, noise)))
            })
            .collect();
        let (measures, looks): (_, Vec<_>) = both.into_iter().unzip();
        let looks = looks.into_iter().flatten().collect();
        Inside { at, measures, looks, noise, changes }
    }

    /// By how much the change at the join is more than the largest inside. Three boundaries count
    /// together, since packing spreads an edge over them.
    pub(super) fn over_hardest(&self) -> f64 {
        let count = self.changes.len();
        let three = |at: usize| (0..3).map(|i| self.changes[(at + count + i - 1) % count]).sum::<f64>();
        let inside = (REACH..count.saturating_sub(REACH)).map(three).fold(0.1, f64::max);
        three(0) / inside
    }

    /// The value that so great a share of the boundaries inside does not exceed.
    pub(super) fn most(&self, share: f64, of: impl Fn(&Measures) -> Option<f64>) -> f64 {
        quantile(self.measures.iter().filter_map(of).collect(), share)
    }
}

/// The usual difference of the lines on both sides of a boundary.
fn flat_noise(image: &Image, side: Side, at: usize) -> f64 {
    let pairs = image.line(side, at - 1).zip(image.line(side, at));
    middle_level(pairs.flat_map(|(a, b)| a.iter().zip(b).map(|(a, b)| a.abs_diff(*b))))
}

/// The value that so great a share does not exceed; of none, zero.
pub(super) fn quantile(mut values: Vec<f64>, share: f64) -> f64 {
    if values.is_empty() {
        return 0.0;
    }
    values.sort_unstable_by(f64::total_cmp);
    values[((values.len() - 1) as f64 * share) as usize]
}
