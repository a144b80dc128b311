//! Painted pieces laid over one another on a band of cloth.
//!
//! Premultiplied 8-bit source-over (W3C Compositing and Blending, 9.1.4): each result is
//! `s + d·(255 − sa)/255`, rounded exactly, so a pixel depends on what lies on it alone.

use std::collections::HashMap;
use std::sync::Arc;

use rayon::prelude::*;

use super::laying::{Laid, PieceKey};
use super::painting::Piece;

/// Rows that one thread composes at a time.
const CHUNK_ROWS: usize = 16;

/// Lays pieces on a band whose first row is `top`; the band is `width` pixels wide.
pub(super) fn compose(
    band: &mut [u8],
    width: usize,
    top: i64,
    ground: [u8; 4],
    laid: &[Laid],
    pieces: &HashMap<PieceKey, Arc<Piece>>,
) {
    let row_bytes = width * 4;
    band.par_chunks_mut(row_bytes * CHUNK_ROWS).enumerate().for_each(|(chunk, rows)| {
        for pixel in rows.chunks_exact_mut(4) {
            pixel.copy_from_slice(&ground);
        }
        let first = top + (chunk * CHUNK_ROWS) as i64;
        let last = first + (rows.len() / row_bytes) as i64;
        for laid in laid.iter().filter(|l| l.top < last && l.bottom > first) {
            let piece = &pieces[&laid.key];
            for y in laid.top.max(first)..laid.bottom.min(last) {
                let from = &piece.pixels[(y - laid.top) as usize * piece.width * 4..][..piece.width * 4];
                let to = &mut rows[(y - first) as usize * row_bytes..][..row_bytes];
                let skip = (-laid.left).max(0) as usize;
                let start = laid.left.max(0) as usize;
                let count = (piece.width - skip).min(width - start);
                over(&mut to[start * 4..][..count * 4], &from[skip * 4..][..count * 4]);
            }
        }
    });
}

/// Source-over of one row.
fn over(below: &mut [u8], above: &[u8]) {
    for (d, s) in below.chunks_exact_mut(4).zip(above.chunks_exact(4)) {
        match s[3] {
            0 => {}
            255 => d.copy_from_slice(s),
            alpha => {
                let rest = u32::from(255 - alpha);
                for (d, s) in d.iter_mut().zip(s) {
                    *d = s + div_255(u32::from(*d) * rest);
                }
            }
        }
    }
}

/// `n / 255` to the nearest, for `n` up to 255².
pub(super) fn div_255(n: u32) -> u8 {
    let n = n + 128;
    ((n + (n >> 8)) >> 8) as u8
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn division_is_exact() {
        for n in 0..=255u32 * 255 {
            let want = (f64::from(n) / 255.0).round();
            assert!((f64::from(div_255(n)) - want).abs() < 0.5, "{n}");
        }
    }

    #[test]
    fn an_opaque_ground_stays_opaque() {
        for alpha in 0..=255u8 {
            let mut below = [10, 20, 30, 255];
            over(&mut below, &[alpha, alpha / 2, 0, alpha]);
            assert_eq!(below[3], 255, "alpha {alpha}");
        }
    }
}
