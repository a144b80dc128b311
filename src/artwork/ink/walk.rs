//! Collecting outlines from a tree, in the way and order it is painted.
//!
//! Transforms are carried along in `f64` from the root, since those of clips, masks and
//! patterns have their own roots.

use kurbo::{Affine, Rect};
use usvg::{BlendMode, ClipPath, Group, Image, ImageKind, Mask, MaskType, Node, Path, Tree};

use super::super::budget::Budget;
use super::clip::{Region, quad};
use super::{Line, Paint, Shape, filter, outline};

/// Flattening and widening are this exact, in sides of the page: 0.02 px at 10 000 px.
const ACCURACY: f64 = 2e-6;

#[derive(Clone, Copy)]
struct Walk<'a> {
    accuracy: f64,
    budget: &'a Budget,
    /// Black paint counts too; not so in a mask by luminance.
    black: bool,
    /// Nothing of it is hidden or colored by the groups around.
    plain: bool,
}

/// The outlines of a tree.
pub(super) fn shapes(tree: &Tree, budget: &Budget) -> Vec<Shape> {
    let side = f64::from(tree.size().width().max(tree.size().height()));
    let walk = Walk { accuracy: ACCURACY * side, budget, black: true, plain: true };
    let mut out = Vec::new();
    walk.group(tree.root(), Affine::IDENTITY, &mut out);
    out
}

impl Walk<'_> {
    fn group(&self, group: &Group, to: Affine, out: &mut Vec<Shape>) {
        if group.opacity().get() == 0.0 {
            return;
        }
        let to = to * outline::affine(group.transform());
        let plain = self.plain && group.opacity().get() == 1.0 && group.blend_mode() == BlendMode::Normal;
        let walk = Walk { plain, ..*self };
        let whole = group.filters().is_empty() && group.clip_path().is_none() && group.mask().is_none();
        if whole {
            walk.nodes(group, to, out);
            return;
        }
        let mut inner = Vec::new();
        if group.filters().is_empty() {
            walk.nodes(group, to, &mut inner);
        } else {
            // A filter may turn black into any color.
            Walk { black: true, ..walk }.nodes(group, to, &mut inner);
            inner = filtered(group, to, &inner);
        }
        if let Some(clip) = group.clip_path() {
            inner = self.clip(clip, to).cut(inner, self.accuracy, self.budget);
        }
        if let Some(mask) = group.mask() {
            inner = self.mask(mask, to, inner);
            inner.iter_mut().for_each(|shape| shape.paint = Paint::Bound);
        }
        out.append(&mut inner);
    }

    fn nodes(&self, group: &Group, to: Affine, out: &mut Vec<Shape>) {
        for node in group.children() {
            match node {
                Node::Group(g) => self.group(g, to, out),
                Node::Path(path) => self.path(path, to, out),
                Node::Image(image) => self.image(image, to, out),
                Node::Text(text) => self.group(text.flattened(), to, out),
            }
        }
    }

    fn path(&self, path: &Path, to: Affine, out: &mut Vec<Shape>) {
        if !path.is_visible() {
            return;
        }
        let counts = |paint, opacity| outline::visible(paint, opacity) && (self.black || !outline::black(paint));
        if let Some(fill) = path.fill().filter(|f| counts(f.paint(), f.opacity())) {
            let shape = outline::fill(path, fill, to);
            out.extend(shape.map(|shape| shape.painted(self.paint(fill.paint(), fill.opacity()), None)));
        }
        if let Some(stroke) = path.stroke().filter(|s| counts(s.paint(), s.opacity())) {
            let line = Line { width: f64::from(stroke.width().get()), to };
            let shape = outline::stroke(path, stroke, to, self.accuracy, self.budget);
            out.extend(shape.map(|shape| shape.painted(self.paint(stroke.paint(), stroke.opacity()), Some(line))));
        }
    }

    fn paint(&self, paint: &usvg::Paint, opacity: usvg::Opacity) -> Paint {
        match paint {
            usvg::Paint::Color(c) if self.plain && opacity.get() == 1.0 => Paint::Flat([c.red, c.green, c.blue]),
            _ => Paint::Mixed,
        }
    }

    /// A picture counts to its edges; a drawing inside the drawing by its own ink.
    fn image(&self, image: &Image, to: Affine, out: &mut Vec<Shape>) {
        if !image.is_visible() {
            return;
        }
        if let ImageKind::SVG(tree) = image.kind() {
            self.group(tree.root(), to, out);
            return;
        }
        let size = Rect::new(0.0, 0.0, f64::from(image.size().width()), f64::from(image.size().height()));
        out.extend(quad(size, to));
    }

    /// The union of a clip's shapes, within the clip of the clip.
    fn clip(&self, clip: &ClipPath, to: Affine) -> Region {
        let mut shapes = Vec::new();
        self.clip_shapes(clip.root(), to * outline::affine(clip.transform()), &mut shapes);
        let region = Region::of(&shapes, self.accuracy);
        match clip.clip_path() {
            Some(outer) => region.and(&self.clip(outer, to)),
            None => region,
        }
    }

    /// Fills only: strokes and colors don't count in a clip.
    fn clip_shapes(&self, group: &Group, to: Affine, out: &mut Vec<Shape>) {
        for node in group.children() {
            match node {
                Node::Path(path) if path.is_visible() => {
                    out.extend(path.fill().and_then(|fill| outline::fill(path, fill, to)));
                }
                Node::Text(text) => self.clip_shapes(text.flattened(), to, out),
                Node::Group(g) => {
                    let to = to * outline::affine(g.transform());
                    let mut inner = Vec::new();
                    self.clip_shapes(g, to, &mut inner);
                    if let Some(clip) = g.clip_path() {
                        inner = self.clip(clip, to).cut(inner, self.accuracy, self.budget);
                    }
                    out.append(&mut inner);
                }
                Node::Path(_) | Node::Image(_) => {}
            }
        }
    }

    /// Within the mask's rectangle, and where its content could let anything through.
    fn mask(&self, mask: &Mask, to: Affine, shapes: Vec<Shape>) -> Vec<Shape> {
        let inner = Walk { black: mask.kind() == MaskType::Alpha, ..*self };
        let mut content = Vec::new();
        inner.nodes(mask.root(), to * outline::affine(mask.root().transform()), &mut content);
        let window: Vec<Shape> = quad(filter::rect(mask.rect()), to).into_iter().collect();
        let mut shapes = Region::of(&window, self.accuracy).cut(shapes, self.accuracy, self.budget);
        shapes = Region::of(&content, self.accuracy).cut(shapes, self.accuracy, self.budget);
        match mask.mask() {
            Some(outer) => self.mask(outer, to, shapes),
            None => shapes,
        }
    }
}

/// What a group's filters make of its ink: a rectangle in the group's own space.
fn filtered(group: &Group, to: Affine, shapes: &[Shape]) -> Vec<Shape> {
    if to.determinant().abs() < 1e-12 {
        return Vec::new();
    }
    let back = to.inverse();
    let grown = |s: &Shape| s.bounds_after(back).inflate(s.slack * super::norm(back), s.slack * super::norm(back));
    let mut rect = shapes.iter().map(grown).reduce(|a, b| a.union(b));
    for filter in group.filters() {
        rect = filter::reach(filter, rect);
    }
    rect.and_then(|r| quad(r, to)).into_iter().collect()
}
