//! The repeat: where a drawing lands on cloth, in whole numbers.
//!
//! ```text
//!   straight        half-drop         brick            mirror
//!   A  A  A         A     A           A  A  A          A  Я  A
//!   A  A  A            A     A         A  A  A         ∀  ᗄ  ∀
//!   A  A  A         A     A           A  A  A          A  Я  A
//! ```
//!
//! Every layout is one thing: a [`Lattice`] (two steps that carry the cloth onto itself)
//! and [`Operator`]s (what else carries it onto itself; hexagonal cloth has [`Turn`]s by a third
//! besides). A [`Layout`] is the trade's name for such a pair and a [`Symmetry`] the
//! crystallographer's; both come to a [`Scheme`] in shares of the block. [`Repeat`] is the pair
//! on a grid of whole units, with the placements. One unit is one pixel of the delivery, for
//! vectors too.
//! x points right, y down, a positive turn is clockwise.

mod alternate;
mod groups;
mod laid;
mod lattice;
mod layout;
mod operator;
mod placement;
mod plane;
mod satin;
mod scheme;
mod share;
mod symmetry;
#[cfg(test)]
mod tests;
mod turn;

pub use alternate::{Alternate, AlternateError};
pub use groups::Cell;
pub use lattice::Lattice;
pub use layout::{Fraction, Layout, LayoutError};
pub use operator::Operator;
pub use placement::{Linear, PARTS, Placement, Spot};
pub use plane::{shortest_steps, sin_cos_degrees};
pub use satin::satin_step;
pub use scheme::{Scheme, SchemeError, Shape};
pub use symmetry::{Symmetry, SymmetryError};
pub use turn::Turn;

use crate::length::Size;

/// The upright rectangle that a printer repeats straight.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tile {
    /// Whole units across.
    pub width: i64,
    /// Whole units down.
    pub height: i64,
    /// True size on the goods.
    pub size: Size,
}

/// A design on its grid: lattice, symmetry, placements and ground.
#[derive(Clone, Debug)]
pub struct Repeat {
    /// What is printed side by side.
    pub tile: Tile,
    /// One block, in units.
    pub block: [i64; 2],
    /// The steps behind the layout.
    pub lattice: Lattice,
    /// A border steps across only.
    pub one_way: bool,
    /// What comes before the symmetry: none, and on hexagonal cloth turns by a third.
    pub turns: Vec<Turn>,
    /// The identity, and what the layout mirrors or turns.
    pub symmetry: Vec<Operator>,
    /// Where each kind of place lies, from the first; one where motifs don't alternate.
    pub places: Vec<[i64; 2]>,
    /// The motifs' places in the block.
    pub placements: Vec<Placement>,
    /// The background, sRGB; `None` is no background.
    pub ground: Option<[u8; 3]>,
}

impl Repeat {
    /// How often a motif lies on a tile, however many pieces its edges cut them into.
    pub fn on_a_tile(&self) -> i64 {
        let cell = self.lattice.across() * if self.one_way { self.tile.height } else { self.lattice.down() };
        let marks = self.placements.len() * self.turns.len() * self.symmetry.len();
        i64::try_from(marks).unwrap_or(i64::MAX).saturating_mul(self.tile.width * self.tile.height / cell)
    }

    /// A layout with its blocks set on a tile of whole units.
    ///
    /// `blocks` is how many blocks lie across and down the tile: a whole multiple of
    /// [`Scheme::tile_blocks`]. `None` if the tile's units can't be divided so.
    pub fn new(scheme: &Scheme, tile: Tile, blocks: [i64; 2]) -> Option<Repeat> {
        let block = [whole(tile.width, blocks[0])?, whole(tile.height, blocks[1])?];
        let lattice = scheme.lattice(block)?;
        let symmetry = scheme.symmetry(block)?;
        let places = scheme.offsets(block)?;
        let fits = lattice.contains([tile.width, 0]) && lattice.contains([0, tile.height]);
        fits.then(|| Repeat {
            tile,
            block,
            lattice,
            one_way: scheme.one_way(),
            turns: scheme.turns(block),
            symmetry,
            places,
            placements: Vec::new(),
            ground: None,
        })
    }

    /// Where a spot's images lie, itself first; all others are lattice steps away.
    pub fn images(&self, spot: Spot) -> impl Iterator<Item = Spot> + '_ {
        self.turns.iter().flat_map(move |turn| {
            let turned = turn.carry(spot);
            self.symmetry.iter().map(move |operator| operator.carry_spot(turned))
        })
    }

    /// The same cloth, moved by whole units: placements and mirror lines alike.
    pub fn moved(&self, by: [i64; 2]) -> Repeat {
        let mut moved = self.clone();
        for placement in &mut moved.placements {
            placement.at = placement.at.moved(by);
        }
        for turn in &mut moved.turns {
            *turn = turn.about(by);
        }
        for operator in &mut moved.symmetry {
            *operator = operator.about(by);
        }
        moved
    }
}

fn whole(units: i64, parts: i64) -> Option<i64> {
    (parts > 0 && units > 0 && units % parts == 0).then(|| units / parts)
}
