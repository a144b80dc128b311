//! What carries a cloth onto itself besides its steps: mirrors and turns.

use super::{Linear, Spot};

/// `x' = m·x + t`, with a whole-number `m` (±1 and 0) and a `t` of whole units.
///
/// Rows of `m`: `[[xx, xy], [yx, yy]]`; `[[-1, 0], [0, 1]]` mirrors left to right.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Operator {
    /// The turn or mirror.
    pub m: [[i64; 2]; 2],
    /// The shift, in units.
    pub t: [i64; 2],
}

impl Operator {
    /// Leaves all as it is.
    pub const IDENTITY: Operator = Operator { m: [[1, 0], [0, 1]], t: [0, 0] };

    /// Where a vector of units goes.
    pub fn carry(&self, [x, y]: [i64; 2]) -> [i64; 2] {
        let [row_x, row_y] = self.m;
        [row_x[0] * x + row_x[1] * y + self.t[0], row_y[0] * x + row_y[1] * y + self.t[1]]
    }

    /// Where a spot goes.
    pub fn carry_spot(&self, spot: Spot) -> Spot {
        let [row_x, row_y] = self.m;
        let (x, y) = (spot.x(), spot.y());
        Spot::from_parts(row_x[0] * x + row_x[1] * y, row_y[0] * x + row_y[1] * y).moved(self.t)
    }

    /// What becomes of a linear part: first it, then this operator.
    pub fn after(&self, [xx, yx, xy, yy]: Linear) -> Linear {
        let m = self.m.map(|row| row.map(|n| n as f64));
        [
            m[0][0] * xx + m[0][1] * yx,
            m[1][0] * xx + m[1][1] * yx,
            m[0][0] * xy + m[0][1] * yy,
            m[1][0] * xy + m[1][1] * yy,
        ]
    }

    /// The same operator about a cloth moved by whole units.
    pub fn about(&self, by: [i64; 2]) -> Operator {
        let turned = Operator { m: self.m, t: [0, 0] }.carry(by);
        Operator { m: self.m, t: [self.t[0] + by[0] - turned[0], self.t[1] + by[1] - turned[1]] }
    }
}
