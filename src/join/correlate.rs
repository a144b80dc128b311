//! Where else in the tile the surroundings of a join may lie: the peaks of a correlation.
//!
//! Made small first, so that it costs the same for every tile; each step found is then within
//! so many pixels of the true one.

use rayon::prelude::*;
use rustfft::FftPlanner;
use rustfft::num_complex::Complex;

use super::image::Side;
use super::point::View;

/// Pixels a side of what is correlated, at most.
const SIDE: i64 = 1024;
/// Steps that are looked at.
const PEAKS: usize = 16;

/// Steps at which the band around the join may be found again, inside the tile, as `[across,
/// along]`, and how far off each may be.
pub(super) fn steps(view: &View, band: i64) -> Vec<([i64; 2], i64)> {
    let (lines, length) = (view.image.lines(view.side) as i64, view.image.length(view.side) as i64);
    let by = (lines.max(length) + SIDE - 1) / SIDE;
    let (w, h) = ((lines / by) as usize, (length / by) as usize);
    let near = (band / by).max(2) as usize;
    // Of a tile so much longer than wide, nothing is left beside the band, or along it.
    if w <= 2 * near || h == 0 {
        return Vec::new();
    }
    let small = edges(&reduced(view, by, w, h), w, h);
    let in_band = |x: usize| x < near || x >= w - near;
    let part = |band: bool| -> Vec<Complex<f32>> {
        let keep = |i: usize| in_band(i % w) == band;
        (0..w * h).map(|i| Complex::new(if keep(i) { small[i] } else { 0.0 }, 0.0)).collect()
    };
    let (mut own, mut other) = (part(true), part(false));
    let mut planner = FftPlanner::new();
    transform(&mut own, w, h, &mut planner, true);
    transform(&mut other, w, h, &mut planner, true);
    for (a, b) in own.iter_mut().zip(&other) {
        *a = a.conj() * b;
    }
    transform(&mut own, w, h, &mut planner, false);
    let mut found = Vec::new();
    let mut heights: Vec<f32> = own.iter().map(|c| c.re).collect();
    for _ in 0..PEAKS {
        let Some((at, height)) = heights.iter().copied().enumerate().max_by(|a, b| a.1.total_cmp(&b.1)) else { break };
        if height <= 0.0 {
            break;
        }
        let (x, y) = (at % w, at / w);
        for j in 0..5 {
            for i in 0..5 {
                heights[(y + 2 * h + j - 2) % h * w + (x + w + i - 2) % w] = 0.0;
            }
        }
        // The join's own lines lie at the end of the tile: inside is before them.
        let across = x as i64 * by - lines;
        let along = y as i64 * by;
        let coarse = if by == 1 { 1 } else { by + 2 };
        found.extend([([across, along], coarse), ([across, along - length], coarse)]);
    }
    found
}

/// Brightness, each pixel the mean of `by` × `by`; the join's lines stand upright.
fn reduced(view: &View, by: i64, w: usize, h: usize) -> Vec<f32> {
    let upright = view.side == Side::LeftRight;
    let (columns, rows) = if upright { (w, h) } else { (h, w) };
    let (by, image) = (by as usize, view.image);
    let row = |row: usize| {
        let mut sums = vec![0u32; columns];
        for y in row * by..(row + 1) * by {
            let parts = image.row(y).chunks_exact(by * image.channels());
            let light = |part: &[u8]| part.iter().map(|level| u32::from(*level)).sum::<u32>();
            sums.iter_mut().zip(parts).for_each(|(sum, part)| *sum += light(part));
        }
        sums
    };
    let rows: Vec<Vec<u32>> = (0..rows).into_par_iter().map(row).collect();
    let sum = |x: usize, y: usize| if upright { rows[y][x] } else { rows[x][y] };
    (0..w * h).map(|i| sum(i % w, i / w) as f32 / (by * by) as f32).collect()
}

/// What each pixel differs by from those around it.
fn edges(levels: &[f32], w: usize, h: usize) -> Vec<f32> {
    let at = |x: usize, y: usize| levels[y % h * w + x % w];
    let around = |x: usize, y: usize| at(x + w - 1, y) + at(x + 1, y) + at(x, y + h - 1) + at(x, y + 1);
    (0..w * h).map(|i| (i % w, i / w)).map(|(x, y)| at(x, y) - around(x, y) / 4.0).collect()
}

/// The two-dimensional Fourier transform, in place.
fn transform(data: &mut Vec<Complex<f32>>, w: usize, h: usize, planner: &mut FftPlanner<f32>, forward: bool) {
    let mut plan = |n: usize| if forward { planner.plan_fft_forward(n) } else { planner.plan_fft_inverse(n) };
    let (rows, columns) = (plan(w), plan(h));
    rows.process(data);
    let mut turned: Vec<Complex<f32>> = (0..w * h).map(|i| data[i % h * w + i / h]).collect();
    columns.process(&mut turned);
    *data = (0..w * h).map(|i| turned[i % w * h + i / w]).collect();
}
