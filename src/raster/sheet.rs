//! A raster file being written, strip by strip.
//!
//! A strip is a run of whole rows that is compressed alone, so strips are compressed on all
//! cores and come in any order; each format decides where they go.

use std::io;

use crate::pixels::Resolution;

/// How a pixel is stored.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Channels {
    /// Red, green, blue; the ground is opaque.
    Rgb,
    /// Red, green, blue and alpha, not premultiplied.
    Rgba,
}

impl Channels {
    /// Bytes of one pixel.
    pub fn bytes(self) -> usize {
        match self {
            Channels::Rgb => 3,
            Channels::Rgba => 4,
        }
    }
}

/// What a raster file is to hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SheetSpec {
    /// Pixels across.
    pub width: u32,
    /// Pixels down.
    pub height: u32,
    /// Stored in the file.
    pub resolution: Resolution,
    /// How a pixel is stored.
    pub channels: Channels,
}

impl SheetSpec {
    /// Rows of one strip: about a megabyte, and a multiple of 16 for formats made of squares.
    pub fn strip_rows(&self) -> u32 {
        let row = self.row_bytes() as u32;
        ((1 << 20) / row.max(1)).clamp(16, 256) / 16 * 16
    }

    /// Bytes of one row.
    pub fn row_bytes(&self) -> usize {
        self.width as usize * self.channels.bytes()
    }

    /// How many strips hold the rows.
    pub fn strips(&self) -> usize {
        self.height.div_ceil(self.strip_rows()) as usize
    }

    /// The first row of a strip and the one after its last.
    pub(super) fn strip(&self, index: usize) -> [i64; 2] {
        let rows = i64::from(self.strip_rows());
        let first = index as i64 * rows;
        [first, (first + rows).min(i64::from(self.height))]
    }
}

/// A strip as it goes into the file.
#[derive(Debug)]
pub struct Packed {
    /// The compressed bytes.
    pub(super) data: Vec<u8>,
    /// What a format needs to join strips: here Adler-32 and the count of raw bytes.
    pub(super) adler: u32,
    pub(super) raw: u64,
}

/// A format's writer.
pub trait Sheet: Sync + Send {
    /// Compresses the rows of one strip; called on any thread.
    fn pack(&self, rows: &[u8], spec: &SheetSpec) -> Packed;

    /// Writes a strip; strips come in any order, each once.
    ///
    /// # Errors
    /// What the disk says.
    fn put(&mut self, index: usize, strip: Packed) -> io::Result<()>;

    /// Writes what comes last. The file is whole only after this.
    ///
    /// # Errors
    /// What the disk says.
    fn finish(&mut self) -> io::Result<()>;
}

impl<T: Sheet + ?Sized> Sheet for &mut T {
    fn pack(&self, rows: &[u8], spec: &SheetSpec) -> Packed {
        (**self).pack(rows, spec)
    }

    fn put(&mut self, index: usize, strip: Packed) -> io::Result<()> {
        (**self).put(index, strip)
    }

    fn finish(&mut self) -> io::Result<()> {
        (**self).finish()
    }
}
