//! How large a picture is: from pixels per inch, centimetre or metre to an exact size.

use crate::length::{LONGEST, Length, Size, Unit, div_round};

/// Pixels per unit, across and down, as fractions.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Density {
    across: (u32, u32),
    down: (u32, u32),
    unit: Unit,
}

/// A whole number of pixels per metre is within this much of the dpi that was meant: half of
/// 1 px/m is 0.0127 dpi. In 1/10 000 dpi.
const METRIC_ROUNDING: u64 = 127;

impl Density {
    /// `None` if it is no density at all.
    pub(super) fn new(across: (u32, u32), down: (u32, u32), unit: Unit) -> Option<Density> {
        let sound = [across, down].into_iter().all(|(n, d)| n > 0 && d > 0);
        sound.then_some(Density { across, down, unit })
    }

    /// Whole pixels per unit.
    pub(super) fn whole(across: u32, down: u32, unit: Unit) -> Option<Density> {
        Density::new((across, 1), (down, 1), unit)
    }

    /// Whether it is what EXIF asks writers to say of a picture whose density is not known.
    pub(super) fn is_exifs_unknown(self) -> bool {
        let is_72 = |(n, d): (u32, u32)| u64::from(n) == 72 * u64::from(d);
        self.unit == Unit::In && is_72(self.across) && is_72(self.down)
    }

    /// The true size of so many pixels, each side rounded once to the EMU; `None` where that is
    /// nothing or longer than a length may be.
    pub(super) fn size(self, width: u32, height: u32) -> Option<Size> {
        Some(Size { width: self.length(width, self.across)?, height: self.length(height, self.down)? })
    }

    /// Pixels an inch, across and down: the dpi that was meant.
    pub(super) fn dpi(self) -> [f64; 2] {
        [self.across, self.down].map(|(n, d)| match self.meant_dpi(n, d) {
            Some(dpi) => dpi as f64,
            None => f64::from(n) / f64::from(d) * Unit::In.emu() as f64 / self.unit.emu() as f64,
        })
    }

    fn length(self, pixels: u32, (n, d): (u32, u32)) -> Option<Length> {
        let per_inch = self.meant_dpi(n, d);
        let (n, d, emu) = match per_inch {
            Some(dpi) => (i128::from(dpi), 1, Unit::In.emu()),
            None => (i128::from(n), i128::from(d), self.unit.emu()),
        };
        let emu = i64::try_from(div_round(i128::from(pixels) * d * i128::from(emu), n)).ok()?;
        (1..=LONGEST.emu()).contains(&emu).then_some(Length::from_emu(emu))
    }

    /// 300 dpi can't be written as a whole number of pixels per metre: 11 811 is 299.9994. Where
    /// a metric density is a whole dpi but for that rounding, the dpi is what was meant.
    fn meant_dpi(self, n: u32, d: u32) -> Option<u64> {
        if self.unit == Unit::In {
            return None;
        }
        let (n, d) = (u64::from(n), u64::from(d));
        // dpi × 10 000 = n / d × emu-of-an-inch / emu-of-the-unit × 10 000, rounded.
        let (top, under) =
            (u128::from(n) * 914_400 * 10_000, u128::from(d) * u128::from(self.unit.emu().unsigned_abs()));
        let scaled = u64::try_from((top + under / 2) / under).ok()?;
        let dpi = (scaled + 5_000) / 10_000;
        (dpi > 0 && scaled.abs_diff(dpi * 10_000) <= METRIC_ROUNDING).then_some(dpi)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(density: Option<Density>, width: u32, height: u32) -> String {
        let size = density.and_then(|d| d.size(width, height)).expect("a size");
        format!("{} x {}", size.width.show(Unit::In, 6), size.height.show(Unit::Mm, 6))
    }

    #[test]
    fn metric_densities_are_the_dpi_that_was_meant() {
        assert_eq!(shown(Density::whole(11_811, 11_811, Unit::M), 3000, 1500), "10in x 127mm");
        assert_eq!(shown(Density::whole(5_906, 10_000, Unit::M), 1500, 100), "10in x 10mm");
        assert_eq!(shown(Density::new((11_811, 100), (100, 1), Unit::Cm), 300, 100), "1in x 10mm");
        // 4 px/mm is 101.6 dpi, and stays so.
        assert_eq!(shown(Density::whole(4_000, 4_000, Unit::M), 4064, 4), "40in x 1mm");
    }

    #[test]
    fn each_side_has_its_own() {
        assert_eq!(shown(Density::whole(300, 600, Unit::In), 300, 600), "1in x 25.4mm");
        assert_eq!(shown(Density::new((2995, 10), (2995, 10), Unit::In), 599, 2995), "2in x 254mm");
    }

    #[test]
    fn what_is_no_density_is_none() {
        assert_eq!(Density::whole(0, 300, Unit::In), None);
        assert_eq!(Density::new((300, 0), (300, 1), Unit::In), None);
        let tiny = Density::new((1, u32::MAX), (1, u32::MAX), Unit::M).expect("a density");
        assert_eq!(tiny.size(1, 1), None, "longer than 10 km");
        assert_eq!(Density::whole(u32::MAX, u32::MAX, Unit::In).and_then(|d| d.size(1, 1)), None, "nothing");
        assert!(Density::whole(72, 72, Unit::In).is_some_and(Density::is_exifs_unknown));
    }
}
