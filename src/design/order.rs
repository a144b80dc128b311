//! The order: a design with every choice made. What is not in it is not asked again.

use std::path::PathBuf;

use crate::artwork::Motif;
use crate::pixels::PixelGrid;
use crate::raster::{Format, TiffPacking};
use crate::repeat::{Layout, Repeat};
use crate::vector::SvgOptions;

/// A kind of file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Kind {
    /// Vector, one `<use>` for each copy.
    Svg,
    /// Raster, lossless.
    Png,
    /// Raster, lossless.
    Tiff,
}

impl Kind {
    /// All of them.
    pub const ALL: [Kind; 3] = [Kind::Svg, Kind::Png, Kind::Tiff];

    /// As it is written in a design and behind `--as`.
    pub const fn name(self) -> &'static str {
        match self {
            Kind::Svg => "svg",
            Kind::Png => "png",
            Kind::Tiff => "tiff",
        }
    }

    /// The files' ending.
    pub const fn ending(self) -> &'static str {
        match self {
            Kind::Svg => "svg",
            Kind::Png => "png",
            Kind::Tiff => "tif",
        }
    }

    /// From its name or ending.
    pub fn from_name(name: &str) -> Option<Kind> {
        let name = name.trim().to_ascii_lowercase();
        Kind::ALL.into_iter().find(|kind| name == kind.name() || name == kind.ending())
    }
}

/// Files of one name from one grid.
#[derive(Clone, Debug)]
pub struct Delivery {
    /// The files' name without ending.
    pub stem: String,
    /// Which files.
    pub kinds: Vec<Kind>,
    /// The tile in pixels, and what was left over.
    pub grid: PixelGrid,
    /// The design on that grid.
    pub repeat: Repeat,
    /// How a TIFF is packed.
    pub packing: TiffPacking,
    /// How an SVG is written.
    pub svg: SvgOptions,
}

impl Delivery {
    /// Where one of its files goes.
    pub fn path(&self, folder: &std::path::Path, kind: Kind) -> PathBuf {
        folder.join(format!("{}.{}", self.stem, kind.ending()))
    }

    pub(super) fn format(&self, kind: Kind) -> Option<Format> {
        match kind {
            Kind::Svg => None,
            Kind::Png => Some(Format::Png(crate::raster::PngColors::Full)),
            Kind::Tiff => Some(Format::Tiff(self.packing)),
        }
    }
}

/// A design with every choice made.
#[derive(Debug)]
pub struct Order {
    /// The design's name.
    pub name: String,
    /// How blocks follow one another.
    pub layout: Layout,
    /// The drawings; placements count into these.
    pub motifs: Vec<Motif>,
    /// What is made.
    pub deliveries: Vec<Delivery>,
    /// What a person should know and need not do.
    pub warnings: Vec<String>,
    /// Files that must never be written over.
    pub sources: Vec<PathBuf>,
}
