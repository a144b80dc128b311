//! A window on the endless cloth, for the eye: only the pieces that it shows are painted.

use std::collections::BTreeMap;

use rayon::prelude::*;

use super::RasterError;
use super::cloth::Cloth;
use super::painting::Box4;
use super::weave::store;
use super::{Channels, hold_size};
use crate::artwork::Motif;
use crate::limits::Limit;
use crate::progress::Progress;
use crate::repeat::Lattice;
use crate::wrap::Copies;

/// Paints what lies at `x`, `y`, so many pixels across and down: straight RGBA in rows. These are the tile's
/// own pixels, repeated; above and below a border there is nothing.
///
/// # Errors
/// A window with more pixels than the limit, and that it was stopped.
pub fn window(
    copies: &Copies,
    motifs: &[Motif],
    [x, y, width, height]: [i64; 4],
    limit: Limit,
    progress: &dyn Progress,
) -> Result<Vec<u8>, RasterError> {
    hold_size([width.max(0) as u64, height.max(0) as u64], limit)?;
    let lattice = copies.lattice();
    let (across, down) = (lattice.across(), lattice.down());
    let row_bytes = width.max(0) as usize * 4;
    let mut out = vec![0; row_bytes * height.max(0) as usize];
    if out.is_empty() {
        return Ok(out);
    }
    let mut cloth = Cloth::new(copies, motifs);
    cloth.only(&shown([x, y, width, height], lattice));
    // Which rows of the window come from which band.
    let mut wanted: BTreeMap<usize, Vec<(i64, &mut [u8])>> = BTreeMap::new();
    let band_rows = cloth.rows(0)[1];
    for (row, line) in (0..height).zip(out.chunks_exact_mut(row_bytes.max(1))) {
        if !copies.is_border() || (0..down).contains(&(y + row)) {
            wanted.entry(((y + row).rem_euclid(down) / band_rows) as usize).or_default().push((row, line));
        }
    }
    let mut painted = Vec::new();
    for (band, rows) in wanted {
        cloth.band(band, &mut painted, progress)?;
        let [top, _] = cloth.rows(band);
        rows.into_par_iter().for_each(|(row, mut to)| {
            let shift = (y + row).div_euclid(down) * lattice.shift();
            let start = ((y + row).rem_euclid(down) - top) as usize * across as usize * 4;
            let home = &painted[start..start + across as usize * 4];
            let mut from = (x - shift).rem_euclid(across) as usize * 4;
            while !to.is_empty() {
                let run = to.len().min(home.len() - from);
                let (head, tail) = to.split_at_mut(run);
                store(&home[from..from + run], Channels::Rgba, head);
                (to, from) = (tail, 0);
            }
        });
    }
    Ok(out)
}

/// The boxes of the cloth that a window shows: each row of the lattice that it reaches into, moved back by the
/// lattice's shift, and cut in two where it hangs over the right edge.
fn shown([x, y, width, height]: Box4, lattice: Lattice) -> Vec<Box4> {
    let (across, down) = (lattice.across(), lattice.down());
    let mut boxes = Vec::new();
    for row in y.div_euclid(down)..=(y + height - 1).div_euclid(down) {
        let [top, bottom] = [y, y + height].map(|y| (y - row * down).clamp(0, down));
        let left = (x - row * lattice.shift()).rem_euclid(across);
        let (left, right) = if width < across { (left, left + width) } else { (0, across) };
        boxes.push([left, top, right.min(across), bottom]);
        boxes.push([0, top, right - across, bottom]);
    }
    boxes.retain(|[l, t, r, b]| l < r && t < b);
    boxes
}
