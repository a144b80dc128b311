//! TIFF 6.0 (BigTIFF above 4 GB): strips compressed apart, in whatever order they come.

use std::fs::File;
use std::io::{self, Write};

use flate2::Compression;
use flate2::write::ZlibEncoder;
use tiff::TiffError;
use tiff::encoder::{DirectoryEncoder, Rational, TiffEncoder, TiffKind, TiffKindBig, TiffKindStandard};
use tiff::tags::Tag;

use super::sheet::{Channels, Packed, Sheet, SheetSpec};

/// How the strips of a TIFF are packed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum TiffPacking {
    /// Deflate (zlib), the smallest of the three and read by all current programs.
    #[default]
    Deflate,
    /// LZW with horizontal differences, for old programs.
    Lzw,
    /// Not packed.
    None,
}

/// The sRGB profile that is put into files: ICC.1 version 4, made with moxcms 0.9.2.
pub const SRGB: &[u8] = include_bytes!("srgb.icc");

/// A file that could pass 4 GB must be BigTIFF, whose offsets have 64 bits.
const MOST_CLASSIC: u64 = 3_900_000_000;

/// A TIFF file being written; [`TiffFile::sheet`] takes the strips.
pub(super) enum TiffFile {
    Classic(TiffEncoder<File, TiffKindStandard>),
    Big(TiffEncoder<File, TiffKindBig>),
}

impl TiffFile {
    /// Not through a buffer: strips are large, and the encoder would drop it without hearing of a full disk.
    pub(super) fn begin(file: File, spec: &SheetSpec) -> io::Result<TiffFile> {
        let raw = spec.row_bytes() as u64 * u64::from(spec.height);
        Ok(if raw < MOST_CLASSIC {
            TiffFile::Classic(TiffEncoder::new(file).map_err(disk)?)
        } else {
            TiffFile::Big(TiffEncoder::new_big(file).map_err(disk)?)
        })
    }

    pub(super) fn sheet(&mut self, spec: &SheetSpec, packing: TiffPacking) -> io::Result<Box<dyn Sheet + '_>> {
        Ok(match self {
            TiffFile::Classic(encoder) => Box::new(Tiff::new(encoder.image_directory().map_err(disk)?, spec, packing)),
            TiffFile::Big(encoder) => Box::new(Tiff::new(encoder.image_directory().map_err(disk)?, spec, packing)),
        })
    }
}

struct Tiff<'a, K: TiffKind> {
    directory: Option<DirectoryEncoder<'a, File, K>>,
    spec: SheetSpec,
    packing: TiffPacking,
    offsets: Vec<u64>,
    counts: Vec<u32>,
}

impl<'a, K: TiffKind> Tiff<'a, K> {
    fn new(directory: DirectoryEncoder<'a, File, K>, spec: &SheetSpec, packing: TiffPacking) -> Self {
        let (offsets, counts) = (vec![0; spec.strips()], vec![0; spec.strips()]);
        Tiff { directory: Some(directory), spec: *spec, packing, offsets, counts }
    }
}

impl<K: TiffKind + Send + Sync> Sheet for Tiff<'_, K> {
    fn pack(&self, rows: &[u8], spec: &SheetSpec) -> Packed {
        let data = match self.packing {
            TiffPacking::Deflate => zlib(rows),
            TiffPacking::Lzw => lzw(&differences(rows, spec)),
            TiffPacking::None => rows.to_vec(),
        };
        Packed { data, adler: 0, raw: rows.len() as u64 }
    }

    fn put(&mut self, index: usize, strip: Packed) -> io::Result<()> {
        let directory = self.directory.as_mut().ok_or_else(finished)?;
        self.offsets[index] = directory.write_data(&strip.data[..]).map_err(disk)?;
        self.counts[index] = u32::try_from(strip.data.len()).map_err(io::Error::other)?;
        Ok(())
    }

    fn finish(&mut self) -> io::Result<()> {
        let mut directory = self.directory.take().ok_or_else(finished)?;
        if self.counts.contains(&0) {
            return Err(io::Error::other("a strip of the picture was never painted"));
        }
        self.tags(&mut directory).map_err(disk)?;
        directory.finish().map_err(disk)
    }
}

impl<K: TiffKind> Tiff<'_, K> {
    /// The fields of a baseline RGB image (TIFF 6.0, section 6), its profile and resolution.
    fn tags(&self, d: &mut DirectoryEncoder<'_, File, K>) -> Result<(), TiffError> {
        let samples = self.spec.channels.bytes() as u16;
        let compression = match self.packing {
            TiffPacking::Deflate => 8u16,
            TiffPacking::Lzw => 5,
            TiffPacking::None => 1,
        };
        d.write_tag(Tag::ImageWidth, self.spec.width)?;
        d.write_tag(Tag::ImageLength, self.spec.height)?;
        d.write_tag(Tag::BitsPerSample, &vec![8u16; samples.into()][..])?;
        d.write_tag(Tag::Compression, compression)?;
        d.write_tag(Tag::PhotometricInterpretation, 2u16)?;
        d.write_tag(Tag::SamplesPerPixel, samples)?;
        d.write_tag(Tag::RowsPerStrip, self.spec.strip_rows())?;
        match self.offsets.iter().map(|n| u32::try_from(*n)).collect::<Result<Vec<u32>, _>>() {
            Ok(offsets) => d.write_tag(Tag::StripOffsets, &offsets[..])?,
            Err(_) => d.write_tag(Tag::StripOffsets, &self.offsets[..])?,
        }
        d.write_tag(Tag::StripByteCounts, &self.counts[..])?;
        let (num, den) = self.spec.resolution.fraction();
        let (n, d32) = (u32::try_from(num).unwrap_or(u32::MAX), u32::try_from(den).unwrap_or(1));
        d.write_tag(Tag::XResolution, Rational { n, d: d32 })?;
        d.write_tag(Tag::YResolution, Rational { n, d: d32 })?;
        d.write_tag(Tag::PlanarConfiguration, 1u16)?;
        d.write_tag(Tag::ResolutionUnit, 2u16)?;
        if self.packing == TiffPacking::Lzw {
            d.write_tag(Tag::Predictor, 2u16)?;
        }
        if self.spec.channels == Channels::Rgba {
            d.write_tag(Tag::ExtraSamples, &[2u16][..])?; // 2: alpha not multiplied in
        }
        d.write_tag(Tag::IccProfile, SRGB)
    }
}

fn zlib(rows: &[u8]) -> Vec<u8> {
    let mut out = ZlibEncoder::new(Vec::with_capacity(rows.len() / 8 + 1024), Compression::new(1));
    // A Vec takes all that is written.
    let _ = out.write_all(rows);
    out.finish().unwrap_or_default()
}

fn lzw(rows: &[u8]) -> Vec<u8> {
    let mut encoder = weezl::encode::Encoder::with_tiff_size_switch(weezl::BitOrder::Msb, 8);
    encoder.encode(rows).unwrap_or_default()
}

/// Each sample less the one to its left (TIFF 6.0, section 14: predictor 2).
fn differences(rows: &[u8], spec: &SheetSpec) -> Vec<u8> {
    let samples = spec.channels.bytes();
    let mut out = rows.to_vec();
    for (row, out) in rows.chunks_exact(spec.row_bytes()).zip(out.chunks_exact_mut(spec.row_bytes())) {
        for (i, sample) in out.iter_mut().enumerate().skip(samples) {
            *sample = row[i].wrapping_sub(row[i - samples]);
        }
    }
    out
}

fn finished() -> io::Error {
    io::Error::other("the file is already finished")
}

fn disk(error: TiffError) -> io::Error {
    match error {
        TiffError::IoError(error) => error,
        other => io::Error::other(other),
    }
}
