//! The tile's rows, woven from the painted cloth: each row of the lattice is the one above
//! it, moved across by the lattice's shift.

use std::collections::BTreeMap;
use std::mem;

use rayon::prelude::*;

use super::RasterError;
use super::cloth::Cloth;
use super::seams::Seams;
use super::sheet::{Channels, Packed, Sheet, SheetSpec};
use crate::progress::Progress;
use crate::repeat::Lattice;

/// What the finished files are held against.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Woven {
    /// What was asked.
    pub spec: SheetSpec,
    /// A checksum (CRC-32) of each strip's raw rows, from the top.
    pub checks: Vec<u32>,
    /// The lines on both sides of the joins, for formats that change pixels.
    pub seams: Seams,
}

/// A strip that begins in one band and ends in another.
struct Loose {
    rows: Vec<u8>,
    missing: i64,
}

/// Rows of one band, ready to be moved across.
struct Band<'a> {
    pixels: &'a [u8],
    top: i64,
    end: i64,
    lattice: Lattice,
    spec: SheetSpec,
}

/// Paints the cloth and hands every strip of the tile to every sheet.
pub(super) fn weave(
    cloth: &mut Cloth<'_>,
    lattice: Lattice,
    spec: SheetSpec,
    sheets: &mut [&mut dyn Sheet],
    progress: &dyn Progress,
) -> Result<Woven, RasterError> {
    let mut checks = vec![0; spec.strips()];
    let mut seams = Seams::new(&spec);
    let mut loose: BTreeMap<usize, Loose> = BTreeMap::new();
    // While a band is woven and packed the next one is painted.
    let (mut painted, mut next) = (Vec::new(), Vec::new());
    cloth.band(0, &mut painted, progress)?;
    for index in 0..cloth.bands() {
        let [top, end] = cloth.rows(index);
        let band = Band { pixels: &painted, top, end, lattice, spec };
        let more = index + 1 < cloth.bands();
        let (ready, given) = rayon::join(
            || if more { cloth.band(index + 1, &mut next, progress) } else { Ok(()) },
            || band.give(&mut loose, sheets, &mut checks, &mut seams, progress),
        );
        given.and(ready)?;
        mem::swap(&mut painted, &mut next);
    }
    for sheet in sheets {
        sheet.finish()?;
    }
    Ok(Woven { spec, checks, seams })
}

impl Band<'_> {
    /// Hands the strips that this band completes to every sheet.
    fn give(
        &self,
        loose: &mut BTreeMap<usize, Loose>,
        sheets: &mut [&mut dyn Sheet],
        checks: &mut [u32],
        seams: &mut Seams,
        progress: &dyn Progress,
    ) -> Result<(), RasterError> {
        let spec = self.spec;
        let mut whole = Vec::new();
        for (strip, alone) in self.touched() {
            if alone {
                whole.push((strip, None));
            } else if let Some(done) = self.fill(strip, loose) {
                whole.push((strip, Some(done)));
            }
        }
        // A few at a time, so that memory holds no more than that.
        for group in whole.chunks(rayon::current_num_threads() * 4) {
            let packed: Vec<(usize, u32, Seams, Vec<Packed>)> = group
                .par_iter()
                .map(|(strip, done)| {
                    let woven;
                    let rows = match done {
                        Some(rows) => rows,
                        None => {
                            woven = self.rows(spec.strip(*strip));
                            &woven
                        }
                    };
                    let lines = Seams::of_strip(&spec, spec.strip(*strip)[0], rows);
                    (*strip, crc32fast::hash(rows), lines, sheets.iter().map(|s| s.pack(rows, &spec)).collect())
                })
                .collect();
            for (strip, check, lines, files) in packed {
                checks[strip] = check;
                seams.take(lines);
                for (sheet, strip_of_file) in sheets.iter_mut().zip(files) {
                    sheet.put(strip, strip_of_file)?;
                }
            }
            let rows: i64 = group.iter().map(|(strip, _)| spec.strip(*strip)).map(|[first, end]| end - first).sum();
            progress.pixels(rows as u64 * u64::from(spec.width));
            if progress.stopped() {
                return Err(RasterError::Stopped);
            }
        }
        Ok(())
    }

    /// The strips of the tile that this band gives rows to, from the top, and whether it fills them alone.
    fn touched(&self) -> BTreeMap<usize, bool> {
        let mut touched = BTreeMap::new();
        let rows = i64::from(self.spec.strip_rows());
        for row in 0..i64::from(self.spec.height) / self.lattice.down() {
            let [first, end] = [self.top, self.end].map(|y| row * self.lattice.down() + y);
            for strip in first / rows..=(end - 1) / rows {
                let [strip_first, strip_end] = self.spec.strip(strip as usize);
                touched.insert(strip as usize, first <= strip_first && strip_end <= end);
            }
        }
        touched
    }

    /// Puts this band's rows into a strip that it fills only in part; gives it back when full.
    fn fill(&self, strip: usize, loose: &mut BTreeMap<usize, Loose>) -> Option<Vec<u8>> {
        let [first, end] = self.spec.strip(strip);
        let row_bytes = self.spec.row_bytes();
        let entry = loose
            .entry(strip)
            .or_insert_with(|| Loose { rows: vec![0; row_bytes * (end - first) as usize], missing: end - first });
        for y in first..end {
            let home = y % self.lattice.down();
            if (self.top..self.end).contains(&home) {
                let at = (y - first) as usize * row_bytes;
                self.row(y, &mut entry.rows[at..at + row_bytes]);
                entry.missing -= 1;
            }
        }
        if entry.missing > 0 { None } else { loose.remove(&strip).map(|full| full.rows) }
    }

    fn rows(&self, [first, end]: [i64; 2]) -> Vec<u8> {
        let row_bytes = self.spec.row_bytes();
        let mut rows = vec![0; row_bytes * (end - first) as usize];
        for (y, row) in (first..end).zip(rows.chunks_exact_mut(row_bytes)) {
            self.row(y, row);
        }
        rows
    }

    /// One row of the tile: the cloth's, moved across and repeated, in the file's channels.
    fn row(&self, y: i64, out: &mut [u8]) {
        let (across, down) = (self.lattice.across(), self.lattice.down());
        let shift = (y / down * self.lattice.shift()).rem_euclid(across) as usize;
        let width = across as usize;
        let start = (y % down - self.top) as usize * width * 4;
        let home = &self.pixels[start..start + width * 4];
        let channels = self.spec.channels;
        let (left, right) = home.split_at((width - shift) * 4);
        for turn in out.chunks_exact_mut(width * channels.bytes()) {
            let (head, tail) = turn.split_at_mut(shift * channels.bytes());
            store(right, channels, head);
            store(left, channels, tail);
        }
    }
}

/// Premultiplied RGBA to a file's channels.
pub(super) fn store(from: &[u8], channels: Channels, to: &mut [u8]) {
    match channels {
        Channels::Rgb => {
            for (p, out) in from.chunks_exact(4).zip(to.chunks_exact_mut(3)) {
                out.copy_from_slice(&p[..3]);
            }
        }
        Channels::Rgba => {
            for (p, out) in from.chunks_exact(4).zip(to.chunks_exact_mut(4)) {
                let alpha = u32::from(p[3]);
                for (c, out) in p[..3].iter().zip(&mut *out) {
                    *out = (u32::from(*c) * 255 + alpha / 2).checked_div(alpha).map_or(0, |c| c.min(255) as u8);
                }
                out[3] = p[3];
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn colors_are_divided_by_alpha_to_the_nearest() {
        let mut out = [0; 8];
        store(&[128, 64, 0, 128, 0, 0, 0, 0], Channels::Rgba, &mut out);
        assert_eq!(out, [255, 128, 0, 128, 0, 0, 0, 0]);
        let mut out = [0; 3];
        store(&[1, 2, 3, 255], Channels::Rgb, &mut out);
        assert_eq!(out, [1, 2, 3]);
    }
}
