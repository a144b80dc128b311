//! How far a filter carries ink: each step is followed with rectangles, and what can't be
//! followed fills the filter's region.

use kurbo::{Rect, Vec2};
use usvg::filter::{CompositeOperator, Filter, Input, Kind, MorphologyOperator, TransferFunction};

/// A blur reaches this many deviations. Three boxes in its place reach 2.82 and a pixel or
/// two; below two pixels of deviation, where those would count, the true curve is used.
const BLUR: f64 = 3.5;

/// Where the result of a filter may have ink, in the user space of its group.
///
/// `source` is where the ink was; `None` is nowhere.
pub(super) fn reach(filter: &Filter, source: Option<Rect>) -> Option<Rect> {
    let region = rect(filter.rect());
    let source = clip(source, region);
    let mut results: Vec<(&str, Option<Rect>)> = Vec::new();
    for step in filter.primitives() {
        let get = |input: &Input| match input {
            Input::SourceGraphic | Input::SourceAlpha => source,
            Input::Reference(name) => {
                let named = results.iter().rev().find(|(n, _)| n == name);
                named.map_or(Some(region), |(_, r)| *r)
            }
        };
        let own = rect(step.rect());
        let result = match step.kind() {
            Kind::GaussianBlur(b) => {
                grow(get(b.input()), BLUR * f64::from(b.std_dev_x().get()), BLUR * f64::from(b.std_dev_y().get()))
            }
            Kind::DropShadow(s) => {
                let shadow =
                    grow(get(s.input()), BLUR * f64::from(s.std_dev_x().get()), BLUR * f64::from(s.std_dev_y().get()));
                either(get(s.input()), shift(shadow, s.dx(), s.dy()))
            }
            Kind::Offset(o) => shift(get(o.input()), o.dx(), o.dy()),
            Kind::Merge(m) => m.inputs().iter().map(get).fold(None, either),
            Kind::Blend(b) => either(get(b.input1()), get(b.input2())),
            Kind::Composite(c) => match c.operator() {
                CompositeOperator::In => get(c.input1()).and_then(|r| clip(get(c.input2()), r)),
                CompositeOperator::Out => get(c.input1()),
                CompositeOperator::Atop => get(c.input2()),
                CompositeOperator::Over | CompositeOperator::Xor | CompositeOperator::Lighter => {
                    either(get(c.input1()), get(c.input2()))
                }
                CompositeOperator::Arithmetic { k4, .. } if k4 <= 0.0 => either(get(c.input1()), get(c.input2())),
                CompositeOperator::Arithmetic { .. } => Some(own),
            },
            Kind::Morphology(m) => match m.operator() {
                MorphologyOperator::Erode => get(m.input()),
                MorphologyOperator::Dilate => {
                    grow(get(m.input()), f64::from(m.radius_x().get()), f64::from(m.radius_y().get()))
                }
            },
            Kind::ColorMatrix(m) => match m.kind() {
                usvg::filter::ColorMatrixKind::Matrix(values) if values.get(19).is_none_or(|a| *a > 0.0) => Some(own),
                _ => get(m.input()),
            },
            Kind::ComponentTransfer(t) if at_nothing(t.func_a()) <= 0.0 => get(t.input()),
            Kind::Flood(f) if f.opacity().get() == 0.0 => None,
            _ => Some(own),
        };
        results.push((step.result(), clip(result, own)));
    }
    results.last().and_then(|(_, r)| clip(*r, region))
}

/// What a transfer function makes of an alpha of nothing.
fn at_nothing(f: &TransferFunction) -> f32 {
    match f {
        TransferFunction::Identity => 0.0,
        TransferFunction::Table(v) | TransferFunction::Discrete(v) => v.first().copied().unwrap_or(0.0),
        TransferFunction::Linear { intercept, .. } => *intercept,
        TransferFunction::Gamma { offset, exponent, amplitude } => {
            if *exponent == 0.0 {
                amplitude + offset
            } else {
                *offset
            }
        }
    }
}

pub(super) fn rect(r: usvg::NonZeroRect) -> Rect {
    Rect::new(f64::from(r.left()), f64::from(r.top()), f64::from(r.right()), f64::from(r.bottom()))
}

fn grow(r: Option<Rect>, x: f64, y: f64) -> Option<Rect> {
    r.map(|r| r.inflate(x, y))
}

fn shift(r: Option<Rect>, x: f32, y: f32) -> Option<Rect> {
    r.map(|r| r + Vec2::new(f64::from(x), f64::from(y)))
}

fn either(a: Option<Rect>, b: Option<Rect>) -> Option<Rect> {
    match (a, b) {
        (Some(a), Some(b)) => Some(a.union(b)),
        (a, b) => a.or(b),
    }
}

fn clip(a: Option<Rect>, b: Rect) -> Option<Rect> {
    a.map(|a| a.intersect(b)).filter(|r| r.width() > 0.0 && r.height() > 0.0)
}
