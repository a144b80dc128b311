//! Filled and stroked paths, in the order that the drawing asks for.

use kurbo::{BezPath, PathEl, Rect};
use usvg::{FillRule, LineCap, LineJoin, Paint, PaintOrder, Path, Stroke};

use super::gradient::Shape;
use super::state::{Seen, State};
use super::stream::{Color, Stream, Use};
use super::walk::{Tone, Walk, share, widened};
use crate::artwork::{bez, covered};
use crate::vector::notes::What;

/// A paint, ready to be laid.
pub(super) struct Laid {
    pub(super) color: Color,
    /// Its own transparency, where that changes along it.
    pub(super) mask: Option<pdf_writer::Ref>,
    pub(super) opacity: f64,
}

impl Walk<'_, '_> {
    pub(super) fn path(&mut self, path: &Path, out: &mut Stream) {
        if !path.is_visible() {
            return;
        }
        let outline = bez(path.data());
        match path.paint_order() {
            PaintOrder::FillAndStroke => {
                self.fill(path, &outline, out);
                self.stroke(path, &outline, out);
            }
            PaintOrder::StrokeAndFill => {
                self.stroke(path, &outline, out);
                self.fill(path, &outline, out);
            }
        }
    }

    fn fill(&mut self, path: &Path, outline: &BezPath, out: &mut Stream) {
        let Some(fill) = path.fill() else { return };
        let flat = path.data().bounds();
        // Flat paths have no area, though some readers show a line.
        if flat.width() == 0.0 || flat.height() == 0.0 {
            return;
        }
        let area = rect(path.bounding_box());
        let Some(laid) = self.laid(fill.paint(), fill.opacity().get().into(), area, out) else { return };
        let saved = self.begin(&laid, Use::Fill, out);
        out.path(outline);
        out.op(if fill.rule() == FillRule::EvenOdd { "f*" } else { "f" });
        if saved {
            out.restore();
        }
    }

    fn stroke(&mut self, path: &Path, outline: &BezPath, out: &mut Stream) {
        let Some(stroke) = path.stroke() else { return };
        let dots = |array: &[f32]| array.len().is_multiple_of(2) && array.iter().step_by(2).all(|dash| *dash == 0.0);
        if stroke.linecap() == LineCap::Butt && stroke.dasharray().is_some_and(dots) {
            return; // dashes without length or caps, though some readers show a square
        }
        let area = widened(rect(path.stroke_bounding_box()));
        let Some(laid) = self.laid(stroke.paint(), stroke.opacity().get().into(), area, out) else { return };
        // PDF shows a point under a square cap as nothing (ISO 32000-1, 8.5.3.2), SVG as a square.
        let squares = (stroke.linecap() == LineCap::Square && has_point(outline))
            .then(|| covered(path, stroke, f64::from(stroke.width().get()) * 1e-4, &self.book.dashes))
            .flatten();
        let saved = self.begin(&laid, if squares.is_some() { Use::Fill } else { Use::Stroke }, out);
        if let Some(squares) = squares {
            out.path(&squares);
            out.op("f");
        } else {
            self.line(stroke, out);
            out.path(outline);
            out.op("S");
        }
        if saved {
            out.restore();
        }
    }

    /// How a line is drawn; all of it, since another may have been drawn before.
    fn line(&mut self, stroke: &Stroke, out: &mut Stream) {
        let cap = match stroke.linecap() {
            LineCap::Butt => 0.0,
            LineCap::Round => 1.0,
            LineCap::Square => 2.0,
        };
        let join = match stroke.linejoin() {
            LineJoin::Miter => 0.0,
            LineJoin::MiterClip => {
                self.note(What::MiterClip);
                0.0
            }
            LineJoin::Round => 1.0,
            LineJoin::Bevel => 2.0,
        };
        out.numbers([stroke.width().get().into()]);
        out.text.push_str("w ");
        out.numbers([cap]);
        out.text.push_str("J ");
        out.numbers([join]);
        out.text.push_str("j ");
        out.numbers([f64::from(stroke.miterlimit().get()).max(1.0)]);
        out.text.push_str("M [");
        let mut phase = 0.0;
        if let Some(array) = stroke.dasharray() {
            let dashes: Vec<f64> = array.iter().map(|dash| f64::from(*dash)).collect();
            let times = if dashes.len() % 2 == 1 { 2.0 } else { 1.0 };
            let period = dashes.iter().sum::<f64>() * times;
            if period > 0.0 {
                // A phase is not less than zero (ISO 32000-1, 8.4.3.6).
                phase = f64::from(stroke.dashoffset()).rem_euclid(period);
                out.numbers(dashes);
            }
        }
        out.text.push_str("] ");
        out.numbers([phase]);
        out.op("d");
    }

    /// Sets color and transparency; `true` if the state was saved for it.
    fn begin(&mut self, laid: &Laid, of: Use, out: &mut Stream) -> bool {
        let alpha = (laid.opacity < 1.0).then(|| share(laid.opacity));
        let mask = laid.mask.map(|form| (form.get(), Seen::Luminance));
        let saved = alpha.is_some() || mask.is_some();
        if saved {
            out.save();
            let [fill, stroke] = if of == Use::Fill { [alpha, None] } else { [None, alpha] };
            let state = self.book.state(State { fill, stroke, blend: None, mask });
            out.state(state);
        }
        out.color(of, laid.color);
        saved
    }

    /// A paint over an area, in the space of `out`; `None` if it leaves nothing to see.
    fn laid(&mut self, paint: &Paint, opacity: f64, area: Rect, out: &Stream) -> Option<Laid> {
        let (base, shape) = match paint {
            Paint::Color(color) => return Some(Laid { color: self.flat(*color), mask: None, opacity }),
            Paint::LinearGradient(g) => (&***g, Shape::line([g.x1(), g.y1(), g.x2(), g.y2()])),
            Paint::RadialGradient(g) => {
                let circles = [g.fx(), g.fy(), g.fr().get(), g.cx(), g.cy(), g.r().get()];
                (&***g, Shape::circles(circles))
            }
            // The artwork's patterns are plain shapes by now; only one in a drawing inside the drawing can be left.
            Paint::Pattern(_) => {
                self.note(What::Unread);
                return None;
            }
        };
        if self.book.is_separate() && self.tone == Tone::Color {
            self.note(What::Mixed);
        }
        self.gradient(base, &shape, opacity, area, out)
    }
}

/// Whether a part of a path has no length.
fn has_point(path: &BezPath) -> bool {
    let parts = path.elements().split(|element| matches!(element, PathEl::MoveTo(_))).skip(1);
    let starts = path.elements().iter().filter_map(|element| match element {
        PathEl::MoveTo(p) => Some(*p),
        _ => None,
    });
    starts.zip(parts).any(|(start, part)| {
        let moves = |element: &PathEl| match element {
            PathEl::LineTo(a) | PathEl::MoveTo(a) => *a != start,
            PathEl::QuadTo(a, b) => *a != start || *b != start,
            PathEl::CurveTo(a, b, c) => *a != start || *b != start || *c != start,
            PathEl::ClosePath => false,
        };
        !part.is_empty() && !part.iter().any(moves)
    })
}

fn rect(r: usvg::Rect) -> Rect {
    Rect::new(r.left().into(), r.top().into(), r.right().into(), r.bottom().into())
}
