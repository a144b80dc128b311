//! The finished file, read again and held against what was painted.
//!
//! PNG is read by the `png` crate, which had no part in the writing; TIFF by the `tiff`
//! crate, which wrote the fields but not the strips; JPEG by `zune-jpeg`.

use std::error::Error;
use std::fs::File;
use std::io::{self, BufReader, Read};
use std::ops::Range;

use rayon::prelude::*;
use tiff::decoder::{Decoder, DecodingResult, Limits};
use tiff::tags::Tag;
use zune_jpeg::JpegDecoder;
use zune_jpeg::zune_core::bytestream::ZCursor;
use zune_jpeg::zune_core::colorspace::ColorSpace;
use zune_jpeg::zune_core::options::DecoderOptions;

use super::chunks::{Chunks, Share};
use super::jpeg::MOST;
use super::png::PngColors;
use super::seams::Seams;
use super::sheet::Channels;
use super::tiff::SRGB;
use super::weave::Woven;

/// Why a finished file is not taken for what was painted.
#[derive(Debug, thiserror::Error)]
pub enum ReadBackError {
    /// It holds what it should not.
    #[error("the file does not read back as it was painted: {0}")]
    Differs(String),
    /// The disk does not give it back.
    #[error(transparent)]
    Disk(io::Error),
}

/// Opens the finished file anew.
pub(super) type Open<'a> = &'a (dyn Fn() -> io::Result<File> + Sync);

type Outcome = Result<(), ReadBackError>;

fn fault<T>(what: impl std::fmt::Display) -> Result<T, ReadBackError> {
    Err(ReadBackError::Differs(what.to_string()))
}

/// What a reader says; what the system said to the reader is the disk's.
fn unread(error: impl Error + 'static) -> ReadBackError {
    let mut cause: Option<&(dyn Error + 'static)> = Some(&error);
    while let Some(e) = cause {
        if let Some(number) = e.downcast_ref::<io::Error>().and_then(io::Error::raw_os_error) {
            return ReadBackError::Disk(io::Error::from_raw_os_error(number));
        }
        cause = e.source();
    }
    ReadBackError::Differs(error.to_string())
}

fn expect<T: PartialEq + std::fmt::Debug>(what: &str, found: T, want: T) -> Outcome {
    if found == want { Ok(()) } else { fault(format!("{what} is {found:?}, not {want:?}")) }
}

/// Reads a PNG: the frame of its chunks, then size, channels, resolution, color space and every
/// pixel; strips on all cores.
///
/// Each strip of ours is a chunk whose rows and compressed bytes lean on none before it. So a
/// share of strips is read as a PNG of its own: the file's head, then the file from there on.
pub(super) fn png(open: Open<'_>, woven: &Woven, colors: &PngColors) -> Outcome {
    let strips = woven.spec.strips();
    let chunks = Chunks::of(open().map_err(unread)?).map_err(unread)?;
    expect("the end is the file's end", chunks.whole, true)?;
    // The first chunk of pixels holds only the head of the compressed stream, the last its end.
    expect("the count of chunks with pixels", chunks.data.len(), strips + 2)?;
    let parts = shares(strips).into_par_iter().map(|part| {
        let share = chunks.share(open().map_err(unread)?, part.start + 1).map_err(unread)?;
        read_png(share, woven, colors, part)
    });
    same_pixels(parts.collect(), woven)
}

/// The checksums of some strips of a PNG.
fn read_png(share: Share, woven: &Woven, colors: &PngColors, strips: Range<usize>) -> Result<Vec<u32>, ReadBackError> {
    let spec = &woven.spec;
    let mut decoder = png::Decoder::new(BufReader::with_capacity(1 << 16, share));
    decoder.set_transformations(png::Transformations::EXPAND);
    let mut reader = decoder.read_info().map_err(unread)?;
    let info = reader.info();
    expect("the size", (info.width, info.height), (spec.width, spec.height))?;
    let color = match (colors, spec.channels) {
        (PngColors::Grey, _) => png::ColorType::Grayscale,
        (PngColors::Palette(_), _) => png::ColorType::Indexed,
        (PngColors::Full, Channels::Rgb) => png::ColorType::Rgb,
        (PngColors::Full, Channels::Rgba) => png::ColorType::Rgba,
    };
    expect("the color type", (info.color_type, info.bit_depth as u8), (color, colors.bits()))?;
    expect("the color space is sRGB", info.srgb.is_some(), true)?;
    let per_metre = spec.resolution.px_per_metre();
    expect("the resolution", info.pixel_dims.map(|d| (d.xppu, d.yppu)), Some((per_metre, per_metre)))?;
    let samples = reader.output_color_type().0.samples();
    let mut row = vec![0; spec.width as usize * samples];
    let (mut found, last) = (Vec::with_capacity(strips.len()), strips.end == spec.strips());
    for strip in strips {
        let [first, end] = spec.strip(strip);
        let mut hash = crc32fast::Hasher::new();
        for _ in first..end {
            reader.read_row(&mut row).map_err(unread)?;
            match widened(&row, samples, spec.channels) {
                Some(row) => hash.update(&row),
                None => hash.update(&row),
            }
        }
        found.push(hash.finalize());
    }
    if last {
        reader.finish().map_err(unread)?;
    }
    Ok(found)
}

/// A row with the painter's channels, if it was stored with fewer.
fn widened(row: &[u8], samples: usize, channels: Channels) -> Option<Vec<u8>> {
    if samples == channels.bytes() {
        return None;
    }
    let whole = |pixel: &[u8]| match pixel {
        [grey] => [*grey, *grey, *grey, 255],
        [r, g, b] => [*r, *g, *b, 255],
        [r, g, b, a, ..] => [*r, *g, *b, *a],
        _ => [0; 4],
    };
    Some(row.chunks_exact(samples).flat_map(|pixel| whole(pixel).into_iter().take(channels.bytes())).collect())
}

/// Reads a JPEG: size, resolution, profile; and what compression did to the joins.
pub(super) fn jpeg(open: Open<'_>, woven: &Woven) -> Result<Option<String>, ReadBackError> {
    let spec = &woven.spec;
    let mut bytes = Vec::new();
    open().and_then(|mut file| file.read_to_end(&mut bytes)).map_err(unread)?;
    // JFIF 1.02: identifier, version, unit (1: per inch), two densities.
    let density = (bytes.get(6..11), bytes.get(13), bytes.get(14..18));
    let dpi = (spec.resolution.value().round() as u16).to_be_bytes();
    let want = [dpi, dpi].concat();
    expect("the resolution", density, (Some(&b"JFIF\0"[..]), Some(&1), Some(&want[..])))?;
    let options = DecoderOptions::default().set_max_width(MOST as usize).set_max_height(MOST as usize);
    let mut decoder =
        JpegDecoder::new_with_options(ZCursor::new(&bytes[..]), options.jpeg_set_out_colorspace(ColorSpace::RGB));
    let pixels = decoder.decode().map_err(unread)?;
    expect("the size", decoder.dimensions(), Some((spec.width as usize, spec.height as usize)))?;
    expect("the profile", decoder.icc_profile().as_deref(), Some(SRGB))?;
    Ok(woven.seams.changed_by(&Seams::of_strip(spec, 0, &pixels)))
}

/// Reads a TIFF: size, channels, resolution, profile, every pixel; strips on all cores.
pub(super) fn tiff(open: Open<'_>, woven: &Woven) -> Outcome {
    let parts = shares(woven.spec.strips()).into_par_iter();
    same_pixels(parts.map(|part| read_tiff(open().map_err(unread)?, woven, part)).collect(), woven)
}

/// The strips in runs, a few for each thread.
fn shares(strips: usize) -> Vec<Range<usize>> {
    let share = strips.div_ceil(rayon::current_num_threads() * 4).max(1);
    (0..strips.div_ceil(share)).map(|part| part * share..((part + 1) * share).min(strips)).collect()
}

/// The checksums of some strips.
fn read_tiff(file: File, woven: &Woven, strips: Range<usize>) -> Result<Vec<u32>, ReadBackError> {
    let spec = &woven.spec;
    let mut decoder = Decoder::new(BufReader::new(file)).map_err(unread)?.with_limits(Limits::unlimited());
    expect("the size", decoder.dimensions().map_err(unread)?, (spec.width, spec.height))?;
    expect("the channels", decoder.get_tag_u32(Tag::SamplesPerPixel).map_err(unread)?, spec.channels.bytes() as u32)?;
    expect("the profile", decoder.get_tag_u8_vec(Tag::IccProfile).map_err(unread)?, SRGB.to_vec())?;
    expect("the unit of resolution", decoder.get_tag_u32(Tag::ResolutionUnit).map_err(unread)?, 2)?;
    for tag in [Tag::XResolution, Tag::YResolution] {
        let ratio = decoder.get_tag_u32_vec(tag).map_err(unread)?;
        let (num, den) = spec.resolution.fraction();
        let same = i128::from(ratio[0]) * i128::from(den) == i128::from(num) * i128::from(ratio[1]);
        expect("the resolution is as asked", same, true)?;
    }
    let mut found = Vec::with_capacity(strips.len());
    for strip in strips {
        match decoder.read_chunk(strip as u32).map_err(unread)? {
            DecodingResult::U8(rows) => found.push(crc32fast::hash(&rows)),
            _ => return fault("the samples are not bytes"),
        }
    }
    Ok(found)
}

fn same_pixels(parts: Result<Vec<Vec<u32>>, ReadBackError>, woven: &Woven) -> Outcome {
    let found = parts?.concat();
    match found.iter().zip(&woven.checks).position(|(a, b)| a != b) {
        None if found.len() == woven.checks.len() => Ok(()),
        None => fault("rows are missing"),
        Some(strip) => {
            let [first, end] = woven.spec.strip(strip);
            fault(format!("rows {first} to {end} have other pixels"))
        }
    }
}
