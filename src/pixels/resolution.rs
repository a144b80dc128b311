//! Pixels to the inch, as a fraction.

use std::fmt;
use std::str::FromStr;

use super::{PixelError, gcd};
use crate::length::{Length, div_round, number_and_unit, trim_zeros};

/// Pixels per inch, exact.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Resolution {
    num: i64,
    den: i64,
}

impl Resolution {
    /// One pixel is one EMU: for lines that no pixels tie.
    pub const EMU: Resolution = Resolution { num: 914_400, den: 1 };

    /// A whole number of dots per inch.
    ///
    /// # Errors
    /// Outside 1 to 10 000 dpi.
    pub fn dpi(dpi: i64) -> Result<Resolution, PixelError> {
        Resolution::ratio(i128::from(dpi), 1)
    }

    /// The resolution at which so many pixels are so long.
    ///
    /// # Errors
    /// Outside 1 to 10 000 dpi.
    pub fn of(pixels: i64, length: Length) -> Result<Resolution, PixelError> {
        Resolution::ratio(i128::from(pixels) * 914_400, i128::from(length.emu()))
    }

    pub(super) fn ratio(num: i128, den: i128) -> Result<Resolution, PixelError> {
        if den <= 0 || num < den || num > den * 10_000 {
            let value = if den == 0 { f64::NAN } else { num as f64 / den as f64 };
            return Err(PixelError::ResolutionRange(trim_zeros(&format!("{value:.3}")).into()));
        }
        let g = gcd(num, den);
        match (i64::try_from(num / g), i64::try_from(den / g)) {
            (Ok(num), Ok(den)) => Ok(Resolution { num, den }),
            _ => Err(PixelError::ResolutionRange(format!("{num}/{den}"))),
        }
    }

    /// Pixels per inch as a fraction in lowest terms.
    pub fn fraction(self) -> (i64, i64) {
        (self.num, self.den)
    }

    /// Pixels per inch as a float, for showing.
    pub fn value(self) -> f64 {
        self.num as f64 / self.den as f64
    }

    /// Pixels per metre to the nearest whole number, as PNG's pHYs stores it
    /// (PNG specification, 11.3.5.3): 300 dpi is 11 811.
    pub fn px_per_metre(self) -> u32 {
        let exact = div_round(i128::from(self.num) * 10_000, i128::from(self.den) * 254);
        u32::try_from(exact).unwrap_or(u32::MAX)
    }

    /// The length of this many pixels, to the nearest EMU.
    pub fn length_of(self, pixels: i64) -> Length {
        let emu = div_round(i128::from(pixels) * 914_400 * i128::from(self.den), i128::from(self.num));
        Length::from_emu(i64::try_from(emu).unwrap_or(i64::MAX))
    }

    /// Pixels that a length takes, not rounded: a fraction.
    pub(super) fn pixels_in(self, length: Length) -> (i128, i128) {
        (i128::from(length.emu()) * i128::from(self.num), 914_400 * i128::from(self.den))
    }

    /// Pixels that a length takes, as a float, for showing.
    pub fn pixels_of(self, length: Length) -> f64 {
        let (num, den) = self.pixels_in(length);
        num as f64 / den as f64
    }
}

impl fmt::Display for Resolution {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(trim_zeros(&format!("{:.4}", self.value())))
    }
}

impl FromStr for Resolution {
    type Err = PixelError;

    /// Reads `300`, `299.5`, `300dpi`, `300ppi`, `10px/mm`, `118.11 px/cm`.
    fn from_str(text: &str) -> Result<Resolution, PixelError> {
        let wrong = || PixelError::NotAResolution(text.trim().into());
        let (number, unit) = number_and_unit(text).map_err(|_| wrong())?;
        let (num, den) = number.ratio();
        match unit.to_ascii_lowercase().replace(' ', "").as_str() {
            "" | "dpi" | "ppi" | "px/in" => Resolution::ratio(num, den),
            "px/mm" => Resolution::ratio(num * 254, den * 10),
            "px/cm" => Resolution::ratio(num * 254, den * 100),
            "px/m" => Resolution::ratio(num * 254, den * 10_000),
            _ => Err(wrong()),
        }
    }
}
