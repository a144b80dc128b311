//! From the plan to pixels, and the files that hold them.
//!
//! Each placement is painted once, alone, and laid on the cloth by whole pixels; one row of
//! the lattice is painted and the tile woven from it ([`mod@cloth`], [`mod@weave`]). That makes the
//! raster exact by construction: moved by whole pixels it is the same picture, rolled.

mod cloth;
mod compose;
mod laying;
mod painting;
mod png;
mod readback;
mod sheet;
mod tiff;
mod weave;

use std::fs::File;
use std::io;

pub use readback::ReadBackError;
pub use sheet::{Channels, SheetSpec};
pub use tiff::TiffPacking;
pub use weave::Woven;

use crate::artwork::Motif;
use crate::pixels::Resolution;
use crate::wrap::Copies;
use cloth::Cloth;
use sheet::{Packed, Sheet};

/// Why a raster was not made.
#[derive(Debug, thiserror::Error)]
pub enum RasterError {
    /// A painting no canvas can hold.
    #[error("a motif comes to {width} × {height} px, more than can be painted; write a smaller width or a lower resolution")]
    TooLarge {
        /// Its pixels across.
        width: i64,
        /// Its pixels down.
        height: i64,
    },
    /// The disk refused.
    #[error(transparent)]
    Disk(#[from] io::Error),
    /// Asked to stop.
    #[error("stopped")]
    Stopped,
}

/// Hears how far the painting is, and may stop it.
pub trait Progress: Sync {
    /// So many more rows of the tile are done.
    fn rows(&self, _count: u64) {}

    /// Should the painting stop?
    fn stopped(&self) -> bool {
        false
    }
}

/// Hears nothing.
impl Progress for () {}

/// A raster file format.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// PNG, lossless.
    Png,
    /// TIFF, lossless.
    Tiff(TiffPacking),
}

/// An empty file to write, and an empty scratch file that may be used meanwhile.
#[derive(Debug)]
pub struct Target {
    /// What to write.
    pub format: Format,
    /// Where.
    pub file: File,
    /// Dropped afterwards.
    pub scratch: File,
}

/// What a plan's raster will hold.
///
/// # Errors
/// A tile with more pixels a side than a `u32` counts.
pub fn spec(copies: &Copies, resolution: Resolution) -> Result<SheetSpec, RasterError> {
    let tile = copies.tile();
    let (width, height) = (u32::try_from(tile.width), u32::try_from(tile.height));
    let (Ok(width), Ok(height)) = (width, height) else {
        return Err(RasterError::TooLarge { width: tile.width, height: tile.height });
    };
    let channels = if copies.ground().is_some() { Channels::Rgb } else { Channels::Rgba };
    Ok(SheetSpec { width, height, resolution, channels })
}

/// Paints a plan once and writes it to every target.
///
/// # Errors
/// What the disk says, or that it was stopped; the files are then not whole.
pub fn paint(
    copies: &Copies,
    motifs: &[Motif],
    spec: SheetSpec,
    targets: Vec<Target>,
    progress: &dyn Progress,
) -> Result<Woven, RasterError> {
    let mut opened = targets.into_iter().map(|t| Opened::begin(t, &spec)).collect::<io::Result<Vec<_>>>()?;
    let mut sheets = opened.iter_mut().map(|o| o.sheet(&spec)).collect::<io::Result<Vec<_>>>()?;
    let mut sheets: Vec<&mut dyn Sheet> = sheets.iter_mut().map(|s| &mut **s as &mut dyn Sheet).collect();
    let mut cloth = Cloth::new(copies, motifs);
    weave::weave(&mut cloth, copies.lattice(), spec, &mut sheets, progress)
}

/// Reads a finished file again and holds it against what was painted.
///
/// # Errors
/// The first thing that differs.
pub fn read_back(format: Format, file: File, woven: &Woven) -> Result<(), ReadBackError> {
    match format {
        Format::Png => readback::png(file, woven),
        Format::Tiff(_) => readback::tiff(file, woven),
    }
}

/// Paints a plan into memory: rows of the tile in the channels of its [`spec`].
///
/// # Errors
/// As [`paint`].
pub fn pixels(copies: &Copies, motifs: &[Motif], spec: SheetSpec) -> Result<Vec<u8>, RasterError> {
    let mut memory = Memory { rows: vec![0; spec.row_bytes() * spec.height as usize], spec };
    weave::weave(&mut Cloth::new(copies, motifs), copies.lattice(), spec, &mut [&mut memory], &())?;
    Ok(memory.rows)
}

/// A sheet that stays in memory.
struct Memory {
    rows: Vec<u8>,
    spec: SheetSpec,
}

impl Sheet for Memory {
    fn pack(&self, rows: &[u8], _: &SheetSpec) -> Packed {
        Packed { data: rows.to_vec(), adler: 0, raw: rows.len() as u64 }
    }

    fn put(&mut self, index: usize, strip: Packed) -> io::Result<()> {
        let start = self.spec.strip(index)[0] as usize * self.spec.row_bytes();
        self.rows[start..start + strip.data.len()].copy_from_slice(&strip.data);
        Ok(())
    }

    fn finish(&mut self) -> io::Result<()> {
        Ok(())
    }
}

enum Opened {
    Png(Box<png::Png>),
    Tiff(Box<tiff::TiffFile>, TiffPacking),
}

impl Opened {
    fn begin(target: Target, spec: &SheetSpec) -> io::Result<Opened> {
        Ok(match target.format {
            Format::Png => Opened::Png(Box::new(png::Png::begin(target.file, target.scratch, spec)?)),
            Format::Tiff(packing) => Opened::Tiff(Box::new(tiff::TiffFile::begin(target.file, spec)?), packing),
        })
    }

    fn sheet(&mut self, spec: &SheetSpec) -> io::Result<Box<dyn Sheet + '_>> {
        Ok(match self {
            Opened::Png(png) => Box::new(&mut **png),
            Opened::Tiff(tiff, packing) => tiff.sheet(spec, *packing)?,
        })
    }
}
