//! A side of a tile or block, as it was asked for.

use std::fmt;
use std::str::FromStr;

use super::{PixelError, Resolution};
use crate::length::{Decimal, Length, LengthError, Unit, from_number, number_and_unit, sides};

/// A side as it was asked for: a length on the goods, or a count of print pixels.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// A true length.
    Length(Length),
    /// Print pixels; the length follows from the resolution.
    Pixels(i64),
}

impl Side {
    /// The true length at a resolution, to the nearest EMU.
    pub fn length(self, resolution: Resolution) -> Length {
        match self {
            Side::Length(length) => length,
            Side::Pixels(pixels) => resolution.length_of(pixels),
        }
    }

    /// This many sides in a row.
    pub fn times(self, count: i64) -> Option<Side> {
        Some(match self {
            Side::Length(length) => Side::Length(length.checked_times(count)?),
            Side::Pixels(pixels) => Side::Pixels(pixels.checked_mul(count)?),
        })
    }

    /// Reads both sides of `8in`, `20x25cm`, `2048px`; each must be above zero.
    ///
    /// # Errors
    /// What [`Length`] refuses, zero and less, and parts of a pixel.
    pub fn parse_both(text: &str) -> Result<[Side; 2], PixelError> {
        let [w, h] = sides(text)?;
        Ok([w.parse()?, h.parse()?])
    }
}

impl FromStr for Side {
    type Err = PixelError;

    fn from_str(text: &str) -> Result<Side, PixelError> {
        let (number, unit): (Decimal, &str) = number_and_unit(text)?;
        if unit.eq_ignore_ascii_case("px") {
            let (num, den) = number.ratio();
            let whole = if num % den == 0 { i64::try_from(num / den).ok() } else { None };
            let whole = whole.filter(|n| *n > 0);
            return whole.map(Side::Pixels).ok_or_else(|| PixelError::NotWhole(text.trim().into()));
        }
        let unit = Unit::from_name(unit);
        let length = match unit {
            Some(unit) => from_number(text, number, unit)?,
            None => text.parse()?,
        };
        if length > Length::ZERO {
            Ok(Side::Length(length))
        } else {
            Err(LengthError::NotPositive(text.trim().into()).into())
        }
    }
}

impl fmt::Display for Side {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Side::Length(length) => length.fmt(f),
            Side::Pixels(pixels) => write!(f, "{pixels}px"),
        }
    }
}
