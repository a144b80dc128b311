//! What `make` says when it is done: words for a designer, JSON for a program.

use std::fmt::Write;

use seamfast::design::{Delivered, Delivery, Order, Report};
use seamfast::length::{Length, Size, Unit};
use seamfast::pixels::Remainder;
use serde_json::{Value, json};

/// A paragraph for each delivery, and what the printer must be told.
pub(super) fn words(order: &Order, report: &Report) -> String {
    let mut out = String::new();
    for (delivery, made) in order.deliveries.iter().zip(&report.delivered) {
        paragraph(&mut out, order, delivery, made);
    }
    if order.arrangement.is_border() {
        out += "It is a border: repeat it across only. Above and below nothing joins.\n";
    } else if !order.arrangement.scheme().is_straight() || order.arrangement.scheme().has_symmetry() {
        let name = order.arrangement.to_string();
        // A half-drop is a thing, rows are a way to lay things.
        let things = ["half-drop", "brick", "mirror", "pinwheel", "ogee", "diamond"];
        let layout = if things.contains(&&*name) { "" } else { " layout" };
        let _ = writeln!(out, "Have it printed as a straight repeat: the {name}{layout} is already inside the tile.");
    }
    out
}

fn paragraph(out: &mut String, order: &Order, delivery: &Delivery, made: &Delivered) {
    let grid = &delivery.grid;
    let _ = writeln!(
        out,
        "{}: {} tile, {}, {} × {} px at {} dpi",
        delivery.stem,
        order.arrangement,
        both_units(grid.size()),
        grid.width(),
        grid.height(),
        grid.resolution()
    );
    let motifs = match order.motifs.len() {
        1 => "1 motif".into(),
        many => format!("{many} motifs"),
    };
    let copies = match delivery.repeat.on_a_tile() {
        1 => "1 copy on a tile".into(),
        many => format!("{many} copies on a tile"),
    };
    let _ = writeln!(out, "  {motifs}, {copies}; {}", left_over(grid.remainder(), &asked(order, delivery)));
    if let Some(ppm) = order.arrangement.distortion_ppm(grid, delivery.repeat.block) {
        let _ = writeln!(out, "  {}", hexagons(ppm));
    }
    let shown: Vec<String> = made.files.iter().map(|file| file.path.display().to_string()).collect();
    let longest = shown.iter().map(|path| path.chars().count()).max().unwrap_or(0);
    for (file, path) in made.files.iter().zip(shown) {
        let _ = writeln!(out, "  {path:longest$}  {:>9}", bytes(file.bytes));
    }
}

/// `8 × 8 in (20.32 × 20.32 cm)`.
fn both_units(size: Size) -> String {
    let sides = |unit, digits| {
        let side = |length: Length| length.show(unit, digits).trim_end_matches(unit.name()).to_owned();
        format!("{} × {} {}", side(size.width), side(size.height), unit.name())
    };
    format!("{} ({})", sides(Unit::In, 3), sides(Unit::Cm, 3))
}

/// The size that was asked for; the height of hexagonal tiles follows and was not.
fn asked(order: &Order, delivery: &Delivery) -> String {
    let size = delivery.grid.asked();
    match order.arrangement.distortion_ppm(&delivery.grid, delivery.repeat.block) {
        Some(_) => format!("{} across", size.width),
        None => size.to_string(),
    }
}

/// What the grid changed, in µm a tile and mm in 10 m.
fn left_over([across, down]: [Remainder; 2], asked: &str) -> String {
    let parts: Vec<String> = match (across.is_zero(), down.is_zero()) {
        (true, true) => return "the size is exactly as asked".into(),
        (false, true) => vec![difference(across) + " across"],
        (true, false) => vec![difference(down) + " down"],
        (false, false) if across == down => vec![difference(across) + " both ways"],
        (false, false) => vec![difference(across) + " across", difference(down) + " down"],
    };
    format!("asked {asked}: each tile is {}", parts.join(" and "))
}

/// `80 µm longer (1.25 mm in 10 m of cloth)`.
pub(super) fn difference(left: Remainder) -> String {
    let um = left.um_per_tile();
    let longer = if um < 0.0 { "shorter" } else { "longer" };
    format!("{} µm {longer} ({} mm in 10 m of cloth)", round(um.abs(), 1), round(left.mm_per_10_m().abs(), 2))
}

/// How true hexagons are on whole pixels.
pub(super) fn hexagons(ppm: f64) -> String {
    let way = if ppm < 0.0 { "lower" } else { "higher" };
    format!("Hexagons are {} ppm {way} than true, as near as whole pixels come", round(ppm.abs(), 1))
}

/// With at most so many decimals.
pub(super) fn round(value: f64, digits: usize) -> String {
    seamfast::length::trim_zeros(&format!("{value:.digits$}")).into()
}

fn bytes(count: u64) -> String {
    match count {
        0..1_000 => format!("{count} B"),
        1_000..1_000_000 => format!("{:.1} kB", count as f64 / 1e3),
        _ => format!("{:.1} MB", count as f64 / 1e6),
    }
}

/// The same facts for a program: those of the first delivery on top, all files, then each
/// delivery by itself.
pub(super) fn json(order: &Order, report: &Report) -> Value {
    let deliveries: Vec<Value> =
        order.deliveries.iter().zip(&report.delivered).map(|(delivery, made)| one(order, delivery, made)).collect();
    let first = deliveries.first().cloned().unwrap_or_default();
    let files: Vec<Value> = report.delivered.iter().flat_map(files).collect();
    json!({
        "name": order.name,
        "layout": order.arrangement.to_string(),
        "tile": first["tile"],
        "block_px": first["block_px"],
        "lattice": first["lattice"],
        "symmetry": first["symmetry"],
        "hexagonal_ppm": first["hexagonal_ppm"],
        "remainder": first["remainder"],
        "motifs": order.motifs.len(),
        "copies": first["copies"],
        "files": files,
        "warnings": order.warnings.iter().chain(report.delivered.iter().flat_map(|made| &made.remarks)).collect::<Vec<_>>(),
        "deliveries": deliveries,
    })
}

fn one(order: &Order, delivery: &Delivery, made: &Delivered) -> Value {
    let (grid, size) = (&delivery.grid, delivery.grid.size());
    let [across, down] = grid.remainder();
    json!({
        "name": delivery.stem,
        "tile": {
            "width_px": grid.width(),
            "height_px": grid.height(),
            "width_in": size.width.to(Unit::In),
            "height_in": size.height.to(Unit::In),
            "dpi": grid.resolution().value(),
        },
        "block_px": delivery.repeat.block,
        "lattice": delivery.repeat.lattice.steps(),
        "symmetry": order.arrangement.symmetry().map(|symmetry| symmetry.to_string()),
        "hexagonal_ppm": order.arrangement.distortion_ppm(grid, delivery.repeat.block),
        "remainder": {
            "um_per_tile": [across.um_per_tile(), down.um_per_tile()],
            "mm_per_10_m": [across.mm_per_10_m(), down.mm_per_10_m()],
        },
        "copies": made.copies,
        "files": files(made),
    })
}

fn files(made: &Delivered) -> Vec<Value> {
    let of = |f: &seamfast::design::FileReport| json!({ "path": f.path, "kind": f.kind.name(), "bytes": f.bytes, "sha256": f.sha256 });
    made.files.iter().map(of).collect()
}
