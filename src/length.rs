//! Lengths as they are on the goods: whole numbers, never floats.
//!
//! One unit is the EMU of ISO/IEC 29500: 1/914 400 inch, so that the units people
//! write are whole numbers of it.
//!
//! ```text
//!   1 in = 914 400    1 mm = 36 000    1 pt = 12 700    1 CSS px = 9 525
//! ```
//!
//! Text is read digit by digit. A value that is no whole number of EMU (`1/7in`) is
//! rounded once, to the nearest; the error is at most 14 nanometres.

use std::fmt;
use std::str::FromStr;

mod decimal;

pub(crate) use decimal::{Decimal, div_round};

/// The longest length that is accepted, either way: ten kilometres.
pub const LONGEST: Length = Length(10_000 * 1000 * 36_000);

/// A true size or distance on the goods, in EMU (1/914 400 inch).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Length(i64);

/// The units that people write.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// Inch, 25.4 mm exactly.
    In,
    /// Millimetre.
    Mm,
    /// Centimetre.
    Cm,
    /// Metre.
    M,
    /// Point, 1/72 inch.
    Pt,
    /// CSS pixel, 1/96 inch: the unit of SVG files, not of printers.
    Px,
    /// Yard, 36 inches.
    Yd,
    /// Foot, 12 inches.
    Ft,
}

impl Unit {
    /// How many EMU make one of this unit.
    pub const fn emu(self) -> i64 {
        match self {
            Unit::In => 914_400,
            Unit::Mm => 36_000,
            Unit::Cm => 360_000,
            Unit::M => 36_000_000,
            Unit::Pt => 12_700,
            Unit::Px => 9_525,
            Unit::Yd => 36 * 914_400,
            Unit::Ft => 12 * 914_400,
        }
    }

    /// The unit as it is written behind a number.
    pub const fn name(self) -> &'static str {
        match self {
            Unit::In => "in",
            Unit::Mm => "mm",
            Unit::Cm => "cm",
            Unit::M => "m",
            Unit::Pt => "pt",
            Unit::Px => "px",
            Unit::Yd => "yd",
            Unit::Ft => "ft",
        }
    }

    /// Reads a unit's name; `"` and `'` stand for inch and foot.
    pub fn from_name(name: &str) -> Option<Unit> {
        Some(match name.to_ascii_lowercase().as_str() {
            "in" | "inch" | "inches" | "\"" | "″" => Unit::In,
            "mm" => Unit::Mm,
            "cm" => Unit::Cm,
            "m" => Unit::M,
            "pt" => Unit::Pt,
            "px" => Unit::Px,
            "yd" => Unit::Yd,
            "ft" | "'" | "′" => Unit::Ft,
            _ => return None,
        })
    }
}

/// Why a text is not a length or a size.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LengthError {
    /// Nothing was written.
    #[error("a length is missing; write for example 8in, 20cm or 200mm")]
    Empty,
    /// A number without its unit.
    #[error("{0:?} has no unit; write {0}mm, {0}cm or {0}in")]
    NoUnit(String),
    /// A unit nobody knows.
    #[error("{unit:?} in {text:?} is not a unit; write in, mm, cm, m, pt, px, yd or ft")]
    UnknownUnit {
        /// The whole text.
        text: String,
        /// The part that should be a unit.
        unit: String,
    },
    /// A decimal comma.
    #[error("{text:?} has a decimal comma; write {better}")]
    Comma {
        /// The whole text.
        text: String,
        /// The same with a point.
        better: String,
    },
    /// Two sides that are not joined by an x.
    #[error("{text:?} is two lengths; write {better}")]
    TwoLengths {
        /// The whole text.
        text: String,
        /// The same with an x.
        better: String,
    },
    /// Not a number at all, `nan` and `inf` among them.
    #[error("{0:?} is not a length; write a number and a unit, for example 8in, 7 1/2in or 20.5cm")]
    NotANumber(String),
    /// A fraction over zero.
    #[error("{0:?} divides by zero; write for example 7 1/2in")]
    OverZero(String),
    /// Longer than [`LONGEST`].
    #[error("{0:?} is too long; a length is at most 10 km")]
    TooLong(String),
    /// Where a positive length is needed.
    #[error("{0:?} is not more than zero; write a length above zero, for example 8in")]
    NotPositive(String),
    /// More than two sides.
    #[error("{0:?} has more than two sides; write WIDTHxHEIGHT, for example 20x25cm")]
    TooManySides(String),
}

impl Length {
    /// Nothing.
    pub const ZERO: Length = Length(0);

    /// From a count of EMU.
    pub const fn from_emu(emu: i64) -> Length {
        Length(emu)
    }

    /// A whole number of a unit.
    pub const fn of(count: i64, unit: Unit) -> Length {
        Length(count * unit.emu())
    }

    /// The count of EMU.
    pub const fn emu(self) -> i64 {
        self.0
    }

    /// As a float in a unit, for showing and for ink; never for periods.
    pub fn to(self, unit: Unit) -> f64 {
        self.0 as f64 / unit.emu() as f64
    }

    /// One of `parts` equal parts, or `None` if that is no whole number of EMU.
    pub const fn checked_split(self, parts: i64) -> Option<Length> {
        if parts == 0 || self.0 % parts != 0 { None } else { Some(Length(self.0 / parts)) }
    }

    /// This many times the length; `None` past [`LONGEST`].
    pub fn checked_times(self, count: i64) -> Option<Length> {
        let emu = self.0.checked_mul(count)?;
        (emu.abs() <= LONGEST.0).then_some(Length(emu))
    }

    /// In a unit with at most `digits` decimals, without trailing zeros: `640.08mm`.
    pub fn show(self, unit: Unit, digits: usize) -> String {
        let text = format!("{:.*}", digits, self.to(unit));
        format!("{}{}", trim_zeros(&text), unit.name())
    }

    /// Reads a length that must be above zero.
    pub fn parse_positive(text: &str) -> Result<Length, LengthError> {
        let length: Length = text.parse()?;
        if length.0 > 0 { Ok(length) } else { Err(LengthError::NotPositive(text.trim().into())) }
    }
}

/// `8.500` → `8.5`, `8.000` → `8`.
pub fn trim_zeros(text: &str) -> &str {
    let text = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { text };
    if text == "-0" { "0" } else { text }
}

/// Splits `7 1/2in` into number and unit, and reads the number; the unit may be empty.
pub(crate) fn number_and_unit(text: &str) -> Result<(Decimal, &str), LengthError> {
    let text = text.trim();
    if text.is_empty() {
        return Err(LengthError::Empty);
    }
    let end = text
        .char_indices()
        .rfind(|(_, c)| c.is_ascii_digit() || matches!(c, '½' | '¼' | '¾'))
        .map(|(i, c)| i + c.len_utf8())
        .ok_or_else(|| LengthError::NotANumber(text.into()))?;
    let end = if text[end..].starts_with('.') { end + 1 } else { end };
    let (number, unit) = (text[..end].trim(), text[end..].trim());
    if number.contains(',') {
        let (point, none) = (text.replace(',', "."), text.replace(',', ""));
        // Three digits behind it may be thousands.
        let thousands = number.rsplit(',').next().is_some_and(|digits| digits.len() == 3);
        let better = if thousands { format!("{point} or {none}, whichever is meant") } else { point };
        return Err(LengthError::Comma { text: text.into(), better });
    }
    match Decimal::parse(number) {
        Some(d) if d.is_over_zero() => Err(LengthError::OverZero(text.into())),
        Some(d) => Ok((d, unit)),
        None => Err(LengthError::NotANumber(text.into())),
    }
}

pub(crate) fn from_number(text: &str, number: Decimal, unit: Unit) -> Result<Length, LengthError> {
    let emu = number.times_rounded(unit.emu()).filter(|emu| emu.abs() <= LONGEST.0);
    emu.map(Length).ok_or_else(|| LengthError::TooLong(text.trim().into()))
}

impl FromStr for Length {
    type Err = LengthError;

    /// Reads `8in`, `7 1/2in`, `0.1mm`, `-3pt`, `8"`. `px` is the CSS pixel here.
    fn from_str(text: &str) -> Result<Length, LengthError> {
        let (number, unit) = number_and_unit(text)?;
        if unit.is_empty() {
            return Err(LengthError::NoUnit(text.trim().into()));
        }
        let unit = Unit::from_name(unit)
            .ok_or_else(|| LengthError::UnknownUnit { text: text.trim().into(), unit: unit.into() })?;
        from_number(text, number, unit)
    }
}

impl std::ops::Add for Length {
    type Output = Length;
    fn add(self, other: Length) -> Length {
        Length(self.0 + other.0)
    }
}

impl std::ops::Sub for Length {
    type Output = Length;
    fn sub(self, other: Length) -> Length {
        Length(self.0 - other.0)
    }
}

impl fmt::Display for Length {
    /// In inches when that is a short decimal, else in millimetres.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let inches = self.0 * 1000 % 914_400 == 0;
        f.write_str(&if inches { self.show(Unit::In, 3) } else { self.show(Unit::Mm, 4) })
    }
}

/// Width and height on the goods.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Size {
    /// Across.
    pub width: Length,
    /// Down.
    pub height: Length,
}

impl fmt::Display for Size {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} × {}", self.width, self.height)
    }
}

/// Splits `20x25cm`, `8in x 10in` or `8in` (both sides) into two sides, each with its unit.
/// The `x` of `px` separates nothing.
pub(crate) fn sides(text: &str) -> Result<[String; 2], LengthError> {
    let mut parts = vec![String::new()];
    for c in text.trim().chars() {
        let after_p = parts.last().is_some_and(|p| p.ends_with(['p', 'P']));
        if matches!(c, '×') || (matches!(c, 'x' | 'X') && !after_p) {
            parts.push(String::new());
        } else if let Some(part) = parts.last_mut() {
            part.push(c);
        }
    }
    let parts: Vec<&str> = parts.iter().map(|p| p.trim()).collect();
    match parts[..] {
        [both] => two_lengths(both).map_or(Ok([both.into(), both.into()]), Err),
        [w, h] => {
            let (_, unit) = number_and_unit(h)?;
            let bare = number_and_unit(w)?.1.is_empty();
            Ok([if bare { format!("{w}{unit}") } else { w.into() }, h.into()])
        }
        _ => Err(LengthError::TooManySides(text.trim().into())),
    }
}

/// `4in, 8in`, `4in by 8in`: two sides all the same. A comma without a space or unit before it is a decimal one.
fn two_lengths(text: &str) -> Option<LengthError> {
    let parted = |by: &str| text.split_once(by).map(|(w, h)| [w.trim(), h.trim()]);
    let [w, h] = [", ", ";", " by ", "*", ","].into_iter().find_map(parted)?;
    let bare = |side| number_and_unit(side).ok().map(|(_, unit)| unit.is_empty());
    let decimal = text.contains(',') && !text.contains(", ") && bare(w)?;
    (!decimal && !bare(h)?).then(|| LengthError::TwoLengths { text: text.into(), better: format!("{w} x {h}") })
}

#[cfg(test)]
mod tests;
