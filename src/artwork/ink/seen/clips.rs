//! Clips, and masks that are as plain as clips.

use std::sync::Arc;

use kurbo::{Affine, Shape as _};
use usvg::{ClipPath, Group, Mask, MaskType, Node};

use super::super::{Rule, filter, outline};
use super::{Clip, ClipPart, InkName, Patterns, Place, Seen, Walk};

impl Walk<'_> {
    /// A clip, and those it lies within.
    pub(super) fn clip(&mut self, clip: &ClipPath, to: Affine, clips: &mut Vec<Arc<Clip>>) {
        let mut parts = Vec::new();
        self.clip_parts(clip.root(), to * outline::affine(clip.transform()), &[], &mut parts);
        clips.push(Arc::new(Clip { parts }));
        if let Some(outer) = clip.clip_path() {
            self.clip(outer, to, clips);
        }
    }

    /// Fills only: strokes and colors don't count in a clip.
    pub(super) fn clip_parts(&mut self, group: &Group, to: Affine, within: &[Arc<Clip>], parts: &mut Vec<ClipPart>) {
        for node in group.children() {
            match node {
                Node::Path(path) if path.is_visible() => {
                    if let Some(shape) = path.fill().and_then(|fill| outline::fill(path, fill, to)) {
                        parts.push(ClipPart {
                            path: shape.path,
                            rule: shape.rule,
                            clips: within.to_vec(),
                            opens: true,
                        });
                    }
                }
                Node::Text(text) => self.clip_parts(text.flattened(), to, within, parts),
                Node::Group(inner) => {
                    let to = to * outline::affine(inner.transform());
                    let mut within = within.to_vec();
                    if let Some(clip) = inner.clip_path() {
                        self.clip(clip, to, &mut within);
                    }
                    self.clip_parts(inner, to, &within, parts);
                }
                Node::Path(_) | Node::Image(_) => {}
            }
        }
    }

    /// A mask of shapes that let all through, or nothing; `false` if it is not one.
    pub(super) fn mask(&self, mask: &Mask, to: Affine, clips: &mut Vec<Arc<Clip>>) -> bool {
        let mut inner = Walk { patterns: Patterns::Shapes, seen: Seen::default(), ..*self };
        inner.group(mask.root(), &Place { to, clips: Vec::new(), translucent: false });
        if !inner.seen.hindrances.is_empty() {
            return false;
        }
        let mut parts = Vec::new();
        for shape in inner.seen.shapes {
            let opens = match (mask.kind(), &shape.ink) {
                _ if shape.translucent => return false,
                (MaskType::Alpha, InkName::Color(_)) | (MaskType::Luminance, InkName::Color([255, 255, 255])) => true,
                (MaskType::Luminance, InkName::Color([0, 0, 0])) => false,
                _ => return false,
            };
            parts.push(ClipPart { path: shape.path, rule: shape.rule, clips: shape.clips, opens });
        }
        clips.push(Arc::new(Clip { parts }));
        let window = to * filter::rect(mask.rect()).to_path(0.1);
        let window = ClipPart { path: window, rule: Rule::NonZero, clips: Vec::new(), opens: true };
        clips.push(Arc::new(Clip { parts: vec![window] }));
        mask.mask().is_none_or(|outer| self.mask(outer, to, clips))
    }
}
