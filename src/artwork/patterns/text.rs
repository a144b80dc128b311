//! Numbers, paths, names and bytes as an SVG writes them. A number is an `f32`, written with
//! all its digits, so that it is read back as the same.

use std::fmt::Write as _;

use kurbo::{Affine, BezPath, PathEl, Point};
use usvg::{BlendMode, LineCap, LineJoin};

/// A number of the tree.
#[allow(clippy::cast_possible_truncation, reason = "the tree's numbers are f32")]
fn number(out: &mut String, v: f64) {
    let _ = write!(out, "{}", v as f32 + 0.0);
}

/// A path's `d`.
pub(super) fn path(out: &mut String, path: &BezPath) {
    let points = |out: &mut String, letter: char, points: &[Point]| {
        out.push(letter);
        for (i, p) in points.iter().enumerate() {
            if i > 0 {
                out.push(' ');
            }
            number(out, p.x);
            out.push(' ');
            number(out, p.y);
        }
    };
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(p) => points(out, 'M', &[p]),
            PathEl::LineTo(p) => points(out, 'L', &[p]),
            PathEl::QuadTo(a, p) => points(out, 'Q', &[a, p]),
            PathEl::CurveTo(a, b, p) => points(out, 'C', &[a, b, p]),
            PathEl::ClosePath => out.push('Z'),
        }
    }
}

/// ` transform="…"`, or nothing.
pub(super) fn transform(out: &mut String, attribute: &str, to: Affine) {
    if to == Affine::IDENTITY {
        return;
    }
    let _ = write!(out, " {attribute}=\"matrix(");
    for (i, v) in to.as_coeffs().into_iter().enumerate() {
        if i > 0 {
            out.push(' ');
        }
        number(out, v);
    }
    out.push_str(")\"");
}

/// An attribute's value.
pub(super) fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

/// Bytes as base64.
pub(super) fn base64(out: &mut String, bytes: &[u8]) {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    for three in bytes.chunks(3) {
        let at = |i: usize| u32::from(three.get(i).copied().unwrap_or(0));
        let bits = at(0) << 16 | at(1) << 8 | at(2);
        for i in 0..4 {
            let letter = LETTERS[(bits >> (18 - 6 * i) & 63) as usize];
            out.push(if i <= three.len() { char::from(letter) } else { '=' });
        }
    }
}

/// Opacity and blend of a group.
pub(super) fn effects(opacity: f32, blend: BlendMode, isolate: bool, out: &mut String) {
    if opacity != 1.0 {
        let _ = write!(out, " opacity=\"{opacity}\"");
    }
    if blend != BlendMode::Normal || isolate {
        let isolation = if isolate { "isolate" } else { "auto" };
        let _ = write!(out, " style=\"mix-blend-mode:{blend};isolation:{isolation}\"");
    }
}

/// How a stroke runs.
pub(super) fn stroke_style(stroke: &usvg::Stroke, out: &mut String) {
    let _ =
        write!(out, " stroke-width=\"{}\" stroke-miterlimit=\"{}\"", stroke.width().get(), stroke.miterlimit().get());
    out.push_str(match stroke.linecap() {
        LineCap::Butt => "",
        LineCap::Round => " stroke-linecap=\"round\"",
        LineCap::Square => " stroke-linecap=\"square\"",
    });
    out.push_str(match stroke.linejoin() {
        LineJoin::Miter => "",
        LineJoin::MiterClip => " stroke-linejoin=\"miter-clip\"",
        LineJoin::Round => " stroke-linejoin=\"round\"",
        LineJoin::Bevel => " stroke-linejoin=\"bevel\"",
    });
    if let Some(array) = stroke.dasharray() {
        let dashes: Vec<String> = array.iter().map(f32::to_string).collect();
        let _ = write!(out, " stroke-dasharray=\"{}\" stroke-dashoffset=\"{}\"", dashes.join(" "), stroke.dashoffset());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bytes_as_others_write_them() {
        let written = |bytes: &[u8]| {
            let mut out = String::new();
            base64(&mut out, bytes);
            out
        };
        for (bytes, text) in [("", ""), ("t", "dA=="), ("te", "dGU="), ("ter", "dGVy"), ("tern", "dGVybg==")] {
            assert_eq!(written(bytes.as_bytes()), text);
        }
        assert_eq!(written(&[0xfb, 0xff, 0xfe]), "+//+");
    }

    #[test]
    fn numbers_read_back_as_they_were() {
        for v in [0.1_f32, -0.0, 1e-7, 16_777_217.0, 10.4 * 29.0, f32::MIN_POSITIVE] {
            let mut out = String::new();
            number(&mut out, f64::from(v));
            assert_eq!(out.parse::<f32>().expect("a number"), v, "{out}");
        }
    }
}
