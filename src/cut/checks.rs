//! What is too small to cut, to weed or to hold.

use std::cell::Cell;

use kurbo::Rect;

use super::mode::Layer;
use super::region::{Region, ring_bounds};
use crate::artwork::{Contours, narrow_gaps, narrow_parts};
use crate::length::Length;

/// What may be looked at: walls that face each other, in all layers together.
const LOOKS: u64 = 100_000_000;

/// The least that is cut; nothing means all is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Checks {
    /// Both sides of a piece.
    pub piece: Length,
    /// Parts of a piece.
    pub part: Length,
    /// Gaps between pieces, and across bays.
    pub gap: Length,
}

/// Something that is too small.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// What it is.
    pub what: Small,
    /// The layer's name.
    pub layer: String,
    /// Where, on the goods, in EMU.
    pub at: Rect,
    /// Its lesser side, or its width where it is narrowest, in EMU.
    pub size: f64,
}

/// What is too small.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Small {
    /// A piece.
    Piece,
    /// A hole.
    Hole,
    /// A part of a piece that is narrow.
    Part,
    /// A gap between pieces, or across a bay of one.
    Gap,
}

/// All that is smaller than it may be; and whether parts and gaps were more than could be looked at.
pub(super) fn look(layers: &[Layer], checks: &Checks) -> (Vec<Found>, bool) {
    let left = Cell::new(LOOKS);
    let (mut found, mut too_many) = (Vec::new(), false);
    for layer in layers {
        let put = |what, at, size| Found { what, layer: layer.name.clone(), at, size };
        for piece in &layer.region.pieces {
            for (index, ring) in piece.iter().enumerate() {
                let at = ring_bounds(ring);
                let small = at.width().min(at.height());
                if at.width().max(at.height()) < checks.piece.emu() as f64 {
                    found.push(put(if index == 0 { Small::Piece } else { Small::Hole }, at, small));
                }
            }
        }
        let [part, gap] = [checks.part, checks.gap].map(|limit| limit.emu() as f64);
        if part > 0.0 {
            let parts = narrow_parts(contours(&layer.region), part, &left);
            too_many |= parts.is_none();
            let parts = parts.unwrap_or_default();
            found.extend(parts.into_iter().map(|part| put(Small::Part, part.bounds, part.width)));
        }
        if gap > 0.0 {
            let window = layer.region.bounds().unwrap_or_default().inflate(gap, gap);
            let gaps = narrow_gaps(contours(&layer.region), gap, window, &|_| false, &left);
            too_many |= gaps.is_none();
            let gaps = gaps.unwrap_or_default();
            found.extend(gaps.into_iter().map(|gap| put(Small::Gap, gap.bounds, gap.width)));
        }
    }
    (found, too_many)
}

fn contours(region: &Region) -> Contours {
    region.rings().map(|ring| ring.iter().map(|edge| [edge.from.x as f64, edge.from.y as f64]).collect()).collect()
}
