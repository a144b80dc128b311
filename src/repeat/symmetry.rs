//! The 17 plane groups, by the names and operators of International Tables for Crystallography,
//! vol. A: what carries a cloth onto itself besides its steps.
//!
//! ```text
//!   p2mm (mirror)      p4 (pinwheel)      p6mm
//!     F │ ꟻ             F  ⬏               six mirrors through one point,
//!    ───┼───            ⬑  Ⅎ               a turn by a sixth
//!     E │ Ǝ
//! ```
//!
//! The block is the conventional cell: with a `c` in its name the block's middle is like its corners;
//! hexagonal groups have the upright rectangle that is √3 times as high as wide and holds two cells.
//! The seven frieze groups (vol. E) are those of these groups that leave a border's two sides where they
//! are or swap them; they have the same operators.

use std::fmt;
use std::str::FromStr;

use super::groups::{Cell, GROUPS, Group};

/// A plane group in one of its settings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Symmetry {
    number: usize,
    /// The two axes exchanged: `p11m` for `pm`.
    exchanged: bool,
}

/// A text that names no plane group.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{text:?} is not a plane group; write {names}; their axes exchanged are {exchanged}", names = Symmetry::names(), exchanged = Symmetry::settings())]
pub struct SymmetryError {
    text: String,
}

impl Symmetry {
    /// All 17, in the order of International Tables.
    pub fn all() -> impl Iterator<Item = Symmetry> {
        (0..GROUPS.len()).map(|number| Symmetry { number, exchanged: false })
    }

    /// `p1, p2 (turn), pm (turnover) …`
    pub fn names() -> String {
        let name = |group: &Group| match group.trade {
            Some(trade) => format!("{} ({trade})", group.name),
            None => group.name.into(),
        };
        GROUPS.iter().map(name).collect::<Vec<_>>().join(", ")
    }

    /// Those that are another pattern with the axes exchanged: `p11m, p11g …`
    pub fn settings() -> String {
        GROUPS.iter().filter_map(|group| group.exchanged).collect::<Vec<_>>().join(", ")
    }

    /// All that can be written, for finding what was meant.
    pub fn words() -> impl Iterator<Item = &'static str> {
        GROUPS.iter().flat_map(|g| [Some(g.name), Some(g.full), g.exchanged, g.trade]).flatten()
    }

    pub(super) fn group(self) -> &'static Group {
        &GROUPS[self.number]
    }

    /// What it asks of the block.
    pub fn cell(self) -> Cell {
        self.group().cell
    }

    /// What the trade calls it, if it does.
    pub fn trade(self) -> Option<&'static str> {
        self.group().trade
    }

    /// The frieze group of a border with this symmetry; `None` if a border can't have it.
    pub fn frieze(self) -> Option<&'static str> {
        self.group().friezes[usize::from(self.exchanged)]
    }

    /// The operators in the conventional cell, without the centring: what becomes of a vector, and the
    /// shift in halves of the cell.
    pub(super) fn operators(self) -> impl Iterator<Item = Triplet> {
        let exchanged = self.exchanged;
        self.group().operators.iter().map(move |text| {
            let triplet = Triplet::read(text);
            if exchanged { triplet.exchanged() } else { triplet }
        })
    }
}

impl fmt::Display for Symmetry {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let group = self.group();
        f.write_str(group.exchanged.filter(|_| self.exchanged).unwrap_or(group.name))
    }
}

impl FromStr for Symmetry {
    type Err = SymmetryError;

    fn from_str(text: &str) -> Result<Symmetry, SymmetryError> {
        let name = text.trim().to_ascii_lowercase();
        let known = |group: &Group| [Some(group.name), Some(group.full), group.trade].contains(&Some(&*name));
        let find = |is: &dyn Fn(&Group) -> bool, exchanged| {
            GROUPS.iter().position(is).map(|number| Symmetry { number, exchanged })
        };
        find(&known, false)
            .or_else(|| find(&|group| group.exchanged == Some(&*name), true))
            .ok_or_else(|| SymmetryError { text: text.trim().into() })
    }
}

/// An operator of International Tables: `x' = m·x + t`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Triplet {
    pub(super) m: [[i64; 2]; 2],
    /// In halves of the cell.
    pub(super) halves: [i64; 2],
}

impl Triplet {
    /// Reads `-x+y,y` or `x+1/2,-y`, as the table above writes them.
    fn read(text: &str) -> Triplet {
        let mut triplet = Triplet { m: [[0; 2]; 2], halves: [0; 2] };
        for (row, part) in text.split(',').enumerate() {
            let mut sign = 1;
            for letter in part.trim_end_matches("+1/2").chars() {
                match letter {
                    '-' => sign = -1,
                    '+' => sign = 1,
                    'x' => triplet.m[row][0] = sign,
                    _ => triplet.m[row][1] = sign,
                }
            }
            triplet.halves[row] = i64::from(part.ends_with("+1/2"));
        }
        triplet
    }

    /// The same with x and y exchanged.
    fn exchanged(self) -> Triplet {
        let [[a, b], [c, d]] = self.m;
        let [x, y] = self.halves;
        Triplet { m: [[d, c], [b, a]], halves: [y, x] }
    }
}
