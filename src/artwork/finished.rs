//! A finished tile, taken in to be judged and not to be painted: all of its pixels in sRGB, and what
//! its file says of itself.

use std::path::Path;

use super::error::ArtworkError;
use super::losses::Loss;
use super::picture::{self, Kind, Pixels};
use super::source::Source;
use crate::length::Size;
use crate::limits::Limits;

/// The colors that a file says its numbers are.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ColorSpace {
    /// It says nothing.
    Unsaid,
    /// sRGB, by a word or by a profile that does the same.
    Srgb,
    /// Another one, by its profile's name or what is told in numbers.
    Other(String),
}

/// A tile as anyone may have made it: PNG, JPEG, TIFF or WebP.
#[derive(Debug)]
pub struct Finished {
    /// PNG, JPEG, TIFF or WebP, by its first bytes and not by its name.
    pub kind: &'static str,
    /// Pixels in sRGB, not multiplied by their transparency: three bytes each, or four with alpha.
    pub pixels: Pixels,
    /// Bits of a channel in the file; judged are the upper eight.
    pub bits: u8,
    /// Pixels an inch, across and down, if the file says so.
    pub dpi: Option<[f64; 2]>,
    /// The true size that follows from it.
    pub size: Option<Size>,
    /// The colors that it says it has.
    pub colors: ColorSpace,
    /// What of it is not judged: other pages, other frames, channels that are no color.
    pub losses: Vec<Loss>,
}

impl Finished {
    /// Whether a file begins like one, or is called one and doesn't begin like a drawing either; what can't be read
    /// is none.
    pub fn is_one(path: &Path) -> bool {
        const CALLED: [&str; 6] = ["png", "tif", "tiff", "jpg", "jpeg", "webp"];
        let is_called = path.extension().is_some_and(|own| CALLED.iter().any(|one| own.eq_ignore_ascii_case(one)));
        // After a mark of its encoding and spaces, a drawing begins with a bracket.
        let is_drawing = |head: &[u8]| head.iter().find(|byte| byte.is_ascii_graphic()) == Some(&b'<');
        Source::head(path).is_ok_and(|head| Kind::of(&head).is_some() || (is_called && !is_drawing(&head)))
    }

    /// Reads one. The bounds are those of tiles, which are larger than of pictures that are motifs.
    ///
    /// # Errors
    /// A file that can't be read, is of another kind, is damaged, or larger than the limits say.
    pub fn read(path: &Path, limits: &Limits) -> Result<Finished, ArtworkError> {
        let limits = of_tiles(limits);
        Finished::taken(&path.to_string_lossy(), Source::bytes(path, &limits)?, &limits)
    }

    /// The same of a file's bytes; `name` is what errors call it.
    ///
    /// # Errors
    /// The same.
    pub fn from_bytes(name: &str, bytes: Vec<u8>, limits: &Limits) -> Result<Finished, ArtworkError> {
        Finished::taken(name, bytes, &of_tiles(limits))
    }

    fn taken(name: &str, bytes: Vec<u8>, limits: &Limits) -> Result<Finished, ArtworkError> {
        let Some(kind) = Kind::of(&bytes) else { return Err(ArtworkError::NoPicture { name: name.into() }) };
        picture::finished(name, kind, bytes, limits)
    }

    /// Bytes of a pixel: three, or four with transparency.
    pub fn channels(&self) -> usize {
        self.pixels.bytes.len() / (self.pixels.width as usize * self.pixels.height as usize)
    }
}

/// A tile may be larger than a picture that is a motif.
fn of_tiles(limits: &Limits) -> Limits {
    Limits { picture: limits.tile, picture_bytes: limits.tile_bytes, ..*limits }
}
