//! The text of a plain SVG: path data, numbers, paints.

use std::fmt::Write;

use kurbo::{Affine, BezPath, PathEl, Point};
use usvg::{BaseGradient, SpreadMethod};

use crate::vector::pdf::number;

/// Places are written to 1/10 000 of a unit, which is far below a micrometre at any resolution in use; a lattice step
/// is whole, so two copies are the same to the last digit.
const PARTS: f64 = 1e4;

/// A place or length.
pub(super) fn place(out: &mut String, n: f64) {
    number(out, (n * PARTS).round() / PARTS);
}

/// Path data.
pub(super) fn data(path: &BezPath) -> String {
    let mut out = String::new();
    let mut points = |letter: char, all: &[Point]| {
        out.push(letter);
        for (n, value) in all.iter().flat_map(|p| [p.x, p.y]).enumerate() {
            if n > 0 {
                out.push(' ');
            }
            place(&mut out, value);
        }
    };
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(p) => points('M', &[p]),
            PathEl::LineTo(p) => points('L', &[p]),
            PathEl::QuadTo(a, p) => points('Q', &[a, p]),
            PathEl::CurveTo(a, b, p) => points('C', &[a, b, p]),
            PathEl::ClosePath => points('Z', &[]),
        }
    }
    out
}

/// `matrix(…)`.
pub(super) fn matrix(to: Affine) -> String {
    let mut out = String::from("matrix(");
    for (n, value) in to.as_coeffs().into_iter().enumerate() {
        if n > 0 {
            out.push(' ');
        }
        number(&mut out, value);
    }
    out + ")"
}

/// A gradient as an element with this id; `ends` are its own attributes.
pub(super) fn gradient(id: &str, name: &str, ends: &str, base: &BaseGradient, to: Affine) -> String {
    let mut out =
        format!("<{name} id=\"{id}\" gradientUnits=\"userSpaceOnUse\" {ends} gradientTransform=\"{}\"", matrix(to));
    match base.spread_method() {
        SpreadMethod::Pad => {}
        SpreadMethod::Reflect => out.push_str(" spreadMethod=\"reflect\""),
        SpreadMethod::Repeat => out.push_str(" spreadMethod=\"repeat\""),
    }
    out.push_str(">\n");
    for stop in base.stops() {
        let _ = write!(out, "<stop offset=\"{}\" stop-color=\"{}\"", stop.offset().get(), hex(stop.color()));
        share(&mut out, "stop-opacity", stop.opacity().get());
        out.push_str("/>\n");
    }
    let _ = writeln!(out, "</{name}>");
    out
}

pub(super) fn hex(c: usvg::Color) -> String {
    format!("#{:02x}{:02x}{:02x}", c.red, c.green, c.blue)
}

/// An attribute that is left out where it says one.
pub(super) fn share(out: &mut String, name: &str, n: f32) {
    if n < 1.0 {
        let _ = write!(out, " {name}=\"{n}\"");
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn path_data_is_short_and_reads_back() {
        let path = BezPath::from_svg("M0 0.5L1.23456 -2Q3 4 5 6C7 8 9 10 11 12Z").expect("a path");
        assert_eq!(data(&path), "M0 0.5L1.2346 -2Q3 4 5 6C7 8 9 10 11 12Z");
        assert!(BezPath::from_svg(&data(&path)).is_ok());
    }
}
