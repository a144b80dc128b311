//! The trade's layouts by name.

use std::fmt;
use std::str::FromStr;

use super::alternate::count;
use super::satin::satin;

/// A fraction between 0 and 1 in lowest terms: how far a drop or a brick is moved.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Fraction {
    pub(super) num: i64,
    pub(super) den: i64,
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
    /// Every second column mirrored left to right, and dropped by half.
    MirrorDrop,
    /// Every second column turned by half a turn, and dropped by half or not.
    Turn {
        /// Dropped by half.
        drop: bool,
    },
    /// Four blocks, each turned by a quarter from the one before, about their common corner.
    Pinwheel,
    /// Once at the block's corners and once in its middle: the net of curved leaves of the ogee.
    Ogee,
    /// The same two places: a net of rhombs.
    Diamond,
    /// Every motif among six others, all equally far: the block is √3 times as high as wide.
    Hexagonal,
    /// One place in each of so many columns and rows, as the binding points of a satin weave lie.
    Satin {
        /// Columns and rows, as many as the weave has ends.
        ends: i64,
        /// How many rows further down the place of the next column lies.
        step: i64,
    },
    /// Columns, each of its own motif.
    Stripes(i64),
    /// Rows, each of its own motif.
    Rows(i64),
    /// Motifs in turn along rows and columns.
    Checker(i64),
    /// A border: repeated across only, as high as the block.
    Border,
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
    /// A number of kinds of place that is none.
    #[error("{0:?} needs a whole number from 2 to 64; write for example {1}=3")]
    Count(String, &'static str),
    /// No satin has so many ends, or so long a step.
    #[error("{text:?} is no satin: {why}; write for example satin=5, satin=8 or satin=8/3")]
    Satin {
        /// As it was written.
        text: String,
        /// In words.
        why: &'static str,
    },
}

impl Layout {
    /// All names, for messages and help.
    pub const NAMES: &'static str = "straight, half-drop, brick, drop=1/3, brick=1/3, mirror, mirror-across, mirror-down, mirror-drop, \
         turn, turn-drop, pinwheel, ogee, diamond, hexagonal, satin=5, stripes, rows, checker or border";

    /// Those that stand for themselves.
    const PLAIN: [(&'static str, Layout); 14] = [
        ("straight", Layout::Straight),
        ("half-drop", Layout::Drop(Fraction::HALF)),
        ("brick", Layout::Brick(Fraction::HALF)),
        ("mirror", Layout::Mirror { across: true, down: true }),
        ("mirror-across", Layout::Mirror { across: true, down: false }),
        ("mirror-down", Layout::Mirror { across: false, down: true }),
        ("mirror-drop", Layout::MirrorDrop),
        ("turn", Layout::Turn { drop: false }),
        ("turn-drop", Layout::Turn { drop: true }),
        ("pinwheel", Layout::Pinwheel),
        ("ogee", Layout::Ogee),
        ("diamond", Layout::Diamond),
        ("hexagonal", Layout::Hexagonal),
        ("border", Layout::Border),
    ];

    /// How many kinds of place it has by its own name.
    pub fn places(self) -> Option<i64> {
        match self {
            Layout::Stripes(n) | Layout::Rows(n) | Layout::Checker(n) => Some(n),
            _ => None,
        }
    }

    /// The same with so many kinds of place, if its name has any.
    #[must_use]
    pub fn with_places(self, n: i64) -> Layout {
        match self {
            Layout::Stripes(_) => Layout::Stripes(n),
            Layout::Rows(_) => Layout::Rows(n),
            Layout::Checker(_) => Layout::Checker(n),
            other => other,
        }
    }
}

impl fmt::Display for Layout {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some((name, _)) = Layout::PLAIN.iter().find(|(_, layout)| layout == self) {
            return f.write_str(name);
        }
        match self {
            Layout::Drop(share) => write!(f, "drop={share}"),
            Layout::Brick(share) => write!(f, "brick={share}"),
            Layout::Satin { ends, step } => write!(f, "satin={ends}/{step}"),
            Layout::Stripes(n) => write!(f, "stripes={n}"),
            Layout::Rows(n) => write!(f, "rows={n}"),
            Layout::Checker(n) => write!(f, "checker={n}"),
            // Neither across nor down.
            _ => f.write_str("straight"),
        }
    }
}

impl FromStr for Layout {
    type Err = LayoutError;

    fn from_str(text: &str) -> Result<Layout, LayoutError> {
        let name = text.trim().to_ascii_lowercase();
        if let Some((_, layout)) = Layout::PLAIN.iter().find(|(plain, _)| *plain == name) {
            return Ok(*layout);
        }
        let (name, value) = name.split_once('=').map_or((&*name, None), |(n, v)| (n.trim(), Some(v.trim())));
        match (name, value) {
            ("drop", Some(value)) => fraction(text, "drop", value).map(Layout::Drop),
            ("brick", Some(value)) => fraction(text, "brick", value).map(Layout::Brick),
            ("satin", value) => satin(text, value.unwrap_or_default()),
            ("stripes", value) => count(text, "stripes", value).map(Layout::Stripes),
            ("rows", value) => count(text, "rows", value).map(Layout::Rows),
            ("checker", value) => count(text, "checker", value).map(Layout::Checker),
            _ => Err(LayoutError::Unknown(text.trim().into())),
        }
    }
}

fn fraction(text: &str, word: &'static str, value: &str) -> Result<Fraction, LayoutError> {
    let share =
        value.split_once('/').and_then(|(num, den)| Fraction::new(num.trim().parse().ok()?, den.trim().parse().ok()?));
    share.ok_or_else(|| LayoutError::Fraction(text.trim().into(), word))
}
