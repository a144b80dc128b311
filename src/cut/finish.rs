//! A sheet as it is cut: with its marks, weed border and lines, and its paths in order.

use kurbo::{Affine, Shape as _, Vec2};

use super::job::{CutLayer, CutPath, CutSheet, Settings};
use super::write::MM;
use super::{route, sheets, trim};
use crate::length::Length;

/// Adds what helps weeding and laying over one another, and puts all in order.
pub(super) fn finish(mut sheet: sheets::Placed, settings: &Settings) -> CutSheet {
    let around = settings.around();
    let grow = settings.beside().emu() as f64;
    if settings.sheets.is_none() && grow > 0.0 {
        let by = Vec2::new(grow, grow);
        sheet.size += kurbo::Size::new(2.0 * grow, 2.0 * grow);
        sheet.layers.iter_mut().for_each(|layer| layer.moved(by));
        sheet.goods = sheet.goods + by;
    }
    let marks = if settings.marks { trim::marks(sheet.size) } else { Vec::new() };
    let layers = sheet.layers.into_iter().map(|layer| {
        let pieces = layer.outlines.iter().filter(|outline| !outline.hole).count();
        let area = layer.outlines.iter().map(|outline| outline.path.area()).sum::<f64>().abs();
        let mut last = Vec::new();
        if let Some(border) = around {
            last = trim::weed(&layer.outlines, border, settings.weed_lines);
        }
        let mut paths = Vec::new();
        for outline in layer.outlines {
            if settings.roll {
                paths.extend(trim::open_ends(&outline.path, sheet.goods));
            } else {
                paths.push(CutPath { path: outline.path, closed: true });
            }
        }
        let (mut paths, mut route) = route::route(paths, settings.speeds);
        for path in marks.iter().cloned().chain(last) {
            route.add(&path, paths.last(), settings.speeds);
            paths.push(path);
        }
        let area_mm2 = area / (MM * MM);
        CutLayer { name: layer.name, ink: layer.ink, paths, route, pieces, area_mm2 }
    });
    CutSheet { name: sheet.name, layers: layers.collect(), size: sheets::true_size(sheet.size) }
}

impl Settings {
    /// How far the weed border lies off, if there is one.
    fn around(&self) -> Option<Length> {
        [self.weed_border, self.weed_lines.map(|_| trim::BORDER)].into_iter().flatten().max()
    }

    /// The room that the weed border and marks take beside the goods.
    pub(super) fn beside(&self) -> Length {
        let marks = if self.marks { trim::MARK } else { Length::ZERO };
        self.around().unwrap_or(Length::ZERO) + marks
    }
}

impl sheets::PlacedLayer {
    fn moved(&mut self, by: Vec2) {
        for outline in &mut self.outlines {
            outline.path.apply_affine(Affine::translate(by));
        }
    }
}
