//! Tiles that are still vectors: designs, and drawings that are tiles.
//!
//! Everything is measured in points on the goods, with the tile's corner at the origin. A motif that is
//! placed often is measured where it is smallest, its pictures where it is largest.

use kurbo::{Affine, Rect, Vec2};

use super::{ALIKE, Wanted, few_pixels, fine, pictures, short, transparent};
use crate::artwork::{Motif, stretch};
use crate::design::{Delivery, Order};
use crate::fitness::Fitness;
use crate::join::Area;
use crate::length::Unit;
use crate::proof::findings::Finding;
use crate::wrap::{Copies, Copy};

/// What the ink lies on.
pub(super) struct Ground {
    /// Its color.
    pub(super) color: Option<[u8; 3]>,
    /// The tile in points.
    tile: Rect,
    /// Points of a pixel, across and down.
    pixel: [f64; 2],
    /// What leaves by one edge comes in by the other; else it is cut off there.
    wraps: bool,
}

impl Ground {
    /// Whether a part shows on the tile at all.
    pub(super) fn keeps(&self, bounds: Rect) -> bool {
        self.wraps || self.tile.overlaps(bounds)
    }

    /// Where gaps are looked for.
    pub(super) fn window(&self) -> Rect {
        self.tile
    }

    /// The page of which a drawing's lowest rectangle is the ground, in pixels of its tree. A motif that
    /// is laid onto a tile has none.
    pub(super) fn page_of(&self, motif: &Motif) -> Option<Rect> {
        (!self.wraps).then(|| motif.page_px().to_rect())
    }

    /// A rectangle in points as pixels of the tile; one that hangs over begins on the tile.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "on the tile, or cut to it")]
    pub(super) fn area(&self, bounds: Rect) -> Option<Area> {
        let there = if self.wraps { fine::onto(self.tile, bounds) } else { bounds.intersect(self.tile) };
        let side = |from: f64, to: f64, pixel: f64| {
            // What lies on a pixel's edge, but for rounding in the drawing, does not reach into the next.
            let (from, to) = ((from / pixel + 1e-3).floor().max(0.0), (to / pixel - 1e-3).ceil());
            (from as usize, (to - from).max(1.0) as usize)
        };
        let (x, width) = side(there.x0, there.x1, self.pixel[0]);
        let (y, height) = side(there.y0, there.y1, self.pixel[1]);
        Some(Area { x, y, width, height })
    }
}

/// What is to be said of a drawing that is a tile, painted so. `inches` is its size on the goods.
pub(in crate::proof) fn of_drawing(
    motif: &Motif,
    [width, height]: [u32; 2],
    bytes: &[u8],
    inches: [f64; 2],
    fitness: &Fitness,
    wanted: &Wanted,
) -> Vec<Finding> {
    let mut findings = Vec::new();
    if motif.size().is_none() && wanted.size.is_none() {
        let what = "the drawing has no true size, so its pixels were taken for 1/96 in";
        findings.push(Finding::new("no-size", what));
    }
    let pixels = inches.map(|side| side * wanted.dpi);
    if motif.size().is_some() && !pixels.iter().all(|n| (n - n.round()).abs() < 1e-6) {
        let what = format!(
            "at {} dpi the page is {:.3} × {:.3} px; the last row or column is part of a pixel",
            wanted.dpi, pixels[0], pixels[1]
        );
        findings.push(Finding::new("part-pixels", what));
    }
    findings.extend(transparent(bytes, fitness));
    let points = inches.map(|side| side * Unit::In.emu() as f64 / Unit::Pt.emu() as f64);
    let page = motif.page_px();
    let to = Affine::scale_non_uniform(points[0] / page.width, points[1] / page.height);
    let ground = Ground {
        color: None,
        tile: Rect::new(0.0, 0.0, points[0], points[1]),
        pixel: [points[0] / f64::from(width), points[1] / f64::from(height)],
        wraps: false,
    };
    let left = fine::looks();
    let mut own = pictures::coarse(motif, to, &ground, fitness);
    own.extend(fine::lines(motif, to, &ground, fitness, &left));
    findings.extend(own);
    findings.extend(fine::gaps(&[(motif, to)], &ground, fitness, &left));
    findings
}

/// What is to be said of one delivery of a design, painted so.
pub(in crate::proof) fn of_design(order: &Order, delivery: &Delivery, copies: &Copies, bytes: &[u8]) -> Vec<Finding> {
    let fitness = &order.fitness;
    let mut findings: Vec<Finding> =
        order.warnings.iter().map(|warning| Finding::new("design", warning.as_str())).collect();
    findings.extend(too_coarse(order, delivery));
    if delivery.repeat.ground.is_none() {
        findings.extend(transparent(bytes, fitness));
    }
    let tile = copies.tile();
    let points = [tile.size.width, tile.size.height].map(|side| side.to(Unit::Pt));
    let pixel = [points[0] / tile.width as f64, points[1] / tile.height as f64];
    let ground = Ground { color: copies.ground(), tile: Rect::new(0.0, 0.0, points[0], points[1]), pixel, wraps: true };
    let to_points = Affine::scale_non_uniform(pixel[0], pixel[1]);
    let there = |copy: &Copy| {
        let mark = &copies.marks()[copy.mark];
        (&order.motifs[mark.motif], to_points * mark.to_units(&order.motifs[mark.motif], copy.step))
    };
    let left = fine::looks();
    for motif in &order.motifs {
        let laid = copies.copies().iter().map(there).filter(|(other, _)| std::ptr::eq(*other, motif));
        let [mut smallest, mut largest]: [Option<(f64, Affine)>; 2] = [None, None];
        for (_, to) in laid {
            let [most, least] = stretch(to);
            smallest = Some(smallest.filter(|(other, _)| *other <= least).unwrap_or((least, to)));
            largest = Some(largest.filter(|(other, _)| *other >= most).unwrap_or((most, to)));
        }
        let (Some((_, smallest)), Some((_, largest))) = (smallest, largest) else { continue };
        findings.extend(pictures::coarse(motif, largest, &ground, fitness));
        findings.extend(fine::lines(motif, smallest, &ground, fitness, &left));
    }
    let around: Vec<(&Motif, Affine)> =
        around(copies, &order.motifs, fitness.gap.to(Unit::Pt) / pixel[0].min(pixel[1])).iter().map(there).collect();
    findings.extend(fine::gaps(&around, &ground, fitness, &left));
    findings
}

/// Fewer pixels an inch than the goods want, if rasters of this size are delivered.
fn too_coarse(order: &Order, delivery: &Delivery) -> Option<Finding> {
    let alike = |other: &&Delivery| {
        (other.grid.width(), other.grid.height()) == (delivery.grid.width(), delivery.grid.height())
    };
    let coarse = |other: &&Delivery| other.grid.resolution().value() <= order.fitness.ppi - ALIKE;
    let raster = |other: &&Delivery| other.kinds.iter().any(|kind| kind.is_raster());
    let found = order.deliveries.iter().filter(alike).filter(coarse).find(raster)?;
    let size = found.grid.size();
    let pixels = [found.grid.width(), found.grid.height()].map(|n| usize::try_from(n).unwrap_or(usize::MAX));
    let finding = few_pixels(pixels, [size.width.to(Unit::In), size.height.to(Unit::In)], order.fitness.ppi)?;
    Some(finding.remedy(format!("write dpi = {} or more under [[deliver]]", short(order.fitness.ppi))))
}

/// The copies on the tile, and those whole tiles away that come as near to it as that, in units.
fn around(copies: &Copies, motifs: &[Motif], near: f64) -> Vec<Copy> {
    let tile = copies.tile();
    let window = Rect::new(0.0, 0.0, tile.width as f64, tile.height as f64).inflate(near, near);
    let mut all: Vec<Copy> = copies.copies().to_vec();
    for copy in copies.copies() {
        let mark = &copies.marks()[copy.mark];
        let motif = &motifs[mark.motif];
        let Some(ink) = motif.ink().bounds(mark.to_units(motif, copy.step)) else { continue };
        for (x, y) in (-1..=1).flat_map(|x| (-1..=1).map(move |y| (x * tile.width, y * tile.height))) {
            let moved = Copy { mark: copy.mark, step: [copy.step[0] + x, copy.step[1] + y] };
            let there = ink + Vec2::new(x as f64, y as f64);
            if (x, y) != (0, 0) && there.overlaps(window) {
                all.push(moved);
            }
        }
    }
    all.sort_by_key(|copy| (copy.mark, copy.step));
    all.dedup();
    all
}
