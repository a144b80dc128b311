//! The true-size sheet: a piece of the cloth on a page for a printer at home, with rulers that show
//! whether the printer kept the size.

use super::frame::{Frame, FrameError, Held, INDIGO, Lies, MADDER, Ruler};
use super::view::{View, Window};
use crate::join::Image;
use crate::raster;
use crate::vector::{self, PaperPicture};

/// A page for a printer at home.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// ISO 216: 210 × 297 mm.
    A4,
    /// ANSI/ASME Y14.1 size A: 8.5 × 11 in.
    Letter,
}

impl Paper {
    /// By its name.
    pub fn from_name(name: &str) -> Option<Paper> {
        match name.to_lowercase().as_str() {
            "a4" => Some(Paper::A4),
            "letter" => Some(Paper::Letter),
            _ => None,
        }
    }

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Paper::A4 => "A4",
            Paper::Letter => "Letter",
        }
    }

    fn mm(self) -> [f64; 2] {
        match self {
            Paper::A4 => [210.0, 297.0],
            Paper::Letter => [215.9, 279.4],
        }
    }
}

/// Printers at home leave some of the edge blank (common practice, no source).
const MARGIN: f64 = 12.0;
const HEAD: f64 = 18.0;
const FOOT: f64 = 30.0;
/// More pixels an inch than a printer at home shows.
const MOST_DPI: f64 = 600.0;

/// What is said at the head of the sheet.
pub(super) struct Words<'a> {
    /// The design's name.
    pub(super) name: &'a str,
    /// Its size and layout.
    pub(super) facts: &'a str,
}

/// The sheet as PDF; `dpi` is the tile's, across and down. The tile's corner, where both joins meet, lies in the
/// middle of the page if the tile is larger than half of it. Of a border, which lies in the middle of its tile, that
/// middle does, and only its ends are joined.
pub(super) fn sheet(
    tile: &Image,
    dpi: [f64; 2],
    border: bool,
    paper: Paper,
    words: &Words<'_>,
) -> Result<Vec<u8>, FrameError> {
    let [wide, high] = paper.mm();
    let most = [wide - 2.0 * MARGIN, high - 2.0 * MARGIN - HEAD - FOOT];
    // Whole pixels, as large as there is room.
    let px = [0, 1].map(|axis| (most[axis] / 25.4 * dpi[axis]).floor().max(1.0));
    let size = [0, 1].map(|axis| px[axis] * 25.4 / dpi[axis]);
    let at = [MARGIN + (most[0] - size[0]) / 2.0, MARGIN + HEAD];
    let tile_px = [tile.width() as f64, tile.height() as f64];
    let mut from = [0, 1].map(|axis| if tile_px[axis] > px[axis] / 2.0 { -(px[axis] / 2.0).floor() } else { 0.0 });
    if border {
        from[1] = ((tile_px[1] - px[1]) / 2.0).floor();
    }
    let view = shown(tile, dpi, from, px);
    let mut frame = Frame::new(wide, high, [format!("{wide}mm"), format!("{high}mm")]);
    frame.words([at[0], MARGIN + 6.0], 5.0, Held::Left, INDIGO, words.name);
    frame.words([at[0], MARGIN + 11.5], 3.0, Held::Left, INDIGO, words.facts);
    let axes = [0, 1].map(|axis| (from[axis], tile_px[axis], 25.4 / dpi[axis]));
    join_marks(&mut frame, at, size, &axes[..if border { 1 } else { 2 }]);
    let foot = at[1] + size[1] + 9.0;
    let cm = Ruler { unit: 10.0, count: 10.0, parts: 10, every: 1, name: "cm", text: 3.0 };
    frame.ruler([at[0], foot], Lies::Below, cm);
    let inches = Ruler { unit: 25.4, count: 4.0, parts: 8, every: 1, name: "in", text: 3.0 };
    frame.ruler([at[0], foot + 12.0], Lies::Below, inches);
    let check = [
        "Print at 100 %, without fitting to the page.",
        "Lay a ruler here: the upper line is 100 mm,",
        "the lower one 4 in. If they are, so is the cloth.",
        "Wedges beside the cloth mark where tiles meet.",
    ];
    for (n, line) in check.iter().enumerate() {
        frame.words([at[0] + 110.0, foot + 2.5 + 5.0 * n as f64], 2.8, Held::Left, INDIGO, line);
    }
    let picture = PaperPicture {
        px: [view.width, view.height].map(|n| u32::try_from(n).unwrap_or(u32::MAX)),
        rgb: &view.rgb,
        profile: raster::SRGB,
        at,
        size,
    };
    Ok(vector::paper(words.name, [wide, high], &picture, &frame.drawing()?))
}

/// The print pixels themselves, or as many as a printer at home shows.
fn shown(tile: &Image, dpi: [f64; 2], from: [f64; 2], px: [f64; 2]) -> View {
    if dpi.iter().all(|dpi| *dpi <= MOST_DPI) {
        let [from, size] = [from.map(|at| at as isize), px.map(|n| n as isize)];
        return View::enlarged(tile, from, size.map(isize::unsigned_abs), 1);
    }
    let step = dpi.map(|dpi| (dpi / MOST_DPI).max(1.0));
    let size = [0, 1].map(|axis| (px[axis] / step[axis]).round().max(1.0) as usize);
    View::reduced(tile, Window { from, step: [0, 1].map(|axis| px[axis] / size[axis] as f64), size })
}

/// Wedges outside the picture, where joins meet its edge; an axis has its first pixel, the tile's pixels, and a
/// pixel's mm.
fn join_marks(frame: &mut Frame, at: [f64; 2], size: [f64; 2], axes: &[(f64, f64, f64)]) {
    let places = |(from, period, mm): (f64, f64, f64), length: f64| {
        let first = (from / period).ceil();
        (0..).map(move |n| ((first + f64::from(n)) * period - from) * mm).take_while(move |at| *at <= length + 1e-6)
    };
    let mut path = String::new();
    for x in axes.first().into_iter().flat_map(|axis| places(*axis, size[0])) {
        let x = at[0] + x;
        path += &format!("M{x:.4} {:.4}l1.2 -2.4h-2.4ZM{x:.4} {:.4}l1.2 2.4h-2.4Z", at[1] - 0.4, at[1] + size[1] + 0.4);
    }
    for y in axes.get(1).into_iter().flat_map(|axis| places(*axis, size[1])) {
        let y = at[1] + y;
        path += &format!("M{:.4} {y:.4}l-2.4 1.2v-2.4ZM{:.4} {y:.4}l2.4 1.2v-2.4Z", at[0] - 0.4, at[0] + size[0] + 0.4);
    }
    frame.shape(&path, MADDER, 1.0);
}
