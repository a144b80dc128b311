//! A copy as elements of its own: transforms gone into the path data, clips and the edge cut away.
//!
//! What SVG has no plain path for keeps its element, and is named: masks, pictures, filters, blends, and clips whose
//! outlines are too tangled for a boolean. Below such an element everything stays in the element's own space.

use std::cell::Cell;
use std::fmt::Write;

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use kurbo::{Affine, BezPath, Rect};
use usvg::{BlendMode, Group, Image, ImageKind, Node};

use super::clips::inside;
use super::text::{matrix, share};
use crate::artwork::affine;
use crate::vector::notes::{Notes, What};
use crate::vector::painter::{MOST_BYTES, MOST_CUT, MOST_DASHES};

/// What lets ink through.
#[derive(Clone, Debug)]
pub(super) enum Clip {
    /// An upright rectangle; curves stay curves under it.
    Window(Rect),
    /// A welded area.
    Area(BezPath),
}

/// The file on its way.
pub(super) struct Plain<'a> {
    pub(super) defs: String,
    pub(super) body: String,
    pub(super) notes: Notes,
    pub(super) motif: &'a str,
    /// Curves are flattened where they are cut by other curves, this exact, in units.
    pub(super) exact: f64,
    pub(super) ids: usize,
    pub(super) dashes: Cell<f64>,
    pub(super) left: Cell<usize>,
}

/// Where a node is drawn, and what of it is seen.
#[derive(Clone)]
pub(super) struct Seen {
    pub(super) to: Affine,
    pub(super) clips: Vec<Clip>,
}

impl<'a> Plain<'a> {
    pub(super) fn new(exact: f64) -> Plain<'a> {
        Plain {
            defs: String::new(),
            body: String::new(),
            notes: Notes::default(),
            motif: "",
            exact,
            ids: 0,
            dashes: Cell::new(MOST_DASHES),
            left: Cell::new(MOST_CUT),
        }
    }

    pub(super) fn id(&mut self) -> String {
        self.ids += 1;
        format!("p{}", self.ids)
    }

    pub(super) fn note(&mut self, what: What) {
        self.notes.add(self.motif, what);
    }

    /// Whether it has more than a file may have.
    pub(super) fn is_full(&self) -> bool {
        self.body.len() + self.defs.len() > MOST_BYTES
    }

    pub(super) fn nodes(&mut self, group: &Group, seen: &Seen) {
        for node in group.children() {
            if self.is_full() {
                return;
            }
            match node {
                Node::Group(inner) => self.group(inner, seen),
                Node::Text(text) => self.group(text.flattened(), seen),
                Node::Path(path) => self.path(path, seen),
                Node::Image(image) if !image.is_visible() => {}
                Node::Image(image) => match image.kind() {
                    ImageKind::SVG(tree) => self.nodes(tree.root(), seen),
                    _ => self.image(image, seen),
                },
            }
        }
    }

    fn group(&mut self, group: &Group, seen: &Seen) {
        if group.opacity().get() == 0.0 {
            return;
        }
        let mut seen = Seen { to: seen.to * affine(group.transform()), ..seen.clone() };
        let mut around = String::new();
        share(&mut around, "opacity", group.opacity().get());
        let mut tail = String::new();
        if let Some(clip) = group.clip_path() {
            match self.clip(clip, seen.to) {
                Some(more) => seen.clips.extend(more),
                None => {
                    self.note(What::Clip);
                    let id = self.clip_element(clip, seen.to);
                    let _ = write!(tail, "<g clip-path=\"url(#{id})\">");
                }
            }
        }
        if let Some(mask) = group.mask() {
            // A mask's rectangle lies in its group's space.
            self.note(What::Mask);
            let id = self.mask(mask);
            let clips = self.held(&seen.clips);
            let _ = write!(tail, "{clips}<g transform=\"{}\" mask=\"url(#{id})\">", matrix(seen.to));
            seen = Seen { to: Affine::IDENTITY, clips: Vec::new() };
        }
        if group.blend_mode() != BlendMode::Normal {
            self.note(What::Style);
            let _ = write!(around, " style=\"mix-blend-mode:{}\"", group.blend_mode());
        } else if group.isolate() {
            around.push_str(" style=\"isolation:isolate\"");
        }
        if around.is_empty() && tail.is_empty() {
            return self.nodes(group, &seen);
        }
        let start = format!("<g{around}>{tail}");
        let count = start.matches("<g").count();
        self.body.push_str(&start);
        self.body.push('\n');
        self.nodes(group, &seen);
        self.body.push_str(&"</g>".repeat(count));
        self.body.push('\n');
    }

    fn image(&mut self, image: &Image, seen: &Seen) {
        let (kind, bytes) = match image.kind() {
            ImageKind::JPEG(bytes) => ("jpeg", bytes),
            ImageKind::PNG(bytes) => ("png", bytes),
            ImageKind::GIF(bytes) => ("gif", bytes),
            ImageKind::WEBP(bytes) => ("webp", bytes),
            ImageKind::SVG(_) => return,
        };
        self.note(What::Picture);
        let [w, h] = [image.size().width(), image.size().height()];
        let area = seen.to.transform_rect_bbox(Rect::new(0.0, 0.0, w.into(), h.into()));
        let kept = if inside(area, &seen.clips) { String::new() } else { self.held(&seen.clips) };
        let _ = writeln!(
            self.body,
            "{kept}<image width=\"{w}\" height=\"{h}\" preserveAspectRatio=\"none\" transform=\"{}\" xlink:href=\"data:image/{kind};base64,{}\"/>{}",
            matrix(seen.to),
            STANDARD.encode(bytes.as_slice()),
            "</g>".repeat(kept.matches("<g").count())
        );
    }

    /// A whole motif with filters: as it was drawn, clipped at the edge.
    pub(super) fn whole(&mut self, drawing: &str, reach: Rect, seen: &Seen) {
        self.note(What::KeptFilter);
        let kept = if inside(reach, &seen.clips) { String::new() } else { self.held(&seen.clips) };
        let ends = "</g>".repeat(kept.matches("<g").count());
        let _ = writeln!(self.body, "{kept}<g transform=\"{}\">\n{drawing}\n</g>{ends}", matrix(seen.to));
    }
}
