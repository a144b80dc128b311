//! PNG: palettes, low depths and single transparent colors are spread out by the decoder.

use std::io::Cursor;

use png::{BitDepth, ColorType, Decoder, DecodingError, Limits, Transformations, Unit as PngUnit};

use super::File;
use super::decoded::{Color, Decoded, Samples};
use super::density::Density;
use crate::artwork::error::ArtworkError;
use crate::length::Unit;

pub(super) fn read(file: &File, bytes: &[u8]) -> Result<Decoded, ArtworkError> {
    // The header first: what it says is checked before anything is set aside for it.
    let broken = |e: DecodingError| file.broken(e);
    let most = file.limits.picture_bytes.size();
    let mut decoder = Decoder::new_with_limits(Cursor::new(bytes), Limits { bytes: most });
    decoder.set_transformations(Transformations::EXPAND);
    decoder.set_ignore_text_chunk(true);
    let header = decoder.read_header_info().map_err(broken)?;
    let per_pixel = if header.bit_depth == BitDepth::Sixteen { 8 } else { 4 };
    let (width, height) = file.check_size(header.width.into(), header.height.into(), per_pixel)?;
    let mut reader = decoder.read_info().map_err(broken)?;
    let length = reader.output_buffer_size().ok_or_else(|| file.broken("it is too large"))?;
    let mut data = vec![0; length];
    reader.next_frame(&mut data).map_err(broken)?;
    let (color_type, depth) = reader.output_color_type();
    let (color, alpha) = match color_type {
        ColorType::Grayscale => (Color::Grey, false),
        ColorType::GrayscaleAlpha => (Color::Grey, true),
        ColorType::Rgb => (Color::Rgb, false),
        ColorType::Rgba => (Color::Rgb, true),
        ColorType::Indexed => return Err(file.unsupported("colors by number without their list")),
    };
    let samples = match depth {
        BitDepth::Sixteen => {
            let pairs = data.chunks_exact(2).map(|b| u16::from_be_bytes([b[0], b[1]]));
            Samples::Sixteen(pairs.collect())
        }
        _ => Samples::Eight(data),
    };
    let info = reader.info();
    let mut decoded = Decoded::new((width, height), samples, color, alpha);
    decoded.density =
        info.pixel_dims.filter(|d| d.unit == PngUnit::Meter).and_then(|d| Density::whole(d.xppu, d.yppu, Unit::M));
    decoded.says_srgb = info.srgb.is_some() || info.coding_independent_code_points.is_some();
    decoded.profile = info.icc_profile.as_ref().map(|p| p.to_vec());
    if info.animation_control.is_some_and(|a| a.num_frames > 1) {
        decoded.lose("animation", "frames of a moving PNG");
    }
    if let Some(space) = other_space(info) {
        decoded.lose("color-space", space);
    }
    let exif = info.exif_metadata.as_ref().map(|e| e.to_vec());
    Ok(decoded.with_exif(exif.as_deref()))
}

/// A color space other than sRGB that is told in numbers. A profile, or the word that it is sRGB,
/// counts before them.
fn other_space(info: &png::Info) -> Option<String> {
    if let Some(code) = info.coding_independent_code_points {
        // 1 and 13 are the primaries and the curve of sRGB in ITU-T H.273.
        let srgb = (code.color_primaries, code.transfer_function) == (1, 13);
        return (!srgb).then(|| format!("cICP {}/{}", code.color_primaries, code.transfer_function));
    }
    if info.srgb.is_some() || info.icc_profile.is_some() {
        return None;
    }
    let gamma = info.gama_chunk.map(|g| g.into_scaled()).filter(|g| g.abs_diff(45_455) > 500);
    let red = info.chrm_chunk.map(|c| [c.red, c.green, c.blue].map(|(x, y)| [x.into_scaled(), y.into_scaled()]));
    // The primaries of sRGB, in 1/100 000; programs round them differently.
    let srgb = [[64_000, 33_000], [30_000, 60_000], [15_000, 6_000]];
    let far = |c: &[[u32; 2]; 3]| c.iter().flatten().zip(srgb.iter().flatten()).any(|(a, b)| a.abs_diff(*b) > 1_000);
    match (gamma, red.filter(far)) {
        (Some(gamma), _) => Some(format!("gAMA {}", f64::from(gamma) / 1e5)),
        (None, Some(_)) => Some("cHRM, primaries of its own".into()),
        (None, None) => None,
    }
}
