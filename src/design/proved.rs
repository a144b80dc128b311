//! A strewn design measured as it will be printed: every delivery's own placements, from the file as written.

use kurbo::{Affine, Vec2};

use super::bench::{operators, silhouette};
use super::error::DesignError;
use super::order::{Delivery, Order};
use crate::length::{Length, Unit};
use crate::toss::{Outline, nearest};

/// Outlines are this exact, in shares of the gap: finer than those that were strewn.
const EXACT: f64 = 1.0 / 400.0;

/// What is said of what must not be.
const FAULT: &str = "it is a fault of Seamfast's: please report it with the design";

/// What was measured.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Proved {
    /// The least distance between two outlines of which one is strewn, in mm; `None` if there is no neighbor.
    pub least_mm: Option<f64>,
    /// The mean of the nearest gaps of the strewn ones, in mm.
    pub mean_mm: f64,
    /// Their standard deviation in shares of that.
    pub spread: f64,
    /// How many neighbors nearer than twice the gap were measured.
    pub pairs: usize,
}

/// Measures all deliveries; `tossed` tells which of the design's motifs were strewn.
pub(super) fn proved(order: &Order, tossed: &[bool], gap: Length) -> Result<Proved, DesignError> {
    let mut worst = Proved::default();
    // A motif on all kinds of place has a placement on each.
    let tossed: Vec<bool> = order.entries().into_iter().map(|entry| tossed[entry]).collect();
    let tossed = &tossed[..];
    for delivery in &order.deliveries {
        let found = measured(order, delivery, tossed, gap);
        let short = found.least_mm.filter(|least| *least < gap.to(Unit::Mm) - 1e-9);
        if let Some(least) = short {
            let what = format!("{}: two outlines come {least:.4} mm near, and {gap} is asked", delivery.stem);
            return Err(DesignError::new(what).with_hint(FAULT));
        }
        let edge = delivery.repeat.one_way.then(|| nearest_edge(order, delivery, tossed, gap)).flatten();
        if let Some(least) = edge.filter(|least| *least < gap.to(Unit::Mm) / 2.0 - 1e-9) {
            let what = format!("{}: an outline comes {least:.4} mm near to the border's edge", delivery.stem);
            return Err(DesignError::new(what).with_hint(FAULT));
        }
        if worst.least_mm.is_none_or(|least| found.least_mm.is_some_and(|now| now < least)) {
            worst = found;
        }
    }
    Ok(worst)
}

fn measured(order: &Order, delivery: &Delivery, tossed: &[bool], gap: Length) -> Proved {
    let repeat = &delivery.repeat;
    let (outlines, emu) = outlines(order, delivery, gap);
    let within = 2.0 * gap.emu() as f64 / emu;
    let mut steps = repeat.lattice.steps().map(|step| step.map(|n| n as f64));
    if repeat.one_way {
        // No copy lies above or below: a step down is longer than all reaches.
        let ys = || outlines.iter().flat_map(|one| &one.contours).flatten().map(|[_, y]| *y);
        let reach = ys().fold(0.0, f64::max) - ys().fold(0.0, f64::min);
        steps[1] = [0.0, 2.0 * reach + within + repeat.block[1] as f64];
    }
    let (nearest, pairs) = nearest(steps, &operators(repeat), &outlines, within);
    let ours = |index: usize| tossed.get(index).copied().unwrap_or(false);
    let mm = emu / Unit::Mm.emu() as f64;
    let gaps: Vec<f64> = nearest
        .iter()
        .enumerate()
        .filter(|(index, _)| ours(*index))
        .filter_map(|(_, near)| near.map(|near| near.distance * mm))
        .collect();
    let mean = gaps.iter().sum::<f64>() / gaps.len().max(1) as f64;
    let spread = (gaps.iter().map(|gap| (gap - mean) * (gap - mean)).sum::<f64>() / gaps.len().max(1) as f64).sqrt();
    Proved {
        least_mm: gaps.iter().copied().reduce(f64::min),
        mean_mm: mean,
        spread: if mean > 0.0 { spread / mean } else { 0.0 },
        pairs: pairs.iter().filter(|(a, b, _)| ours(*a) || ours(*b)).count(),
    }
}

/// All outlines in pixels, and how many EMU a pixel is.
fn outlines(order: &Order, delivery: &Delivery, gap: Length) -> (Vec<Outline>, f64) {
    // Pixels are square: what is printed is so many EMU to each.
    let emu = delivery.grid.size().width.emu() as f64 / delivery.grid.width() as f64;
    let outline = |placement: &crate::repeat::Placement| {
        let [xx, yx, xy, yy] = placement.linear;
        let [x, y] = placement.at.units();
        let to = Affine::translate(Vec2::new(x, y)) * Affine::new([xx, yx, xy, yy, 0.0, 0.0]);
        let found = silhouette(&order.motifs[placement.motif], to, gap.emu() as f64 / emu * EXACT);
        Outline { contours: found.contours, slack: found.slack }
    };
    (delivery.repeat.placements.iter().map(outline).collect(), emu)
}

/// How near the strewn ones come to a border's edges, in mm; below zero where they reach over.
fn nearest_edge(order: &Order, delivery: &Delivery, tossed: &[bool], gap: Length) -> Option<f64> {
    let (outlines, emu) = outlines(order, delivery, gap);
    let height = delivery.repeat.block[1] as f64;
    let ours = outlines.iter().zip(tossed).filter(|(_, tossed)| **tossed).map(|(outline, _)| outline);
    let near = |one: &Outline| {
        let to_edge = one.contours.iter().flatten().map(|[_, y]| y.min(height - y)).reduce(f64::min);
        to_edge.map(|near| near - one.slack)
    };
    ours.filter_map(near).reduce(f64::min).map(|pixels| pixels * emu / Unit::Mm.emu() as f64)
}
