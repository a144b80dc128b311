//! The finished file, read again and held against what was painted.
//!
//! PNG is read by the `png` crate, which had no part in the writing; TIFF by the `tiff`
//! crate, which wrote the fields but not the strips; JPEG by `zune-jpeg`.

use std::fs::File;
use std::io::{self, BufReader, Cursor, Read, Seek, SeekFrom};
use std::ops::Range;

use rayon::prelude::*;
use tiff::decoder::{Decoder, DecodingResult, Limits};
use tiff::tags::Tag;
use zune_jpeg::JpegDecoder;
use zune_jpeg::zune_core::bytestream::ZCursor;
use zune_jpeg::zune_core::colorspace::ColorSpace;
use zune_jpeg::zune_core::options::DecoderOptions;

use super::jpeg::MOST;
use super::png::PngColors;
use super::seams::Seams;
use super::sheet::Channels;
use super::tiff::SRGB;
use super::weave::Woven;

/// What a finished file turned out to hold that it should not.
#[derive(Debug, thiserror::Error)]
#[error("the file does not read back as it was painted: {0}")]
pub struct ReadBackError(String);

/// Opens the finished file anew.
pub(super) type Open<'a> = &'a (dyn Fn() -> io::Result<File> + Sync);

type Outcome = Result<(), ReadBackError>;

fn fault<T>(what: impl std::fmt::Display) -> Result<T, ReadBackError> {
    Err(ReadBackError(what.to_string()))
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
    let parts: Result<Vec<Vec<u32>>, Wrong> = chunks(open).and_then(|chunks| {
        expect("the count of chunks with pixels", chunks.data.len(), strips + 2)?;
        shares(strips).into_par_iter().map(|part| read_png(open()?, &chunks, woven, colors, part)).collect()
    });
    same_pixels(parts, woven)
}

/// Where a PNG's chunks lie.
struct Chunks {
    head: u64,
    data: Vec<u64>,
}

/// Walks a PNG's chunks, which must fill the file: head, pixels, end (PNG 5.3, 5.6).
fn chunks(open: Open<'_>) -> Result<Chunks, Wrong> {
    let mut file = open()?;
    let end = file.metadata()?.len();
    let (mut at, mut data, mut last) = (8, Vec::new(), [0; 4]);
    while at < end {
        let mut head = [0; 8];
        file.seek(SeekFrom::Start(at))?;
        file.read_exact(&mut head)?;
        let [a, b, c, d, kind @ ..] = head;
        if kind == *b"IDAT" {
            data.push(at);
        }
        last = kind;
        at += 12 + u64::from(u32::from_be_bytes([a, b, c, d]));
    }
    expect("the end", (at, last), (end, *b"IEND"))?;
    // The first chunk of pixels holds only the head of the compressed stream.
    Ok(Chunks { head: data.get(1).copied().unwrap_or(0), data })
}

/// A file's head and then the file from where its handle stands.
struct Share {
    head: Cursor<Vec<u8>>,
    rest: File,
}

impl Read for Share {
    fn read(&mut self, to: &mut [u8]) -> io::Result<usize> {
        match self.head.read(to)? {
            0 => self.rest.read(to),
            count => Ok(count),
        }
    }
}

/// The decoder asks for it by type and reads on without it.
impl Seek for Share {
    fn seek(&mut self, _: SeekFrom) -> io::Result<u64> {
        Err(io::ErrorKind::Unsupported.into())
    }
}

/// The checksums of some strips of a PNG.
fn read_png(
    mut file: File,
    chunks: &Chunks,
    woven: &Woven,
    colors: &PngColors,
    strips: Range<usize>,
) -> Result<Vec<u32>, Wrong> {
    let spec = &woven.spec;
    let mut head = vec![0; chunks.head as usize];
    file.read_exact(&mut head)?;
    file.seek(SeekFrom::Start(chunks.data[strips.start + 1]))?;
    let mut decoder = png::Decoder::new(BufReader::with_capacity(1 << 16, Share { head: Cursor::new(head), rest: file }));
    decoder.set_transformations(png::Transformations::EXPAND);
    let mut reader = decoder.read_info()?;
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
            reader.read_row(&mut row)?;
            match widened(&row, samples, spec.channels) {
                Some(row) => hash.update(&row),
                None => hash.update(&row),
            }
        }
        found.push(hash.finalize());
    }
    if last {
        reader.finish()?;
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
    open().and_then(|mut file| file.read_to_end(&mut bytes)).map_err(|e| ReadBackError(e.to_string()))?;
    // JFIF 1.02: identifier, version, unit (1: per inch), two densities.
    let density = (bytes.get(6..11), bytes.get(13), bytes.get(14..18));
    let dpi = (spec.resolution.value().round() as u16).to_be_bytes();
    let want = [dpi, dpi].concat();
    expect("the resolution", density, (Some(&b"JFIF\0"[..]), Some(&1), Some(&want[..])))?;
    let options = DecoderOptions::default().set_max_width(MOST as usize).set_max_height(MOST as usize);
    let mut decoder =
        JpegDecoder::new_with_options(ZCursor::new(&bytes[..]), options.jpeg_set_out_colorspace(ColorSpace::RGB));
    let pixels = decoder.decode().map_err(|e| ReadBackError(e.to_string()))?;
    expect("the size", decoder.dimensions(), Some((spec.width as usize, spec.height as usize)))?;
    expect("the profile", decoder.icc_profile().as_deref(), Some(SRGB))?;
    Ok(woven.seams.changed_by(&Seams::of_strip(spec, 0, &pixels)))
}

/// Reads a TIFF: size, channels, resolution, profile, every pixel; strips on all cores.
pub(super) fn tiff(open: Open<'_>, woven: &Woven) -> Outcome {
    let parts = shares(woven.spec.strips()).into_par_iter().map(|part| read_tiff(open()?, woven, part)).collect();
    same_pixels(parts, woven)
}

/// The strips in runs, a few for each thread.
fn shares(strips: usize) -> Vec<Range<usize>> {
    let share = strips.div_ceil(rayon::current_num_threads() * 4).max(1);
    (0..strips.div_ceil(share)).map(|part| part * share..((part + 1) * share).min(strips)).collect()
}

/// What was wrong, whoever said it.
struct Wrong(String);

impl<E: std::error::Error> From<E> for Wrong {
    fn from(e: E) -> Wrong {
        Wrong(e.to_string())
    }
}

/// The checksums of some strips.
fn read_tiff(file: File, woven: &Woven, strips: Range<usize>) -> Result<Vec<u32>, Wrong> {
    let spec = &woven.spec;
    let mut decoder = Decoder::new(BufReader::new(file))?.with_limits(Limits::unlimited());
    expect("the size", decoder.dimensions()?, (spec.width, spec.height))?;
    expect("the channels", decoder.get_tag_u32(Tag::SamplesPerPixel)?, spec.channels.bytes() as u32)?;
    expect("the profile", decoder.get_tag_u8_vec(Tag::IccProfile)?, SRGB.to_vec())?;
    expect("the unit of resolution", decoder.get_tag_u32(Tag::ResolutionUnit)?, 2)?;
    for tag in [Tag::XResolution, Tag::YResolution] {
        let ratio = decoder.get_tag_u32_vec(tag)?;
        let (num, den) = spec.resolution.fraction();
        let same = i128::from(ratio[0]) * i128::from(den) == i128::from(num) * i128::from(ratio[1]);
        expect("the resolution is as asked", same, true)?;
    }
    let mut found = Vec::with_capacity(strips.len());
    for strip in strips {
        match decoder.read_chunk(strip as u32)? {
            DecodingResult::U8(rows) => found.push(crc32fast::hash(&rows)),
            _ => return Err(Wrong("the samples are not bytes".into())),
        }
    }
    Ok(found)
}

fn same_pixels(parts: Result<Vec<Vec<u32>>, Wrong>, woven: &Woven) -> Outcome {
    let found = parts.map_err(|Wrong(what)| ReadBackError(what))?.concat();
    match found.iter().zip(&woven.checks).position(|(a, b)| a != b) {
        None if found.len() == woven.checks.len() => Ok(()),
        None => fault("rows are missing"),
        Some(strip) => {
            let [first, end] = woven.spec.strip(strip);
            fault(format!("rows {first} to {end} have other pixels"))
        }
    }
}
