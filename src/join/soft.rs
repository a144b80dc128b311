//! A line that is not as its neighbours are: washed out, part-transparent, or of another color.

use super::fit::{Estimate, median, middle_level};
use super::image::Strip;

/// What a line is, measured against the lines beside it.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct LineLook {
    /// Its contrast as a share of the contrast beside it.
    pub(super) contrast: Estimate,
    /// What it differs by where its neighbours are flat and alike: by channel, in levels.
    pub(super) offset: [f64; 4],
    /// The share of the line that is so.
    pub(super) share: f64,
    /// By how much most of it lies beyond both of its neighbours, whatever they are: by channel, in levels.
    pub(super) ridge: [f64; 4],
    /// By how much its mean lies beyond the means of both of its neighbours, and more than these differ from those
    /// behind them: by channel, in levels.
    pub(super) sunk: [f64; 4],
    /// An edge of the ground lies beside it.
    pub(super) beside_edge: bool,
    /// The share of it that is as a line beside it.
    pub(super) alike: f64,
    /// The share of it that is another color than the line before it.
    pub(super) torn: f64,
    /// How many samples tell its contrast.
    pub(super) samples: usize,
    /// Its opacity as a share of its neighbours'.
    pub(super) opacity: f64,
}

/// The share of an offset that it may differ by from sample to sample: on a ground that changes its
/// color, a mixture with another one changes too.
const ALIKE: f64 = 0.35;

/// What lies on a ground differs from it by more, in levels.
const CLEAR: f64 = 8.0;

/// The same color, and another one, after packing and without, in levels.
const SAME: f32 = 1.0;
const SAME_PACKED: f32 = 6.0;
const TORN: f32 = 24.0;

/// Looks at the line that lies `at` from the boundary, beside the lines on both of its sides.
pub(super) fn look(strip: &Strip, at: isize, noise: f64) -> LineLook {
    let [before, line, behind] = [at - 1, at, at + 1].map(|at| strip.line(at));
    let channels = strip.channels;
    let flat = 1.5 * noise + 1.0;
    let mut offsets: Vec<Vec<f64>> = vec![Vec::new(); channels];
    for ((a, own), b) in
        before.chunks_exact(channels).zip(line.chunks_exact(channels)).zip(behind.chunks_exact(channels))
    {
        if a.iter().zip(b).all(|(a, b)| f64::from((a - b).abs()) <= flat) {
            for (offsets, ((a, own), b)) in offsets.iter_mut().zip(a.iter().zip(own).zip(b)) {
                offsets.push(f64::from(own - (a + b) / 2.0));
            }
        }
    }
    let mut offset = [0.0; 4];
    for (offset, all) in offset.iter_mut().zip(&offsets) {
        *offset = median(all.clone());
    }
    let agree = (0..offsets[0].len())
        .filter(|i| offsets.iter().zip(offset).all(|(o, m)| (o[*i] - m).abs() <= flat.max(ALIKE * m.abs())));
    let agreeing = agree.count() as f64 / strip.length as f64;
    let opacity = if channels == 4 { opacity(before, line, behind) } else { 1.0 };
    let grounds = [before, line, behind].map(|line| ground(line, channels));
    let beside_edge = grounds[0].iter().zip(grounds[2]).any(|(a, b)| (a - b).abs() > CLEAR);
    let means = [-2, -1, 0, 1, 2].map(|by| mean(strip.line(at + by), channels));
    // Where the sides are unlike, the last of ever darker lines lies beyond its neighbours, too.
    let sunk = std::array::from_fn(|c| {
        let [far, before, own, behind, next] = means.map(|mean| mean[c]);
        (beyond(own, before, behind).abs() - (before - far).abs().max((behind - next).abs())).max(0.0)
    });
    let (contrast, samples) = contrast(before, line, behind, grounds, channels);
    let ridge = ridge(before, line, behind, channels);
    let same = if strip.lossy { SAME_PACKED } else { SAME };
    let [before, line, behind] = [before, line, behind].map(|line| line.chunks_exact(channels));
    let apart = |a: &[f32], b: &[f32]| a.iter().zip(b).map(|(a, b)| (a - b).abs()).fold(0.0, f32::max);
    let apart = line.zip(before).zip(behind).map(|((own, a), b)| [apart(own, a), apart(own, b)]);
    let share = |count: usize| count as f64 / strip.length as f64;
    let alike = share(apart.clone().filter(|[a, b]| a.min(*b) <= same).count());
    let torn = share(apart.filter(|[a, _]| *a > TORN).count());
    LineLook { contrast, samples, offset, share: agreeing, ridge, sunk, alike, torn, beside_edge, opacity }
}

/// The line's opacity as a share of its neighbours', where both have some, along most of it: ink that ends at a line
/// is no thin one.
fn opacity(before: &[f32], line: &[f32], behind: &[f32]) -> f64 {
    let samples = before.chunks_exact(4).zip(line.chunks_exact(4)).zip(behind.chunks_exact(4));
    let inked = samples.filter(|((a, _), b)| a[3].min(b[3]) > 16.0);
    let shares: Vec<f64> = inked.map(|((a, own), b)| f64::from(2.0 * own[3] / (a[3] + b[3]))).collect();
    if shares.is_empty() { 1.0 } else { median(shares) }
}

/// What most samples lie beyond both of their neighbours, by channel.
fn ridge(before: &[f32], line: &[f32], behind: &[f32], channels: usize) -> [f64; 4] {
    let mut ridge = [0.0; 4];
    for (c, level) in ridge.iter_mut().enumerate().take(channels) {
        let samples = line.iter().zip(before).zip(behind).skip(c).step_by(channels);
        *level = median(samples.map(|((own, a), b)| beyond(f64::from(*own), f64::from(*a), f64::from(*b))).collect());
    }
    ridge
}

/// By how much a value lies beyond two others; 0 between them.
fn beyond(own: f64, a: f64, b: f64) -> f64 {
    own - own.clamp(a.min(b), a.max(b))
}

/// The mean along a line.
fn mean(line: &[f32], channels: usize) -> [f64; 4] {
    let mut mean = [0.0; 4];
    for (c, level) in mean.iter_mut().enumerate().take(channels) {
        let sum: f64 = line.iter().skip(c).step_by(channels).map(|n| f64::from(*n)).sum();
        *level = sum * channels as f64 / line.len() as f64;
    }
    mean
}

/// The line's contrast as a share of that of the lines beside it, or of one of them alone, whichever
/// is most: where the sides don't belong together the line still goes on from its own side. Only
/// samples count at which both lines differ from their ground, and alike.
fn contrast(
    before: &[f32],
    line: &[f32],
    behind: &[f32],
    grounds: [[f64; 4]; 3],
    channels: usize,
) -> (Estimate, usize) {
    let mut both = Sums::default();
    let mut sides = [Sums::default(), Sums::default()];
    for ((a, own), b) in
        before.chunks_exact(channels).zip(line.chunks_exact(channels)).zip(behind.chunks_exact(channels))
    {
        let off = |pixel: &[f32], ground: [f64; 4]| -> [f64; 4] {
            std::array::from_fn(|c| pixel.get(c).map_or(0.0, |level| f64::from(*level) - ground[c]))
        };
        let (a, own, b) = (off(a, grounds[0]), off(own, grounds[1]), off(b, grounds[2]));
        let size = |p: &[f64; 4]| p.iter().fold(0.0f64, |most, n| most.max(n.abs()));
        let apart = size(&std::array::from_fn(|c| a[c] - b[c]));
        if size(&a).min(size(&b)) > CLEAR && apart < 0.4 * size(&a).max(size(&b)) {
            both.add(&std::array::from_fn(|c| (a[c] + b[c]) / 2.0), &own);
        }
        for (sums, side) in sides.iter_mut().zip([a, b]) {
            if size(&side) > CLEAR {
                sums.add(&side, &own);
            }
        }
    }
    let samples = both.count;
    let [a, b] = sides.map(|sums| sums.slope());
    let side = if a.value > b.value { a } else { b };
    let both = both.slope();
    if both.error.is_infinite() || side.error.is_infinite() {
        return (Estimate::default(), 0);
    }
    (if both.value > side.value { both } else { side }, samples)
}

/// The usual color along a line.
pub(super) fn ground(line: &[f32], channels: usize) -> [f64; 4] {
    let mut ground = [0.0; 4];
    for (c, level) in ground.iter_mut().enumerate().take(channels) {
        *level = middle_level(line.iter().skip(c).step_by(channels).map(|n| *n as u8));
    }
    ground
}

/// A slope through the origin.
#[derive(Default)]
struct Sums {
    xx: f64,
    xy: f64,
    yy: f64,
    count: usize,
}

impl Sums {
    fn add(&mut self, x: &[f64; 4], y: &[f64; 4]) {
        for (x, y) in x.iter().zip(y) {
            self.xx += x * x;
            self.xy += x * y;
            self.yy += y * y;
        }
        self.count += 1;
    }

    fn slope(&self) -> Estimate {
        if self.count < 8 {
            return Estimate::default();
        }
        let value = self.xy / self.xx;
        let left = (self.yy - value * self.xy).max(0.0) / self.count as f64;
        // Samples beside each other say much the same; a fourth of them count.
        Estimate { value, error: (4.0 * left / self.xx).sqrt().max(0.002) }
    }
}
