//! What is to be said of a tile beside its joins: is it fit for print?
//!
//! The limits are common practice, without a source.

use crate::artwork::{ColorSpace, Finished, Motif};
use crate::design::Order;
use crate::length::Unit;

/// How much a finding matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// To know.
    Note,
    /// It may come out otherwise than meant.
    Warning,
}

impl Severity {
    /// As it stands in reports.
    pub fn name(self) -> &'static str {
        match self {
            Severity::Note => "note",
            Severity::Warning => "warning",
        }
    }
}

/// Something to know of a tile.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// Its code, which does not change.
    pub code: &'static str,
    /// How much it matters.
    pub severity: Severity,
    /// What it is, with the values.
    pub what: String,
    /// What to do about it.
    pub remedy: String,
}

fn warning(code: &'static str, what: impl Into<String>, remedy: impl Into<String>) -> Finding {
    Finding { code, severity: Severity::Warning, what: what.into(), remedy: remedy.into() }
}

pub(super) fn note(code: &'static str, what: impl Into<String>, remedy: impl Into<String>) -> Finding {
    Finding { severity: Severity::Note, ..warning(code, what, remedy) }
}

/// Two resolutions this near are one: what a whole number of pixels per metre is off by.
const ALIKE: f64 = 0.02;

/// What a finished tile's file says of itself, or doesn't.
pub(super) fn of_file(file: &Finished) -> Vec<Finding> {
    let mut findings = Vec::new();
    match file.dpi {
        None => findings.push(warning(
            "no-resolution",
            "the file doesn't say its resolution, so every program shows it at another size",
            "write the resolution into it; seamfast size says which goes with a size",
        )),
        Some([x, y]) if (x - y).abs() > ALIKE => findings.push(warning(
            "unequal-resolution",
            format!("{x:.2} dpi across and {y:.2} down: pixels are no squares, and motifs print squeezed"),
            "write one resolution for both",
        )),
        Some([x, _]) if (x - x.round()).abs() > ALIKE => findings.push(note(
            "odd-resolution",
            format!("{x:.2} dpi is no whole number; shops round it, and the size with it"),
            "sample the design again at a whole resolution, or say the size when you upload it",
        )),
        Some(_) => {}
    }
    match &file.colors {
        ColorSpace::Srgb => {}
        ColorSpace::Unsaid => findings.push(note(
            "no-profile",
            "the file doesn't say which colors its numbers are; most programs take them for sRGB",
            "export it with its color profile",
        )),
        ColorSpace::Other(name) => findings.push(note(
            "other-profile",
            format!("its colors are {name}, not sRGB; a shop that takes no notice prints other colors"),
            "convert it to sRGB, unless the printer asks for this profile",
        )),
    }
    if file.channels() == 4 {
        findings.extend(transparent(&file.pixels.bytes));
    }
    findings.extend(file.losses.iter().map(|loss| {
        warning("not-judged", format!("not judged: {loss}"), "save the tile with nothing but its picture in it")
    }));
    findings
}

/// Pixels through which the goods would show.
fn transparent(straight: &[u8]) -> Option<Finding> {
    let clear = straight.chunks_exact(4).filter(|pixel| pixel[3] < 255).count();
    let share = 100.0 * clear as f64 / (straight.len() / 4) as f64;
    (clear > 0).then(|| {
        note(
            "transparent",
            format!("{clear} pixels ({share:.1} %) are transparent or partly so; printers put white there, or black"),
            "give it a ground, unless the goods are to show through",
        )
    })
}

/// What is to be said of a drawing that is a tile.
pub(super) fn of_drawing(motif: &Motif, dpi: f64) -> Vec<Finding> {
    let Some(size) = motif.size() else {
        return vec![warning(
            "no-size",
            "the drawing has no true size, so its pixels were taken for 1/96 in",
            "write width and height with units, for example width=\"8in\"",
        )];
    };
    let pixels = [size.width, size.height].map(|side| side.to(Unit::In) * dpi);
    if pixels.iter().all(|n| (n - n.round()).abs() < 1e-6) {
        return Vec::new();
    }
    vec![warning(
        "part-pixels",
        format!(
            "at {dpi} dpi the page is {:.3} × {:.3} px; the last row or column is part of a pixel",
            pixels[0], pixels[1]
        ),
        "choose a size or resolution that gives whole pixels; seamfast size names some",
    )]
}

/// What is to be said of a design: the orders' own warnings.
pub(super) fn of_design(order: &Order) -> Vec<Finding> {
    order.warnings.iter().map(|warning| note("design", warning, "see the design")).collect()
}
