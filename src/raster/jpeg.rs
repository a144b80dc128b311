//! JPEG (ITU-T T.81) in the JFIF wrapper (T.871), joined from strips that were compressed
//! apart: each strip is one restart interval, so it depends on no other.

use std::fs::File;
use std::io::{self, BufWriter, Write};

use jpeg_encoder::{ColorType, Encoder, PixelDensity, PixelDensityUnit, SamplingFactor};

use super::later::InOrder;
use super::sheet::{Packed, Sheet, SheetSpec};
use super::tiff::SRGB;

/// The most pixels a side that a JPEG counts.
pub(super) const MOST: u32 = 65_535;

/// A JPEG of full color resolution (4:4:4), sRGB, with its resolution.
pub(super) struct Jpeg {
    file: BufWriter<File>,
    strips: InOrder,
    quality: u8,
    height: u32,
    written: usize,
}

impl Jpeg {
    pub(super) fn begin(file: File, scratch: File, spec: &SheetSpec, quality: u8) -> Jpeg {
        let file = BufWriter::with_capacity(1 << 18, file);
        Jpeg { file, strips: InOrder::new(scratch, spec.strips()), quality, height: spec.height, written: 0 }
    }
}

impl Sheet for Jpeg {
    /// A whole JPEG of the strip alone.
    fn pack(&self, rows: &[u8], spec: &SheetSpec) -> Packed {
        let mut data = Vec::with_capacity(rows.len() / 8);
        let mut encoder = Encoder::new(&mut data, self.quality);
        encoder.set_sampling_factor(SamplingFactor::F_1_1);
        let dpi = spec.resolution.value().round() as u16;
        encoder.set_density(PixelDensity { density: (dpi, dpi), unit: PixelDensityUnit::Inches });
        // The profile has 616 bytes and a segment takes 65 519, so it always fits.
        let _ = encoder.add_icc_profile(SRGB);
        // Blocks of 8 × 8 in a whole strip; at most 2 048 across and 256 rows, within 16 bits.
        encoder.set_restart_interval((spec.width.div_ceil(8) * (spec.strip_rows() / 8)) as u16);
        let height = (rows.len() / spec.row_bytes()) as u16;
        // Writing to memory can't fail, and size and color are right by construction.
        let _ = encoder.encode(rows, spec.width as u16, height, ColorType::Rgb);
        Packed { data, adler: 0, raw: rows.len() as u64 }
    }

    fn put(&mut self, index: usize, strip: Packed) -> io::Result<()> {
        let (file, written, height) = (&mut self.file, &mut self.written, self.height);
        self.strips.put(index, strip, |strip| {
            let broken = || io::Error::other("a strip is no JPEG");
            let (frame, scan) = parts(&strip.data).ok_or_else(broken)?;
            if *written == 0 {
                let mut header = strip.data[..scan].to_vec();
                let tall = u16::try_from(height).map_err(io::Error::other)?.to_be_bytes();
                header[frame + 5..frame + 7].copy_from_slice(&tall);
                file.write_all(&header)?;
            } else {
                // RST0 … RST7 in turn stand between intervals (T.81, E.1.4).
                file.write_all(&[0xff, 0xd0 + ((*written - 1) % 8) as u8])?;
            }
            *written += 1;
            file.write_all(&strip.data[scan..strip.data.len() - 2])
        })
    }

    fn finish(&mut self) -> io::Result<()> {
        self.strips.finish()?;
        self.file.write_all(&[0xff, 0xd9])?; // EOI
        self.file.flush()
    }
}

/// Where the frame header (SOF0) begins, and where the scan's data (behind SOS).
fn parts(jpeg: &[u8]) -> Option<(usize, usize)> {
    let (mut at, mut frame) = (2, None);
    loop {
        let marker = *jpeg.get(at + 1)?;
        let len = usize::from(u16::from_be_bytes([*jpeg.get(at + 2)?, *jpeg.get(at + 3)?]));
        match marker {
            0xc0 => frame = Some(at),
            0xda => return Some((frame?, at + 2 + len)),
            _ => {}
        }
        at += 2 + len;
    }
}
