//! From the plan to PDF (ISO 32000-1): what is curve stays curve.
//!
//! ```text
//!   motif ─▶ walk ─▶ form        once, by path, gradient, clip and mask; filters are painted (image)
//!   plan ──▶ page ─▶ the form again for each copy, at its exact place
//!                └─▶ readback    by a reader of other people's making
//! ```
//!
//! All colors go through the sRGB profile, or are separations; layers are mixed in sRGB, as SVG mixes them.

mod book;
mod clip;
mod gradient;
mod image;
mod number;
mod page;
mod path;
mod readback;
mod state;
mod stream;
mod walk;

pub(super) use book::packed;
pub(super) use number::number;
pub(super) use page::sheet;
pub use page::{PdfFile, PdfOptions, pattern_pdf, pdf};
pub(super) use readback::number as number_of;
pub use readback::{PdfError, read_pdf_back};
