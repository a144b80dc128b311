//! What one vector file shows: the tile, or a piece of goods with many tiles on it.

use crate::length::{Length, Size};
use crate::wrap::Copies;

/// A piece of printed goods that begins at the tile's top left corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piece {
    /// Its true size.
    pub size: Size,
    /// The same in units of the plan, pixels of its grid; not whole, if the goods are no whole number of them.
    pub units: [f64; 2],
}

impl Piece {
    /// The tile itself.
    pub fn tile(copies: &Copies) -> Piece {
        let tile = copies.tile();
        Piece { size: tile.size, units: [tile.width as f64, tile.height as f64] }
    }

    /// Goods of a size, on which the tile has its own.
    pub fn goods(copies: &Copies, size: Size) -> Piece {
        let tile = copies.tile();
        let units = |goods: Length, side: Length, px: i64| goods.emu() as f64 / side.emu() as f64 * px as f64;
        let width = units(size.width, tile.size.width, tile.width);
        Piece { size, units: [width, units(size.height, tile.size.height, tile.height)] }
    }

    /// The window of whole units that covers it, with so much around it.
    pub fn window(&self, around: Length) -> [i64; 4] {
        let more = [0, 1].map(|axis| (self.bleed(around)[axis]).ceil() as i64);
        [-more[0], -more[1], self.units[0].ceil() as i64 + more[0], self.units[1].ceil() as i64 + more[1]]
    }

    /// A length on the goods, in units across and down.
    pub(super) fn bleed(&self, length: Length) -> [f64; 2] {
        let of = |side: Length, units: f64| length.emu() as f64 / side.emu() as f64 * units;
        [of(self.size.width, self.units[0]), of(self.size.height, self.units[1])]
    }
}
