//! Turns by a third: what hexagonal cloth has and no grid of pixels.

use super::{Linear, Spot};

/// A turn by a third or two about a point of the lattice, or none.
///
/// The lattice of a hexagonal cloth is made of whole pixels, so its ratio is not √3 but nearly; the turn
/// is the one that carries *this* lattice onto itself, stretched by the same few parts in a million.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Turn {
    linear: Linear,
    /// The point that stays, in whole units.
    center: [i64; 2],
}

impl Turn {
    /// Leaves all as it is.
    pub const NONE: Turn = Turn { linear: [1.0, 0.0, 0.0, 1.0], center: [0, 0] };

    /// None, a third and two thirds, clockwise, for the lattice of (w, 0) and (w/2, h/2).
    pub(super) fn thirds([w, h]: [i64; 2]) -> Vec<Turn> {
        let ratio = w as f64 / h as f64;
        // A third takes (w, 0) to (-w/2, h/2), and that to (-w/2, -h/2).
        let third = |sign: f64| [-0.5, sign * 0.5 / ratio, -sign * 1.5 * ratio, -0.5];
        [Turn::NONE.linear, third(1.0), third(-1.0)].map(|linear| Turn { linear, center: [0, 0] }).to_vec()
    }

    /// Where a spot goes, to the nearest 1/256 unit.
    #[allow(clippy::cast_possible_truncation, reason = "rounded first; the cast saturates")]
    pub fn carry(&self, spot: Spot) -> Spot {
        if self.linear == Turn::NONE.linear {
            return spot;
        }
        let [xx, yx, xy, yy] = self.linear;
        let [x, y] = self.center;
        let from = spot.moved([-x, -y]);
        let (x, y) = (from.x() as f64, from.y() as f64);
        let parts = |n: f64| n.round() as i64;
        Spot::from_parts(parts(xx * x + xy * y), parts(yx * x + yy * y)).moved(self.center)
    }

    /// What becomes of a linear part: first it, then this turn.
    pub fn after(&self, [a, b, c, d]: Linear) -> Linear {
        if self.linear == Turn::NONE.linear {
            return [a, b, c, d];
        }
        let [xx, yx, xy, yy] = self.linear;
        [xx * a + xy * b, yx * a + yy * b, xx * c + xy * d, yx * c + yy * d]
    }

    /// The same turn about a cloth moved by whole units.
    #[must_use]
    pub fn about(&self, [x, y]: [i64; 2]) -> Turn {
        Turn { linear: self.linear, center: [self.center[0] + x, self.center[1] + y] }
    }
}
