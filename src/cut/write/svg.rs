//! SVG in millimetres: a group for each layer, hairlines, paths in the order in which they are cut.

use std::fmt::Write;

use kurbo::{BezPath, PathEl, Point};

use super::super::job::CutSheet;
use super::super::names::apart;
use super::{MM, color, mm, number};

/// Of a line: as thin as programs for cutters want it.
const HAIRLINE: &str = "0.01";

pub(super) fn write(sheet: &CutSheet, title: &str) -> String {
    let [width, height] = mm(sheet).map(number);
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" height=\"{height}mm\" viewBox=\"0 0 {width} {height}\">\n<title>{}</title>\n",
        escaped(title)
    );
    let ids = apart(sheet.layers.iter().map(|layer| id(&layer.name)), |id, number| format!("{id}-{number}"));
    for (layer, id) in sheet.layers.iter().zip(ids) {
        let [r, g, b] = color(layer);
        let _ = writeln!(
            out,
            "<g id=\"cut-{id}\" fill=\"none\" stroke=\"#{r:02x}{g:02x}{b:02x}\" stroke-width=\"{HAIRLINE}\">",
        );
        for path in &layer.paths {
            let _ = writeln!(out, "<path d=\"{}\"/>", data(&path.path));
        }
        out.push_str("</g>\n");
    }
    out.push_str("</svg>\n");
    out
}

/// A path in mm.
fn data(path: &BezPath) -> String {
    let mut out = String::new();
    let put = |out: &mut String, letter: char, points: &[Point]| {
        out.push(letter);
        let numbers: Vec<String> = points.iter().flat_map(|p| [number(p.x / MM), number(p.y / MM)]).collect();
        out.push_str(&numbers.join(" "));
    };
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(p) => put(&mut out, 'M', &[p]),
            PathEl::LineTo(p) => put(&mut out, 'L', &[p]),
            PathEl::QuadTo(a, p) => put(&mut out, 'Q', &[a, p]),
            PathEl::CurveTo(a, b, p) => put(&mut out, 'C', &[a, b, p]),
            PathEl::ClosePath => out.push('Z'),
        }
    }
    out
}

/// A name that an id can hold.
fn id(name: &str) -> String {
    name.chars().map(|c| if c.is_ascii_alphanumeric() || c == '_' || c == '-' { c } else { '-' }).collect()
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}
