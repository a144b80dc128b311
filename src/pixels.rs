//! From lengths to whole pixels, and what is left over.
//!
//! The grid is chosen before anything is drawn: along each side the multiple of the
//! lattice's denominator that is nearest to size × resolution. The resolution stays as
//! asked, so the tile's true size is what gives way, and how much is said.
//!
//! ```text
//!   asked    640 mm at 150 dpi  = 3779.53 px
//!   adopted  3780 px at 150 dpi = 640.08 mm     80 µm a tile, 1.25 mm in 10 m
//! ```

use crate::length::{Length, LengthError, Size, Unit, div_round, trim_zeros};

mod nearest;
mod resolution;
mod side;
#[cfg(test)]
mod tests;
mod tied;

pub use nearest::{ExactSize, exact_resolutions, exact_sizes};
pub use resolution::Resolution;
pub use side::Side;
pub use tied::{HEXAGONAL, Tie};

/// The most pixels along one side of a tile.
pub const MOST_PIXELS: i64 = 200_000;
/// The most EMU along one side of a tile that is no pixels: 100 m.
const MOST_EMU: i64 = 3_600_000_000;

/// Why a grid can't be made.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum PixelError {
    /// Not a resolution.
    #[error("{0:?} is not a resolution; write for example 150, 300dpi or 10px/mm")]
    NotAResolution(String),
    /// Outside what printers and memory can use.
    #[error("{0} dpi is out of range; write a resolution from 1 to 10000 dpi")]
    ResolutionRange(String),
    /// Not a length nor a count of pixels.
    #[error(transparent)]
    Length(#[from] LengthError),
    /// A part of a pixel.
    #[error("{0:?} is not a whole number of pixels above zero; write for example 2048px")]
    NotWhole(String),
    /// More than [`MOST_PIXELS`] along a side.
    #[error(
        "{side} is {pixels} px at {dpi} dpi; a side has at most {MOST_PIXELS} px: write a smaller size or a lower resolution"
    )]
    TooLarge {
        /// The side as asked.
        side: String,
        /// Its pixels.
        pixels: i128,
        /// The resolution.
        dpi: String,
    },
    /// A pixel count that the lattice can't divide.
    #[error("{pixels} px can't be divided by {multiple} as the layout needs; write {}", either(*below, *above))]
    Indivisible {
        /// The count as asked.
        pixels: i64,
        /// What must divide it.
        multiple: i64,
        /// The nearest below that works.
        below: i64,
        /// The nearest above that works.
        above: i64,
    },
    /// `--exact`, and it can't be.
    #[error(
        "{asked} at {dpi} dpi is not a whole number of pixels for this layout: {side_px} px; the nearest that is: {adopted}"
    )]
    NotExact {
        /// The side as asked.
        asked: String,
        /// The resolution.
        dpi: String,
        /// What the asked side comes to.
        side_px: String,
        /// The side that would be exact.
        adopted: String,
    },
}

/// Counts that work; below the least there is one.
fn either(below: i64, above: i64) -> String {
    if below == above { format!("{below}px") } else { format!("{below}px or {above}px") }
}

/// A tile's whole pixels, how they came about and what was left over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PixelGrid {
    width: i64,
    height: i64,
    resolution: Resolution,
    asked: [Length; 2],
}

impl PixelGrid {
    /// The grid for a tile whose width must be a multiple of `multiples[0]` pixels and
    /// whose height of `multiples[1]`.
    ///
    /// # Errors
    /// Too many pixels; a count of pixels that `multiples` don't divide.
    pub fn fit(asked: [Side; 2], resolution: Resolution, multiples: [i64; 2]) -> Result<PixelGrid, PixelError> {
        let width = fit_side(asked[0], resolution, multiples[0])?;
        let height = fit_side(asked[1], resolution, multiples[1])?;
        Ok(PixelGrid { width, height, resolution, asked: asked.map(|side| side.length(resolution)) })
    }

    /// The same, but refuses what is not met exactly.
    ///
    /// # Errors
    /// Also when size × resolution is no whole multiple.
    pub fn fit_exactly(asked: [Side; 2], resolution: Resolution, multiples: [i64; 2]) -> Result<PixelGrid, PixelError> {
        let grid = PixelGrid::fit(asked, resolution, multiples)?;
        for (side, pixels) in asked.iter().zip([grid.width, grid.height]) {
            if let Side::Length(length) = side {
                let (num, den) = resolution.pixels_in(*length);
                if num != den * i128::from(pixels) {
                    return Err(PixelError::NotExact {
                        asked: side.to_string(),
                        dpi: resolution.to_string(),
                        side_px: trim_zeros(&format!("{:.3}", num as f64 / den as f64)).into(),
                        adopted: format!("{} = {pixels} px", resolution.length_of(pixels)),
                    });
                }
            }
        }
        Ok(grid)
    }

    /// Pixels across.
    pub fn width(&self) -> i64 {
        self.width
    }

    /// Pixels down.
    pub fn height(&self) -> i64 {
        self.height
    }

    /// Pixels per inch, both ways.
    pub fn resolution(&self) -> Resolution {
        self.resolution
    }

    /// The true size that was asked for.
    pub fn asked(&self) -> Size {
        Size { width: self.asked[0], height: self.asked[1] }
    }

    /// The true size that these pixels have, to the nearest EMU.
    pub fn size(&self) -> Size {
        Size { width: self.resolution.length_of(self.width), height: self.resolution.length_of(self.height) }
    }

    /// Pixels per EMU as asked, across and down: what carries the design onto the grid.
    pub fn scale(&self) -> [f64; 2] {
        [self.width as f64 / self.asked[0].emu() as f64, self.height as f64 / self.asked[1].emu() as f64]
    }

    /// What the grid adds to (or takes from) the asked size.
    pub fn remainder(&self) -> [Remainder; 2] {
        let size = self.size();
        [
            Remainder { added: size.width - self.asked[0], asked: self.asked[0] },
            Remainder { added: size.height - self.asked[1], asked: self.asked[1] },
        ]
    }
}

/// How far the adopted size is from the asked one along one side.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Remainder {
    added: Length,
    asked: Length,
}

impl Remainder {
    /// Micrometres that each tile is longer; negative if shorter.
    pub fn um_per_tile(self) -> f64 {
        self.added.to(Unit::Mm) * 1000.0
    }

    /// Millimetres that the repeats gain over ten metres of cloth.
    pub fn mm_per_10_m(self) -> f64 {
        self.added.emu() as f64 / self.asked.emu() as f64 * 10_000.0
    }

    /// Nothing is left over.
    pub fn is_zero(self) -> bool {
        self.added == Length::ZERO
    }
}

fn fit_side(side: Side, resolution: Resolution, multiple: i64) -> Result<i64, PixelError> {
    let m = i128::from(multiple.max(1));
    let pixels = match side {
        Side::Length(length) => {
            let (num, den) = resolution.pixels_in(length);
            div_round(num, den * m).max(1) * m
        }
        Side::Pixels(pixels) if pixels % multiple.max(1) != 0 => {
            let below = pixels / multiple * multiple;
            return Err(PixelError::Indivisible {
                pixels,
                multiple,
                below: below.max(multiple),
                above: below + multiple,
            });
        }
        Side::Pixels(pixels) => i128::from(pixels),
    };
    let most = if resolution == Resolution::EMU { MOST_EMU } else { MOST_PIXELS };
    match i64::try_from(pixels) {
        Ok(pixels) if pixels <= most => Ok(pixels),
        _ => Err(PixelError::TooLarge { side: side.to_string(), pixels, dpi: resolution.to_string() }),
    }
}

pub(crate) fn gcd(a: i128, b: i128) -> i128 {
    if b == 0 { a.abs().max(1) } else { gcd(b, a % b) }
}
