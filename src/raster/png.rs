//! PNG (W3C PNG third edition): the picture's deflate stream joined from strips that were
//! compressed apart, the way RFC 1951 allows: each strip ends on a byte with a flush.

use std::fs::File;
use std::io::{self, BufWriter, Write};

use flate2::{Compress, Compression, FlushCompress, Status};

use super::later::InOrder;
use super::sheet::{Channels, Packed, Sheet, SheetSpec};

/// How a PNG keeps its colors.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum PngColors {
    /// As painted: RGB, or RGBA without a ground.
    #[default]
    Full,
    /// One channel; every pixel is an opaque grey.
    Grey,
    /// At most 256 colors, RGBA, in the order of their numbers.
    Palette(Vec<[u8; 4]>),
}

/// A PNG, sRGB, with its resolution.
pub(super) struct Png {
    file: BufWriter<File>,
    strips: InOrder,
    colors: PngColors,
    adler: u32,
}

impl Png {
    pub(super) fn begin(file: File, scratch: File, spec: &SheetSpec, colors: PngColors) -> io::Result<Png> {
        let mut file = BufWriter::with_capacity(1 << 18, file);
        file.write_all(b"\x89PNG\r\n\x1a\n")?;
        let mut header = Vec::with_capacity(13);
        header.extend_from_slice(&spec.width.to_be_bytes());
        header.extend_from_slice(&spec.height.to_be_bytes());
        let color_type = match (&colors, spec.channels) {
            (PngColors::Grey, _) => 0,
            (PngColors::Palette(_), _) => 3,
            (PngColors::Full, Channels::Rgb) => 2,
            (PngColors::Full, Channels::Rgba) => 6,
        };
        header.extend_from_slice(&[colors.bits(), color_type, 0, 0, 0]);
        chunk(&mut file, *b"IHDR", &header)?;
        // 0: perceptual intent. gAMA and cHRM are for readers that don't know sRGB.
        chunk(&mut file, *b"sRGB", &[0])?;
        chunk(&mut file, *b"gAMA", &45_455u32.to_be_bytes())?;
        let primaries = [31_270u32, 32_900, 64_000, 33_000, 30_000, 60_000, 15_000, 6_000];
        chunk(&mut file, *b"cHRM", &primaries.map(u32::to_be_bytes).concat())?;
        let per_metre = spec.resolution.px_per_metre().to_be_bytes();
        chunk(&mut file, *b"pHYs", &[&per_metre[..], &per_metre[..], &[1]].concat())?;
        if let PngColors::Palette(colors) = &colors {
            let rgb: Vec<u8> = colors.iter().flat_map(|c| c[..3].to_vec()).collect();
            chunk(&mut file, *b"PLTE", &rgb)?;
            if colors.iter().any(|c| c[3] != 255) {
                chunk(&mut file, *b"tRNS", &colors.iter().map(|c| c[3]).collect::<Vec<_>>())?;
            }
        }
        chunk(&mut file, *b"IDAT", &[0x78, 0x01])?;
        Ok(Png { file, strips: InOrder::new(scratch, spec.strips()), colors, adler: 1 })
    }
}

impl Sheet for Png {
    fn pack(&self, rows: &[u8], spec: &SheetSpec) -> Packed {
        let filtered = match &self.colors {
            // Numbers of colors are no amounts: what changed from the row above says nothing.
            PngColors::Palette(_) => unfiltered(&self.colors.stored(rows, spec), self.colors.row_bytes(spec)),
            PngColors::Grey => filtered(&self.colors.stored(rows, spec), spec.width as usize),
            PngColors::Full => filtered(rows, spec.row_bytes()),
        };
        let data = deflate(&filtered, Compression::new(1));
        Packed { data, adler: simd_adler32::adler32(&filtered.as_slice()), raw: filtered.len() as u64 }
    }

    fn put(&mut self, index: usize, strip: Packed) -> io::Result<()> {
        let (file, adler) = (&mut self.file, &mut self.adler);
        self.strips.put(index, strip, |strip| {
            *adler = adler_join(*adler, strip.adler, strip.raw);
            chunk(file, *b"IDAT", &strip.data)
        })
    }

    fn finish(&mut self) -> io::Result<()> {
        self.strips.finish()?;
        // An empty last block, then the checksum of all filtered rows (RFC 1950).
        let end = [&[0x03, 0x00][..], &self.adler.to_be_bytes()].concat();
        chunk(&mut self.file, *b"IDAT", &end)?;
        chunk(&mut self.file, *b"IEND", &[])?;
        self.file.flush()
    }
}

impl PngColors {
    /// Bits of one stored sample: as few as the palette's numbers need (PNG 11.2.1).
    pub(super) fn bits(&self) -> u8 {
        match self {
            PngColors::Palette(colors) => match colors.len() {
                0..=2 => 1,
                3..=4 => 2,
                5..=16 => 4,
                _ => 8,
            },
            PngColors::Full | PngColors::Grey => 8,
        }
    }

    fn row_bytes(&self, spec: &SheetSpec) -> usize {
        (spec.width as usize * usize::from(self.bits())).div_ceil(8)
    }

    /// Rows as a grey or palette PNG stores them; the leftmost pixel in the highest bits.
    fn stored(&self, rows: &[u8], spec: &SheetSpec) -> Vec<u8> {
        let bytes = spec.channels.bytes();
        let PngColors::Palette(colors) = self else {
            return rows.chunks_exact(bytes).map(|pixel| pixel[0]).collect();
        };
        let number = |pixel: &[u8]| {
            let color = [pixel[0], pixel[1], pixel[2], *pixel.get(3).unwrap_or(&255)];
            colors.binary_search(&color).unwrap_or_default() as u8
        };
        let bits = usize::from(self.bits());
        let mut out = Vec::with_capacity(rows.len() / bytes);
        for row in rows.chunks_exact(spec.row_bytes()) {
            for eight in row.chunks(bytes * 8 / bits) {
                let parts = eight.chunks_exact(bytes).enumerate();
                out.push(parts.fold(0, |byte, (i, pixel)| byte | (number(pixel) << (8 - bits * (i + 1)))));
            }
        }
        out
    }
}

/// Row filters (PNG 9.2): the first row of a strip stands alone, the others say what changed
/// from the row above, which on flat art is mostly nothing.
fn filtered(rows: &[u8], row_bytes: usize) -> Vec<u8> {
    const UP: u8 = 2;
    let mut out = Vec::with_capacity(rows.len() + rows.len() / row_bytes);
    let mut above: Option<&[u8]> = None;
    for row in rows.chunks_exact(row_bytes) {
        match above {
            None => {
                out.push(NO_FILTER);
                out.extend_from_slice(row);
            }
            Some(above) => {
                out.push(UP);
                out.extend(row.iter().zip(above).map(|(c, up)| c.wrapping_sub(*up)));
            }
        }
        above = Some(row);
    }
    out
}

const NO_FILTER: u8 = 0;

fn unfiltered(rows: &[u8], row_bytes: usize) -> Vec<u8> {
    rows.chunks_exact(row_bytes).flat_map(|row| [&[NO_FILTER], row].concat()).collect()
}

/// A raw deflate stream that ends on a byte, without its last block.
fn deflate(data: &[u8], level: Compression) -> Vec<u8> {
    let mut compress = Compress::new(level, false);
    let mut out = Vec::with_capacity(data.len() / 8 + 1024);
    loop {
        out.reserve(data.len() / 8 + 1024);
        let from = compress.total_in() as usize;
        let status = compress.compress_vec(&data[from..], &mut out, FlushCompress::Sync);
        let room = out.len() < out.capacity();
        if !matches!(status, Ok(Status::Ok)) || (compress.total_in() as usize == data.len() && room) {
            return out;
        }
    }
}

/// Adler-32 of two runs of bytes from that of each (RFC 1950, 8.2: sums modulo 65 521).
fn adler_join(first: u32, second: u32, second_len: u64) -> u32 {
    const BASE: u64 = 65_521;
    let (a1, b1) = (u64::from(first & 0xffff), u64::from(first >> 16));
    let (a2, b2) = (u64::from(second & 0xffff), u64::from(second >> 16));
    let len = second_len % BASE;
    let a = (a1 + a2 + BASE - 1) % BASE;
    let b = (b1 + b2 + len * (a1 + BASE - 1)) % BASE;
    ((b << 16) | a) as u32
}

fn chunk(file: &mut impl Write, kind: [u8; 4], data: &[u8]) -> io::Result<()> {
    let len = u32::try_from(data.len()).map_err(io::Error::other)?;
    let mut crc = crc32fast::Hasher::new();
    crc.update(&kind);
    crc.update(data);
    file.write_all(&len.to_be_bytes())?;
    file.write_all(&kind)?;
    file.write_all(data)?;
    file.write_all(&crc.finalize().to_be_bytes())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn checksums_join() {
        let bytes: Vec<u8> = (0..200_000u32).map(|n| ((n * n) >> 3) as u8).collect();
        for cut in [0, 1, 65_521, 131_043, 200_000] {
            let [a, b] = [&bytes[..cut], &bytes[cut..]].map(|part| simd_adler32::adler32(&part));
            assert_eq!(adler_join(a, b, (bytes.len() - cut) as u64), simd_adler32::adler32(&bytes.as_slice()), "{cut}");
        }
    }
}
