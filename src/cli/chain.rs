//! What `make` says when it is done, in a designer's words.

use std::fmt::Write;

use seamfast::design::{Delivered, Delivery, Order, Report};
use seamfast::length::{Size, Unit};
use seamfast::pixels::Remainder;

/// One paragraph for each delivery.
pub(super) fn summary(order: &Order, report: &Report) -> String {
    let mut out = String::new();
    for (delivery, made) in order.deliveries.iter().zip(&report.delivered) {
        paragraph(&mut out, order, delivery, made);
    }
    out
}

fn paragraph(out: &mut String, order: &Order, delivery: &Delivery, made: &Delivered) {
    let grid = &delivery.grid;
    let motifs = order.motifs.len();
    let _ = writeln!(
        out,
        "{}: {}, {motifs} {}, {} {} on the tile",
        delivery.stem,
        order.layout,
        plural(motifs, "motif", "motifs"),
        made.copies,
        plural(made.copies, "copy", "copies"),
    );
    let _ = writeln!(
        out,
        "  tile   {}, {} × {} px at {} dpi",
        both_units(grid.size()),
        grid.width(),
        grid.height(),
        grid.resolution()
    );
    let [across, down] = grid.remainder();
    let _ = writeln!(out, "  size   {}", remainder(across, down, grid.asked()));
    for file in &made.files {
        let _ = writeln!(out, "  file   {}  {}", file.path.display(), bytes(file.bytes));
    }
    if order.layout.scheme().tile_blocks() != [1, 1] && delivery.kinds.iter().any(|k| k.ending() != "svg") {
        let _ = writeln!(out, "  print  the {} is inside the tile: have it repeated straight", order.layout);
    }
}

fn both_units(size: Size) -> String {
    let side = |unit, digits| {
        let [w, h] = [size.width, size.height].map(|side| side.show(unit, digits).trim_end_matches(unit.name()).to_string());
        format!("{w} × {h} {}", unit.name())
    };
    format!("{} = {}", side(Unit::In, 3), side(Unit::Cm, 3))
}

/// What the grid changed, in µm a tile and mm in 10 m.
fn remainder(across: Remainder, down: Remainder, asked: Size) -> String {
    if across.is_zero() && down.is_zero() {
        return "exactly as asked".into();
    }
    let say = |r: Remainder, way: &str| {
        let sign = if r.um_per_tile() < 0.0 { "shorter" } else { "longer" };
        let (um, mm) = (r.um_per_tile().abs(), r.mm_per_10_m().abs());
        format!("{um:.1} µm {sign} {way} ({mm:.2} mm in 10 m of cloth)")
    };
    let parts: Vec<String> = [(across, "across"), (down, "down")]
        .into_iter()
        .filter(|(r, _)| !r.is_zero())
        .map(|(r, way)| say(r, way))
        .collect();
    format!("asked {asked}; whole pixels make a tile {}", parts.join(" and "))
}

fn bytes(count: u64) -> String {
    match count {
        0..1_000 => format!("{count} bytes"),
        1_000..1_000_000 => format!("{:.1} kB", count as f64 / 1e3),
        _ => format!("{:.1} MB", count as f64 / 1e6),
    }
}

fn plural<'a>(count: usize, one: &'a str, more: &'a str) -> &'a str {
    if count == 1 { one } else { more }
}
