//! Evidence for the eye: which files, what stands in them, and that they appear together.
//!
//! ```text
//!   out/shore-proof.html     everything below, in one page that needs nothing else
//!   out/shore-proof.pdf      a piece of the cloth at true size, with rulers
//!   out/shore-loupe.png      each join, the corner and each fault, print pixels enlarged
//!   out/shore-shifted.png    the tile moved by half of itself or so: its joins lie in the midst
//!   out/shore-distance.png   from near and far
//!   out/shore-evenness.png   where ground and ink lie unevenly
//!   out/shore-cloth.png      a piece of printed goods
//! ```

use std::path::Path;

use super::album::{self, Figure};
use super::cloth::{self, ClothView};
use super::distance;
use super::frame::FrameError;
use super::judged::Judged;
use super::loupe;
use super::moved::Moved;
use super::sheet::{self, Paper, Words};
use super::subject::Subject;
use super::uneven;
use crate::design::{DeliverError, Written, write_together};
use crate::join::Image;
use crate::length::{Size, Unit};
use crate::pixels::{PixelError, Resolution};
use crate::progress::Progress;
use crate::raster::{Channels, SheetSpec};

/// What evidence is to be made.
#[derive(Clone, Debug)]
pub struct Asked {
    /// What the files are called: NAME-proof.html and so on.
    pub name: String,
    /// The piece of goods.
    pub goods: Size,
    /// The page.
    pub paper: Paper,
}

/// Why there is no evidence.
#[derive(Debug, thiserror::Error)]
pub enum EvidenceError {
    /// Nobody knows how large a pixel is.
    #[error("{name}: has no true size: nothing says how many of its pixels make an inch")]
    NoSize {
        /// The file.
        name: String,
    },
    /// More goods than a picture shows.
    #[error("{goods} of goods are {tiles:.0} tiles along one side; at most {most} are shown")]
    TooMuchGoods {
        /// What was asked.
        goods: Size,
        /// How many tiles that is.
        tiles: f64,
        /// The most.
        most: u32,
    },
    /// A fault of ours.
    #[error(transparent)]
    Frame(#[from] FrameError),
    /// A fault of ours.
    #[error(transparent)]
    Resolution(#[from] PixelError),
    /// The disk, or a stop.
    #[error(transparent)]
    Deliver(#[from] DeliverError),
}

/// The most tiles along a piece of goods: more can't be told apart in a picture.
const MOST_TILES: u32 = 2000;

/// Makes the evidence of a tile that was judged, in `folder`; none of its sources is replaced.
///
/// # Errors
/// A tile without a true size; what the disk says. No file has then been touched, unless the error says so.
pub fn prove(
    subject: &Subject,
    judged: &Judged,
    asked: &Asked,
    folder: &Path,
    progress: &dyn Progress,
) -> Result<Vec<Written>, EvidenceError> {
    let tile = &subject.image;
    let Some(dpi) = judged.dpi else { return Err(EvidenceError::NoSize { name: judged.name.clone() }) };
    let across = asked.goods.width.to(Unit::In) * dpi[0] / tile.width() as f64;
    let down = asked.goods.height.to(Unit::In) * dpi[1] / tile.height() as f64;
    let tiles = across.max(down);
    if tiles > f64::from(MOST_TILES) {
        return Err(EvidenceError::TooMuchGoods { goods: asked.goods, tiles, most: MOST_TILES });
    }
    let facts = facts(subject, judged, dpi, asked);
    let line: Vec<&str> = facts.iter().map(|(_, value)| &**value).take(3).collect();
    let line = line.join(" · ");
    let looks = loupe::looks(tile, &judged.joins)?;
    let apart = subject.border.then(|| strips(tile));
    let goods_tile = apart.as_ref().unwrap_or(tile);
    let distances = distance::distances(goods_tile, dpi, subject.border)?;
    let uneven = uneven::overlay(tile, judged)?;
    let ClothView { view: goods, scale } =
        cloth::cloth(goods_tile, dpi, asked.goods, &format!("{} · {line}", asked.name))?;
    let pdf = sheet::sheet(goods_tile, dpi, subject.border, asked.paper, &Words { name: &asked.name, facts: &line })?;
    let moved = Moved::of(tile, subject.border, judged.inner.blocks);
    let html = {
        let moved_view = moved.reduced();
        let figures = [
            Figure {
                title: "Moved",
                words: format!(
                    "The tile moved by {}: its joins now cross in the midst of this picture, reduced. \
                     All pixels stand in the PNG beside this page.",
                    moved.words
                ),
                view: &moved_view,
            },
            Figure {
                title: "From near and far",
                words: "Each panel as the goods look from that distance.".into(),
                view: &distances,
            },
            Figure {
                title: "Evenness",
                words: if subject.border {
                    uneven::words(judged)
                } else {
                    format!(
                        "Circles: bare ground, the largest filled. Bands: bare all along. Squares: densest and barest windows. {}.",
                        uneven::words(judged)
                    )
                },
                view: &uneven,
            },
            Figure {
                title: "The cloth",
                words: format!(
                    "{} of printed goods, 1 : {scale} where the picture is shown at {} pixels an inch.{}",
                    asked.goods,
                    cloth::DPI,
                    if subject.border {
                        " Strips of the border lie apart by as much as it is high, for the eye only."
                    } else {
                        ""
                    }
                ),
                view: &goods,
            },
        ];
        album::album(&asked.name, judged, &facts, &looks, &figures)
    };
    let stacked = loupe::stacked(&looks);
    let pictures = [&stacked, &distances, &uneven, &goods];
    let ends = ["proof.html", "proof.pdf", "loupe.png", "distance.png", "evenness.png", "cloth.png", "shifted.png"];
    let names = ends.map(|end| format!("{}-{end}", asked.name));
    let screen = Resolution::dpi(96)?;
    let own = Resolution::dpi(i64::from(cloth::DPI))?;
    let print: Resolution = format!("{:.2}", dpi[0]).parse()?;
    let written = write_together(folder, &names, &subject.sources, progress, |index, blank| match index {
        0 => blank.bytes(html.as_bytes()),
        1 => blank.bytes(&pdf),
        2..6 => {
            let view = pictures[index - 2];
            let resolution = if index == 5 { own } else { screen };
            blank.png(spec(view.width, view.height, resolution), &|y, row| {
                row.copy_from_slice(&view.rgb[y * row.len()..][..row.len()]);
            })
        }
        _ => blank.png(spec(tile.width(), tile.height(), print), &|y, row| moved.row(y, row)),
    })?;
    Ok(written)
}

fn spec(width: usize, height: usize, resolution: Resolution) -> SheetSpec {
    let [width, height] = [width, height].map(|side| u32::try_from(side).unwrap_or(u32::MAX));
    SheetSpec { width, height, resolution, channels: Channels::Rgb }
}

/// A border with as much bare paper above and below as it is high: strips of it as they are printed.
fn strips(tile: &Image) -> Image {
    let (width, height, channels) = (tile.width(), tile.height(), tile.row(0).len() / tile.width());
    let white = vec![255; width * channels];
    let air = height / 2;
    let rows = (0..height + 2 * air).map(|y| if (air..air + height).contains(&y) { tile.row(y - air) } else { &white });
    let bytes = rows.flatten().copied().collect();
    Image::new(width, height + 2 * air, channels, bytes)
}

/// What is known of the tile, in a designer's words.
fn facts(subject: &Subject, judged: &Judged, dpi: [f64; 2], asked: &Asked) -> Vec<(&'static str, String)> {
    let inches = [judged.width as f64 / dpi[0], judged.height as f64 / dpi[1]];
    let resolution = if (dpi[0] - dpi[1]).abs() < 0.005 {
        format!("{} dpi", trimmed(dpi[0]))
    } else {
        format!("{} dpi across, {} down", trimmed(dpi[0]), trimmed(dpi[1]))
    };
    let repeat = match &subject.layout {
        Some(layout) => layout.clone(),
        None => format!("{}, {} inside", judged.inner.layout, blocks(judged.inner.blocks)),
    };
    let [cm_w, cm_h] = inches.map(|side| trimmed(side * 2.54));
    vec![
        ("size", format!("{} × {} in ({cm_w} × {cm_h} cm)", trimmed(inches[0]), trimmed(inches[1]))),
        ("pixels", format!("{} × {} px at {resolution}", judged.width, judged.height)),
        ("repeat", repeat),
        ("to upload", judged.inner.upload()),
        ("judged", format!("{} ({})", judged.name, judged.kind)),
        ("true-size sheet", format!("{} page beside this one, as PDF", asked.paper.name())),
    ]
}

fn blocks(count: usize) -> String {
    if count == 1 { "one block".into() } else { format!("{count} blocks") }
}

/// At most two digits.
pub(super) fn trimmed(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
