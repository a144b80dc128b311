//! Where a motif lies and how large: from what is written to a placement on the grid.

use kurbo::Affine;
use toml::Spanned;

use super::error::DesignError;
use super::measure::{self, Coordinate};
use super::written::{Design, Entry};
use crate::artwork::Motif;
use crate::length::Length;
use crate::pixels::PixelGrid;
use crate::repeat::{Linear, Placement, Repeat, Spot, sin_cos_degrees};

/// The most blocks that a motif's page may reach over, across or down.
const MOST_BLOCKS: f64 = 20.0;

/// A motif's place before there is a grid.
#[derive(Debug)]
pub(super) struct Place {
    motif: usize,
    at: [Coordinate; 2],
    size: [f64; 2],
    flip: [bool; 2],
    turn: f64,
    layer: i32,
    /// The kind of place it lies on, from 0; all where it is not said.
    kind: Option<usize>,
    overlap: bool,
}

impl Place {
    /// From what is written about it; `drawing` is its motif, and motifs alternate in so many `kinds` of place.
    pub(super) fn read(entry: &Entry, motif: usize, drawing: &Motif, kinds: usize) -> Result<Place, DesignError> {
        let page = drawing.page_px();
        let width = entry.width.as_ref().map(|text| measure::length("width", text)).transpose()?;
        let height = entry.height.as_ref().map(|text| measure::length("height", text)).transpose()?;
        let own = drawing.size().map(|s| [s.width.emu() as f64 / page.width, s.height.emu() as f64 / page.height]);
        let times = match &entry.scale {
            Some(scale) if width.is_some() || height.is_some() => {
                let e = DesignError::about("scale", scale, "a motif has a scale, or a width and height, not both");
                return Err(e.with_hint("take one of them out"));
            }
            Some(scale) => match measure::number("scale", scale, 10_000.0)? {
                n if n > 0.0 => n,
                n => {
                    return Err(DesignError::about(
                        "scale",
                        scale,
                        format!("{n} is not more than zero; write for example 1.5"),
                    ));
                }
            },
            None => 1.0,
        };
        let of = |length: Length, px: f64| length.emu() as f64 / px;
        let size = match (width, height, own) {
            (Some(w), Some(h), _) => [of(w, page.width), of(h, page.height)],
            (Some(w), None, Some([x, y])) => [of(w, page.width), of(w, page.width) * y / x],
            (Some(w), None, None) => [of(w, page.width); 2],
            (None, Some(h), Some([x, y])) => [of(h, page.height) * x / y, of(h, page.height)],
            (None, Some(h), None) => [of(h, page.height); 2],
            (None, None, Some([x, y])) => [x * times, y * times],
            (None, None, None) => {
                let what = if drawing.picture().is_some() { "picture" } else { "drawing" };
                return Err(no_size(what, &entry.file, "width = \"2.5in\" beside it", "--motif-width 2.5in"));
            }
        };
        let at = match &entry.at {
            Some(at) => {
                let [x, y] = &at.get_ref()[..] else {
                    let what = format!("two values are wanted, not {}", at.get_ref().len());
                    return Err(
                        DesignError::about("at", at, what).with_hint("write for example at = [\"50%\", \"2in\"]")
                    );
                };
                [measure::coordinate(x)?, measure::coordinate(y)?]
            }
            None => [Coordinate::Share(1, 2); 2],
        };
        let flip = entry.flip.as_ref().map(measure::flip).transpose()?.unwrap_or_default();
        let turn = entry.turn.as_ref().map(|turn| measure::number("turn", turn, 1e6)).transpose()?.unwrap_or(0.0);
        let kind = entry.place.as_ref().map(|place| kind(place, kinds)).transpose()?;
        Ok(Place { motif, at, size, flip, turn, layer: entry.layer, kind, overlap: entry.overlap })
    }

    /// Whether it lies on this kind of place, counted from 0.
    pub(super) fn lies_on(&self, kind: usize) -> bool {
        self.kind.is_none_or(|own| own == kind)
    }

    /// Whether it may overlap its own copies.
    pub(super) fn may_overlap(&self) -> bool {
        self.overlap
    }

    /// Puts a place on the grid, once for each kind of place that it lies on.
    pub(super) fn set(&self, repeat: &Repeat, grid: &PixelGrid) -> Vec<Placement> {
        let linear: Linear = linear(self.size, self.flip, self.turn, grid.scale());
        let asked = grid.asked();
        let x = self.at[0].parts(repeat.block[0], repeat.tile.width, asked.width);
        let y = self.at[1].parts(repeat.block[1], repeat.tile.height, asked.height);
        let at = Spot::from_parts(x, y);
        let kinds = repeat.places.iter().enumerate().filter(|(kind, _)| self.lies_on(*kind));
        let on = |by: [i64; 2]| Placement { motif: self.motif, at: at.moved(by), linear, layer: self.layer };
        kinds.map(|(_, &by)| on(by)).collect()
    }
}

/// A kind of place, counted from 0.
fn kind(place: &Spanned<i64>, kinds: usize) -> Result<usize, DesignError> {
    let found = usize::try_from(*place.get_ref()).ok().filter(|n| (1..=kinds).contains(n));
    found.map(|n| n - 1).ok_or_else(|| match kinds {
        1 => DesignError::about("place", place, "this layout has one kind of place")
            .with_hint("write alternate = \"columns\" under [repeat], or leave the place out"),
        _ => DesignError::about(
            "place",
            place,
            format!("there is no place {}; this layout has 1 to {kinds}", place.get_ref()),
        ),
    })
}

/// A motif far larger than the block is a slip of the unit, or a stray object far off its page;
/// it would be painted hundreds of times over itself.
pub(super) fn refuse_giants(design: &Design, repeat: &Repeat, motifs: &[Motif]) -> Result<(), DesignError> {
    // Who has no kind of place of its own has one placement on each.
    let on = |entry: &Entry| if entry.place.is_some() { 1 } else { repeat.places.len() };
    let owners = design.motifs.iter().flat_map(|entry| std::iter::repeat_n(entry, on(entry)));
    let owners = owners.map(Some).chain(std::iter::repeat(None));
    for (placement, owner) in repeat.placements.iter().zip(owners) {
        let motif = &motifs[placement.motif];
        let [xx, yx, xy, yy] = placement.linear;
        let Some(ink) = motif.ink().bounds(Affine::new([xx, yx, xy, yy, 0.0, 0.0])) else { continue };
        let times = [ink.width() / repeat.block[0] as f64, ink.height() / repeat.block[1] as f64];
        if times[0].max(times[1]) > MOST_BLOCKS {
            let what = format!(
                "the ink of {} reaches over {:.0} blocks across and {:.0} down; at most {MOST_BLOCKS} are made",
                motif.name(),
                times[0],
                times[1]
            );
            let e = match owner {
                Some(entry) => match (&entry.width, &entry.height, &entry.scale) {
                    (Some(width), _, _) => DesignError::about("width", width, what),
                    (_, Some(height), _) => DesignError::about("height", height, what),
                    (_, _, Some(scale)) => DesignError::about("scale", scale, what),
                    _ => DesignError::new(what).at(entry.file.span()),
                },
                None => DesignError::new(what),
            };
            return Err(e.with_hint("write a smaller size, or look for a stray object far off its page"));
        }
    }
    Ok(())
}

/// The hint is for a file named in a design, or for one that was typed.
pub(super) fn no_size(what: &str, file: &Spanned<String>, in_design: &str, typed: &str) -> DesignError {
    let e = DesignError::new(format!("{}: the {what} does not say how large it is", file.get_ref()));
    e.with_hint(format!("write {}", if file.span().is_empty() { typed } else { in_design })).at(file.span())
}

/// The linear part of a placement.
///
/// `size` is EMU per motif unit across and down; `flip` mirrors left to right and top to
/// bottom; `turn` is clockwise in degrees; `scale` is grid units per EMU across and down.
fn linear(size: [f64; 2], flip: [bool; 2], turn: f64, scale: [f64; 2]) -> Linear {
    let (sin, cos) = sin_cos_degrees(turn);
    let x = if flip[0] { -size[0] } else { size[0] };
    let y = if flip[1] { -size[1] } else { size[1] };
    [scale[0] * cos * x, scale[1] * sin * x, -scale[0] * sin * y, scale[1] * cos * y]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_positive_turn_is_clockwise_and_quarter_turns_are_exact() {
        // y points down, so a quarter turn clockwise takes x to y and y to -x.
        assert_eq!(linear([1.0; 2], [false; 2], 90.0, [1.0; 2]), [0.0, 1.0, -1.0, 0.0]);
        assert_eq!(linear([1.0; 2], [false; 2], -270.0, [1.0; 2]), [0.0, 1.0, -1.0, 0.0]);
        assert_eq!(linear([2.0, 3.0], [true, false], 0.0, [1.0; 2]), [-2.0, 0.0, 0.0, 3.0]);
        let [a, b, ..] = linear([1.0; 2], [false; 2], 30.0, [1.0; 2]);
        assert!((a - 0.866_025_403_784_438_6).abs() < 1e-15 && (b - 0.5).abs() < 1e-15);
    }
}
