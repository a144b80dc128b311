//! From the plan to pixels, and the files that hold them.
//!
//! Each placement is painted once, alone, and laid on the cloth by whole pixels; one row of
//! the lattice is painted and the tile woven from it ([`mod@cloth`], [`mod@weave`]). That makes the
//! raster exact by construction: moved by whole pixels it is the same picture, rolled.

#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "pixels are counted in i64, which may be off the canvas, and indexed in usize once they are on it; \
              a side has at most MOST_PIXELS"
)]

mod census;
mod chunks;
mod cloth;
mod compose;
mod error;
mod jpeg;
mod later;
mod laying;
mod node;
mod page;
mod painting;
mod pasting;
mod png;
mod readback;
mod rows;
mod seams;
mod sheet;
#[cfg(test)]
mod tests;
mod tiff;
mod weave;
mod window;

use std::fs::File;
use std::io;

pub use census::Colors;
pub use error::RasterError;
pub use node::node;
pub use page::{hold_size, page};
pub use png::PngColors;
pub use readback::ReadBackError;
pub use rows::write;
pub use seams::Seams;
pub use sheet::{Channels, SheetSpec};
pub use tiff::{SRGB, TiffPacking};
pub use weave::Woven;
pub use window::window;

use crate::artwork::Motif;
use crate::limits::Limit;
use crate::pixels::Resolution;
use crate::progress::Progress;
use crate::wrap::Copies;
use cloth::Cloth;
use sheet::{Packed, Sheet};

/// A raster file format.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Format {
    /// PNG, lossless.
    Png(PngColors),
    /// TIFF, lossless.
    Tiff(TiffPacking),
    /// JPEG of this quality, 1 to 100; it needs an opaque ground.
    Jpeg(u8),
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

/// Refuses a plan that takes more pixels than the limit: paintings, each once, and the tile.
///
/// # Errors
/// [`RasterError::TooMuch`].
pub fn hold(copies: &Copies, motifs: &[Motif], limit: Limit) -> Result<(), RasterError> {
    let tile = copies.tile().width as f64 * copies.tile().height as f64;
    let takes = Cloth::new(copies, motifs).effort();
    let pixels = tile + takes.iter().sum::<f64>();
    if pixels <= limit.most as f64 {
        return Ok(());
    }
    let most = (0..motifs.len()).max_by(|a, b| takes[*a].total_cmp(&takes[*b]));
    let name = most.map_or(String::new(), |most| motifs[most].name().into());
    Err(RasterError::TooMuch { name, pixels, limit })
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
    let mut opened = targets.into_iter().map(|t| Opened::begin(t, &spec)).collect::<Result<Vec<_>, _>>()?;
    let mut sheets = opened.iter_mut().map(|o| o.sheet(&spec)).collect::<io::Result<Vec<_>>>()?;
    let mut sheets: Vec<&mut dyn Sheet> = sheets.iter_mut().map(|s| &mut **s as &mut dyn Sheet).collect();
    let mut cloth = Cloth::new(copies, motifs);
    weave::weave(&mut cloth, copies.lattice(), spec, &mut sheets, progress)
}

/// Reads a finished file again (`open` gives a new handle at its start) and holds it against what was painted.
///
/// A lossy format may come back with a remark: what it did to the joins.
///
/// # Errors
/// The first thing that differs.
pub fn read_back(
    format: &Format,
    open: &(dyn Fn() -> io::Result<File> + Sync),
    woven: &Woven,
) -> Result<Option<String>, ReadBackError> {
    match format {
        Format::Png(colors) => readback::png(open, woven, colors).map(|()| None),
        Format::Tiff(_) => readback::tiff(open, woven).map(|()| None),
        Format::Jpeg(_) => readback::jpeg(open, woven),
    }
}

/// Paints a plan and tells its colors.
///
/// # Errors
/// As [`paint`].
pub fn colors(copies: &Copies, motifs: &[Motif], spec: SheetSpec) -> Result<Colors, RasterError> {
    let mut census = census::Census::default();
    weave::weave(&mut Cloth::new(copies, motifs), copies.lattice(), spec, &mut [&mut census], &())?;
    Ok(census.result())
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
    Jpeg(Box<jpeg::Jpeg>),
}

impl Opened {
    fn begin(target: Target, spec: &SheetSpec) -> Result<Opened, RasterError> {
        let Target { format, file, scratch } = target;
        Ok(match format {
            Format::Png(colors) => Opened::Png(Box::new(png::Png::begin(file, scratch, spec, colors)?)),
            Format::Tiff(packing) => Opened::Tiff(Box::new(tiff::TiffFile::begin(file, spec)?), packing),
            Format::Jpeg(_) if spec.channels != Channels::Rgb => return Err(RasterError::NoGround),
            Format::Jpeg(_) if spec.width.max(spec.height) > jpeg::MOST => {
                return Err(RasterError::TooLargeForJpeg { width: spec.width, height: spec.height });
            }
            Format::Jpeg(quality) => Opened::Jpeg(Box::new(jpeg::Jpeg::begin(file, scratch, spec, quality))),
        })
    }

    fn sheet(&mut self, spec: &SheetSpec) -> io::Result<Box<dyn Sheet + '_>> {
        Ok(match self {
            Opened::Png(png) => Box::new(&mut **png),
            Opened::Tiff(tiff, packing) => tiff.sheet(spec, *packing)?,
            Opened::Jpeg(jpeg) => Box::new(&mut **jpeg),
        })
    }
}
