//! What cuts: clips and the edge as booleans, or as the elements that they were where there is no boolean; and masks.

use std::fmt::Write;

use kurbo::{Affine, BezPath, ParamCurve, Rect, Shape as _};
use usvg::{ClipPath, FillRule, Group, Node};

use super::halves;
use super::text::data;
use super::walk::{Clip, Plain, Seen};
use crate::artwork::{affine, bez, close, common, welded};

impl Plain<'_> {
    /// A clip as areas that each cut; `None` if it is too tangled.
    pub(super) fn clip(&mut self, clip: &ClipPath, to: Affine) -> Option<Vec<Clip>> {
        let mut all = Vec::new();
        let mut next = Some(clip);
        while let Some(clip) = next {
            let mut areas = Vec::new();
            self.areas(clip.root(), to * affine(clip.transform()), &mut areas)?;
            all.push(match &areas[..] {
                [(one, _)] if upright(one).is_some() => Clip::Window(upright(one)?),
                _ => Clip::Area(welded(&areas, self.exact)?),
            });
            next = clip.clip_path();
        }
        Some(all)
    }

    fn areas(&mut self, group: &Group, to: Affine, areas: &mut Vec<(BezPath, FillRule)>) -> Option<()> {
        for node in group.children() {
            match node {
                Node::Path(path) if path.is_visible() => {
                    areas.extend(path.fill().map(|fill| (close(&(to * bez(path.data()))), fill.rule())));
                }
                Node::Text(text) => self.areas(text.flattened(), to, areas)?,
                Node::Group(inner) => {
                    let to = to * affine(inner.transform());
                    let mut own = Vec::new();
                    self.areas(inner, to, &mut own)?;
                    if let Some(clip) = inner.clip_path() {
                        let clips = self.clip(clip, to)?;
                        let cut = |(area, rule)| self.cut(area, rule, &clips);
                        own = own.into_iter().map(cut).collect::<Option<Vec<_>>>()?;
                    }
                    areas.append(&mut own);
                }
                Node::Path(_) | Node::Image(_) => {}
            }
        }
        Some(())
    }

    /// An area within all clips, and its rule; `None` if it is too tangled, or too much was cut already.
    pub(super) fn cut(&self, area: BezPath, rule: FillRule, clips: &[Clip]) -> Option<(BezPath, FillRule)> {
        let mut now = (area, rule);
        for clip in clips {
            now = match clip {
                Clip::Window(window) => (halves::cut(&now.0, *window), now.1),
                Clip::Area(area) => {
                    let left = self.left.get().checked_sub(now.0.elements().len() + area.elements().len());
                    self.left.set(left?);
                    (common(&now.0, now.1, area, self.exact)?, FillRule::NonZero)
                }
            };
            if now.0.is_empty() {
                break;
            }
        }
        Some(now)
    }

    /// Groups that clip as the booleans would.
    pub(super) fn held(&mut self, clips: &[Clip]) -> String {
        let mut out = String::new();
        for clip in clips {
            let path = match clip {
                Clip::Window(r) => data(&r.to_path(0.1)),
                Clip::Area(path) => data(path),
            };
            let id = self.id();
            let _ = writeln!(self.defs, "<clipPath id=\"{id}\"><path d=\"{path}\"/></clipPath>");
            let _ = write!(out, "<g clip-path=\"url(#{id})\">");
        }
        out
    }

    /// A clip that stays one, with its clips.
    pub(super) fn clip_element(&mut self, clip: &ClipPath, to: Affine) -> String {
        let outer = clip.clip_path().map(|outer| self.clip_element(outer, to));
        let id = self.id();
        let mut element = format!("<clipPath id=\"{id}\"");
        if let Some(outer) = outer {
            let _ = write!(element, " clip-path=\"url(#{outer})\"");
        }
        element.push_str(">\n");
        self.clip_children(clip.root(), to * affine(clip.transform()), "", &mut element);
        element.push_str("</clipPath>\n");
        self.defs.push_str(&element);
        id
    }

    fn clip_children(&mut self, group: &Group, to: Affine, own: &str, element: &mut String) {
        for node in group.children() {
            match node {
                Node::Path(path) if path.is_visible() => {
                    let Some(fill) = path.fill() else { continue };
                    let rule = if fill.rule() == FillRule::EvenOdd { " clip-rule=\"evenodd\"" } else { "" };
                    let _ = writeln!(element, "<path d=\"{}\"{rule}{own}/>", data(&(to * bez(path.data()))));
                }
                Node::Text(text) => self.clip_children(text.flattened(), to, own, element),
                Node::Group(inner) => {
                    let to = to * affine(inner.transform());
                    let clip = inner.clip_path().map(|clip| self.clip_element(clip, to));
                    let own = clip.map_or(own.to_owned(), |id| format!(" clip-path=\"url(#{id})\""));
                    self.clip_children(inner, to, &own, element);
                }
                Node::Path(_) | Node::Image(_) => {}
            }
        }
    }

    /// A mask in the space of the group that it masks.
    pub(super) fn mask(&mut self, mask: &usvg::Mask) -> String {
        let outer = mask.mask().map(|outer| self.mask(outer));
        let body = std::mem::take(&mut self.body);
        self.nodes(mask.root(), &Seen { to: Affine::IDENTITY, clips: Vec::new() });
        let content = std::mem::replace(&mut self.body, body);
        let (id, r) = (self.id(), mask.rect());
        let alpha = if mask.kind() == usvg::MaskType::Alpha { " mask-type=\"alpha\"" } else { "" };
        let outer = outer.map_or(String::new(), |outer| format!(" mask=\"url(#{outer})\""));
        let [x, y, w, h] = [r.x(), r.y(), r.width(), r.height()];
        let _ = writeln!(
            self.defs,
            "<mask id=\"{id}\" maskUnits=\"userSpaceOnUse\" x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\"{alpha}{outer}>\n{content}</mask>"
        );
        id
    }
}

/// Whether nothing of a box is cut away.
pub(super) fn inside(area: Rect, clips: &[Clip]) -> bool {
    clips.iter().all(|clip| match clip {
        Clip::Window(window) => window.contains_rect(area),
        Clip::Area(_) => false,
    })
}

/// The rectangle that an area is, if it is an upright one.
fn upright(area: &BezPath) -> Option<Rect> {
    let bounds = area.bounding_box();
    let lines = area.segments().all(|s| matches!(s, kurbo::PathSeg::Line(_)));
    let corners = area.segments().filter(|s| s.start() != s.end()).count();
    let slack = 1e-9 * bounds.width().max(bounds.height());
    (lines && corners == 4 && (area.area().abs() - bounds.area()).abs() <= slack * bounds.width().max(bounds.height()))
        .then_some(bounds)
}
