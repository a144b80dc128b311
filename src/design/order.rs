//! The order: a design with every choice made. What is not in it is not asked again.

use std::path::PathBuf;

use super::arrangement::Arrangement;
use super::checked::Acceptance;
use super::place::Place;
use super::shelf::Key;
use super::size::Asked;
use crate::artwork::{Motif, Page};
use crate::fitness::Fitness;
use crate::length::{Length, Size};
use crate::limits::Limits;
use crate::pixels::PixelGrid;
use crate::raster::TiffPacking;
use crate::repeat::{PARTS, Placement, Repeat, Spot, Tile};
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
    /// Raster, lossy, small.
    Jpeg,
    /// Vector, one page at true size.
    Pdf,
    /// Vector, a pattern whose cell is the tile.
    PatternSvg,
    /// The same as PDF.
    PatternPdf,
    /// Vector, every copy as paths of its own, cut at the edge.
    PlainSvg,
}

impl Kind {
    /// All of them.
    pub const ALL: [Kind; 8] =
        [Kind::Svg, Kind::Png, Kind::Tiff, Kind::Jpeg, Kind::Pdf, Kind::PatternSvg, Kind::PatternPdf, Kind::PlainSvg];
    /// Those of a delivery that names none.
    pub const USUAL: [Kind; 3] = [Kind::Svg, Kind::Png, Kind::Tiff];

    /// As it is written in a design and behind `--as`.
    pub const fn name(self) -> &'static str {
        match self {
            Kind::Svg => "svg",
            Kind::Png => "png",
            Kind::Tiff => "tiff",
            Kind::Jpeg => "jpeg",
            Kind::Pdf => "pdf",
            Kind::PatternSvg => "pattern-svg",
            Kind::PatternPdf => "pattern-pdf",
            Kind::PlainSvg => "plain-svg",
        }
    }

    /// The files' ending.
    pub const fn ending(self) -> &'static str {
        match self {
            Kind::Svg | Kind::PatternSvg | Kind::PlainSvg => "svg",
            Kind::Png => "png",
            Kind::Tiff => "tif",
            Kind::Jpeg => "jpg",
            Kind::Pdf | Kind::PatternPdf => "pdf",
        }
    }

    /// Whether it is made of pixels.
    pub const fn is_raster(self) -> bool {
        matches!(self, Kind::Png | Kind::Tiff | Kind::Jpeg)
    }

    /// What stands behind the name of a file, where one ending is of several kinds.
    const fn sort(self) -> &'static str {
        match self {
            Kind::PatternSvg | Kind::PatternPdf => "-pattern",
            Kind::PlainSvg => "-plain",
            _ => "",
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
    /// What was asked, for trying another resolution.
    pub(super) asked: Asked,
    /// How a TIFF is packed.
    pub packing: TiffPacking,
    /// How a PNG keeps its colors.
    pub colors: ColorMode,
    /// A JPEG's quality, 1 to 100.
    pub quality: u8,
    /// No file may have more bytes.
    pub max_bytes: Option<u64>,
    /// How an SVG is written.
    pub svg: SvgOptions,
    /// How much of the neighbors a PDF shows around its page.
    pub bleed: Length,
    /// The piece of goods that vector files show, instead of the tile.
    pub goods: Option<Size>,
    /// Each flat color of a PDF is a separation.
    pub separate: bool,
}

/// How a PNG keeps its colors.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum ColorMode {
    /// As painted.
    #[default]
    Full,
    /// One channel, if all is grey.
    Grey,
    /// Numbered colors, if there are at most 256.
    Palette,
}

impl Delivery {
    /// Where one of its files goes.
    pub fn path(&self, folder: &std::path::Path, kind: Kind) -> PathBuf {
        folder.join(self.file(kind))
    }

    /// The name of one of its files.
    pub fn file(&self, kind: Kind) -> String {
        let shows_goods = self.goods.is_some() && matches!(kind, Kind::Svg | Kind::Pdf | Kind::PlainSvg);
        format!("{}{}{}.{}", self.stem, if shows_goods { "-cloth" } else { "" }, kind.sort(), kind.ending())
    }

    pub(super) fn has_raster(&self) -> bool {
        self.kinds.iter().any(|kind| kind.is_raster())
    }
}

/// A design with every choice made.
#[derive(Debug)]
pub struct Order {
    /// The design's name.
    pub name: String,
    /// How blocks follow one another.
    pub arrangement: Arrangement,
    /// The drawings; placements count into these.
    pub motifs: Vec<Motif>,
    /// What is made.
    pub deliveries: Vec<Delivery>,
    /// What a person should know and need not do.
    pub warnings: Vec<String>,
    /// Files that must never be written over.
    pub sources: Vec<PathBuf>,
    /// What the artwork and the tile may ask for.
    pub limits: Limits,
    /// What the tile is judged by.
    pub fitness: Fitness,
    /// What is found of it and meant to be so.
    pub accepted: Vec<Acceptance>,
    /// What lies on the block, before there is a grid.
    pub(super) drawn: Drawn,
    /// How each motif lies on the shelf; nothing of a page.
    pub(super) keys: Vec<Key>,
}

/// What lies on the block.
#[derive(Debug)]
pub(super) enum Drawn {
    /// Motifs in their places.
    Places(Vec<Place>),
    /// A page by hand, laid onto the block; its pieces are the motifs.
    Page(Page),
}

impl Order {
    /// The design on a grid; `None` if the layout's steps would not be whole there.
    pub(super) fn on_grid(&self, grid: &PixelGrid, blocks: [i64; 2], ground: Option<[u8; 3]>) -> Option<Repeat> {
        let tile = Tile { width: grid.width(), height: grid.height(), size: grid.size() };
        let mut repeat = Repeat::new(self.arrangement.scheme(), tile, blocks)?;
        repeat.ground = ground;
        repeat.placements = match &self.drawn {
            Drawn::Places(places) => places.iter().flat_map(|place| place.set(&repeat, grid)).collect(),
            Drawn::Page(_) => {
                let [w, h] = repeat.block.map(|n| n as f64);
                let at = Spot::from_parts(repeat.block[0] * PARTS / 2, repeat.block[1] * PARTS / 2);
                let piece = |(motif, drawing): (usize, &Motif)| {
                    let page = drawing.page_px();
                    Placement { motif, at, linear: [w / page.width, 0.0, 0.0, h / page.height], layer: 0 }
                };
                self.motifs.iter().enumerate().map(piece).collect()
            }
        };
        Some(repeat)
    }

    /// Which entry of the design, from 0, each placement of a delivery comes from; nothing for a page by hand.
    pub fn entries(&self) -> Vec<usize> {
        let Drawn::Places(places) = &self.drawn else { return Vec::new() };
        let kinds = self.arrangement.scheme().places();
        let of = |(entry, place): (usize, &Place)| {
            std::iter::repeat_n(entry, (0..kinds).filter(|kind| place.lies_on(*kind)).count())
        };
        places.iter().enumerate().flat_map(of).collect()
    }
}
