//! JPEG: grey, color and CMYK.
//!
//! The parts of a JPEG are looked through before it is decoded, for its density and for its end, since
//! a decoder paints what is missing grey and says nothing.

use zune_jpeg::JpegDecoder;
use zune_jpeg::zune_core::bytestream::ZCursor;
use zune_jpeg::zune_core::colorspace::ColorSpace;
use zune_jpeg::zune_core::options::DecoderOptions;

use super::File;
use super::decoded::{Color, Decoded, Samples};
use super::scans::Parts;
use crate::artwork::error::ArtworkError;

pub(super) fn read(file: &File, bytes: &[u8]) -> Result<Decoded, ArtworkError> {
    let parts = Parts::of(bytes);
    let side = usize::from(u16::MAX);
    let mut options = DecoderOptions::default().set_max_width(side).set_max_height(side);
    let followed = parts.followed_by_ones(bytes);
    let mut decoder = JpegDecoder::new_with_options(ZCursor::new(&followed), options);
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
    if !parts.are_read_right() {
        return Err(file.unsupported("a pass for each color, and restarts or colors of half the size,"));
    }
    if !parts.has_its_restarts() {
        return Err(file.broken(format!("it holds fewer than the {width} × {height} px that it says")));
    }
    // What may be odd in a header is taken; in the samples everything counts.
    options = options.jpeg_set_out_colorspace(wanted).set_strict_mode(true);
    decoder.set_options(options);
    let ended =
        |e| file.broken(format!("it is damaged, or holds fewer than the {width} × {height} px that it says ({e})"));
    let mut samples = decoder.decode().map_err(ended)?;
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
