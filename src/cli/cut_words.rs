//! What `cut` says when it is done, and what everybody must know before they cut.

use std::fmt::Write;

use kurbo::Rect;
use seamfast::cut::{Cut, Settings, Small, place, small};
use seamfast::design::{Order, Written};
use seamfast::length::{Unit, trim_zeros};
use serde_json::{Value, json};

/// Before anything is cut: the usual cautions, and who has the last word.
pub(super) const CAUTIONS: [&str; 4] = [
    "Never put PVC (vinyl), other chlorinated or fluorinated plastics, or a material you can't name under a laser: they give off corrosive, poisonous gas.",
    "A laser needs running extraction, eye protection for its wavelength, and somebody who watches it, with the means to put out a fire.",
    "Blades cut fingers as well as film: keep hands out of a moving machine, and cover and dispose of blades safely.",
    "The machine's manual, the material's data sheet, local rules and licensed practice come first.",
];

fn mm(emu: f64) -> String {
    trim_zeros(&format!("{:.1}", emu / Unit::Mm.emu() as f64)).into()
}

fn metres(emu: f64) -> String {
    trim_zeros(&format!("{:.2}", emu / Unit::M.emu() as f64)).into()
}

/// `2 min 5 s`.
fn time(seconds: f64) -> String {
    let whole = seconds.ceil();
    let (minutes, rest) = ((whole / 60.0).floor(), whole % 60.0);
    if minutes > 0.0 { format!("{minutes} min {rest} s") } else { format!("{rest} s") }
}

fn count(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

/// A paragraph for each sheet, then the cautions.
pub(super) fn words(order: &Order, settings: &Settings, cut: &Cut, written: &[Written]) -> String {
    let mut out = String::new();
    let _ = writeln!(out, "{}: {} of a {} tile", order.name, settings.mode.name(), order.arrangement);
    for sheet in &cut.sheets {
        let [w, h] = [sheet.size.width, sheet.size.height].map(|side| mm(side.emu() as f64));
        let name = sheet.name.trim_start_matches('-');
        let _ =
            writeln!(out, "  {}{w} × {h} mm", if name.is_empty() { String::new() } else { format!("sheet {name}: ") });
        for layer in &sheet.layers {
            let _ = writeln!(
                out,
                "    {}: {}, {} m to cut, {} m between cuts, about {} at {} and {} mm/s",
                layer.name,
                count(layer.pieces, "piece", "pieces"),
                metres(layer.route.cut),
                metres(layer.route.travel),
                time(layer.route.seconds),
                mm(settings.speeds[0].emu() as f64),
                mm(settings.speeds[1].emu() as f64),
            );
        }
    }
    if !cut.bridges.is_empty() {
        let long: f64 = cut.bridges.iter().map(|[a, b]| a.distance(*b)).sum();
        let _ = writeln!(out, "  {} of {} mm in all", count(cut.bridges.len(), "bridge", "bridges"), mm(long));
    }
    for file in written {
        let _ = writeln!(out, "  {}", file.path.display());
    }
    out.push_str("Before you cut:\n");
    for caution in CAUTIONS {
        let _ = writeln!(out, "  {caution}");
    }
    out
}

fn name(what: Small) -> &'static str {
    match what {
        Small::Piece => "piece",
        Small::Hole => "hole",
        Small::Part => "part of a piece",
        Small::Gap => "gap",
    }
}

/// What a person should know before they cut.
pub(super) fn warnings(order: &Order, cut: &Cut) -> Vec<String> {
    let mut out = Vec::new();
    for one in order.no_shapes(&cut.left_out) {
        out.push(format!("left out, as allowed: {one}"));
    }
    for motif in &cut.translucent {
        out.push(format!(
            "{}: something shines through it; it is cut as if it covered what is under it",
            order.motifs[*motif].name()
        ));
    }
    for what in [Small::Piece, Small::Hole, Small::Part, Small::Gap] {
        let of: Vec<_> = cut.found.iter().filter(|found| found.what == what).collect();
        let Some(first) = of.iter().min_by(|a, b| a.size.total_cmp(&b.size)) else { continue };
        let more = if of.len() > 1 { format!("; {} in all", of.len()) } else { String::new() };
        out.push(format!(
            "{}: a {} is {} mm across, at {}{more}",
            first.layer,
            name(what),
            small(first.size),
            place(&first.at)
        ));
    }
    if cut.not_measured {
        out.push("narrow parts and gaps are too many to look at; not all were measured".into());
    }
    if !cut.islands.is_empty() {
        let first = cut.islands.first().map(place).unwrap_or_default();
        out.push(format!("{} will fall out, the first at {first}", count(cut.islands.len(), "part", "parts")));
    }
    for [one, other] in &cut.no_order {
        out.push(format!(
            "{one} lies over {other} here and under it there, which no order of films can show: cut it as an inlay, or draw it otherwise"
        ));
    }
    if cut.polygons > 0 {
        out.push(format!(
            "{} as short lines, since {} curves would have crossed",
            count(cut.polygons, "outline stands", "outlines stand"),
            if cut.polygons == 1 { "its" } else { "their" }
        ));
    }
    out
}

fn box_of(at: &Rect) -> Value {
    let mm = |n: f64| n / Unit::Mm.emu() as f64;
    json!({ "x_mm": mm(at.x0), "y_mm": mm(at.y0), "width_mm": mm(at.width()), "height_mm": mm(at.height()) })
}

/// The same facts for a program.
pub(super) fn json(order: &Order, settings: &Settings, cut: &Cut, written: &[Written]) -> Value {
    let to_mm = |emu: f64| emu / Unit::Mm.emu() as f64;
    let sheets: Vec<Value> = cut
        .sheets
        .iter()
        .map(|sheet| {
            let layers: Vec<Value> = sheet
                .layers
                .iter()
                .map(|layer| {
                    json!({
                        "name": layer.name,
                        "pieces": layer.pieces,
                        "paths": layer.paths.len(),
                        "area_mm2": layer.area_mm2,
                        "cut_mm": to_mm(layer.route.cut),
                        "travel_mm": to_mm(layer.route.travel),
                        "seconds": layer.route.seconds,
                    })
                })
                .collect();
            json!({
                "name": sheet.name,
                "width_mm": sheet.size.width.to(Unit::Mm),
                "height_mm": sheet.size.height.to(Unit::Mm),
                "layers": layers,
            })
        })
        .collect();
    let found: Vec<Value> = cut
        .found
        .iter()
        .map(|found| json!({ "what": name(found.what), "layer": found.layer, "size_mm": to_mm(found.size), "at": box_of(&found.at) }))
        .collect();
    let bridges: Vec<Value> = cut.bridges.iter().map(|ends| json!(ends.map(|p| [to_mm(p.x), to_mm(p.y)]))).collect();
    let files: Vec<Value> =
        written.iter().map(|file| json!({ "path": file.path, "bytes": file.bytes, "sha256": file.sha256 })).collect();
    let warnings: Vec<String> = order.warnings.iter().cloned().chain(warnings(order, cut)).collect();
    json!({
        "name": order.name,
        "mode": settings.mode.name(),
        "sheets": sheets,
        "found": found,
        "islands": cut.islands.iter().map(box_of).collect::<Vec<_>>(),
        "bridges_mm": bridges,
        "files": files,
        "warnings": warnings,
        "cautions": CAUTIONS,
    })
}
