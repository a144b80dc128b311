//! Paths that have no pattern, or are written without it, and what they are painted with.

use std::fmt::Write as _;

use usvg::{Paint, PaintOrder, Path};

use super::super::ink::outline;
use super::text;
use super::write::{Done, Writer};

impl Writer<'_> {
    /// A path without its patterns: with its fill, its stroke, both, or hidden.
    pub(super) fn plain(&mut self, path: &Path, (fill, stroke): (bool, bool), out: &mut String) -> Done {
        out.push_str("<path");
        if fill && stroke {
            self.id(path.id(), out);
        }
        match path.fill().filter(|_| fill) {
            Some(fill) => {
                self.paint("fill", fill.paint(), fill.opacity().get(), out);
                if fill.rule() == usvg::FillRule::EvenOdd {
                    out.push_str(" fill-rule=\"evenodd\"");
                }
            }
            None => out.push_str(" fill=\"none\""),
        }
        match path.stroke().filter(|_| stroke) {
            Some(stroke) => {
                self.paint("stroke", stroke.paint(), stroke.opacity().get(), out);
                text::stroke_style(stroke, out);
            }
            None => out.push_str(" stroke=\"none\""),
        }
        if path.paint_order() == PaintOrder::StrokeAndFill {
            out.push_str(" paint-order=\"stroke\"");
        }
        out.push_str(match path.rendering_mode() {
            usvg::ShapeRendering::OptimizeSpeed => " shape-rendering=\"optimizeSpeed\"",
            usvg::ShapeRendering::CrispEdges => " shape-rendering=\"crispEdges\"",
            usvg::ShapeRendering::GeometricPrecision => "",
        });
        if !path.is_visible() {
            out.push_str(" visibility=\"hidden\"");
        }
        out.push_str(" d=\"");
        text::path(out, &outline::bez(path.data()));
        out.push_str("\"/>");
        Ok(())
    }

    pub(super) fn paint(&mut self, attribute: &str, paint: &Paint, opacity: f32, out: &mut String) {
        match paint {
            Paint::Color(c) => {
                let _ = write!(out, " {attribute}=\"#{:02x}{:02x}{:02x}\"", c.red, c.green, c.blue);
            }
            Paint::LinearGradient(_) | Paint::RadialGradient(_) => {
                let id = self.gradient(paint);
                let _ = write!(out, " {attribute}=\"url(#{id})\"");
            }
            Paint::Pattern(_) => {
                let _ = write!(out, " {attribute}=\"none\"");
            }
        }
        if opacity != 1.0 {
            let _ = write!(out, " {attribute}-opacity=\"{opacity}\"");
        }
    }
}
