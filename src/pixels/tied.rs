//! Grids whose height follows from their width: square blocks, and hexagonal ones.

use super::{PixelError, PixelGrid, Resolution, Side, fit_side, gcd};

/// √3: how high a hexagonal block is for its width.
pub const HEXAGONAL: f64 = 1.732_050_807_568_877_2;

/// How far the width may give way for hexagons that are nearer to true, as a share of the width. Cloth
/// itself gives way by more in its first wash (common practice, no source).
const GIVE: f64 = 0.0025;

/// What ties the height of a block to its width.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tie {
    /// As wide as high.
    Square,
    /// √3 times as high as wide.
    Hexagonal,
}

impl PixelGrid {
    /// The grid for a tile of so many blocks, each tied; `multiples` as for [`PixelGrid::fit`].
    ///
    /// Hexagonal blocks get the pair of pixels that distorts least among widths near the asked one; a
    /// width in pixels, or one that must be `exact`, stays as it is.
    ///
    /// # Errors
    /// As [`PixelGrid::fit`] and [`PixelGrid::fit_exactly`].
    #[allow(clippy::cast_possible_truncation, reason = "a side has at most 3.6 billion units")]
    pub fn fit_tied(
        asked: [Side; 2],
        resolution: Resolution,
        multiples: [i64; 2],
        (blocks, tie, exact): ([i64; 2], Tie, bool),
    ) -> Result<PixelGrid, PixelError> {
        let fit = if exact { PixelGrid::fit_exactly } else { PixelGrid::fit };
        // One block's pixels must be divisible both ways where it is square.
        let each = [multiples[0] / blocks[0], multiples[1] / blocks[1]];
        let both = match tie {
            Tie::Square => each[0] / gcd(i128::from(each[0]), i128::from(each[1])) as i64 * each[1],
            Tie::Hexagonal => each[0],
        };
        let across = fit([asked[0]; 2], resolution, [both * blocks[0]; 2])?;
        let (width, height) = match tie {
            Tie::Square => (across.width, across.width / blocks[0] * blocks[1]),
            Tie::Hexagonal => {
                let give = match asked[0] {
                    Side::Length(_) if !exact && resolution != Resolution::EMU => {
                        (across.width as f64 * GIVE) as i64 / (both * blocks[0])
                    }
                    _ => 0,
                };
                let pairs = (-give..=give).map(|k| {
                    let width = across.width / blocks[0] + k * both;
                    let height = (width as f64 * HEXAGONAL / each[1] as f64).round() as i64 * each[1];
                    (width, height.max(each[1]))
                });
                let ppm = |&(w, h): &(i64, i64)| distortion([w, h]).abs();
                let near = |&(w, _): &(i64, i64)| (w - across.width / blocks[0]).abs();
                let best = pairs.min_by(|a, b| ppm(a).total_cmp(&ppm(b)).then(near(a).cmp(&near(b))));
                let (w, h) = best.unwrap_or((across.width, across.width));
                (w * blocks[0], h * blocks[1])
            }
        };
        // The height is held against its bound as the width is.
        fit_side(Side::Pixels(height), resolution, 1)?;
        Ok(PixelGrid { width, height, resolution, asked: asked.map(|side| side.length(resolution)) })
    }

    /// How much too high the hexagons of a tile of so many blocks are, in parts per million of their
    /// width; negative if too low.
    pub fn hexagonal_ppm(&self, blocks: [i64; 2]) -> f64 {
        distortion([self.width / blocks[0], self.height / blocks[1]])
    }
}

/// Of one block, in parts per million.
fn distortion([width, height]: [i64; 2]) -> f64 {
    (height as f64 / (width as f64 * HEXAGONAL) - 1.0) * 1e6
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::length::{Length, Unit};

    fn grid(asked: [Side; 2], dpi: i64, exact: bool) -> PixelGrid {
        let dpi = Resolution::dpi(dpi).expect("in range");
        PixelGrid::fit_tied(asked, dpi, [2, 2], ([1, 1], Tie::Hexagonal, exact)).expect("a grid")
    }

    /// The convergents of √3 are 2/1, 5/3, 7/4, 19/11, 26/15, 71/41, 97/56 … (Hardy & Wright, An
    /// Introduction to the Theory of Numbers, chapter X, from memory); 97/56 is 53 ppm too high.
    #[test]
    fn hexagons_get_the_pixels_that_distort_least() {
        let found = grid([Side::Pixels(112), Side::Pixels(194)], 300, false);
        assert_eq!((found.width(), found.height()), (112, 194));
        assert!((found.hexagonal_ppm([1, 1]) - 53.15).abs() < 0.1, "{}", found.hexagonal_ppm([1, 1]));
        // 8 in at 150 dpi may be 1198 to 1202 px: none of their even heights comes nearer.
        let eight = [Side::Length(Length::of(8, Unit::In)), Side::Length(Length::of(14, Unit::In))];
        let found = grid(eight, 150, false);
        let ppm = found.hexagonal_ppm([1, 1]);
        for width in [1198, 1200, 1202] {
            for height in (1900..2200).step_by(2) {
                assert!(distortion([width, height]).abs() >= ppm.abs(), "{width} × {height}");
            }
        }
        assert!((1198..=1202).contains(&found.width()) && ppm.abs() < 500.0, "{found:?}");
        assert_eq!(grid(eight, 150, true).width(), 1200);
    }

    #[test]
    fn square_blocks_are_square_in_pixels() {
        let side = Side::Length(Length::of(101, Unit::Mm));
        let tile = [side, side.times(3).expect("short")];
        let dpi = Resolution::dpi(150).expect("in range");
        let found = PixelGrid::fit_tied(tile, dpi, [2, 9], ([1, 3], Tie::Square, false)).expect("a grid");
        // 596.46 px; one block a multiple of 2 and of 3.
        assert_eq!([found.width(), found.height()], [594, 1782]);
    }
}
