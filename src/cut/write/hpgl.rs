//! HP-GL: 40 units to the millimetre, y up, a pen for each layer. Curves are chords that lie off by less than half a unit.

use std::fmt::Write;

use kurbo::Point;

use super::super::job::CutSheet;
use super::{corners, mm};

/// Plotter units in a millimetre (one is 0.025 mm).
const UNITS: f64 = 40.0;
/// Chords lie this far off at most, in mm.
const EXACT: f64 = 0.005;
/// Points in one instruction, so that no line is too long for a plotter's buffer.
const RUN: usize = 40;

pub(super) fn write(sheet: &CutSheet) -> String {
    let [_, height] = mm(sheet);
    let unit = |p: &Point| format!("{:.0},{:.0}", p.x * UNITS + 0.0, (height - p.y) * UNITS + 0.0).replace("-0,", "0,");
    let mut out = String::from("IN;\n");
    for (number, layer) in sheet.layers.iter().enumerate() {
        let _ = writeln!(out, "SP{};", number + 1);
        for contour in layer.paths.iter().flat_map(|path| corners(&path.path, EXACT)) {
            let mut places: Vec<String> = contour.iter().map(unit).collect();
            places.dedup();
            let Some((first, rest)) = places.split_first() else { continue };
            let _ = writeln!(out, "PU{first};");
            for run in rest.chunks(RUN) {
                let _ = writeln!(out, "PD{};", run.join(","));
            }
        }
    }
    out.push_str("PU;\nSP0;\n");
    out
}
