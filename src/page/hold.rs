//! What the hand takes: which motif lies under a finger, and a picture of it alone.

use kurbo::Rect;
use seamfast::design::{DesignError, Order};
use seamfast::length::{Length, Size, Unit};
use seamfast::raster;
use seamfast::repeat::{Layout, Placement, Repeat, Spot, Tile};
use seamfast::wrap::Copies;
use serde_json::{Value, json};

use super::bench::{Answer, gridded};
use super::look::ink_about_middle;
use crate::guard::Worker;

/// The topmost motif whose ink comes within `reach` of a place: which, by which of its marks, and where that copy
/// has its middle.
pub(super) fn pick(order: &Order, [x, y]: [f64; 2], reach: f64) -> Value {
    let repeat = &order.deliveries[0].repeat;
    let (w, h) = (repeat.tile.width as f64, repeat.tile.height as f64);
    let home = [x.rem_euclid(w), y.rem_euclid(h)];
    let copies = Copies::plan(repeat, &order.motifs);
    let side = 2.0 * reach.clamp(0.01, 64.0);
    let rect = Rect::from_center_size((home[0], home[1]), kurbo::Size::new(side, side));
    let hit = copies.copies().iter().rev().find(|copy| {
        let mark = &copies.marks()[copy.mark];
        let motif = &order.motifs[mark.motif];
        motif.ink().touches(mark.to_units(motif, copy.step), rect)
    });
    let Some(hit) = hit else { return Value::Null };
    let mark = &copies.marks()[hit.mark];
    let [cx, cy] = mark.spot().moved(hit.step).units();
    let own: Vec<usize> =
        (0..copies.marks().len()).filter(|n| copies.marks()[*n].placement == mark.placement).collect();
    let entry = order.entries().get(mark.placement).copied();
    let placed = order.entries().iter().take(mark.placement).filter(|of| Some(**of) == entry).count();
    json!({
        "entry": entry,
        "place": placed,
        "mark": own.iter().position(|n| *n == hit.mark),
        "middle": [cx + x - home[0], cy + y - home[1]],
    })
}

/// A motif painted alone, with room for all its ink: its picture, and where its spot lies on it.
pub(super) fn sprite(order: &Order, entry: usize, dpi: f64, worker: &Worker) -> Answer {
    let no = || DesignError::new("there is no such motif");
    let repeat = gridded(order, Some(dpi))?;
    let index = order.entries().iter().position(|of| *of == entry).ok_or_else(no)?;
    let placement = repeat.placements[index];
    let motif = &order.motifs[placement.motif];
    let Some(ink) = ink_about_middle(motif, placement.linear) else { return Ok((Value::Null, Vec::new())) };
    let [left, top] = [ink.x0, ink.y0].map(|n| whole(n.floor()) - 2);
    let [width, height] = [whole(ink.x1.ceil()) + 2 - left, whole(ink.y1.ceil()) + 2 - top];
    let inch = Length::of(1, Unit::In);
    let tile = Tile { width, height, size: Size { width: inch, height: inch } };
    let mut alone = Repeat::new(&Layout::Straight.scheme(), tile, [1, 1]).ok_or_else(no)?;
    alone.placements = vec![Placement { at: Spot::from_parts(0, 0).moved([-left, -top]), ..placement }];
    let copies = Copies::plan(&alone, &order.motifs);
    raster::hold(&copies, &order.motifs, order.limits.painted).map_err(DesignError::new)?;
    let pixels = raster::window(&copies, &order.motifs, [0, 0, width, height], order.limits.tile, worker);
    Ok((json!({ "size": [width, height], "spot": [-left, -top] }), pixels.map_err(DesignError::new)?))
}

#[allow(
    clippy::cast_possible_truncation,
    reason = "whole already; the cast saturates, and a tile that large is refused"
)]
fn whole(n: f64) -> i64 {
    n as i64
}
