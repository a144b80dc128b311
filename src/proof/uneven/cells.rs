//! From pixels to cells of ink and ground, as they show from three metres.

use std::collections::BTreeMap;

use rayon::prelude::*;

use crate::evenness::Field;
use crate::join::Image;

/// A cell's side on the goods: half of what an eye tells apart at three metres (one minute of arc).
const CELL_MM: f64 = 0.44;
/// The most cells a side.
const MOST_CELLS: f64 = 1024.0;
/// Levels by which ink differs from the ground, and the share of a cell that makes it ink (our own choice).
const DIFFERS: u8 = 24;
const SHARE: f64 = 0.35;
/// A color with this part of the most pixels may be the ground, too.
const RIVAL: f64 = 0.3;

/// The color of the ground: the one that most pixels have, in steps of 16 levels. Where another has nearly as many,
/// the one that hangs together: ground goes on between motifs. Alpha last, 255 where there is none.
pub(super) fn ground(tile: &Image) -> [u8; 4] {
    let step = ((tile.width() * tile.height()) as f64 / 100_000.0).sqrt().ceil().max(1.0) as usize;
    let size = [tile.width().div_ceil(step), tile.height().div_ceil(step)];
    let mut sampled = Vec::with_capacity(size[0] * size[1]);
    let mut counts: BTreeMap<[u8; 4], BTreeMap<[u8; 4], usize>> = BTreeMap::new();
    for y in (0..tile.height()).step_by(step) {
        for x in (0..tile.width()).step_by(step) {
            let color = rgba(tile.pixel(x, y));
            *counts.entry(color.map(|level| level / 16)).or_default().entry(color).or_default() += 1;
            sampled.push(color);
        }
    }
    let mut ranked: Vec<(usize, [u8; 4])> = counts
        .into_values()
        .filter_map(|exact| Some((exact.values().sum(), exact.into_iter().max_by_key(|(_, count)| *count)?.0)))
        .collect();
    ranked.sort_by_key(|(count, _)| std::cmp::Reverse(*count));
    let most = ranked.first().map_or(0, |(count, _)| *count);
    let hangs = |color: &[u8; 4]| {
        let alike = sampled.iter().map(|other| apart(other, color) <= DIFFERS).collect();
        let field = Field::new(size, [1.0, 1.0], alike, vec![0.0; sampled.len()]);
        let sizes = field.pieces();
        sizes.iter().max().copied().unwrap_or(0) as f64 / sizes.iter().sum::<usize>().max(1) as f64
    };
    let rivals: Vec<[u8; 4]> = ranked
        .iter()
        .take_while(|(count, _)| *count as f64 >= RIVAL * most as f64)
        .map(|(_, color)| *color)
        .take(3)
        .collect();
    match &rivals[..] {
        [one] => *one,
        several => {
            let best = several.iter().map(|color| (hangs(color), *color)).reduce(|a, b| if b.0 > a.0 { b } else { a });
            best.map_or([255; 4], |(_, color)| color)
        }
    }
}

fn apart(a: &[u8; 4], b: &[u8; 4]) -> u8 {
    a.iter().zip(b).map(|(a, b)| a.abs_diff(*b)).max().unwrap_or(0)
}

fn rgba(pixel: &[u8]) -> [u8; 4] {
    [pixel[0], pixel[1], pixel[2], pixel.get(3).copied().unwrap_or(255)]
}

/// Adds a pixel to the ink and the light of its cell.
fn tally((ink, light): &mut (usize, u64), pixel: &[u8], ground: [u8; 4]) {
    *ink += usize::from(apart(&rgba(pixel), &ground) > DIFFERS);
    // Brightness as ITU-T T.871 has it.
    *light += 299 * u64::from(pixel[0]) + 587 * u64::from(pixel[1]) + 114 * u64::from(pixel[2]);
}

/// The tile as cells; `None` without ink.
pub(super) fn field(tile: &Image, dpi: Option<[f64; 2]>, ground: [u8; 4]) -> Option<Field> {
    let px = [tile.width(), tile.height()];
    let cells = [0, 1].map(|axis| {
        let seen = dpi.map_or(0.0, |dpi| CELL_MM / 25.4 * dpi[axis]);
        let cell = seen.max(px[0].max(px[1]) as f64 / MOST_CELLS).max(1.0);
        (px[axis] as f64 / cell).round().max(1.0) as usize
    });
    let cell = [0, 1].map(|axis| px[axis] as f64 / cells[axis] as f64);
    let begins = |axis: usize, n: usize| ((n as f64 * cell[axis]).floor() as usize).min(px[axis]);
    let columns: Vec<usize> = (0..=cells[0]).map(|column| begins(0, column)).collect();
    let channels = tile.channels();
    let rows = (0..cells[1]).into_par_iter().map(|row| {
        let mut found = vec![(0usize, 0u64); cells[0]];
        let (top, bottom) = (begins(1, row), begins(1, row + 1));
        for y in top..bottom {
            for (found, ends) in found.iter_mut().zip(columns.windows(2)) {
                let pixels = tile.row(y)[ends[0] * channels..ends[1] * channels].chunks_exact(channels);
                pixels.for_each(|pixel| tally(found, pixel, ground));
            }
        }
        let cell = |(column, (ink, light)): (usize, (usize, u64))| {
            let pixels = ((bottom - top) * (columns[column + 1] - columns[column])).max(1) as f64;
            (ink as f64 / pixels >= SHARE, (light as f64 / pixels / 255_000.0) as f32)
        };
        found.into_iter().enumerate().map(cell).collect::<Vec<(bool, f32)>>()
    });
    let (ink, light): (Vec<bool>, Vec<f32>) = rows.collect::<Vec<_>>().into_iter().flatten().unzip();
    ink.contains(&true).then(|| Field::new(cells, cell, ink, light))
}
