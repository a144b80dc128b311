//! From the plan to vector files: what is curve stays curve.

mod svg;

pub use svg::{SvgError, SvgOptions, read_back, svg};
