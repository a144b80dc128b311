//! From the plan to vector files: what is curve stays curve.
//!
//! ```text
//!   plan ─┬▶ svg      each motif once, a <use> for each copy; or the same as the cell of a pattern
//!         ├▶ plain    every copy as paths of its own, cut at the edge
//!         └▶ pdf      each motif a form; or the page filled by a pattern
//! ```

#![allow(
    clippy::cast_possible_truncation,
    reason = "PDF readers have numbers of 32 bits; windows are counted in whole units"
)]

mod lines;
mod notes;
mod painter;
mod paper;
mod pdf;
mod plain;
mod sheet;
mod svg;

pub use lines::{lines, read_lines};
pub use notes::{Note, What};
pub use painter::Painter;
pub use paper::{PaperPicture, paper};
pub use pdf::{PdfError, PdfFile, PdfOptions, pattern_pdf, pdf, read_pdf_back};
pub use plain::{plain_svg, read_plain_back};
pub use sheet::Piece;
pub use svg::{SvgError, SvgOptions, pattern_svg, read_back, svg};
pub use usvg::Node;
