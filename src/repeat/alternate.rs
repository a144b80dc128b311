//! How motifs alternate from block to block, by name.

use std::fmt;
use std::str::FromStr;

use super::layout::LayoutError;

/// Which blocks are alike where motifs alternate, and how many kinds of place there are (2 to 64).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Alternate {
    /// Column by column.
    Columns(i64),
    /// Row by row.
    Rows(i64),
    /// Along both, as on a checkerboard.
    Checker(i64),
}

impl fmt::Display for Alternate {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Alternate::Columns(n) => write!(f, "columns={n}"),
            Alternate::Rows(n) => write!(f, "rows={n}"),
            Alternate::Checker(n) => write!(f, "checker={n}"),
        }
    }
}

/// Why a text does not say how motifs alternate.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum AlternateError {
    /// An unknown name.
    #[error(
        "{0:?} does not say how motifs alternate; write columns, rows or checker, or for three kinds of place columns=3"
    )]
    Unknown(String),
    /// A number that is none.
    #[error(transparent)]
    Count(#[from] LayoutError),
}

impl FromStr for Alternate {
    type Err = AlternateError;

    fn from_str(text: &str) -> Result<Alternate, AlternateError> {
        let name = text.trim().to_ascii_lowercase();
        let (name, value) = name.split_once('=').map_or((&*name, None), |(n, v)| (n.trim(), Some(v.trim())));
        Ok(match name {
            "columns" => Alternate::Columns(count(text, "columns", value)?),
            "rows" => Alternate::Rows(count(text, "rows", value)?),
            "checker" => Alternate::Checker(count(text, "checker", value)?),
            _ => return Err(AlternateError::Unknown(text.trim().into())),
        })
    }
}

/// Two kinds of place where no number is said.
pub(super) fn count(text: &str, word: &'static str, value: Option<&str>) -> Result<i64, LayoutError> {
    let number = value.map_or(Some(2), |value| value.parse().ok());
    number.filter(|n| (2..=64).contains(n)).ok_or_else(|| LayoutError::Count(text.trim().into(), word))
}
