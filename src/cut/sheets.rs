//! Where pieces lie: as on the cloth, or laid in rows on as many sheets as it takes.

use kurbo::{Affine, Rect, Shape as _, Vec2};

use super::error::CutError;
use super::mode::Layer;
use super::names::apart;
use super::outline::Outline;
use crate::artwork::InkName;
use crate::length::{Length, Size};

/// Sheets of material.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sheets {
    /// One sheet.
    pub size: Size,
    /// What stays free along its edges.
    pub margin: Length,
    /// What stays free between pieces that are laid anew.
    pub apart: Length,
}

/// A layer's outlines where they lie.
#[derive(Clone, Debug)]
pub(super) struct PlacedLayer {
    pub name: String,
    pub ink: Option<InkName>,
    pub outlines: Vec<Outline>,
}

/// A sheet, in EMU.
#[derive(Clone, Debug)]
pub(super) struct Placed {
    pub name: String,
    pub size: kurbo::Size,
    /// Where the cloth lies on it.
    pub goods: Rect,
    pub layers: Vec<PlacedLayer>,
}

type Drawn<'a> = [(&'a Layer, Vec<Outline>)];

/// One sheet as large as the goods.
pub(super) fn whole(drawn: &Drawn, goods: Rect) -> Placed {
    arranged(drawn, goods, goods.size(), Vec2::ZERO)
}

/// The goods as they are if a sheet holds them; else each layer's pieces in rows, the highest first, unless they must stay.
pub(super) fn fit(drawn: &Drawn, goods: Rect, sheets: &Sheets, stay: bool) -> Result<Vec<Placed>, CutError> {
    let margin = sheets.margin.emu() as f64;
    let size = kurbo::Size::new(sheets.size.width.emu() as f64, sheets.size.height.emu() as f64);
    let room = size - kurbo::Size::new(2.0 * margin, 2.0 * margin);
    if goods.width() <= room.width && goods.height() <= room.height {
        return Ok(vec![arranged(drawn, goods, size, Vec2::new(margin, margin))]);
    }
    if stay {
        return Err(CutError::Roll(asked(room)));
    }
    let mut all = Vec::new();
    let plain = drawn.iter().map(|(layer, _)| for_file(&layer.name));
    let names = apart(plain, |name, number| format!("{name}-again-{}", number - 1));
    for ((layer, outlines), own) in drawn.iter().zip(names) {
        let rows = rows(outlines, room, sheets.apart.emu() as f64)?;
        let several = rows.len() > 1;
        for (number, outlines) in rows.into_iter().enumerate() {
            let mut outlines = outlines;
            outlines.iter_mut().for_each(|o| o.path.apply_affine(Affine::translate((margin, margin))));
            let mut name = if drawn.len() > 1 { format!("-{own}") } else { String::new() };
            if several {
                name += &format!("-{}", number + 1);
            }
            let placed = PlacedLayer { name: layer.name.clone(), ink: layer.ink.clone(), outlines };
            all.push(Placed { name, size, goods: Rect::ZERO, layers: vec![placed] });
        }
    }
    Ok(all)
}

/// A layer's name as a part of a file's: letters and digits.
fn for_file(name: &str) -> String {
    let parts = name.split(|c: char| !c.is_ascii_alphanumeric()).filter(|part| !part.is_empty());
    parts.collect::<Vec<_>>().join("-")
}

fn arranged(drawn: &Drawn, goods: Rect, size: kurbo::Size, margin: Vec2) -> Placed {
    let by = margin - goods.origin().to_vec2();
    let layer = |(layer, outlines): &(&Layer, Vec<Outline>)| {
        let mut outlines = outlines.clone();
        outlines.iter_mut().for_each(|outline| outline.path.apply_affine(Affine::translate(by)));
        PlacedLayer { name: layer.name.clone(), ink: layer.ink.clone(), outlines }
    };
    Placed { name: String::new(), size, goods: goods + by, layers: drawn.iter().map(layer).collect() }
}

/// Pieces in rows on sheets: each row as high as its first piece.
fn rows(outlines: &[Outline], room: kurbo::Size, apart: f64) -> Result<Vec<Vec<Outline>>, CutError> {
    let mut pieces: Vec<(Rect, Vec<&Outline>)> = Vec::new();
    for outline in outlines {
        match pieces.last_mut() {
            Some((_, piece)) if piece[0].piece == outline.piece => piece.push(outline),
            _ => pieces.push((outline.path.bounding_box(), vec![outline])),
        }
    }
    if let Some((piece, _)) = pieces.iter().find(|(b, _)| b.width() > room.width || b.height() > room.height) {
        return Err(CutError::TooLarge { piece: *piece, sheet: asked(room) });
    }
    pieces.sort_by(|a, b| b.0.height().total_cmp(&a.0.height()).then(b.0.width().total_cmp(&a.0.width())));
    let mut sheets: Vec<Vec<Outline>> = vec![Vec::new()];
    let (mut x, mut y, mut high) = (0.0, 0.0, 0.0_f64);
    for (bounds, piece) in pieces {
        if x + bounds.width() > room.width {
            (x, y, high) = (0.0, y + high + apart, 0.0);
        }
        if y + bounds.height() > room.height {
            sheets.push(Vec::new());
            (x, y, high) = (0.0, 0.0, 0.0);
        }
        let to = Affine::translate(Vec2::new(x, y) - bounds.origin().to_vec2());
        let laid = piece.into_iter().map(|outline| Outline { path: to * &outline.path, ..outline.clone() });
        if let Some(sheet) = sheets.last_mut() {
            sheet.extend(laid);
        }
        x += bounds.width() + apart;
        high = high.max(bounds.height());
    }
    Ok(sheets)
}

/// What a sheet takes, in words.
fn asked(room: kurbo::Size) -> String {
    true_size(kurbo::Size::new(room.width.max(0.0), room.height.max(0.0))).to_string()
}

/// Whole EMU.
#[allow(clippy::cast_possible_truncation, reason = "rounded; lengths on the goods")]
fn whole_emu(n: f64) -> i64 {
    n.round() as i64
}

/// A size in whole EMU.
pub(super) fn true_size(size: kurbo::Size) -> Size {
    Size { width: Length::from_emu(whole_emu(size.width)), height: Length::from_emu(whole_emu(size.height)) }
}
