//! How two sides lie to each other, from what every crossing contour says.

use super::track::Crossing;

/// A slip along the boundary and a gap across it, in pixels.
#[derive(Clone, Copy, Debug)]
pub(super) struct Fit {
    /// How far the lines behind the boundary lie further along it.
    pub(super) slip: Estimate,
    /// How many lines are missing at the boundary; fewer than none where lines stand twice. Only
    /// contours of different slopes tell it.
    pub(super) gap: Estimate,
    /// How far the contours usually lie from what is said of all.
    pub(super) scatter: f64,
}

/// A value and how far off it may be (standard error).
#[derive(Clone, Copy, Debug)]
pub(super) struct Estimate {
    pub(super) value: f64,
    pub(super) error: f64,
}

impl Default for Fit {
    fn default() -> Fit {
        Fit { slip: Estimate::default(), gap: Estimate::default(), scatter: f64::INFINITY }
    }
}

impl Default for Estimate {
    fn default() -> Estimate {
        Estimate { value: 0.0, error: f64::INFINITY }
    }
}

impl Estimate {
    /// By how many of its errors it differs from a value.
    pub(super) fn differs(self, from: f64) -> f64 {
        (self.value - from).abs() / self.error
    }
}

/// Contours are not followed better than this, however well they agree.
const BEST: f64 = 0.03;
/// The fewest that say anything.
const FEWEST: usize = 3;
const ROUNDS: usize = 12;

/// The line through (slope, excess) that most crossings lie near (Tukey's biweight; P. J. Huber,
/// E. M. Ronchetti, "Robust Statistics", 2009).
pub(super) fn fit(crossings: &[Crossing]) -> Fit {
    let points: Vec<(f64, f64)> = crossings.iter().map(|c| (f64::from(c.slope), f64::from(c.excess))).collect();
    if points.len() < FEWEST {
        return Fit::default();
    }
    let mut slip = median(points.iter().map(|(_, y)| *y).collect());
    let mut gap = 0.0;
    let mut fit = Fit::default();
    for _ in 0..ROUNDS {
        let off = |&(x, y): &(f64, f64)| y - slip - gap * x;
        let scale = (1.4826 * median(points.iter().map(|p| off(p).abs()).collect())).max(BEST);
        let weight = |p: &(f64, f64)| {
            let far = off(p) / (4.685 * scale);
            if far.abs() < 1.0 { (1.0 - far * far).powi(2) } else { 0.0 }
        };
        let mut sums = [0.0; 5];
        for p in &points {
            let (w, (x, y)) = (weight(p), *p);
            for (sum, term) in sums.iter_mut().zip([1.0, x, y, x * x, x * y]) {
                *sum += w * term;
            }
        }
        let [w, x, y, xx, xy] = sums;
        if w < 1e-9 {
            return fit;
        }
        let spread = xx - x * x / w;
        // All of one slope say nothing of a gap; a faint belief in none keeps the fit from swinging.
        let belief = 0.02 * w;
        gap = (xy - x * y / w) / (spread + belief);
        slip = (y - gap * x) / w;
        // Few contours agree by chance: two of them lie on any line.
        let error = scale * scale * points.len() as f64 / (points.len() - 2) as f64;
        let own = (error / (spread + belief)).sqrt();
        let middle = x / w;
        fit = Fit {
            slip: Estimate { value: slip, error: (error / w + middle * middle * own * own).sqrt() },
            scatter: scale,
            gap: Estimate { value: gap, error: if spread > belief { own } else { f64::INFINITY } },
        };
    }
    fit
}

/// The middle one; of none, zero.
pub(super) fn median(mut values: Vec<f64>) -> f64 {
    if values.is_empty() {
        return 0.0;
    }
    let middle = values.len() / 2;
    *values.select_nth_unstable_by(middle, f64::total_cmp).1
}

/// The middle one of whole levels; of none, zero.
pub(super) fn middle_level(levels: impl Iterator<Item = u8>) -> f64 {
    let mut counts = [0usize; 256];
    levels.for_each(|level| counts[usize::from(level)] += 1);
    let middle = counts.iter().sum::<usize>() / 2;
    let mut below = 0;
    let is_there = |count: &usize| {
        below += count;
        below > middle
    };
    counts.iter().position(is_there).map_or(0.0, |level| level as f64)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn crossing(slope: f32, excess: f32) -> Crossing {
        Crossing { at: 0.0, slope, excess }
    }

    #[test]
    fn slip_and_gap_are_told_apart_and_strays_are_left_out() {
        let slopes = [-1.2, -0.7, -0.3, 0.1, 0.4, 0.8, 1.1];
        let mut all: Vec<Crossing> = slopes.iter().map(|m| crossing(*m, 0.5 + m)).collect();
        all.extend([crossing(0.2, -3.0), crossing(-0.9, 2.5)]);
        let fit = fit(&all);
        assert!((fit.slip.value - 0.5).abs() < 0.05 && (fit.gap.value - 1.0).abs() < 0.1, "{fit:?}");
        assert!(fit.slip.differs(0.0) > 5.0 && fit.gap.differs(0.0) > 5.0, "{fit:?}");
    }

    #[test]
    fn contours_of_one_slope_say_nothing_of_a_gap() {
        let fit = fit(&[crossing(0.0, 1.0), crossing(0.02, 1.0), crossing(-0.01, 1.01)]);
        assert!((fit.slip.value - 1.0).abs() < 0.05 && fit.gap.error.is_infinite(), "{fit:?}");
    }
}
