//! A piece of printed goods, seen whole at a stated scale: rulers around it, selvedges along it.
//!
//! ```text
//!      in  0         10         20
//!        ┌─┬─────────────────────┬─┐ 0
//!        │·│                     │·│      the printed width lies between the selvedges
//!        │·│  tile after tile    │·│
//!        │·│                     │·│ cm
//!        └─┴─────────────────────┴─┘
//!      cm  0    10    20    30
//! ```

use super::frame::{Frame, FrameError, Held, INDIGO, LINEN, Lies, Ruler, circle};
use super::view::{View, Window};
use crate::join::Image;
use crate::length::{Size, Unit};

/// Pixels an inch of the picture itself.
pub(super) const DPI: u32 = 150;
/// The picture's printed part is at most so many pixels a side.
const MOST: f64 = 1800.0;
/// True scales: one to so many.
const SCALES: [u32; 16] = [1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 100];
/// How wide a selvedge is (common practice, no source: 1 to 1.5 cm).
const SELVEDGE_IN: f64 = 0.5;
/// Around the cloth, for rulers and words.
const MARGIN: usize = 76;
const TEXT: f64 = 15.0;

/// A picture of goods at a scale of one to `scale`.
pub(super) struct ClothView {
    pub(super) view: View,
    pub(super) scale: u32,
}

/// The scale at which goods fit the picture; the goods are refused before if they are too long.
pub(super) fn scale(goods: Size) -> u32 {
    let longest = goods.width.to(Unit::In).max(goods.height.to(Unit::In));
    let fits = |n: &u32| longest * f64::from(DPI) / f64::from(*n) <= MOST;
    SCALES.into_iter().find(fits).unwrap_or_else(|| (longest * f64::from(DPI) / MOST).ceil() as u32)
}

/// Shows goods of a size; `dpi` is the tile's, across and down.
pub(super) fn cloth(tile: &Image, dpi: [f64; 2], goods: Size, words: &str) -> Result<ClothView, FrameError> {
    let scale = scale(goods);
    let inch = f64::from(DPI) / f64::from(scale);
    let [width, height] = [goods.width, goods.height].map(|side| side.to(Unit::In) * inch);
    let size = [width, height].map(|side| (side.round() as usize).max(1));
    let printed = View::reduced(tile, Window { from: [0.0; 2], step: dpi.map(|dpi| dpi / inch), size });
    let selvedge = (SELVEDGE_IN * inch).round().max(4.0);
    let left = MARGIN as f64 + selvedge;
    let whole = [size[0] + 2 * selvedge as usize + 2 * MARGIN, size[1] + 2 * MARGIN + 30];
    let mut view = View::new(whole[0], whole[1], [255; 3]);
    let edge = View::new(selvedge as usize, size[1], LINEN);
    view.put(&edge, [MARGIN, MARGIN]);
    view.put(&edge, [MARGIN + selvedge as usize + size[0], MARGIN]);
    view.put(&printed, [MARGIN + selvedge as usize, MARGIN]);
    let mut frame = Frame::pixels(whole[0], whole[1]);
    let (top, right, bottom) = (MARGIN as f64, left + width, MARGIN as f64 + height);
    for x in [MARGIN as f64, right] {
        frame.lines(&woven(x, top, selvedge, height, inch), 1.0, "#d5ccb8");
        frame.shape(&pin_holes(x + selvedge / 2.0, top, height, inch), "#a99f8c", 1.0);
    }
    let ruler = |unit: f64, length: f64, parts, name| {
        let every = [1, 2, 5, 10, 20, 50, 100, 200].into_iter().find(|n| *n as f64 * unit >= 44.0).unwrap_or(500);
        let parts = if unit >= 40.0 { parts } else { 1 };
        Ruler { unit, count: length / unit, parts, every, name, text: TEXT }
    };
    let cm = inch / 2.54;
    frame.ruler([left, top - 6.0], Lies::Above, ruler(inch, width, 4, "in"));
    frame.ruler([left, bottom + 6.0], Lies::Below, ruler(cm, width, 2, "cm"));
    frame.ruler([MARGIN as f64 - 6.0, top], Lies::LeftOf, ruler(inch, height, 4, "in"));
    frame.ruler([right + selvedge + 6.0, top], Lies::RightOf, ruler(cm, height, 2, "cm"));
    let shown = format!("{words} · shown 1 : {scale} at {DPI} dpi");
    frame.words([left, whole[1] as f64 - 20.0], TEXT * 1.1, Held::Left, INDIGO, &shown);
    view.lay(&frame.painted()?);
    Ok(ClothView { view, scale })
}

/// The threads of a selvedge: short lines across it.
fn woven(x: f64, top: f64, wide: f64, height: f64, inch: f64) -> String {
    let step = (inch / 12.0).max(3.0);
    let count = (height / step) as usize;
    (1..count).map(|n| format!("M{x:.1} {:.1}h{wide:.1}", top + n as f64 * step)).collect()
}

/// The holes that the stenter's pins leave.
fn pin_holes(x: f64, top: f64, height: f64, inch: f64) -> String {
    let (step, r) = ((inch / 2.0).max(8.0), (inch / 28.0).max(1.2));
    let count = (height / step) as usize;
    (0..count).map(|n| circle([x, top + (n as f64 + 0.5) * step], r)).collect()
}
