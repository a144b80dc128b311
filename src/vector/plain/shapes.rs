//! Fills and lines as plain paths.

use std::fmt::Write;

use kurbo::{Affine, BezPath, Rect, Shape as _};
use usvg::{Fill, FillRule, Paint, PaintOrder, Path, Stroke};

use super::clips::inside;
use super::text::{data, gradient, hex, place, share};
use super::walk::{Plain, Seen};
use crate::artwork::{affine, bez, close, covered, stretch};
use crate::vector::notes::What;

impl Plain<'_> {
    pub(super) fn path(&mut self, path: &Path, seen: &Seen) {
        if !path.is_visible() {
            return;
        }
        let fill = path.fill().filter(|_| path.data().bounds().width() > 0.0 && path.data().bounds().height() > 0.0);
        match path.paint_order() {
            PaintOrder::FillAndStroke => {
                fill.into_iter().for_each(|fill| self.fill(path, fill, seen));
                path.stroke().into_iter().for_each(|stroke| self.stroke(path, stroke, seen));
            }
            PaintOrder::StrokeAndFill => {
                path.stroke().into_iter().for_each(|stroke| self.stroke(path, stroke, seen));
                fill.into_iter().for_each(|fill| self.fill(path, fill, seen));
            }
        }
    }

    fn fill(&mut self, path: &Path, fill: &Fill, seen: &Seen) {
        let outline = seen.to * bez(path.data());
        self.area(&outline, fill.rule(), (fill.paint(), fill.opacity().get()), seen);
    }

    /// An area, as far as it is seen.
    fn area(&mut self, outline: &BezPath, rule: FillRule, (paint, opacity): (&Paint, f32), seen: &Seen) {
        let whole = inside(outline.bounding_box(), &seen.clips);
        let (shown, rule, kept) = if whole {
            (outline.clone(), rule, String::new())
        } else {
            match self.cut(close(outline), rule, &seen.clips) {
                Some((shown, rule)) => (shown, rule, String::new()),
                None => {
                    self.note(What::Clip);
                    (outline.clone(), rule, self.held(&seen.clips))
                }
            }
        };
        if shown.is_empty() {
            return;
        }
        let Some(paint) = self.paint(paint, seen.to) else { return };
        let _ = write!(self.body, "{kept}<path d=\"{}\" fill=\"{paint}\"", data(&shown));
        share(&mut self.body, "fill-opacity", opacity);
        if rule == FillRule::EvenOdd {
            self.body.push_str(" fill-rule=\"evenodd\"");
        }
        let _ = writeln!(self.body, "/>{}", "</g>".repeat(kept.matches("<g").count()));
    }

    /// A line that is seen whole and as it was drawn stays one; else it becomes the area that it covers.
    fn stroke(&mut self, path: &Path, stroke: &Stroke, seen: &Seen) {
        let [most, least] = stretch(seen.to);
        let r = path.stroke_bounding_box();
        let reach = Rect::new(r.left().into(), r.top().into(), r.right().into(), r.bottom().into());
        let width = f64::from(stroke.width().get());
        let reach = seen.to.transform_rect_bbox(reach).inflate(width * most, width * most);
        let similar = most - least <= 1e-6 * most;
        let whole = inside(reach, &seen.clips);
        if !(whole && similar) {
            let exact = self.exact / most.max(1e-9);
            let outline = covered(path, stroke, exact.max(1e-6 * width), &self.dashes);
            if let Some(outline) = outline {
                let paint = (stroke.paint(), stroke.opacity().get());
                return self.area(&(seen.to * outline), FillRule::NonZero, paint, seen);
            }
            self.note(What::Clip);
        }
        let Some(paint) = self.paint(stroke.paint(), seen.to) else { return };
        let kept = if whole { String::new() } else { self.held(&seen.clips) };
        let outline = data(&(seen.to * bez(path.data())));
        let mut line = format!("{kept}<path d=\"{outline}\" fill=\"none\" stroke=\"{paint}\"");
        let mut length = |name: &str, all: &[f64]| {
            let _ = write!(line, " {name}=\"");
            for (n, value) in all.iter().enumerate() {
                if n > 0 {
                    line.push(' ');
                }
                place(&mut line, value * most);
            }
            line.push('"');
        };
        length("stroke-width", &[width]);
        if let Some(dashes) = stroke.dasharray() {
            length("stroke-dasharray", &dashes.iter().map(|dash| f64::from(*dash)).collect::<Vec<_>>());
            length("stroke-dashoffset", &[stroke.dashoffset().into()]);
        }
        share(&mut line, "stroke-opacity", stroke.opacity().get());
        let cap = match stroke.linecap() {
            usvg::LineCap::Butt => "",
            usvg::LineCap::Round => " stroke-linecap=\"round\"",
            usvg::LineCap::Square => " stroke-linecap=\"square\"",
        };
        let join = match stroke.linejoin() {
            usvg::LineJoin::Miter => "",
            usvg::LineJoin::MiterClip => " stroke-linejoin=\"miter-clip\"",
            usvg::LineJoin::Round => " stroke-linejoin=\"round\"",
            usvg::LineJoin::Bevel => " stroke-linejoin=\"bevel\"",
        };
        let limit = stroke.miterlimit().get();
        let _ =
            write!(line, "{cap}{join} stroke-miterlimit=\"{limit}\"/>{}", "</g>".repeat(kept.matches("<g").count()));
        self.body.push_str(&line);
        self.body.push('\n');
    }

    /// A paint's attribute; gradients go to the definitions.
    fn paint(&mut self, paint: &Paint, to: Affine) -> Option<String> {
        let element = match paint {
            Paint::Color(color) => return Some(hex(*color)),
            Paint::LinearGradient(g) => {
                let ends = format!("x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\"", g.x1(), g.y1(), g.x2(), g.y2());
                gradient(&self.id(), "linearGradient", &ends, g, to * affine(g.transform()))
            }
            Paint::RadialGradient(g) => {
                let [r, fr] = [g.r(), g.fr()].map(|r| r.get());
                let (c, f) = ([g.cx(), g.cy()], [g.fx(), g.fy()]);
                let ends =
                    format!("cx=\"{}\" cy=\"{}\" r=\"{r}\" fx=\"{}\" fy=\"{}\" fr=\"{fr}\"", c[0], c[1], f[0], f[1]);
                gradient(&self.id(), "radialGradient", &ends, g, to * affine(g.transform()))
            }
            // The artwork's patterns are plain shapes by now; only one in a drawing inside the drawing can be left.
            Paint::Pattern(_) => {
                self.note(What::Unread);
                return None;
            }
        };
        self.defs.push_str(&element);
        Some(format!("url(#p{})", self.ids))
    }
}
