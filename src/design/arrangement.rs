//! Layout, symmetry and alternation as asked: one scheme, and its name.

use std::fmt;

use super::error::DesignError;
use super::measure;
use super::written::Design;
use crate::length::Length;
use crate::pixels::{HEXAGONAL, PixelError, PixelGrid, Resolution, Side, Tie};
use crate::repeat::{Alternate, Fraction, Layout, Scheme, SchemeError, Shape, Symmetry};

/// How blocks follow one another, and what carries the cloth onto itself besides.
#[derive(Clone, Debug)]
pub struct Arrangement {
    layout: Option<Layout>,
    symmetry: Option<Symmetry>,
    alternate: Option<Alternate>,
    scheme: Scheme,
}

impl Arrangement {
    /// Reads what `[repeat]` says. A page by hand is repeated as it was drawn; motifs are dropped by
    /// half, unless a symmetry brings its own steps.
    pub(super) fn read(design: &Design) -> Result<Arrangement, DesignError> {
        let entry = &design.repeat;
        let symmetry = entry.symmetry.as_ref().map(measure::symmetry).transpose()?;
        let alternate = entry.alternate.as_ref().map(measure::alternate).transpose()?;
        let layout = match &entry.layout {
            Some(text) => {
                let layout = measure::layout(text)?;
                // As many kinds of place as the motifs name, if the layout does not say it.
                let most = design.motifs.iter().filter_map(|m| m.place.as_ref()).map(|place| *place.get_ref()).max();
                let free = !text.get_ref().contains('=');
                Some(layout.with_places(most.filter(|n| free && (2..=64).contains(n)).or(layout.places()).unwrap_or(1)))
            }
            None if symmetry.is_some() => None,
            None if design.croquis.is_some() => Some(Layout::Straight),
            None => Some(Layout::Drop(Fraction::HALF)),
        };
        let scheme =
            Scheme::new(layout, symmetry, alternate).map_err(|e| match (&e, &entry.symmetry, &entry.alternate) {
                (SchemeError::NoPlaces(_) | SchemeError::NoRows(_), _, Some(text)) => {
                    DesignError::about("alternate", text, e)
                }
                (_, Some(text), _) => DesignError::about("symmetry", text, e),
                (_, _, _) => DesignError::new(e),
            })?;
        Ok(Arrangement { layout, symmetry, alternate, scheme })
    }

    /// Lattice, symmetry and places in shares of the block.
    pub fn scheme(&self) -> &Scheme {
        &self.scheme
    }

    /// The plane group that was asked for.
    pub fn symmetry(&self) -> Option<Symmetry> {
        self.symmetry
    }

    /// Whether it repeats across only.
    pub fn is_border(&self) -> bool {
        self.scheme.one_way()
    }

    /// A layout, a symmetry, or both where they go together.
    ///
    /// # Errors
    /// Where they exclude each other.
    pub fn new(layout: Option<Layout>, symmetry: Option<Symmetry>) -> Result<Arrangement, SchemeError> {
        let scheme = Scheme::new(layout, symmetry, None)?;
        Ok(Arrangement { layout, symmetry, alternate: None, scheme })
    }

    /// The grid of the smallest tile of this size, or of this width where the height follows from it; and
    /// the sides that it is the grid of.
    ///
    /// # Errors
    /// As [`PixelGrid::fit`].
    pub fn smallest(&self, sides: [Side; 2], resolution: Resolution) -> Result<(PixelGrid, [Side; 2]), PixelError> {
        let sides = self.shaped(sides, resolution, false).unwrap_or(sides);
        Ok((self.fit((sides, self.scheme.tile_blocks()), resolution, false)?, sides))
    }

    /// Sides as the block's shape asks: one number for a hexagonal block is its width, and the height
    /// follows. Where they are `tied` they must have the shape; why not, and what to write, if they don't.
    #[allow(clippy::cast_possible_truncation)] // 10 km in EMU is far inside what the cast keeps
    pub(super) fn shaped(&self, [w, h]: [Side; 2], dpi: Resolution, tied: bool) -> Result<[Side; 2], (String, String)> {
        let [width, height] = [w, h].map(|side| side.length(dpi));
        match self.scheme.shape() {
            Shape::Square if tied && width != height => Err((
                format!("{self} needs a block as wide as it is high, and {w} × {h} is not"),
                format!("write {w}x{w}"),
            )),
            Shape::Any | Shape::Square => Ok([w, h]),
            Shape::Hexagonal => {
                let right = match w {
                    Side::Length(w) => Side::Length(Length::from_emu((w.emu() as f64 * HEXAGONAL).round() as i64)),
                    Side::Pixels(n) => Side::Pixels((n as f64 * HEXAGONAL / 2.0).round() as i64 * 2),
                };
                let off = height.emu() as f64 / right.length(dpi).emu() as f64 - 1.0;
                if tied && w != h && off.abs() > 0.01 {
                    let what = format!("{self} needs a block √3 times as high as it is wide, and {w} × {h} is not");
                    return Err((what, format!("write {w}; the height follows")));
                }
                Ok(if w == h || tied { [w, right] } else { [w, h] })
            }
        }
    }

    /// How much too high its hexagons are on this grid, in parts per million, if it has any.
    pub fn distortion_ppm(&self, grid: &PixelGrid, block: [i64; 2]) -> Option<f64> {
        let hexagonal = self.scheme.shape() == Shape::Hexagonal;
        hexagonal.then(|| grid.hexagonal_ppm([grid.width() / block[0], grid.height() / block[1]]))
    }

    /// The grid of a tile of so many blocks, each of the arrangement's shape.
    pub(super) fn fit(
        &self,
        (asked, blocks): ([Side; 2], [i64; 2]),
        resolution: Resolution,
        exact: bool,
    ) -> Result<PixelGrid, PixelError> {
        let multiples = self.scheme.multiples(blocks);
        let tie = match self.scheme.shape() {
            Shape::Any if exact => return PixelGrid::fit_exactly(asked, resolution, multiples),
            Shape::Any => return PixelGrid::fit(asked, resolution, multiples),
            Shape::Square => Tie::Square,
            Shape::Hexagonal => Tie::Hexagonal,
        };
        PixelGrid::fit_tied(asked, resolution, multiples, (blocks, tie, exact))
    }
}

impl fmt::Display for Arrangement {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let named = self.symmetry.map(|symmetry| {
            let frieze = symmetry.frieze().filter(|_| self.is_border());
            let name = frieze.map_or_else(|| symmetry.to_string(), str::to_owned);
            match symmetry.trade().filter(|_| frieze.is_none()) {
                Some(trade) => format!("{name} ({trade})"),
                None => name,
            }
        });
        match (self.layout, named) {
            (Some(layout), Some(named)) => write!(f, "{layout}, {named}")?,
            (Some(layout), None) => write!(f, "{layout}")?,
            (None, named) => f.write_str(&named.unwrap_or_else(|| "straight".into()))?,
        }
        match self.alternate {
            Some(alternate) => write!(f, ", {alternate}"),
            None => Ok(()),
        }
    }
}
