//! What painting a drawing takes, told from the drawing: areas, counted again for each shape, layer
//! and step of a filter.
//!
//! The unit is a pixel filled with one color. What the other things take of it was measured once, to
//! within a factor of three; a limit that is far from honest work needs no more.

use kurbo::{Affine, Rect};
use usvg::filter::{Filter, Kind};
use usvg::{ClipPath, Group, ImageKind, Node, Tree};

use super::ink::{norm, outline::affine};

/// A canvas of a filter is at most so many times the canvas that is painted on.
const CANVASES: f64 = 25.0;

/// What painting a drawing takes.
#[derive(Clone, Debug, Default)]
pub struct Effort {
    /// Square pixels of the tree.
    flat: f64,
    filters: Vec<Region>,
}

/// What a filter takes.
#[derive(Clone, Copy, Debug)]
struct Region {
    /// Square pixels of the tree.
    area: f64,
    /// For each pixel.
    work: f64,
    /// The same, times the area that a pixel of the tree comes to.
    growing: f64,
}

impl Effort {
    /// Of a drawing whose ink has these bounds; what lies outside is never painted.
    pub(super) fn of(tree: &Tree, ink: Option<Rect>) -> Effort {
        let mut effort = Effort::default();
        if let Some(ink) = ink {
            Walk { ink, effort: &mut effort }.group(tree.root(), Affine::IDENTITY);
        }
        effort
    }

    /// Pixels painted when a pixel of the tree comes to so many pixels, in so many canvases of so
    /// many pixels each: a filter is worked out again for each of them.
    pub fn pixels(&self, scale: f64, canvases: usize, canvas: f64) -> f64 {
        let filters = self.filters.iter().map(|f| f.on(scale, canvas) * (f.work + f.growing * scale));
        self.flat * scale + canvases as f64 * (canvas + filters.sum::<f64>())
    }

    /// The canvas of its widest filter, in pixels, as in [`pixels`](Effort::pixels).
    pub fn widest(&self, scale: f64, canvas: f64) -> f64 {
        self.filters.iter().map(|f| f.on(scale, canvas)).fold(0.0, f64::max)
    }
}

impl Region {
    fn on(self, scale: f64, canvas: f64) -> f64 {
        (self.area * scale).min(CANVASES * canvas)
    }
}

struct Walk<'a> {
    ink: Rect,
    effort: &'a mut Effort,
}

impl Walk<'_> {
    fn group(&mut self, group: &Group, to: Affine) {
        let to = to * affine(group.transform());
        let layer = self.seen(group.layer_bounding_box(), to);
        if group.should_isolate() {
            self.effort.flat += 2.0 * layer;
        }
        for filter in group.filters() {
            self.filter(filter, to);
        }
        let mut mask = group.mask();
        while let Some(inner) = mask {
            self.effort.flat += 3.0 * layer;
            self.group(inner.root(), to);
            mask = inner.mask();
        }
        let mut clip: Option<&ClipPath> = group.clip_path();
        while let Some(inner) = clip {
            self.effort.flat += 2.0 * layer;
            self.group(inner.root(), to * affine(inner.transform()));
            clip = inner.clip_path();
        }
        for node in group.children() {
            match node {
                Node::Group(inner) => self.group(inner, to),
                Node::Text(text) => self.group(text.flattened(), to),
                Node::Path(path) if path.is_visible() => {
                    if let Some(area) = path.stroke_bounding_box().to_non_zero_rect() {
                        self.effort.flat += self.seen(area, to);
                    }
                }
                Node::Image(image) if image.is_visible() => {
                    if let ImageKind::SVG(tree) = image.kind() {
                        self.group(tree.root(), to);
                    }
                    if let Some(area) = image.bounding_box().to_non_zero_rect() {
                        self.effort.flat += 3.0 * self.seen(area, to);
                    }
                }
                Node::Path(_) | Node::Image(_) => {}
            }
        }
    }

    /// The area of a box as far as it is painted.
    fn seen(&self, area: usvg::NonZeroRect, to: Affine) -> f64 {
        let area = to.transform_rect_bbox(rect(area)).intersect(self.ink);
        if area.width() > 0.0 && area.height() > 0.0 { area.area() } else { 0.0 }
    }

    fn filter(&mut self, filter: &Filter, to: Affine) {
        let area = rect(filter.rect()).area() * to.determinant().abs();
        let (mut work, mut growing) = (0.0, 0.0);
        for step in filter.primitives() {
            work += match step.kind() {
                Kind::GaussianBlur(_) => 30.0,
                Kind::DropShadow(_) | Kind::DiffuseLighting(_) | Kind::SpecularLighting(_) => 50.0,
                Kind::Turbulence(noise) => 50.0 * f64::from(noise.num_octaves()),
                Kind::ConvolveMatrix(c) => 3.0 * f64::from(c.matrix().columns()) * f64::from(c.matrix().rows()),
                Kind::Morphology(m) => {
                    growing += 4.0 * f64::from(m.radius_x().get()) * f64::from(m.radius_y().get()) * norm(to).powi(2);
                    10.0
                }
                Kind::Image(image) => {
                    self.group(image.root(), to);
                    10.0
                }
                _ => 10.0,
            };
        }
        if area.is_finite() {
            self.effort.filters.push(Region { area, work, growing });
        }
    }
}

fn rect(r: usvg::NonZeroRect) -> Rect {
    Rect::new(f64::from(r.left()), f64::from(r.top()), f64::from(r.right()), f64::from(r.bottom()))
}

#[cfg(test)]
mod tests {
    use crate::artwork::{Intake, Motif};

    fn pixels(body: &str, scale: f64) -> f64 {
        let svg = format!("<svg xmlns='http://www.w3.org/2000/svg' width='100' height='100'>{body}</svg>");
        let motif = Motif::from_svg("tern", svg.as_bytes(), &Intake::new()).unwrap();
        motif.effort().pixels(scale, 1, 0.0)
    }

    #[test]
    fn each_shape_counts_where_it_is_painted() {
        let square = "<path d='M10 10H50V50H10Z'/>";
        assert_eq!(pixels(square, 1.0), 1600.0);
        assert_eq!(pixels(square, 9.0), 14400.0, "three times as wide");
        assert_eq!(pixels(&square.repeat(5), 1.0), 8000.0);
        assert_eq!(pixels(&format!("<g opacity='.5'>{}</g>", square.repeat(2)), 1.0), 2.0 * 1600.0 + 2.0 * 1600.0);
    }

    #[test]
    fn a_filter_counts_by_its_region_but_not_far_beyond_the_canvas() {
        let flood = "<filter id='f' x='0' y='0' width='10' height='10'><feFlood/></filter><path d='M0 0H10V10H0Z' filter='url(#f)'/>";
        let svg = format!("<svg xmlns='http://www.w3.org/2000/svg' width='100' height='100'>{flood}</svg>");
        let motif = Motif::from_svg("tern", svg.as_bytes(), &Intake::new()).unwrap();
        assert_eq!(motif.effort().widest(1.0, 1e9), 10_000.0);
        assert_eq!(motif.effort().widest(1.0, 100.0), 2_500.0);
    }
}
