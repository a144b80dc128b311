//! PNG (W3C PNG third edition): the picture's deflate stream joined from strips that were
//! compressed apart, the way RFC 1951 allows: each strip ends on a byte with a flush.

use std::fs::File;
use std::io::{self, BufWriter, Read, Seek, SeekFrom, Write};

use flate2::{Compress, Compression, FlushCompress, Status};

use super::sheet::{Channels, Packed, Sheet, SheetSpec};

/// Writes a PNG of 8 bits a channel, sRGB, with its resolution.
pub struct Png {
    file: BufWriter<File>,
    /// Strips that came before their turn wait here.
    later: File,
    waiting: Vec<Option<Waiting>>,
    next: usize,
    adler: u32,
}

struct Waiting {
    at: u64,
    len: usize,
    adler: u32,
    raw: u64,
}

impl Png {
    /// Begins a file; `later` is an empty scratch file that is dropped afterwards.
    ///
    /// # Errors
    /// What the disk says.
    pub fn begin(file: File, later: File, spec: &SheetSpec) -> io::Result<Png> {
        let mut file = BufWriter::with_capacity(1 << 18, file);
        file.write_all(b"\x89PNG\r\n\x1a\n")?;
        let mut header = Vec::with_capacity(13);
        header.extend_from_slice(&spec.width.to_be_bytes());
        header.extend_from_slice(&spec.height.to_be_bytes());
        let color_type = match spec.channels {
            Channels::Rgb => 2,
            Channels::Rgba => 6,
        };
        header.extend_from_slice(&[8, color_type, 0, 0, 0]);
        chunk(&mut file, *b"IHDR", &header)?;
        // 0: perceptual intent. gAMA and cHRM are for readers that don't know sRGB.
        chunk(&mut file, *b"sRGB", &[0])?;
        chunk(&mut file, *b"gAMA", &45_455u32.to_be_bytes())?;
        let primaries = [31_270u32, 32_900, 64_000, 33_000, 30_000, 60_000, 15_000, 6_000];
        chunk(&mut file, *b"cHRM", &primaries.map(u32::to_be_bytes).concat())?;
        let per_metre = spec.resolution.px_per_metre().to_be_bytes();
        chunk(&mut file, *b"pHYs", &[&per_metre[..], &per_metre[..], &[1]].concat())?;
        chunk(&mut file, *b"IDAT", &[0x78, 0x01])?;
        let waiting = (0..spec.strips()).map(|_| None).collect();
        Ok(Png { file, later, waiting, next: 0, adler: 1 })
    }

    fn write(&mut self, strip: &Packed) -> io::Result<()> {
        chunk(&mut self.file, *b"IDAT", &strip.data)?;
        self.adler = adler_join(self.adler, strip.adler, strip.raw);
        self.next += 1;
        Ok(())
    }

    /// Writes the strips whose turn has come.
    fn catch_up(&mut self) -> io::Result<()> {
        while let Some(waiting) = self.waiting.get_mut(self.next).and_then(Option::take) {
            let mut data = vec![0; waiting.len];
            self.later.seek(SeekFrom::Start(waiting.at))?;
            self.later.read_exact(&mut data)?;
            self.write(&Packed { data, adler: waiting.adler, raw: waiting.raw })?;
        }
        Ok(())
    }
}

impl Sheet for Png {
    fn pack(&self, rows: &[u8], spec: &SheetSpec) -> Packed {
        let filtered = filter(rows, spec);
        let data = deflate(&filtered, Compression::new(1));
        Packed { data, adler: simd_adler32::adler32(&filtered.as_slice()), raw: filtered.len() as u64 }
    }

    fn put(&mut self, index: usize, strip: Packed) -> io::Result<()> {
        if index == self.next {
            self.write(&strip)?;
            return self.catch_up();
        }
        let at = self.later.seek(SeekFrom::End(0))?;
        self.later.write_all(&strip.data)?;
        self.waiting[index] = Some(Waiting { at, len: strip.data.len(), adler: strip.adler, raw: strip.raw });
        Ok(())
    }

    fn finish(&mut self) -> io::Result<()> {
        self.catch_up()?;
        if self.next != self.waiting.len() {
            return Err(io::Error::other("a strip of the picture was never painted"));
        }
        // An empty last block, then the checksum of all filtered rows (RFC 1950).
        let end = [&[0x03, 0x00][..], &self.adler.to_be_bytes()].concat();
        chunk(&mut self.file, *b"IDAT", &end)?;
        chunk(&mut self.file, *b"IEND", &[])?;
        self.file.flush()
    }
}

/// Row filters (PNG 9.2): the first row of a strip stands alone, the others say what changed
/// from the row above, which on flat art is mostly nothing.
fn filter(rows: &[u8], spec: &SheetSpec) -> Vec<u8> {
    const NONE: u8 = 0;
    const UP: u8 = 2;
    let row_bytes = spec.row_bytes();
    let mut out = Vec::with_capacity(rows.len() + rows.len() / row_bytes);
    let mut above: Option<&[u8]> = None;
    for row in rows.chunks_exact(row_bytes) {
        match above {
            None => {
                out.push(NONE);
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
        let bytes: Vec<u8> = (0..200_000u32).map(|n| (n * n >> 3) as u8).collect();
        for cut in [0, 1, 65_521, 131_043, 200_000] {
            let [a, b] = [&bytes[..cut], &bytes[cut..]].map(|part| simd_adler32::adler32(&part));
            assert_eq!(adler_join(a, b, (bytes.len() - cut) as u64), simd_adler32::adler32(&bytes.as_slice()), "{cut}");
        }
    }
}
