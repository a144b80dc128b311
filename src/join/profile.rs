//! All lines of a tile at once: how much each differs from the one before.

use rayon::prelude::*;

use super::image::{Image, Side};

/// The mean change from each line to the next, in levels; the first is the change over the join.
pub(super) fn changes(image: &Image, side: Side) -> Vec<f64> {
    let (width, height, channels) = (image.width(), image.height(), image.channels());
    let row = |y: usize| image.row(y % height);
    let mean = |sum: u64, count: usize| sum as f64 / count as f64;
    match side {
        Side::TopBottom => {
            let sum = |y: usize| {
                let pairs = row(y + height - 1).iter().zip(row(y));
                pairs.map(|(a, b)| u64::from(a.abs_diff(*b))).sum::<u64>()
            };
            (0..height).into_par_iter().map(|y| mean(sum(y), width * channels)).collect()
        }
        Side::LeftRight => {
            let sums = (0..height).into_par_iter().fold(
                || vec![0u64; width * channels],
                |mut sums, y| {
                    let row = row(y);
                    let (last, first) = (&row[(width - 1) * channels..], &row[..channels]);
                    let add = |((sum, own), before): ((&mut u64, &u8), &u8)| *sum += u64::from(own.abs_diff(*before));
                    sums.iter_mut().zip(first).zip(last).for_each(add);
                    sums[channels..].iter_mut().zip(&row[channels..]).zip(row).for_each(add);
                    sums
                },
            );
            let sums = sums.reduce(|| vec![0; width * channels], |a, b| a.iter().zip(&b).map(|(a, b)| a + b).collect());
            sums.chunks_exact(channels).map(|c| mean(c.iter().sum(), height * channels)).collect()
        }
    }
}

/// The boundaries inside a tile, `keep` lines away from its join, with the most change: the hardest
/// edges of the design.
pub(super) fn hardest(changes: &[f64], keep: usize, count: usize) -> Vec<usize> {
    let mut inside: Vec<usize> = (keep..changes.len().saturating_sub(keep)).collect();
    inside.sort_unstable_by(|a, b| changes[*b].total_cmp(&changes[*a]));
    inside.truncate(count);
    inside
}

/// How little changes over the boundary before line `at`, as a share of the changes beside it; `None`
/// where next to nothing changes. A line that stands twice makes it nothing.
pub(super) fn echo(changes: &[f64], at: usize) -> Option<f64> {
    let count = changes.len();
    let (before, behind) = (changes[(at + count - 1) % count], changes[(at + 1) % count]);
    let beside = before.min(behind);
    (beside > LEAST).then(|| changes[at % count] / beside)
}

/// A mean change that says something, in levels.
const LEAST: f64 = 0.02;
