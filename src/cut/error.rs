//! Why nothing is cut.

use kurbo::Rect;

use crate::artwork::Hindrance;
use crate::length::Unit;
use crate::limits::Limit;

/// Why nothing is cut. Places are true sizes on the goods, from their upper left corner.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum CutError {
    /// No ink inside the window, or everything covered.
    #[error("there is nothing to cut")]
    Nothing,
    /// Shrunk by more than half of what is widest.
    #[error("the outline lies so far inside the ink that nothing is left")]
    Vanished,
    /// A stencil of the ground, and there is none.
    #[error("the ink covers all of the cloth, so there is no ground to cut out")]
    NoGround,
    /// A stencil that is one hole.
    #[error("the ink covers all of the cloth, so nothing of the stencil is left")]
    NoStencil,
    /// Pieces of a roll that would be laid anew.
    #[error("the cloth does not fit a sheet of {0} as it lies, and the lines of a roll can't be laid anew")]
    Roll(String),
    /// Parts of a stencil that hang on nothing.
    #[error("{} of the stencil would fall out: {}", count(.0.len(), "part", "parts"), places(.0))]
    Islands(Vec<Rect>),
    /// A piece that no sheet holds.
    #[error("a piece at {} does not fit a sheet of {sheet}", place(piece))]
    TooLarge {
        /// Its bounds.
        piece: Rect,
        /// What a sheet takes, without its margins.
        sheet: String,
    },
    /// More copies than are worked out.
    #[error("the goods come to some {count:.0} copies of motifs; the most is {limit}")]
    TooManyCopies {
        /// By area.
        count: f64,
        /// The most.
        limit: Limit,
    },
    /// More lines than memory is kept for.
    #[error("the curves of all copies come to more than {limit} short lines")]
    TooManyLines {
        /// The most.
        limit: Limit,
    },
    /// Things that are no shapes, each with the number of its motif.
    #[error("{} no shape and can't be cut", count(.0.len(), "thing is", "things are"))]
    NoShape(Vec<(usize, Hindrance)>),
}

/// `1 part`, `3 parts`.
pub(super) fn count(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

/// `40, 31.2 mm, 12.5 × 8 mm large`.
pub fn place(bounds: &Rect) -> String {
    let [x, y] = [bounds.x0, bounds.y0].map(|n| hundredths(n / Unit::Mm.emu() as f64));
    format!("{x}, {y} mm, {} × {} mm large", small(bounds.width()), small(bounds.height()))
}

/// A size in mm: `0.35`, or that it is less than can be told.
pub fn small(emu: f64) -> String {
    let mm = emu / Unit::Mm.emu() as f64;
    if mm < 0.005 { "under 0.01".into() } else { hundredths(mm) }
}

fn hundredths(n: f64) -> String {
    let text = format!("{n:.2}");
    if text == "-0.00" { "0".into() } else { crate::length::trim_zeros(&text).into() }
}

fn places(all: &[Rect]) -> String {
    let shown: Vec<String> = all.iter().take(5).map(place).collect();
    let more = all.len().saturating_sub(5);
    if more > 0 { format!("{}; and {more} more", shown.join("; ")) } else { shown.join("; ") }
}
