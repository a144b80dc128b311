//! Which painted pieces lie on which band of the cloth, in painting order.
//!
//! The cloth is held by one row of its lattice: `across × down` pixels. It is painted in
//! bands of whole rows; what hangs over an edge of the row is laid again a lattice step on.

use std::collections::HashMap;

use super::painting::{Box4, Painting};
use crate::artwork::Motif;
use crate::wrap::{Copies, Mark};

/// A piece as it is laid: which, and how it is mirrored or turned.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) struct PieceKey {
    pub(super) painting: usize,
    pub(super) piece: usize,
    pub(super) m: [[i64; 2]; 2],
}

/// A piece laid with its left top corner on a pixel of the cloth.
#[derive(Clone, Copy, Debug)]
pub(super) struct Laid {
    pub(super) key: PieceKey,
    pub(super) left: i64,
    pub(super) top: i64,
    pub(super) right: i64,
    pub(super) bottom: i64,
}

impl Laid {
    /// Whether any of it lies in a box of the cloth.
    fn meets(&self, [l, t, r, b]: Box4) -> bool {
        self.left < r && self.right > l && self.top < b && self.bottom > t
    }
}

/// Motif, phase and the bits of the linear part: what tells paintings apart.
type Kind = (usize, [i64; 2], [u64; 4]);

/// The paintings of a plan and the order they are laid in.
pub(super) struct Laying {
    pub(super) paintings: Vec<Painting>,
    pub(super) bands: Vec<Vec<Laid>>,
    pub(super) band_height: i64,
}

impl Laying {
    /// Sorts a plan's pieces into bands of `band_height` rows.
    pub(super) fn new(copies: &Copies, motifs: &[Motif], band_height: i64) -> Laying {
        let lattice = copies.lattice();
        let (width, height) = (lattice.across(), lattice.down());
        let count = (height + band_height - 1) / band_height;
        let mut laying = Laying { paintings: Vec::new(), bands: vec![Vec::new(); count as usize], band_height };
        let mut known = HashMap::new();
        for mark in copies.marks() {
            let Some(painting) = laying.painting(mark, motifs, &mut known) else { continue };
            let window = [0, 0, width, height];
            let bounds = carried(mark, laying.paintings[painting].bounds());
            for step in copies.steps_into(bounds.map(|n| n as f64), window) {
                laying.lay(mark, painting, step, window);
            }
        }
        laying
    }

    /// Leaves out what lies in none of these boxes of the cloth.
    pub(super) fn keep(&mut self, boxes: &[Box4]) {
        for band in &mut self.bands {
            band.retain(|laid| boxes.iter().any(|seen| laid.meets(*seen)));
        }
    }

    /// The painting that serves a mark, made if it is the first of its kind.
    fn painting(&mut self, mark: &Mark, motifs: &[Motif], known: &mut HashMap<Kind, Option<usize>>) -> Option<usize> {
        let kind = (mark.motif, mark.at.phase(), mark.linear.map(f64::to_bits));
        *known.entry(kind).or_insert_with(|| {
            let painting = Painting::of(mark, &motifs[mark.motif])?;
            self.paintings.push(painting);
            Some(self.paintings.len() - 1)
        })
    }

    fn lay(&mut self, mark: &Mark, painting: usize, step: [i64; 2], [_, _, width, height]: Box4) {
        for (piece, &bounds) in self.paintings[painting].pieces().iter().enumerate() {
            let [l, t, r, b] = carried(mark, bounds);
            let [l, t, r, b] = [l + step[0], t + step[1], r + step[0], b + step[1]];
            if r <= 0 || l >= width || b <= 0 || t >= height {
                continue;
            }
            let laid = Laid { key: PieceKey { painting, piece, m: mark.by.m }, left: l, top: t, right: r, bottom: b };
            let first = t.max(0) / self.band_height;
            let last = (b.min(height) - 1) / self.band_height;
            for band in first..=last {
                self.bands[band as usize].push(laid);
            }
        }
    }
}

/// Where a painting's box comes to lie on the cloth for one mark.
fn carried(mark: &Mark, [l, t, r, b]: Box4) -> Box4 {
    let [x, y] = mark.at.whole();
    let (p, q) = (mark.by.carry([l + x, t + y]), mark.by.carry([r + x, b + y]));
    [p[0].min(q[0]), p[1].min(q[1]), p[0].max(q[0]), p[1].max(q[1])]
}
