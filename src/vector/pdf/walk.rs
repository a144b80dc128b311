//! A drawing's tree as PDF operators: groups, and what is laid around them.
//!
//! ```text
//!   group ─▶ q  transform  clip          what only moves and clips is written in its place
//!            ├─▶ children   Q
//!            └─▶ form ─▶ gs (opacity, blend, mask) ─▶ Do  Q      what is mixed is a group of its own
//! ```
//!
//! A group with a filter is painted and laid as a picture, since PDF has no filters.

use kurbo::{Affine, Rect};
use usvg::{Group as SvgGroup, ImageKind, Node};

use super::book::{Book, Group};
use super::state::{Seen, State, blend};
use super::stream::{Color, Stream};
use crate::artwork::{Motif, affine};
use crate::vector::notes::What;

/// What colors become.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Tone {
    /// As they are.
    Color,
    /// Their luminance as SVG masks have it, so that every reader gets the same grey.
    Grey,
}

/// One drawing on its way into a book.
pub(super) struct Walk<'w, 'a> {
    pub(super) book: &'w mut Book<'a>,
    pub(super) motif: &'w str,
    pub(super) tone: Tone,
    /// From the tree to the pixels of a painting, and those pixels an inch.
    pub(super) to_pixels: Affine,
    pub(super) dpi: f64,
    /// What may still be painted, in pixels.
    pub(super) left: &'w mut f64,
    /// The inside of a mask or form, seen from the tree.
    pub(super) to_tree: Affine,
}

impl<'a> Walk<'_, 'a> {
    /// The whole drawing as a form; `None` if it has no ink.
    pub(super) fn motif(mut self, motif: &Motif) -> Option<pdf_writer::Ref> {
        let bounds = motif.ink().bounds(Affine::IDENTITY)?;
        let mut out = Stream::new();
        self.nodes(motif.tree().root(), &mut out);
        // A blend reaches no further than its motif, as in the rasters, where each is painted alone.
        let group = if blends(motif.tree().root()) { Group::Color } else { Group::None };
        Some(self.book.form(out, widened(bounds), group))
    }

    pub(super) fn nodes(&mut self, group: &SvgGroup, out: &mut Stream) {
        for node in group.children() {
            if self.book.is_full(out.text.len()) {
                return;
            }
            match node {
                Node::Group(inner) if !inner.filters().is_empty() => self.filtered(inner, node, out),
                Node::Group(inner) => self.group(inner, out),
                Node::Text(text) => self.group(text.flattened(), out),
                Node::Path(path) => self.path(path, out),
                Node::Image(image) if !image.is_visible() => {}
                Node::Image(image) => match image.kind() {
                    ImageKind::SVG(tree) => self.nodes(tree.root(), out),
                    _ => self.image(image, node, out),
                },
            }
        }
    }

    fn group(&mut self, group: &SvgGroup, out: &mut Stream) {
        if group.opacity().get() == 0.0 || !group.has_children() {
            return;
        }
        let mode = group.blend_mode();
        let (opacity, mixed) = (group.opacity().get(), mode != usvg::BlendMode::Normal);
        let alone = opacity < 1.0 || mixed || group.isolate() || group.mask().is_some();
        let bare = !alone && group.clip_path().is_none();
        if bare && affine(group.transform()) == Affine::IDENTITY {
            return self.nodes(group, out);
        }
        out.save();
        out.transform(affine(group.transform()));
        let Some(soft) = group.clip_path().map_or(Some(None), |clip| self.clip(clip, out)) else {
            return out.restore(); // the clip lets nothing through
        };
        if alone || soft.is_some() {
            let bounds = layer(group);
            let mut inner = Stream::new();
            self.inside(out, |walk| walk.nodes(group, &mut inner));
            let mut form = self.book.form(inner, bounds, self.kind());
            let mut mask = soft.map(|clip| (clip, Seen::Luminance));
            if let Some(own) = group.mask() {
                let own = self.inside(out, |walk| walk.mask(own));
                if mask.is_some() {
                    // A state has one mask: the inner one goes around the content, the clip around both.
                    form = self.masked(form, own, bounds);
                } else {
                    mask = Some(own);
                }
            }
            if self.book.is_separate() && self.tone == Tone::Color && mixed {
                self.note(What::Blend);
            }
            if mode == usvg::BlendMode::PlusLighter {
                self.note(What::PlusLighter);
            }
            let alpha = (opacity < 1.0).then(|| share(opacity.into()));
            let state = State {
                fill: alpha,
                stroke: None,
                blend: mixed.then(|| blend(mode)),
                mask: mask.map(|(form, seen)| (form.get(), seen)),
            };
            if state != State::default() {
                let state = self.book.state(state);
                out.state(state);
            }
            out.draw(form);
        } else {
            self.nodes(group, out);
        }
        out.restore();
    }

    /// A form of a form seen through a mask.
    pub(super) fn masked(
        &mut self,
        form: pdf_writer::Ref,
        (mask, seen): (pdf_writer::Ref, Seen),
        bounds: Rect,
    ) -> pdf_writer::Ref {
        let state = self.book.state(State { mask: Some((mask.get(), seen)), ..State::default() });
        let mut around = Stream::new();
        around.state(state);
        around.draw(form);
        let kind = self.kind();
        self.book.form(around, bounds, kind)
    }

    /// How a group of this tone is composited.
    pub(super) fn kind(&self) -> Group {
        if self.tone == Tone::Grey { Group::Grey } else { Group::Color }
    }

    /// Works inside a form that is drawn where `out` is.
    pub(super) fn inside<T>(&mut self, out: &Stream, work: impl FnOnce(&mut Walk<'_, 'a>) -> T) -> T {
        let to_tree = self.to_tree * out.to_stream();
        work(&mut Walk { book: &mut *self.book, left: &mut *self.left, to_tree, ..*self })
    }

    /// From what is drawn now to the pixels of a painting.
    pub(super) fn pixels(&self, out: &Stream) -> Affine {
        self.to_pixels * self.to_tree * out.to_stream()
    }

    pub(super) fn flat(&mut self, c: usvg::Color) -> Color {
        match self.tone {
            Tone::Color => self.book.flat([c.red, c.green, c.blue]),
            Tone::Grey => Color::Grey(luminance([c.red, c.green, c.blue])),
        }
    }

    pub(super) fn note(&mut self, what: What) {
        self.book.notes.add(self.motif, what);
    }
}

/// The luminance of a color, 0 to 1, with the coefficients that SVG's masks have (SVG 1.1, 14.4).
pub(super) fn luminance([r, g, b]: [u8; 3]) -> f64 {
    (0.2125 * f64::from(r) + 0.7154 * f64::from(g) + 0.0721 * f64::from(b)) / 255.0
}

/// A share in 1/65 535.
#[allow(clippy::cast_sign_loss, reason = "clamped first")]
pub(super) fn share(n: f64) -> u16 {
    (n.clamp(0.0, 1.0) * f64::from(u16::MAX)).round() as u16
}

/// Whether anything in a group is blended with what lies under it.
fn blends(group: &SvgGroup) -> bool {
    group.children().iter().any(|node| match node {
        Node::Group(inner) => inner.blend_mode() != usvg::BlendMode::Normal || blends(inner),
        Node::Text(text) => blends(text.flattened()),
        Node::Image(image) => matches!(image.kind(), ImageKind::SVG(tree) if blends(tree.root())),
        Node::Path(_) => false,
    })
}

/// The box of what a group paints, in its own space.
pub(super) fn layer(group: &SvgGroup) -> Rect {
    let r = group.layer_bounding_box();
    widened(Rect::new(r.left().into(), r.top().into(), r.right().into(), r.bottom().into()))
}

/// With room for what the box of a miter or cap leaves out.
pub(super) fn widened(r: Rect) -> Rect {
    let room = 0.05 * r.width().max(r.height()) + 1.0;
    r.inflate(room, room)
}
