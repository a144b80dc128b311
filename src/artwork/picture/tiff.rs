//! TIFF: grey, RGB and CMYK in 8 or 16 bits, grey and colors by number in 1 to 8; strips or tiles, packed
//! or not.
//!
//! Further channels are transparency only if the file says so, or says nothing of the only one.

use std::io::Cursor;

use tiff::TiffError;
use tiff::decoder::{Decoder, DecodingResult, Limits};
use tiff::tags::Tag;

use super::File;
use super::decoded::{Alpha, Color, Decoded, Samples};
use super::density::Density;
use super::palette;
use crate::artwork::budget::TIFF_PAGES;
use crate::artwork::error::ArtworkError;
use crate::length::Unit;

type Reader<'a> = Decoder<Cursor<&'a [u8]>>;

pub(super) fn read(file: &File, bytes: &[u8]) -> Result<Decoded, ArtworkError> {
    let mut reader = open(file, bytes)?;
    let kind: Option<u16> = reader.find_tag_unsigned(Tag::PhotometricInterpretation).ok().flatten();
    if kind != Some(palette::BY_NUMBER) {
        return pixels(file, reader, false);
    }
    let list = reader.find_tag_unsigned_vec::<u16>(Tag::ColorMap).map_err(|e| said(file, e))?;
    let list = list.filter(|list| list.len() >= 6 && list.len() % 3 == 0);
    let list = list.ok_or_else(|| file.broken("its colors are told by number, and their list is missing"))?;
    let grey = palette::as_grey(bytes).ok_or_else(|| file.broken("its fields cannot be followed"))?;
    let mut decoded = pixels(file, open(file, &grey)?, true)?;
    palette::colored(&mut decoded, &list);
    Ok(decoded)
}

fn open<'a>(file: &File, bytes: &'a [u8]) -> Result<Reader<'a>, ArtworkError> {
    let most = file.limits.picture_bytes.size();
    let mut bound = Limits::default();
    (bound.decoding_buffer_size, bound.intermediate_buffer_size) = (most, most);
    bound.ifd_value_size = file.limits.profile.size();
    Ok(Decoder::new(Cursor::new(bytes)).map_err(|e| said(file, e))?.with_limits(bound))
}

/// The first picture. `numbers`: what is said to be grey are the numbers of colors.
fn pixels(file: &File, mut reader: Reader, numbers: bool) -> Result<Decoded, ArtworkError> {
    let broken = |e: TiffError| said(file, e);
    let (width, height) = reader.dimensions().map_err(broken)?;
    let shape = Shape::of(file, &mut reader)?;
    if numbers && (shape.bits > 8 || shape.channels != 1) {
        return Err(file.unsupported("colors by number in more than 8 bits, or with transparency"));
    }
    let bits = u64::from(shape.bits) * shape.channels as u64;
    let (width, height) = file.check_size(width.into(), height.into(), bits.div_ceil(8).max(4))?;
    let samples = match reader.read_image().map_err(broken)? {
        DecodingResult::U8(packed) if shape.bits < 8 => {
            let times = if numbers { 1 } else { 255 / ((1 << shape.bits) - 1) };
            Samples::Eight(unpacked(&packed, width as usize, usize::from(shape.bits), times))
        }
        DecodingResult::U8(samples) => Samples::Eight(samples),
        DecodingResult::U16(samples) => Samples::Sixteen(samples),
        _ => return Err(file.unsupported("numbers other than whole ones of 8 or 16 bits")),
    };
    let count = match &samples {
        Samples::Eight(s) => s.len(),
        Samples::Sixteen(s) => s.len(),
    };
    if count != width as usize * height as usize * shape.channels {
        return Err(file.broken("it holds another number of pixels than it says"));
    }
    let mut decoded = Decoded::new((width, height), samples, shape.color, false);
    (decoded.channels, decoded.alpha) = (shape.channels, shape.alpha);
    decoded.density = density(&mut reader);
    decoded.profile = reader.get_tag_u8_vec(Tag::IccProfile).ok();
    decoded.orientation = reader.find_tag_unsigned(Tag::Orientation).ok().flatten().unwrap_or(1);
    if shape.others > 0 {
        let all = shape.color.channels() + usize::from(shape.alpha.is_some()) + shape.others;
        decoded.lose("extra-channel", format!("{} of {all} channels", shape.others));
    }
    if has_another_page(&mut reader) {
        decoded.lose("more-pages", "all but the first");
    }
    Ok(decoded)
}

/// What a pixel holds.
struct Shape {
    color: Color,
    /// As the decoder gives them: it leaves out some that are no color.
    channels: usize,
    bits: u16,
    alpha: Option<Alpha>,
    /// Channels that are neither color nor transparency.
    others: usize,
}

impl Shape {
    fn of(file: &File, reader: &mut Reader) -> Result<Shape, ArtworkError> {
        let broken = |e: TiffError| said(file, e);
        let photometric: u16 = reader.get_tag_unsigned(Tag::PhotometricInterpretation).map_err(broken)?;
        let color = match photometric {
            0 | 1 => Color::Grey,
            2 => Color::Rgb,
            5 => Color::Cmyk,
            6 => return Err(file.unsupported("YCbCr color")),
            8..=10 => return Err(file.unsupported("Lab color")),
            n => return Err(file.unsupported(format!("color kind {n}"))),
        };
        let channels = reader.find_tag_unsigned::<u16>(Tag::SamplesPerPixel).map_err(broken)?.unwrap_or(1);
        let channels = usize::from(channels);
        let depths = reader.find_tag_unsigned_vec::<u16>(Tag::BitsPerSample).map_err(broken)?.unwrap_or(vec![1]);
        let bits = match depths.first() {
            Some(&bits) if depths.iter().all(|b| *b == bits) => bits,
            _ => return Err(file.unsupported("channels of different depths")),
        };
        if !(bits == 8 || bits == 16 || (matches!(bits, 1 | 2 | 4) && channels == 1)) {
            return Err(file.unsupported(format!("{bits} bits a channel")));
        }
        let planar = reader.find_tag_unsigned::<u16>(Tag::PlanarConfiguration).map_err(broken)?.unwrap_or(1);
        if planar != 1 && channels > 1 {
            return Err(file.unsupported("channels that are stored one after another"));
        }
        if photometric == 0 && channels > 1 {
            return Err(file.unsupported("grey from white to black, with transparency"));
        }
        let extra = channels.checked_sub(color.channels()).ok_or_else(|| file.broken("a color is missing"))?;
        let kinds = reader.find_tag_unsigned_vec::<u16>(Tag::ExtraSamples).map_err(broken)?;
        let kinds = kinds.unwrap_or(if extra == 1 { vec![2] } else { vec![] });
        let alpha = kinds
            .iter()
            .take(extra)
            .position(|kind| matches!(kind, 1 | 2))
            .map(|index| Alpha { channel: color.channels() + index, multiplied: kinds.get(index) == Some(&1) });
        let others = extra - usize::from(alpha.is_some());
        let channels = usize::from(reader.colortype().map_err(broken)?.num_samples());
        if alpha.is_some_and(|a| a.channel >= channels) {
            return Err(file.unsupported("transparency behind other channels"));
        }
        Ok(Shape { color, channels, bits, alpha, others })
    }
}

/// One, two or four bits a pixel, each so many times as large; rows begin at a byte.
fn unpacked(packed: &[u8], width: usize, bits: usize, times: u8) -> Vec<u8> {
    let mask = (1 << bits) - 1;
    let sample = |row: &[u8], x: usize| row[x * bits / 8] >> (8 - bits - x * bits % 8) & mask;
    let rows = packed.chunks((width * bits).div_ceil(8));
    rows.flat_map(|row| (0..width).map(move |x| sample(row, x) * times)).collect()
}

fn density(reader: &mut Reader) -> Option<Density> {
    let unit = match reader.find_tag_unsigned::<u16>(Tag::ResolutionUnit).ok()?.unwrap_or(2) {
        2 => Unit::In,
        3 => Unit::Cm,
        _ => return None,
    };
    let mut fraction = |tag| match reader.find_tag(tag).ok()?? {
        tiff::decoder::ifd::Value::Rational(n, d) => Some((n, d)),
        tiff::decoder::ifd::Value::List(list) => match list.first()? {
            tiff::decoder::ifd::Value::Rational(n, d) => Some((*n, *d)),
            _ => None,
        },
        _ => None,
    };
    Density::new(fraction(Tag::XResolution)?, fraction(Tag::YResolution)?, unit)
}

/// Whether a further picture is a page of its own, and no small copy or mask of the first.
fn has_another_page(reader: &mut Reader) -> bool {
    for _ in 0..TIFF_PAGES {
        if !reader.more_images() || reader.next_image().is_err() {
            return false;
        }
        let kind: u32 = reader.find_tag_unsigned(Tag::NewSubfileType).ok().flatten().unwrap_or(0);
        if kind & 0b101 == 0 {
            return true;
        }
    }
    true
}

/// Letters of a reason that are told.
const LONGEST: usize = 160;

fn said(file: &File, error: TiffError) -> ArtworkError {
    match error {
        TiffError::UnsupportedError(e) => {
            // It lists the bits of every sample, of which a file may name thousands.
            let what = e.to_string().to_lowercase();
            let first: String = what.chars().take(LONGEST).collect();
            file.unsupported(if first.len() < what.len() { first + " …" } else { what })
        }
        other => file.broken(other),
    }
}
