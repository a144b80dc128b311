//! What a drawing shows, as plain shapes in painting order, each of one ink: for whoever cuts instead of painting.
//!
//! Strokes are widened, text is outlines, clips and masks that are plain shapes come along as such. What is no
//! shape (a picture, a filter, a soft mask) is told as a [`Hindrance`], with its place.

use std::sync::Arc;

use kurbo::{Affine, BezPath, Rect, Shape as _};
use usvg::{BlendMode, ClipPath, Group, Image, ImageKind, Node, Paint, Path};

use super::super::Motif;
use super::super::budget::Budget;
use super::super::inks::Inks;
use super::{Rule, norm, outline};
use crate::limits::Limits;

mod clips;
mod parts;

pub use parts::{Clip, ClipPart, Hindrance, HindranceKind, InkName, Painted, Patterns, Seen};

impl Motif {
    /// What it shows. Strokes are widened this exactly, in pixels of the tree.
    pub fn seen(&self, exact: f64, patterns: Patterns, limits: &Limits) -> Seen {
        let budget = Budget::new(*limits);
        let mut walk = Walk { exact, patterns, inks: &self.inks, budget: &budget, seen: Seen::default() };
        walk.group(self.tree().root(), &Place { to: Affine::IDENTITY, clips: Vec::new(), translucent: false });
        walk.seen
    }
}

struct Walk<'a> {
    exact: f64,
    patterns: Patterns,
    inks: &'a Inks,
    budget: &'a Budget,
    seen: Seen,
}

#[derive(Clone)]
struct Place {
    to: Affine,
    clips: Vec<Arc<Clip>>,
    translucent: bool,
}

impl Walk<'_> {
    fn group(&mut self, group: &Group, place: &Place) {
        if group.opacity().get() == 0.0 {
            return;
        }
        let mut place = place.clone();
        place.to *= outline::affine(group.transform());
        place.translucent |= group.opacity().get() < 1.0 || group.blend_mode() != BlendMode::Normal;
        if !group.filters().is_empty() {
            self.hinder(HindranceKind::Filter, id(group), group.abs_layer_bounding_box());
            return;
        }
        if let (Patterns::Ink, Some(name), Some(area)) = (self.patterns, self.inks.area(group.id()), group.clip_path())
        {
            self.pattern(name, area, &place);
            return;
        }
        if let Some(clip) = group.clip_path() {
            self.clip(clip, place.to, &mut place.clips);
        }
        if let Some(mask) = group.mask()
            && !self.mask(mask, place.to, &mut place.clips)
        {
            self.hinder(HindranceKind::SoftMask, mask.id(), group.abs_layer_bounding_box());
            return;
        }
        self.nodes(group, &place);
    }

    /// What a pattern is painted on is the clip around what it was laid out as.
    fn pattern(&mut self, name: &str, area: &ClipPath, place: &Place) {
        let mut parts = Vec::new();
        self.clip_parts(area.root(), place.to * outline::affine(area.transform()), &[], &mut parts);
        for ClipPart { path, rule, .. } in parts {
            let (ink, clips) = (InkName::Named(named("pattern", name)), place.clips.clone());
            self.seen.shapes.push(Painted { path, rule, ink, clips, translucent: place.translucent });
        }
    }

    fn nodes(&mut self, group: &Group, place: &Place) {
        for node in group.children() {
            match node {
                Node::Group(inner) => self.group(inner, place),
                Node::Path(path) => self.path(path, place),
                Node::Text(text) => self.group(text.flattened(), place),
                Node::Image(image) => self.image(image, place),
            }
        }
    }

    fn image(&mut self, image: &Image, place: &Place) {
        match image.kind() {
            _ if !image.is_visible() => {}
            ImageKind::SVG(tree) => self.group(tree.root(), place),
            _ => self.hinder(HindranceKind::Picture, image.id(), image.abs_bounding_box()),
        }
    }

    fn path(&mut self, path: &Path, place: &Place) {
        if !path.is_visible() {
            return;
        }
        let fill = |walk: &mut Self| {
            if let Some(fill) = path.fill().filter(|fill| outline::visible(fill.paint(), fill.opacity()))
                && let Some(shape) = outline::fill(path, fill, place.to)
            {
                walk.paint(shape.path, shape.rule, fill.paint(), fill.opacity(), place);
            }
        };
        let stroke = |walk: &mut Self| {
            if let Some(stroke) = path.stroke().filter(|stroke| outline::visible(stroke.paint(), stroke.opacity())) {
                match walk.widened(path, stroke, place.to) {
                    Some(line) => walk.paint(line, Rule::NonZero, stroke.paint(), stroke.opacity(), place),
                    None => walk.hinder(HindranceKind::Dashes, path.id(), path.abs_stroke_bounding_box()),
                }
            }
        };
        match path.paint_order() {
            usvg::PaintOrder::FillAndStroke => {
                fill(self);
                stroke(self);
            }
            usvg::PaintOrder::StrokeAndFill => {
                stroke(self);
                fill(self);
            }
        }
    }

    fn widened(&self, path: &Path, stroke: &usvg::Stroke, to: Affine) -> Option<BezPath> {
        let centre = outline::bez(path.data());
        let box_of = centre.bounding_box();
        // Never finer than a millionth of the whole, lest a huge path take for ever.
        let exact = (self.exact / norm(to).max(1e-9)).max(1e-6 * box_of.width().max(box_of.height()));
        let line = outline::widened(&centre, stroke, exact, self.budget)?;
        Some(to * outline::close(&line))
    }

    fn paint(&mut self, path: BezPath, rule: Rule, paint: &Paint, opacity: usvg::Opacity, place: &Place) {
        let ink = match paint {
            Paint::Color(c) => InkName::Color([c.red, c.green, c.blue]),
            Paint::LinearGradient(_) | Paint::RadialGradient(_) => {
                InkName::Named(named("gradient", self.inks.name(paint)))
            }
            Paint::Pattern(_) => InkName::Named(named("pattern", self.inks.name(paint))),
        };
        let translucent = place.translucent || opacity.get() < 1.0;
        self.seen.shapes.push(Painted { path, rule, ink, clips: place.clips.clone(), translucent });
    }

    fn hinder(&mut self, kind: HindranceKind, id: &str, at: impl Into<Bounds>) {
        let id = (!id.is_empty()).then(|| id.to_owned());
        self.seen.hindrances.push(Hindrance { kind, id, at: at.into().0 });
    }
}

/// `gradient sea`.
fn named(kind: &str, id: &str) -> String {
    if id.is_empty() { kind.into() } else { format!("{kind} {id}") }
}

/// A group's id, or that of the one thing it was made for.
fn id(group: &Group) -> &str {
    match group.children() {
        [only] if group.id().is_empty() => only.id(),
        _ => group.id(),
    }
}

struct Bounds(Rect);

impl From<usvg::Rect> for Bounds {
    fn from(r: usvg::Rect) -> Bounds {
        Bounds(Rect::new(r.left().into(), r.top().into(), r.right().into(), r.bottom().into()))
    }
}

impl From<usvg::NonZeroRect> for Bounds {
    fn from(r: usvg::NonZeroRect) -> Bounds {
        r.to_rect().into()
    }
}
