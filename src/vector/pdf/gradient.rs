//! Gradients as shadings (ISO 32000-1, 8.7.4.5): axial and radial, their stops one function.
//!
//! PDF goes on with the last color beyond a gradient's ends, as SVG's `pad` does. Where SVG repeats or
//! reflects, the stops are repeated as far as the painted area reaches. Transparency that changes along
//! a gradient is a second shading in grey, as a mask.

use kurbo::{Affine, Point, Rect};
use pdf_writer::types::FunctionShadingType;
use pdf_writer::{Finish, Name, Ref};
use usvg::{BaseGradient, SpreadMethod};

use super::book::{Book, Group};
use super::path::Laid;
use super::stream::{Color, Stream};
use super::walk::{Tone, Walk, luminance};
use crate::artwork::affine;
use crate::vector::notes::What;

/// A gradient is repeated at most so often.
const MOST_REPEATS: f64 = 512.0;
/// Stops that are nearer than this lie in one place.
const SAME: f64 = 1e-6;
/// An area that goes beyond a gradient's end by less is one that ends there.
const EDGE: f64 = 1e-4;

/// What a gradient runs along: from one circle to another, or from one point to another.
pub(super) struct Shape {
    from: [f64; 3],
    to: [f64; 3],
    radial: bool,
}

impl Shape {
    pub(super) fn line(ends: [f32; 4]) -> Shape {
        let [x1, y1, x2, y2] = ends.map(f64::from);
        Shape { from: [x1, y1, 0.0], to: [x2, y2, 0.0], radial: false }
    }

    pub(super) fn circles(circles: [f32; 6]) -> Shape {
        let [x0, y0, mut r0, x1, y1, r1] = circles.map(f64::from);
        if (x0, y0, r0) == (x1, y1, r1) {
            // Inside the first color, outside the last; readers show nothing between two circles that are one.
            r0 *= 1.0 - 1e-5;
        }
        Shape { from: [x0, y0, r0], to: [x1, y1, r1], radial: true }
    }

    /// The point or circle so far along.
    fn at(&self, t: f64) -> [f64; 3] {
        let [x, y, r] = [0, 1, 2].map(|n| self.from[n] + t * (self.to[n] - self.from[n]));
        [x, y, r.max(0.0)]
    }

    /// How far along an area sees it.
    fn reach(&self, area: Rect) -> [f64; 2] {
        let corners = [(area.x0, area.y0), (area.x1, area.y0), (area.x0, area.y1), (area.x1, area.y1)].map(Point::from);
        let [from, to] = [self.from, self.to].map(|[x, y, _]| Point::new(x, y));
        let along = to - from;
        if !self.radial {
            let t = corners.map(|p| (p - from).dot(along) / along.hypot2());
            return [t.into_iter().fold(f64::INFINITY, f64::min), t.into_iter().fold(f64::NEG_INFINITY, f64::max)];
        }
        let grows = self.to[2] - self.from[2];
        let far = corners.map(|p| (p - from).hypot()).into_iter().fold(0.0, f64::max);
        let high = (far - self.from[2]) / (grows - along.hypot()).max(1e-6 * self.to[2]);
        [if grows > 0.0 { -self.from[2] / grows } else { 0.0 }, high]
    }
}

/// A stop: where, and its channels.
type Stop = (f64, Vec<f64>);

impl Walk<'_, '_> {
    pub(super) fn gradient(
        &mut self,
        base: &BaseGradient,
        shape: &Shape,
        opacity: f64,
        area: Rect,
        out: &Stream,
    ) -> Option<Laid> {
        let stops = base.stops();
        let (first, last) = (stops.first()?, stops.last()?);
        let to = affine(base.transform());
        if to.determinant().abs() < 1e-18 {
            return Some(Laid {
                color: self.flat(last.color()),
                mask: None,
                opacity: opacity * f64::from(last.opacity().get()),
            });
        }
        let mut span = [0.0, 1.0];
        let reach = shape.reach(to.inverse().transform_rect_bbox(area));
        if base.spread_method() != SpreadMethod::Pad {
            span = [reach[0].floor().min(0.0), reach[1].ceil().max(1.0)];
            let most = MOST_REPEATS.min((self.book.stops as f64 / (4 * stops.len()) as f64).floor()).max(2.0);
            if span[1] - span[0] > most || !span.iter().all(|t| t.is_finite()) {
                self.note(What::Repeats);
                span = [span[0].max(-(most / 2.0).floor()).min(0.0), span[1].min((most / 2.0).ceil()).max(1.0)];
            }
        }
        let tone = self.tone;
        let channels = |stop: &usvg::Stop| {
            let c = stop.color();
            let rgb = [c.red, c.green, c.blue];
            match tone {
                Tone::Color => rgb.map(|level| f64::from(level) / 255.0).to_vec(),
                Tone::Grey => vec![luminance(rgb)],
            }
        };
        let along = Along { span, reach, method: base.spread_method() };
        let grey = tone == Tone::Grey;
        let shading = self.shading(base, shape, &along, if grey { Shown::Grey } else { Shown::Color }, channels);
        let pattern = self.book.id();
        let matrix = (out.to_stream() * to).as_coeffs().map(|n| n as f32);
        self.book.pdf.shading_pattern(pattern).shading_ref(shading).matrix(matrix);
        let clear = |stop: &usvg::Stop| f64::from(stop.opacity().get());
        let even = stops.iter().all(|stop| stop.opacity() == first.opacity());
        let mask = (!even).then(|| {
            let shading = self.shading(base, shape, &along, Shown::Alpha, |stop| vec![clear(stop)]);
            self.faded(shading, to, area)
        });
        let opacity = if even { opacity * clear(first) } else { opacity };
        Some(Laid { color: Color::Pattern(pattern), mask, opacity })
    }

    /// A gradient's shading, written once for all that it is alike for.
    fn shading(
        &mut self,
        base: &BaseGradient,
        shape: &Shape,
        along: &Along,
        shown: Shown,
        channels: impl Fn(&usvg::Stop) -> Vec<f64>,
    ) -> Ref {
        let ends = u8::from(along.ends_before()) + 2 * u8::from(along.begins_after());
        let key = (std::ptr::from_ref(base) as usize, shown as u8 * 4 + ends, along.span.map(f64::to_bits));
        if let Some(id) = self.book.shadings.get(&key) {
            return *id;
        }
        let stops = spread(base.stops(), channels, along);
        let few = self.book.stops.checked_sub(stops.len());
        self.book.stops = few.unwrap_or(0);
        self.book.spent += 200 * stops.len();
        let function = self.book.function(&stops, along.span);
        let id = self.book.shading(shape, along.span, function, shown != Shown::Color);
        self.book.shadings.insert(key, id);
        id
    }

    /// A mask of a shading in grey.
    fn faded(&mut self, shading: Ref, to: Affine, area: Rect) -> Ref {
        let mut mask = Stream::new();
        mask.save();
        mask.transform(to);
        mask.shade(shading);
        mask.restore();
        self.book.form(mask, area.inflate(1.0, 1.0), Group::Grey)
    }
}

/// How far a gradient is written and seen, in its own length, and how it goes on.
struct Along {
    span: [f64; 2],
    reach: [f64; 2],
    method: SpreadMethod,
}

impl Along {
    /// Nothing is seen of what lies beyond the last stop.
    fn ends_before(&self) -> bool {
        self.reach[1] < 1.0 + EDGE
    }

    /// Nothing is seen of what lies before the first.
    fn begins_after(&self) -> bool {
        self.reach[0] > -EDGE
    }
}

/// What of a gradient a shading shows.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Shown {
    Color = 0,
    Grey = 1,
    Alpha = 2,
}

/// The stops over all periods, in order, from one end of the span to the other.
fn spread(stops: &[usvg::Stop], channels: impl Fn(&usvg::Stop) -> Vec<f64>, along: &Along) -> Vec<Stop> {
    let Along { span: [low, high], method, .. } = *along;
    let mut one: Vec<Stop> = stops.iter().map(|s| (f64::from(s.offset().get()), channels(s))).collect();
    // Of stops in one place at an end the outermost is for what lies beyond; where nothing does, readers would show
    // it as a line all the same.
    let places: Vec<f64> = one.iter().map(|(at, _)| *at).collect();
    if along.ends_before() {
        one.truncate(places.iter().position(|at| *at >= 1.0 - SAME).map_or(places.len(), |first| first + 1));
    }
    if along.begins_after() {
        one.drain(..places.iter().rposition(|at| *at <= SAME).unwrap_or(0).min(one.len().saturating_sub(1)));
    }
    let (Some(first), Some(last)) = (one.first().cloned(), one.last().cloned()) else { return Vec::new() };
    let mut period = vec![(0.0, first.1)];
    period.extend(one);
    period.push((1.0, last.1));
    let mut all = Vec::new();
    let mut n = low;
    while n < high {
        let turned = method == SpreadMethod::Reflect && n.rem_euclid(2.0) == 1.0;
        let place = |(at, levels): &Stop| (n + if turned { 1.0 - at } else { *at }, levels.clone());
        if turned {
            all.extend(period.iter().rev().map(place));
        } else {
            all.extend(period.iter().map(place));
        }
        n += 1.0;
    }
    all
}

impl Book<'_> {
    /// Stops as a function of the place along them: lines between neighbors, stitched.
    fn function(&mut self, stops: &[Stop], [low, high]: [f64; 2]) -> Ref {
        let level = |levels: &[f64]| levels.iter().map(|n| *n as f32).collect::<Vec<_>>();
        let mut pieces: Vec<(f32, Ref)> = Vec::new();
        let (mut ends, mut from) = (low as f32, stops.first());
        for stop in stops.iter().skip(1) {
            // A jump takes no room.
            if let Some(from) = from.filter(|_| stop.0 as f32 > ends) {
                let id = self.id();
                let mut line = self.pdf.exponential_function(id);
                line.domain([0.0, 1.0]).c0(level(&from.1)).c1(level(&stop.1)).n(1.0);
                pieces.push((stop.0 as f32, id));
                ends = stop.0 as f32;
            }
            from = Some(stop);
        }
        let id = self.id();
        let mut whole = self.pdf.stitching_function(id);
        whole.domain([low as f32, high as f32]).functions(pieces.iter().map(|(_, id)| *id));
        whole.bounds(pieces.iter().rev().skip(1).rev().map(|(ends, _)| *ends));
        whole.encode(pieces.iter().flat_map(|_| [0.0, 1.0]));
        whole.finish();
        id
    }

    fn shading(&mut self, shape: &Shape, [low, high]: [f64; 2], function: Ref, grey: bool) -> Ref {
        let id = self.id();
        let srgb = self.srgb;
        let mut dict = self.pdf.function_shading(id);
        let ends = [shape.at(low), shape.at(high)];
        if shape.radial {
            dict.shading_type(FunctionShadingType::Radial);
            dict.coords(ends.iter().flatten().map(|n| *n as f32));
        } else {
            dict.shading_type(FunctionShadingType::Axial);
            dict.coords(ends.iter().flat_map(|[x, y, _]| [*x as f32, *y as f32]));
        }
        if grey {
            dict.pair(Name(b"ColorSpace"), Name(b"DeviceGray"));
        } else {
            dict.pair(Name(b"ColorSpace"), srgb);
        }
        dict.insert(Name(b"Domain")).array().items([low as f32, high as f32]);
        dict.function(function).extend([true; 2]);
        id
    }
}
