//! From the plan to vector files: what is curve stays curve.

#![allow(clippy::cast_possible_truncation, reason = "PDF readers have numbers of 32 bits")]

mod lines;
mod paper;
mod svg;

pub use lines::lines;
pub use paper::{PaperPicture, paper};
pub use svg::{SvgError, SvgOptions, read_back, svg};
