//! Clips and masks.
//!
//! A clip of one path, or of paths that don't meet, is a clipping path in PDF, too, and a clip of the clip is
//! a second one within it. Any other is the union of its shapes, which PDF has no operator for: it becomes a
//! mask, white where the clip lets through.

use kurbo::{BezPath, Rect, Shape as _};
use pdf_writer::Ref;
use usvg::{ClipPath, FillRule, Group as SvgGroup, MaskType, Node};

use super::book::Group;
use super::state::{Seen, State};
use super::stream::{Color, Stream, Use};
use super::walk::{Tone, Walk};
use crate::artwork::{affine, bez};

/// So many paths of a clip are held against each other, to see whether they meet.
const MOST_PATHS: usize = 300;
/// White.
const OPEN: Color = Color::Grey(1.0);

impl Walk<'_, '_> {
    /// Clips what comes next. `None`: nothing is let through; a form: the mask to be used instead.
    pub(super) fn clip(&mut self, clip: &ClipPath, out: &mut Stream) -> Option<Option<Ref>> {
        let mut chain = Vec::new();
        let mut next = Some(clip);
        while let Some(clip) = next {
            let mut paths = Vec::new();
            let plain = collect(clip.root(), affine(clip.transform()), &mut paths);
            if plain && paths.is_empty() {
                return None;
            }
            match one(paths).filter(|_| plain) {
                Some(path) => chain.push(path),
                None => return Some(Some(self.soft(clip_of(chain, clip), out))),
            }
            next = clip.clip_path();
        }
        for (path, rule) in &chain {
            apply(path, *rule, out);
        }
        Some(None)
    }

    /// A form that is white where a clip lets through, within the clips that came before it.
    fn soft(&mut self, (before, clip): (Vec<Outline>, &ClipPath), out: &Stream) -> Ref {
        let mut mask = Stream::new();
        self.inside(out, |walk| {
            mask.save();
            for (path, rule) in &before {
                apply(path, *rule, &mut mask);
            }
            walk.shapes_of(clip, &mut mask);
            mask.restore();
        });
        let all = self.bounds(clip);
        self.book.form(mask, all, Group::Grey)
    }

    /// The shapes of a clip within its own clip, in white.
    fn shapes_of(&mut self, clip: &ClipPath, out: &mut Stream) {
        out.save();
        match clip.clip_path().map_or(Some(None), |outer| self.clip(outer, out)) {
            None => return out.restore(),
            Some(None) => {}
            Some(Some(mask)) => {
                let state = State { mask: Some((mask.get(), Seen::Luminance)), ..State::default() };
                let state = self.book.state(state);
                out.state(state);
            }
        }
        out.transform(affine(clip.transform()));
        self.white(clip.root(), out);
        out.restore();
    }

    fn white(&mut self, group: &SvgGroup, out: &mut Stream) {
        for node in group.children() {
            match node {
                Node::Path(path) if path.is_visible() => {
                    let Some(fill) = path.fill() else { continue };
                    out.color(Use::Fill, OPEN);
                    out.path(&bez(path.data()));
                    out.op(if fill.rule() == FillRule::EvenOdd { "f*" } else { "f" });
                }
                Node::Text(text) => self.white(text.flattened(), out),
                Node::Group(inner) => {
                    out.save();
                    out.transform(affine(inner.transform()));
                    match inner.clip_path().map_or(Some(None), |clip| self.clip(clip, out)) {
                        None => {}
                        Some(None) => self.white(inner, out),
                        Some(Some(mask)) => {
                            // A form, since a state has one mask and this one may lie in another.
                            let mut form = Stream::new();
                            self.inside(out, |walk| walk.white(inner, &mut form));
                            let form = self.book.form(form, super::walk::layer(inner), Group::Grey);
                            let form = self.masked(form, (mask, Seen::Luminance), super::walk::layer(inner));
                            out.draw(form);
                        }
                    }
                    out.restore();
                }
                Node::Path(_) | Node::Image(_) => {}
            }
        }
    }

    /// The box of a clip's shapes, in the space that it clips.
    fn bounds(&self, clip: &ClipPath) -> Rect {
        let mut paths = Vec::new();
        collect(clip.root(), affine(clip.transform()), &mut paths);
        let all = paths.iter().map(|(path, _)| path.bounding_box()).reduce(|a, b| a.union(b));
        super::walk::widened(all.unwrap_or(Rect::ZERO))
    }

    /// A mask as a form, and what of it counts.
    pub(super) fn mask(&mut self, mask: &usvg::Mask) -> (Ref, Seen) {
        let r = mask.rect();
        let window = Rect::new(r.left().into(), r.top().into(), r.right().into(), r.bottom().into());
        let seen = if mask.kind() == MaskType::Alpha { Seen::Alpha } else { Seen::Luminance };
        let mut inner = Stream::new();
        inner.rect([window.x0, window.y0, window.x1, window.y1]);
        inner.op("W n");
        Walk { book: &mut *self.book, left: &mut *self.left, tone: Tone::Grey, ..*self }.nodes(mask.root(), &mut inner);
        let form = self.book.form(inner, window, Group::Grey);
        match mask.mask() {
            Some(outer) => {
                let outer = self.mask(outer);
                let walk = Walk { book: &mut *self.book, left: &mut *self.left, tone: Tone::Grey, ..*self };
                ({ walk }.masked(form, outer, window), seen)
            }
            None => (form, seen),
        }
    }
}

/// An outline and how it is filled.
type Outline = (BezPath, FillRule);

fn clip_of(before: Vec<Outline>, clip: &ClipPath) -> (Vec<Outline>, &ClipPath) {
    (before, clip)
}

fn apply(path: &BezPath, rule: FillRule, out: &mut Stream) {
    out.path(path);
    out.op(if rule == FillRule::EvenOdd { "W* n" } else { "W n" });
}

/// The paths of a clip; `false` if a part of it has a clip of its own.
fn collect(group: &SvgGroup, to: kurbo::Affine, paths: &mut Vec<Outline>) -> bool {
    group.children().iter().fold(true, |plain, node| match node {
        Node::Path(path) => {
            if let Some(fill) = path.fill().filter(|_| path.is_visible()) {
                paths.push((to * bez(path.data()), fill.rule()));
            }
            plain
        }
        Node::Text(text) => collect(text.flattened(), to, paths) && plain,
        Node::Group(inner) => {
            collect(inner, to * affine(inner.transform()), paths) && plain && inner.clip_path().is_none()
        }
        Node::Image(_) => plain,
    })
}

/// One path that is filled as all of them together, if there is one: they don't meet, and one rule does for all.
fn one(mut paths: Vec<Outline>) -> Option<Outline> {
    if paths.len() == 1 {
        return paths.pop();
    }
    let rule = paths.first()?.1;
    if paths.len() > MOST_PATHS || paths.iter().any(|(_, other)| *other != rule) {
        return None;
    }
    let boxes: Vec<Rect> = paths.iter().map(|(path, _)| path.bounding_box()).collect();
    let meet = |a: &Rect, b: &Rect| a.x0 <= b.x1 && b.x0 <= a.x1 && a.y0 <= b.y1 && b.y0 <= a.y1;
    if boxes.iter().enumerate().any(|(n, a)| boxes[..n].iter().any(|b| meet(a, b))) {
        return None;
    }
    Some((paths.iter().flat_map(|(path, _)| path.elements().iter().copied()).collect(), rule))
}
