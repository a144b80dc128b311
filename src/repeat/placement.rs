//! Where one motif lies in the repeat.

/// Parts of a unit that a position is kept in: 1/256, a short exact decimal.
pub const PARTS: i64 = 256;

/// The columns `[xx, yx, xy, yy]` of a 2 × 2 matrix, from a motif's own coordinates to units.
pub type Linear = [f64; 4];

/// A position in 1/256 of a unit: exact, so that a step away is exactly a step away.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Spot {
    x: i64,
    y: i64,
}

impl Spot {
    /// From counts of 1/256 unit.
    pub const fn from_parts(x: i64, y: i64) -> Spot {
        Spot { x, y }
    }

    /// Across, in 1/256 unit.
    pub const fn x(self) -> i64 {
        self.x
    }

    /// Down, in 1/256 unit.
    pub const fn y(self) -> i64 {
        self.y
    }

    /// The whole units, rounded down.
    pub const fn whole(self) -> [i64; 2] {
        [self.x.div_euclid(PARTS), self.y.div_euclid(PARTS)]
    }

    /// What is left of a unit, in 1/256.
    pub const fn phase(self) -> [i64; 2] {
        [self.x.rem_euclid(PARTS), self.y.rem_euclid(PARTS)]
    }

    /// Moved by whole units: the phase stays.
    #[must_use]
    pub const fn moved(self, [x, y]: [i64; 2]) -> Spot {
        Spot { x: self.x + x * PARTS, y: self.y + y * PARTS }
    }

    /// As floats, exact up to 2⁴⁵ units.
    pub fn units(self) -> [f64; 2] {
        [self.x as f64 / PARTS as f64, self.y as f64 / PARTS as f64]
    }
}

/// A motif put somewhere in the block.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placement {
    /// Which motif of the design.
    pub motif: usize,
    /// Where its page's middle lies.
    pub at: Spot,
    /// Turn, scale and flip: from motif coordinates about the page's middle to units.
    pub linear: Linear,
    /// Higher lies above lower; equal layers lie in the order of the design.
    pub layer: i32,
}
