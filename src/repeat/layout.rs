//! The trade's layouts, each as a lattice and symmetry in shares of the block.

use std::fmt;
use std::str::FromStr;

use super::{Lattice, Operator};

/// A fraction between 0 and 1 in lowest terms: how far a drop or a brick is moved.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Fraction {
    num: i64,
    den: i64,
}

impl Fraction {
    /// One half.
    pub const HALF: Fraction = Fraction { num: 1, den: 2 };

    /// `num / den`, which must lie between 0 and 1; `den` at most 64.
    pub fn new(num: i64, den: i64) -> Option<Fraction> {
        if num <= 0 || den <= num || den > 64 {
            return None;
        }
        let g = (2..=num).rev().find(|g| num % g == 0 && den % g == 0).unwrap_or(1);
        Some(Fraction { num: num / g, den: den / g })
    }
}

impl fmt::Display for Fraction {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}/{}", self.num, self.den)
    }
}

/// How blocks follow one another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Layout {
    /// Side by side in both directions.
    Straight,
    /// Each column lower than the one before by this share of the block's height.
    Drop(Fraction),
    /// Each row moved across from the one above by this share of the block's width.
    Brick(Fraction),
    /// Every second block mirrored, across, down or both.
    Mirror {
        /// Mirrored left to right going across.
        across: bool,
        /// Mirrored top to bottom going down.
        down: bool,
    },
}

/// Why a text names no layout.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LayoutError {
    /// An unknown name.
    #[error("{0:?} is not a layout; write {names}", names = Layout::NAMES)]
    Unknown(String),
    /// A fraction that is none, or not between 0 and 1.
    #[error("{0:?} needs a fraction between 0 and 1 with a denominator up to 64; write for example {1}=1/3")]
    Fraction(String, &'static str),
}

impl Layout {
    /// All names, for messages and help.
    pub const NAMES: &'static str =
        "straight, half-drop, brick, drop=1/3, brick=1/3, mirror, mirror-across or mirror-down";

    /// The layout as lattice and symmetry.
    pub fn scheme(self) -> Scheme {
        let plain = |steps, blocks| Scheme { steps, operators: vec![Share::IDENTITY], blocks };
        match self {
            Layout::Straight => plain([[ONE, ZERO], [ZERO, ONE]], [1, 1]),
            Layout::Drop(f) => plain([[ONE, (f.num, f.den)], [ZERO, ONE]], [f.den, 1]),
            Layout::Brick(f) => plain([[ONE, ZERO], [(f.num, f.den), ONE]], [1, f.den]),
            Layout::Mirror { across, down } => {
                let (x, y) = (if across { 2 } else { 1 }, if down { 2 } else { 1 });
                let mut operators = vec![Share::IDENTITY];
                if across {
                    operators.push(Share { m: [[-1, 0], [0, 1]], t: [(2, 1), ZERO] });
                }
                if down {
                    operators.push(Share { m: [[1, 0], [0, -1]], t: [ZERO, (2, 1)] });
                }
                if across && down {
                    operators.push(Share { m: [[-1, 0], [0, -1]], t: [(2, 1), (2, 1)] });
                }
                Scheme { steps: [[(x, 1), ZERO], [ZERO, (y, 1)]], operators, blocks: [x, y] }
            }
        }
    }
}

impl fmt::Display for Layout {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Layout::Straight => f.write_str("straight"),
            Layout::Drop(Fraction::HALF) => f.write_str("half-drop"),
            Layout::Drop(share) => write!(f, "drop={share}"),
            Layout::Brick(Fraction::HALF) => f.write_str("brick"),
            Layout::Brick(share) => write!(f, "brick={share}"),
            Layout::Mirror { across: true, down: false } => f.write_str("mirror-across"),
            Layout::Mirror { across: false, down: true } => f.write_str("mirror-down"),
            Layout::Mirror { .. } => f.write_str("mirror"),
        }
    }
}

impl FromStr for Layout {
    type Err = LayoutError;

    fn from_str(text: &str) -> Result<Layout, LayoutError> {
        let name = text.trim().to_ascii_lowercase();
        if let Some((name, share)) = name.split_once('=') {
            let (make, word): (fn(Fraction) -> Layout, _) = match name.trim() {
                "drop" => (Layout::Drop, "drop"),
                "brick" => (Layout::Brick, "brick"),
                _ => return Err(LayoutError::Unknown(text.trim().into())),
            };
            let share = share
                .split_once('/')
                .and_then(|(num, den)| Fraction::new(num.trim().parse().ok()?, den.trim().parse().ok()?));
            return share.map(make).ok_or_else(|| LayoutError::Fraction(text.trim().into(), word));
        }
        Ok(match name.as_str() {
            "straight" => Layout::Straight,
            "half-drop" => Layout::Drop(Fraction::HALF),
            "brick" => Layout::Brick(Fraction::HALF),
            "mirror" => Layout::Mirror { across: true, down: true },
            "mirror-across" => Layout::Mirror { across: true, down: false },
            "mirror-down" => Layout::Mirror { across: false, down: true },
            _ => return Err(LayoutError::Unknown(text.trim().into())),
        })
    }
}

type Part = (i64, i64);
const ZERO: Part = (0, 1);
const ONE: Part = (1, 1);

/// An operator whose shift is in shares of the block.
#[derive(Clone, Copy, Debug)]
struct Share {
    m: [[i64; 2]; 2],
    t: [Part; 2],
}

impl Share {
    const IDENTITY: Share = Share { m: [[1, 0], [0, 1]], t: [ZERO, ZERO] };
}

/// A layout in shares of the block, before there are units.
#[derive(Clone, Debug)]
pub struct Scheme {
    steps: [[Part; 2]; 2],
    operators: Vec<Share>,
    blocks: [i64; 2],
}

impl Scheme {
    /// Blocks across and down the smallest upright tile.
    pub fn tile_blocks(&self) -> [i64; 2] {
        self.blocks
    }

    /// What a tile of so many blocks must be a multiple of, in units, so that every step
    /// and every mirror line is whole.
    pub fn multiples(&self, blocks: [i64; 2]) -> [i64; 2] {
        [0, 1].map(|axis| {
            let steps = self.steps.iter().map(|step| step[axis].1);
            let shifts = self.operators.iter().map(|operator| operator.t[axis].1);
            blocks[axis] * steps.chain(shifts).fold(1, lcm)
        })
    }

    /// The lattice of a block of whole units; `None` where a step would not be whole.
    pub fn lattice(&self, block: [i64; 2]) -> Option<Lattice> {
        let step = |s: [Part; 2]| Some([part(s[0], block[0])?, part(s[1], block[1])?]);
        Lattice::from_steps([step(self.steps[0])?, step(self.steps[1])?])
    }

    /// The operators of a block of whole units; `None` where a shift would not be whole.
    pub fn symmetry(&self, block: [i64; 2]) -> Option<Vec<Operator>> {
        let whole = |s: &Share| Some(Operator { m: s.m, t: [part(s.t[0], block[0])?, part(s.t[1], block[1])?] });
        self.operators.iter().map(whole).collect()
    }
}

fn part((num, den): Part, units: i64) -> Option<i64> {
    let product = units.checked_mul(num)?;
    (product % den == 0).then(|| product / den)
}

fn lcm(a: i64, b: i64) -> i64 {
    let (mut x, mut y) = (a, b);
    while y != 0 {
        (x, y) = (y, x % y);
    }
    a / x * b
}
