//! WebP: always eight bits, sRGB or with a profile. It has no density but what EXIF says.

use std::io::Cursor;

use image_webp::{DecodingError, WebPDecoder};

use super::File;
use super::decoded::{Color, Decoded, Samples};
use crate::artwork::error::ArtworkError;

pub(super) fn read(file: &File, bytes: &[u8]) -> Result<Decoded, ArtworkError> {
    let broken = |e: DecodingError| file.broken(e);
    let mut decoder = WebPDecoder::new(Cursor::new(bytes)).map_err(broken)?;
    decoder.set_memory_limit(file.limits.picture_bytes.size());
    let (width, height) = decoder.dimensions();
    let (width, height) = file.check_size(width.into(), height.into(), 4)?;
    if decoder.is_animated() {
        return Err(file.unsupported("moving pictures"));
    }
    let alpha = decoder.has_alpha();
    let length = decoder.output_buffer_size().ok_or_else(|| file.broken("it is too large"))?;
    let mut samples = vec![0; length];
    decoder.read_image(&mut samples).map_err(broken)?;
    let mut decoded = Decoded::new((width, height), Samples::Eight(samples), Color::Rgb, alpha);
    decoded.profile = decoder.icc_profile().map_err(broken)?;
    let exif = decoder.exif_metadata().map_err(broken)?;
    Ok(decoded.with_exif(exif.as_deref()))
}
