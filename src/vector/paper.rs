//! A sheet of paper at true size, as PDF (ISO 32000-1): one picture, and a drawing over it.
//!
//! Pixels are stored as they are, in sRGB, and viewers are told not to smooth them. Words are
//! outlines already, so no font is needed.

use super::pdf::sheet;
use crate::artwork::Motif;

/// A picture on a sheet.
#[derive(Debug)]
pub struct PaperPicture<'a> {
    /// Pixels across and down.
    pub px: [u32; 2],
    /// Three bytes each.
    pub rgb: &'a [u8],
    /// The ICC profile of its colors.
    pub profile: &'a [u8],
    /// Its left upper corner on the sheet, in mm from the sheet's.
    pub at: [f64; 2],
    /// Its true size in mm.
    pub size: [f64; 2],
}

/// Writes a sheet of `size` mm: the picture, and over it the drawing, whose page is the sheet. The drawing is one of
/// curves; nothing paints its filters and pictures here.
pub fn paper(title: &str, size: [f64; 2], picture: &PaperPicture<'_>, drawing: &Motif) -> Vec<u8> {
    sheet(title, size, picture, drawing)
}
