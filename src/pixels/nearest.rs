//! Sizes and resolutions that leave nothing over.

use super::{Resolution, gcd};
use crate::length::{Length, div_round};

/// A size that is whole at a resolution.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ExactSize {
    /// The length, to the nearest EMU.
    pub length: Length,
    /// Its pixels.
    pub pixels: i64,
}

/// The nearest lengths at or below, and above, that are a whole multiple of `multiple` pixels.
pub fn exact_sizes(length: Length, resolution: Resolution, multiple: i64) -> [ExactSize; 2] {
    let (num, den) = resolution.pixels_in(length);
    let steps = i64::try_from(num / (den * i128::from(multiple.max(1)))).unwrap_or(i64::MAX / 2);
    let below = (steps * multiple).max(multiple);
    let above = if below <= steps * multiple { below + multiple } else { below };
    [below, above].map(|pixels| ExactSize { length: resolution.length_of(pixels), pixels })
}

/// The whole dpi from 72 to 1200 nearest to `wish` at which `length` is a whole multiple
/// of `multiple` pixels; the nearest first, at most `most` of them.
///
/// When no whole dpi does it, the answer is the one fraction nearest to `wish`.
pub fn exact_resolutions(length: Length, wish: Resolution, multiple: i64, most: usize) -> Vec<Resolution> {
    // length × dpi / 914 400 must be k × multiple, so dpi is a multiple of `step`.
    let unit = i128::from(multiple.max(1)) * 914_400;
    let step = unit / gcd(unit, i128::from(length.emu()));
    let (num, den) = wish.fraction();
    let near = div_round(i128::from(num), i128::from(den) * step) * step;
    let mut whole: Vec<i128> = (-20..=20).map(|k| near + k * step).filter(|dpi| (72..=1200).contains(dpi)).collect();
    whole.sort_by_key(|dpi| (dpi * i128::from(den) - i128::from(num)).abs());
    if whole.is_empty() {
        let (num, den) = wish.pixels_in(length);
        let pixels = div_round(num, den * i128::from(multiple)).max(1) * i128::from(multiple);
        return Resolution::ratio(pixels * 914_400, i128::from(length.emu())).into_iter().collect();
    }
    whole.into_iter().take(most).filter_map(|dpi| Resolution::ratio(dpi, 1).ok()).collect()
}
