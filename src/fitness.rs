//! What fitness for print is judged by: the least that the goods need, and every finding by its code.
//!
//! The numbers are common practice, without a source.

mod codes;

pub use codes::{FINDINGS, FindingKind, Severity, finding_kind};

use crate::length::Length;

/// What the tile is printed on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Goods {
    /// Cloth, which is looked at from an arm's length and whose threads soften every edge.
    #[default]
    Cloth,
    /// Paper and wallcovering.
    Paper,
}

impl Goods {
    /// All of them.
    pub const ALL: [Goods; 2] = [Goods::Cloth, Goods::Paper];

    /// As it is written.
    pub const fn name(self) -> &'static str {
        match self {
            Goods::Cloth => "cloth",
            Goods::Paper => "paper",
        }
    }

    /// The fewest pixels an inch that look sharp on it.
    pub const fn ppi(self) -> f64 {
        match self {
            Goods::Cloth => 150.0,
            Goods::Paper => 300.0,
        }
    }
}

/// The limits that a tile is judged by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fitness {
    /// The fewest pixels an inch, of the tile and of the pictures on it.
    pub ppi: f64,
    /// The thinnest line that prints whole.
    pub line: Length,
    /// The narrowest gap that ink does not close.
    pub gap: Length,
    /// The goods need a ground: nothing may be transparent.
    pub opaque: bool,
}

impl Fitness {
    /// A line thinner than a quarter of a point breaks up in print, and a gap closes.
    pub const THIN: Length = Length::from_emu(12_700 / 4);

    /// What these goods need.
    pub const fn of(goods: Goods) -> Fitness {
        Fitness { ppi: goods.ppi(), line: Fitness::THIN, gap: Fitness::THIN, opaque: false }
    }
}

impl Default for Fitness {
    fn default() -> Fitness {
        Fitness::of(Goods::default())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::length::Unit;

    #[test]
    fn a_quarter_of_a_point_is_exact() {
        assert_eq!(Fitness::THIN.show(Unit::Pt, 9), "0.25pt");
    }
}
