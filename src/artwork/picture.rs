//! A picture made of pixels: decoded once, turned upright, in sRGB, ready to be painted at any size.
//!
//! ```text
//!   bytes ─▶ png, jpeg, tiff, webp   header first, then samples
//!                    └─▶ color       through the embedded profile to sRGB, 8 bits
//!                          └─▶ exif  upright
//!                                └─▶ Picture ─▶ halves: ½, ¼ … made when asked for
//!                                └─▶ wrap      a drawing that holds it, for vector files
//! ```
//!
//! A painter that only interpolates between neighbours leaves out pixels when it makes a picture
//! smaller. So it takes the half that is nearest above the size it needs.

use std::sync::OnceLock;

use super::error::ArtworkError;
use super::finished::Finished;
use super::losses;
use super::losses::Loss;
use super::source::too_much;
use crate::length::Size;
use crate::limits::Limits;
use decoded::Decoded;

mod color;
mod decoded;
mod density;
mod exif;
mod jpeg;
mod kind;
mod palette;
mod png;
mod scans;
mod tiff;
mod upright;
mod webp;
mod wrap;

pub(super) use kind::Kind;
pub(super) use wrap::wrap;

/// Pixels in rows, premultiplied RGBA in sRGB, eight bits each.
#[derive(Debug)]
pub struct Pixels {
    /// Pixels across.
    pub width: u32,
    /// Pixels down.
    pub height: u32,
    /// Four bytes a pixel.
    pub bytes: Vec<u8>,
}

/// A picture and its halves.
#[derive(Debug)]
pub struct Picture {
    whole: Pixels,
    halves: Vec<OnceLock<Pixels>>,
}

/// What is taken in from a file.
pub(super) struct Taken {
    /// As it will be painted, but not yet premultiplied.
    pub(super) pixels: Pixels,
    pub(super) size: Option<Size>,
    pub(super) losses: Vec<Loss>,
}

impl Picture {
    /// From pixels that are not yet premultiplied.
    pub(super) fn new(mut whole: Pixels) -> Picture {
        for pixel in whole.bytes.chunks_exact_mut(4).filter(|p| p[3] < 255) {
            let alpha = u32::from(pixel[3]);
            for level in &mut pixel[..3] {
                // Rounded; at most alpha, so it fits.
                *level = u8::try_from((u32::from(*level) * alpha + 127) / 255).unwrap_or(255);
            }
        }
        let count = whole.width.max(whole.height).ilog2() as usize;
        Picture { whole, halves: (0..count).map(|_| OnceLock::new()).collect() }
    }

    /// The picture halved so many times, at most to one pixel: each pixel is the mean of the four
    /// it stands for. Beyond an odd edge the last row or column counts twice.
    pub fn halved(&self, times: usize) -> &Pixels {
        match times.min(self.halves.len()) {
            0 => &self.whole,
            n => self.halves[n - 1].get_or_init(|| self.halved(n - 1).half()),
        }
    }

    /// How often it can be halved.
    pub fn most_halvings(&self) -> usize {
        self.halves.len()
    }
}

impl Pixels {
    fn half(&self) -> Pixels {
        let (width, height) = (self.width.div_ceil(2), self.height.div_ceil(2));
        let row = |y: u32| {
            let length = self.width as usize * 4;
            let start = y.min(self.height - 1) as usize * length;
            &self.bytes[start..start + length]
        };
        let mut bytes = Vec::with_capacity(width as usize * height as usize * 4);
        for y in 0..height {
            let (upper, lower) = (row(2 * y), row(2 * y + 1));
            for x in 0..width as usize {
                let (left, right) = (8 * x, (8 * x + 4).min(upper.len() - 4));
                for c in 0..4 {
                    let level = |row: &[u8], at: usize| u16::from(row[at + c]);
                    let sum = level(upper, left) + level(upper, right) + level(lower, left) + level(lower, right);
                    bytes.push(u8::try_from((sum + 2) / 4).unwrap_or(255));
                }
            }
        }
        Pixels { width, height, bytes }
    }
}

/// Decodes a file and makes it sRGB and upright.
pub(super) fn take(name: &str, kind: Kind, bytes: Vec<u8>, limits: &Limits) -> Result<Taken, ArtworkError> {
    let decoded = decoded(name, kind, &bytes, limits)?;
    drop(bytes);
    let Decoded { width, height, orientation, density, .. } = decoded;
    let size = density.and_then(|d| d.size(width, height));
    let (bytes, losses) = color::to_srgb(decoded, true);
    let pixels = upright::turned(Pixels { width, height, bytes }, orientation);
    let size = size.map(|s| if upright::swaps(orientation) { Size { width: s.height, height: s.width } } else { s });
    Ok(Taken { pixels, size, losses })
}

/// Decodes a file to be judged: no more channels than it has.
pub(super) fn finished(name: &str, kind: Kind, bytes: Vec<u8>, limits: &Limits) -> Result<Finished, ArtworkError> {
    let decoded = decoded(name, kind, &bytes, limits)?;
    drop(bytes);
    let Decoded { width, height, orientation, density, .. } = decoded;
    let bits = if matches!(decoded.samples, decoded::Samples::Sixteen(_)) { 16 } else { 8 };
    let colors = color::space(&decoded);
    let (bytes, losses) = color::to_srgb(decoded, false);
    let pixels = upright::turned(Pixels { width, height, bytes }, orientation);
    let dpi = density.map(density::Density::dpi);
    let (dpi, size) = (dpi, density.and_then(|d| d.size(width, height)));
    let (dpi, size) = if upright::swaps(orientation) {
        (dpi.map(|[x, y]| [y, x]), size.map(|s| Size { width: s.height, height: s.width }))
    } else {
        (dpi, size)
    };
    Ok(Finished { kind: kind.name(), pixels, bits, dpi, size, colors, losses })
}

/// Why a picture that lies in a drawing can't be painted as it is, if so: the painter leaves it out then,
/// or makes up what is missing, and says nothing.
pub(super) fn unpaintable(bytes: &[u8], limits: &Limits) -> Option<String> {
    let limits = Limits { picture: limits.image, ..*limits };
    match decoded("", Kind::of(bytes)?, bytes, &limits).err()? {
        ArtworkError::BrokenPicture { .. } => Some("that is cut off or damaged".into()),
        ArtworkError::OtherPicture { kind: "JPEG", what, .. } => Some(format!("with {what}")),
        _ => None, // what it can do besides is the painter's
    }
}

fn decoded(name: &str, kind: Kind, bytes: &[u8], limits: &Limits) -> Result<Decoded, ArtworkError> {
    let file = File { name, kind, limits };
    match kind {
        Kind::Png => png::read(&file, bytes),
        Kind::Jpeg => jpeg::read(&file, bytes),
        Kind::Tiff => tiff::read(&file, bytes),
        Kind::WebP => webp::read(&file, bytes),
    }
}

/// The file that is read, for what is said about it.
struct File<'a> {
    name: &'a str,
    kind: Kind,
    limits: &'a Limits,
}

impl File<'_> {
    /// It can't be decoded.
    fn broken(&self, what: impl ToString) -> ArtworkError {
        ArtworkError::BrokenPicture { name: self.name.into(), kind: self.kind.name(), what: what.to_string() }
    }

    /// It is sound, but of a sort that is not taken.
    fn unsupported(&self, what: impl ToString) -> ArtworkError {
        ArtworkError::OtherPicture { name: self.name.into(), kind: self.kind.name(), what: what.to_string() }
    }

    /// Refuses what would take too much memory, from the header alone.
    fn check_size(&self, width: u64, height: u64, bytes_per_pixel: u64) -> Result<(u32, u32), ArtworkError> {
        if width == 0 || height == 0 {
            return Err(self.broken(format!("it says it is {width} × {height} px")));
        }
        let pixels = width.saturating_mul(height);
        let value = || format!("{width} × {height}");
        if pixels > self.limits.picture.most {
            return Err(too_much(self.name, "pixels of the picture", value(), self.limits.picture));
        }
        let bytes = pixels.saturating_mul(bytes_per_pixel);
        if bytes > self.limits.picture_bytes.most {
            let value = format!("{bytes} for {}", value());
            return Err(too_much(self.name, "bytes of the picture's samples", value, self.limits.picture_bytes));
        }
        match (u32::try_from(width), u32::try_from(height)) {
            (Ok(width), Ok(height)) => Ok((width, height)),
            _ => Err(too_much(self.name, "pixels of the picture", value(), self.limits.picture)),
        }
    }
}

/// A loss of a picture: it has neither line nor id.
fn loss(code: &'static str, what: impl Into<String>) -> Loss {
    debug_assert!(losses::loss_kind(code).is_some());
    Loss::new(code, None, None, what)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn halves_are_means_and_keep_odd_edges() {
        let pixels = |width, height, levels: &[u8]| Pixels {
            width,
            height,
            bytes: levels.iter().flat_map(|n| [*n, *n, *n, 255]).collect(),
        };
        let picture = Picture::new(pixels(3, 2, &[0, 100, 8, 100, 200, 16]));
        let half = picture.halved(1);
        assert_eq!((half.width, half.height), (2, 1));
        assert_eq!(half.bytes, [100, 100, 100, 255, 12, 12, 12, 255]);
        assert_eq!(picture.most_halvings(), 1);
        assert!(std::ptr::eq(picture.halved(9), half), "no further than it goes");
    }

    #[test]
    fn what_is_transparent_adds_no_color_to_its_half() {
        let bytes = [[200, 0, 0, 255], [0, 255, 0, 0]].concat();
        let picture = Picture::new(Pixels { width: 2, height: 1, bytes });
        assert_eq!(picture.halved(1).bytes, [100, 0, 0, 128]);
    }
}
