//! JPEG: grey, color and CMYK.
//!
//! The parts of a JPEG are looked through before it is decoded: for how the four inks are stored,
//! for its density, and for its end, since a decoder paints what is missing grey and says nothing.

use zune_jpeg::JpegDecoder;
use zune_jpeg::zune_core::bytestream::ZCursor;
use zune_jpeg::zune_core::colorspace::ColorSpace;
use zune_jpeg::zune_core::options::DecoderOptions;

use super::File;
use super::decoded::{Color, Decoded, Samples};
use super::density::Density;
use crate::artwork::error::ArtworkError;
use crate::length::Unit;

pub(super) fn read(file: &File, bytes: &[u8]) -> Result<Decoded, ArtworkError> {
    let parts = Parts::of(bytes);
    let side = usize::from(u16::MAX);
    let mut options = DecoderOptions::default().set_max_width(side).set_max_height(side);
    let mut decoder = JpegDecoder::new_with_options(ZCursor::new(bytes), options);
    decoder.decode_headers().map_err(|e| file.broken(e))?;
    let info = decoder.info().ok_or_else(|| file.broken("it has no header"))?;
    let (width, height) = file.check_size(info.width.into(), info.height.into(), 4)?;
    if !parts.whole {
        return Err(file.broken("it is cut off"));
    }
    let stored = decoder.input_colorspace().ok_or_else(|| file.broken("it has no header"))?;
    let (wanted, color) = match info.components {
        1 => (ColorSpace::Luma, Color::Grey),
        3 => (ColorSpace::RGB, Color::Rgb),
        4 => (stored, Color::Cmyk),
        n => return Err(file.unsupported(format!("{n} colors"))),
    };
    options = options.jpeg_set_out_colorspace(wanted);
    decoder.set_options(options);
    let mut samples = decoder.decode().map_err(|e| file.broken(e))?;
    if samples.len() != width as usize * height as usize * color.channels() {
        return Err(file.broken("it holds another number of pixels than it says"));
    }
    if color == Color::Cmyk {
        inks(&mut samples, stored == ColorSpace::YCCK);
    }
    let mut decoded = Decoded::new((width, height), Samples::Eight(samples), color, false);
    decoded.density = parts.density;
    decoded.profile = decoder.icc_profile();
    let exif = decoder.exif().cloned();
    Ok(decoded.with_exif(exif.as_deref()))
}

/// Four inks are stored as what they leave white, as every program has done since the first that
/// wrote them; the first three perhaps as brightness and two differences.
fn inks(samples: &mut [u8], ycck: bool) {
    for pixel in samples.chunks_exact_mut(4) {
        if ycck {
            let [y, cb, cr] = [pixel[0], pixel[1], pixel[2]].map(i32::from);
            let (cb, cr) = (cb - 128, cr - 128);
            // The matrix of JFIF in 1/65 536. It gives the inks themselves, not what they leave.
            let rgb = [91_881 * cr, -22_554 * cb - 46_802 * cr, 116_130 * cb];
            for (level, add) in pixel.iter_mut().zip(rgb) {
                *level = u8::try_from((y + ((add + 32_768) >> 16)).clamp(0, 255)).unwrap_or(0);
            }
        } else {
            for level in &mut pixel[..3] {
                *level = 255 - *level;
            }
        }
        pixel[3] = 255 - pixel[3];
    }
}

/// What lies between a JPEG's markers, before its first scan and behind it.
struct Parts {
    density: Option<Density>,
    whole: bool,
}

impl Parts {
    fn of(bytes: &[u8]) -> Parts {
        let mut parts = Parts { density: None, whole: false };
        let mut at = 2;
        while let Some(&[0xff, marker]) = bytes.get(at..at + 2) {
            if marker == 0xff {
                at += 1; // a fill byte
                continue;
            }
            let Some(&[high, low]) = bytes.get(at + 2..at + 4) else { break };
            let length = usize::from(u16::from_be_bytes([high, low]));
            let body = bytes.get(at + 4..at + 2 + length.max(2)).unwrap_or_default();
            if marker == 0xe0 && body.starts_with(b"JFIF\0") {
                parts.density = jfif(body);
            }
            at += 2 + length.max(2);
            if marker == 0xda {
                // Coded data holds no marker of an end but the end's own.
                parts.whole = bytes.get(at..).is_some_and(|rest| rest.windows(2).any(|w| w == [0xff, 0xd9]));
                break;
            }
        }
        parts
    }
}

fn jfif(body: &[u8]) -> Option<Density> {
    let short = |at: usize| body.get(at..at + 2).map(|b| u32::from(u16::from_be_bytes([b[0], b[1]])));
    let unit = match body.get(7)? {
        1 => Unit::In,
        2 => Unit::Cm,
        _ => return None, // only how its sides relate
    };
    Density::whole(short(8)?, short(10)?, unit)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn inks_are_what_is_not_left_white() {
        let mut white = [255, 255, 255, 255, 0, 255, 128, 200];
        inks(&mut white, false);
        assert_eq!(white, [0, 0, 0, 0, 255, 0, 127, 55]);
        // No ink is stored as black by brightness; red ink alone is not to be had, so all three alike.
        let mut ycck = [0, 128, 128, 255, 255, 128, 128, 0];
        inks(&mut ycck, true);
        assert_eq!(ycck, [0, 0, 0, 0, 255, 255, 255, 255]);
    }
}
