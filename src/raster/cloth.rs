//! The painter: from the plan to rows of pixels, one band of the cloth after another.
//!
//! ```text
//!   one row of the lattice, painted once          the tile, woven from it
//!   ┌───────────────────┐                         ┌───────────────────┐
//!   │ band 0            │                         │ band 0            │
//!   │ band 1            │   ── moved across ──▶   │ band 1            │
//!   └───────────────────┘      by the lattice's   ├───────────────────┤
//!                              shift, row by row  │ band 0, shifted   │
//!                                                 │ band 1, shifted   │
//!                                                 └───────────────────┘
//! ```

use std::collections::{HashMap, HashSet};
use std::sync::Arc;

use rayon::prelude::*;

use super::RasterError;
use super::compose::compose;
use super::laying::{Laying, PieceKey};
use super::painting::{Box4, Piece};
use crate::artwork::Motif;
use crate::progress::{Progress, Task};
use crate::repeat::Lattice;
use crate::wrap::Copies;

/// The bytes of a band, about; its height follows from the width.
const BAND_BYTES: i64 = 8 << 20;

/// Paints a plan band by band.
pub(super) struct Cloth<'a> {
    motifs: &'a [Motif],
    laying: Laying,
    lattice: Lattice,
    ground: [u8; 4],
    pieces: HashMap<PieceKey, Arc<Piece>>,
}

impl<'a> Cloth<'a> {
    /// Gets ready to paint; nothing is painted yet.
    pub(super) fn new(copies: &Copies, motifs: &'a [Motif]) -> Cloth<'a> {
        let lattice = copies.lattice();
        let height = (BAND_BYTES / (lattice.across() * 4)).clamp(16, 512) / 16 * 16;
        let laying = Laying::new(copies, motifs, height);
        let ground = copies.ground().map_or([0; 4], |[r, g, b]| [r, g, b, 255]);
        Cloth { motifs, laying, lattice, ground, pieces: HashMap::new() }
    }

    /// Paints only what lies in these boxes of the cloth; what a band holds beside them means nothing then.
    pub(super) fn only(&mut self, boxes: &[Box4]) {
        self.laying.keep(boxes);
    }

    /// The pixels that painting takes, for each motif.
    pub(super) fn effort(&self) -> Vec<f64> {
        let mut takes = vec![0.0; self.motifs.len()];
        for painting in &self.laying.paintings {
            takes[painting.motif()] += painting.effort(&self.motifs[painting.motif()]);
        }
        takes
    }

    /// How many bands hold the cloth.
    pub(super) fn bands(&self) -> usize {
        self.laying.bands.len()
    }

    /// The first row of a band and the one after its last.
    pub(super) fn rows(&self, band: usize) -> [i64; 2] {
        let top = band as i64 * self.laying.band_height;
        [top, (top + self.laying.band_height).min(self.lattice.down())]
    }

    /// Paints a band into `pixels`: premultiplied RGBA, `across` pixels wide. What `pixels` held is
    /// painted over; its room is used again, since fresh memory costs as much as painting flat art.
    pub(super) fn band(
        &mut self,
        band: usize,
        pixels: &mut Vec<u8>,
        progress: &dyn Progress,
    ) -> Result<(), RasterError> {
        self.paint_pieces(band, progress)?;
        let [top, end] = self.rows(band);
        let width = self.lattice.across() as usize;
        pixels.resize(width * 4 * (end - top) as usize, 0);
        compose(pixels, width, top, self.ground, &self.laying.bands[band], &self.pieces);
        self.forget(band);
        Ok(())
    }

    /// Paints what this band needs and the one before has not left.
    fn paint_pieces(&mut self, band: usize, progress: &dyn Progress) -> Result<(), RasterError> {
        let mut wanted: Vec<PieceKey> = self.laying.bands[band].iter().map(|laid| laid.key).collect();
        wanted.sort_unstable();
        wanted.dedup();
        wanted.retain(|key| !self.pieces.contains_key(key));
        // Marks that differ only by a mirror share the painting and turn its pixels.
        let same = |a: &PieceKey, b: &PieceKey| (a.painting, a.piece) == (b.painting, b.piece);
        let groups: Vec<&[PieceKey]> = wanted.chunk_by(same).collect();
        let painted: Result<Vec<_>, RasterError> = groups
            .par_iter()
            .map(|keys| {
                if progress.stopped() {
                    return Err(RasterError::Stopped);
                }
                let painting = &self.laying.paintings[keys[0].painting];
                let _busy = progress.busy(Task::Painting(self.motifs[painting.motif()].name()));
                let piece = painting.paint(keys[0].piece, self.motifs)?;
                let [rest @ .., last] = keys else { return Ok(Vec::new()) };
                let mut turned: Vec<_> = rest.iter().map(|key| (*key, Arc::new(piece.turned(key.m)))).collect();
                turned.push((*last, Arc::new(piece.into_turned(last.m))));
                Ok(turned)
            })
            .collect();
        self.pieces.extend(painted?.into_iter().flatten());
        Ok(())
    }

    /// Keeps only the pieces that the next band needs too.
    fn forget(&mut self, band: usize) {
        let next: HashSet<PieceKey> =
            self.laying.bands.get(band + 1).into_iter().flatten().map(|laid| laid.key).collect();
        self.pieces.retain(|key, _| next.contains(key));
    }
}
