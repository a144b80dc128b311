//! What a tree's groups and paths refer to: gradients, clips, masks and filters, each
//! written once.

use std::collections::HashMap;
use std::fmt::Write as _;
use std::sync::Arc;

use kurbo::Affine;
use usvg::roxmltree::Document;
use usvg::{ClipPath, Group, Mask, MaskType, Node, Paint, SpreadMethod, Tree, WriteOptions, filter};

use super::super::error::ArtworkError;
use super::super::ink::outline;
use super::text;
use super::write::Writer;

impl Writer<'_> {
    /// A gradient's id; the gradient is written if it is new.
    pub(super) fn gradient(&mut self, paint: &Paint) -> String {
        let key = match paint {
            Paint::LinearGradient(g) => Arc::as_ptr(g) as usize,
            Paint::RadialGradient(g) => Arc::as_ptr(g) as usize,
            Paint::Color(_) | Paint::Pattern(_) => return String::new(),
        };
        if let Some(id) = self.known.get(&key) {
            return id.clone();
        }
        let id = self.gradient_id(paint);
        let out = &mut self.defs;
        match paint {
            Paint::LinearGradient(g) => {
                let (x1, y1, x2, y2) = (g.x1(), g.y1(), g.x2(), g.y2());
                let _ = write!(out, "<linearGradient id=\"{id}\" x1=\"{x1}\" y1=\"{y1}\" x2=\"{x2}\" y2=\"{y2}\"");
                base(g, out);
                out.push_str("</linearGradient>");
            }
            Paint::RadialGradient(g) => {
                let (cx, cy, r, fx, fy, fr) = (g.cx(), g.cy(), g.r().get(), g.fx(), g.fy(), g.fr().get());
                let _ = write!(out, "<radialGradient id=\"{id}\" cx=\"{cx}\" cy=\"{cy}\" r=\"{r}\"");
                let _ = write!(out, " fx=\"{fx}\" fy=\"{fy}\" fr=\"{fr}\"");
                base(g, out);
                out.push_str("</radialGradient>");
            }
            Paint::Color(_) | Paint::Pattern(_) => {}
        }
        self.known.insert(key, id.clone());
        id
    }

    /// A clip's id, moved by `before`; what it lets through lies in `within` too.
    pub(super) fn clip_path(
        &mut self,
        clip: &ClipPath,
        before: Affine,
        within: Option<String>,
    ) -> Result<String, ArtworkError> {
        let key = (before == Affine::IDENTITY && within.is_none()).then_some(std::ptr::from_ref(clip) as usize);
        if let Some(id) = key.and_then(|key| self.known.get(&key)) {
            return Ok(id.clone());
        }
        let outer = match clip.clip_path() {
            Some(outer) => Some(self.clip_path(outer, before, within)?),
            None => within,
        };
        let mut shapes = String::new();
        self.clip_shapes(clip.root(), Affine::IDENTITY, &[], &mut shapes)?;
        let id = self.new_id();
        let _ = write!(self.defs, "<clipPath id=\"{id}\"");
        text::transform(&mut self.defs, "transform", before * outline::affine(clip.transform()));
        if let Some(outer) = outer {
            let _ = write!(self.defs, " clip-path=\"url(#{outer})\"");
        }
        let _ = write!(self.defs, ">{shapes}</clipPath>");
        if let Some(key) = key {
            self.known.insert(key, id.clone());
        }
        Ok(id)
    }

    /// There are no groups in a clip: transforms and clips are handed down to the paths.
    fn clip_shapes(
        &mut self,
        group: &Group,
        to: Affine,
        clips: &[(&ClipPath, Affine)],
        out: &mut String,
    ) -> Result<(), ArtworkError> {
        for node in group.children() {
            match node {
                Node::Path(path) if path.is_visible() => {
                    let Some(fill) = path.fill() else { continue };
                    let mut within = None;
                    for (clip, from) in clips {
                        within = Some(self.clip_path(clip, to.inverse() * *from, within)?);
                    }
                    out.push_str("<path");
                    if fill.rule() == usvg::FillRule::EvenOdd {
                        out.push_str(" clip-rule=\"evenodd\"");
                    }
                    if !path.rendering_mode().use_shape_antialiasing() {
                        out.push_str(" shape-rendering=\"crispEdges\"");
                    }
                    if let Some(id) = within {
                        let _ = write!(out, " clip-path=\"url(#{id})\"");
                    }
                    text::transform(out, "transform", to);
                    out.push_str(" d=\"");
                    text::path(out, &outline::bez(path.data()));
                    out.push_str("\"/>");
                }
                Node::Group(inner) => {
                    let to = to * outline::affine(inner.transform());
                    let clips: Vec<_> = clips.iter().copied().chain(inner.clip_path().map(|clip| (clip, to))).collect();
                    self.clip_shapes(inner, to, &clips, out)?;
                }
                Node::Text(text) => self.clip_shapes(text.flattened(), to, clips, out)?,
                Node::Path(_) | Node::Image(_) => {}
            }
        }
        Ok(())
    }

    /// A mask's id.
    pub(super) fn mask(&mut self, mask: &Mask, on: Affine) -> Result<String, ArtworkError> {
        let key = std::ptr::from_ref(mask) as usize;
        if let Some(id) = self.known.get(&key) {
            return Ok(id.clone());
        }
        let outer = mask.mask().map(|outer| self.mask(outer, on)).transpose()?;
        let mut content = String::new();
        self.children(mask.root(), on * outline::affine(mask.root().transform()), &mut content)?;
        let id = self.new_id();
        let r = mask.rect();
        let (x, y, w, h) = (r.x(), r.y(), r.width(), r.height());
        let out = &mut self.defs;
        let _ = write!(out, "<mask id=\"{id}\" maskUnits=\"userSpaceOnUse\" x=\"{x}\" y=\"{y}\"");
        let _ = write!(out, " width=\"{w}\" height=\"{h}\"");
        if mask.kind() == MaskType::Alpha {
            out.push_str(" mask-type=\"alpha\"");
        }
        if let Some(outer) = outer {
            let _ = write!(out, " mask=\"url(#{outer})\"");
        }
        let _ = write!(out, ">{content}</mask>");
        self.known.insert(key, id.clone());
        Ok(id)
    }

    /// A filter's id. Its text is taken as it was written; what it shows of the drawing is
    /// written anew, since there may be patterns in it.
    pub(super) fn filter(&mut self, filter: &Arc<filter::Filter>) -> Result<String, ArtworkError> {
        let key = Arc::as_ptr(filter) as usize;
        if let Some(id) = self.known.get(&key) {
            return Ok(id.clone());
        }
        let failed = || ArtworkError::Failed { name: self.name().into(), what: "a filter is not written".into() };
        let mut text = self.filters.get(filter.id()).cloned().ok_or_else(failed)?;
        for step in filter.primitives() {
            if let filter::Kind::ColorMatrix(colors) = step.kind() {
                text = more_than_saturated(text, colors.kind());
            }
            let filter::Kind::Image(image) = step.kind() else { continue };
            let Some(shown) = image.root().children().first() else { continue };
            let new = self.new_id();
            let mut content = String::new();
            self.children(image.root(), Affine::IDENTITY, &mut content)?;
            let _ = write!(self.defs, "<g id=\"{new}\">{content}</g>");
            let old = format!("xlink:href=\"#{}\"", shown.id());
            text = text.replacen(&old, &format!("xlink:href=\"#{new}\""), 1);
        }
        let id = self.new_id();
        let text = text.replacen(&format!("id=\"{}\"", filter.id()), &format!("id=\"{id}\""), 1);
        self.defs.push_str(&text);
        self.known.insert(key, id.clone());
        Ok(id)
    }
}

/// A saturation of more than one is read back as one; as a matrix it is not.
fn more_than_saturated(text: String, kind: &filter::ColorMatrixKind) -> String {
    let filter::ColorMatrixKind::Saturate(v) = kind else { return text };
    let v = v.get();
    if v <= 1.0 {
        return text;
    }
    let keep = |part: f32| part + (1.0 - part) * v;
    let take = |part: f32| part - part * v;
    let (r, g, b) = (take(0.213), take(0.715), take(0.072));
    let (red, green, blue) = (keep(0.213), keep(0.715), keep(0.072));
    let matrix = format!("{red} {g} {b} 0 0 {r} {green} {b} 0 0 {r} {g} {blue} 0 0 0 0 0 1 0");
    let old = format!("type=\"saturate\" values=\"{v}\"");
    text.replacen(&old, &format!("type=\"matrix\" values=\"{matrix}\""), 1)
}

fn base(gradient: &usvg::BaseGradient, out: &mut String) {
    out.push_str(" gradientUnits=\"userSpaceOnUse\"");
    text::transform(out, "gradientTransform", outline::affine(gradient.transform()));
    out.push_str(match gradient.spread_method() {
        SpreadMethod::Pad => ">",
        SpreadMethod::Reflect => " spreadMethod=\"reflect\">",
        SpreadMethod::Repeat => " spreadMethod=\"repeat\">",
    });
    for stop in gradient.stops() {
        let (c, offset, opacity) = (stop.color(), stop.offset().get(), stop.opacity().get());
        let color = format!("#{:02x}{:02x}{:02x}", c.red, c.green, c.blue);
        let _ = write!(out, "<stop offset=\"{offset}\" stop-color=\"{color}\" stop-opacity=\"{opacity}\"/>");
    }
}

/// The texts of a tree's filters, as its own writer writes them.
pub(super) fn filter_texts(name: &str, tree: &Tree) -> Result<HashMap<String, String>, ArtworkError> {
    if tree.filters().is_empty() {
        return Ok(HashMap::new());
    }
    let failed = |what: String| ArtworkError::Failed { name: name.into(), what };
    let text = tree.to_string(&WriteOptions { preserve_text: false, ..WriteOptions::default() });
    let doc = Document::parse(&text).map_err(|e| failed(format!("its filters, written: {e}")))?;
    let filters = doc.descendants().filter(|node| node.has_tag_name(("http://www.w3.org/2000/svg", "filter")));
    let entry = |node: usvg::roxmltree::Node| {
        let id = node.attribute("id").unwrap_or_default().to_owned();
        (id, text.get(node.range()).unwrap_or_default().to_owned())
    };
    Ok(filters.map(entry).collect())
}

/// The start of ids that no node has.
pub(super) fn free_prefix(tree: &Tree) -> String {
    let mut ids = Vec::new();
    collect(tree.root(), &mut ids);
    let mut prefix = String::from("laid-");
    while ids.iter().any(|id| id.starts_with(&prefix)) {
        prefix.insert(0, '_');
    }
    prefix
}

fn collect(group: &Group, ids: &mut Vec<String>) {
    ids.push(group.id().to_owned());
    for node in group.children() {
        ids.push(node.id().to_owned());
        if let Node::Group(inner) = node {
            collect(inner, ids);
        }
        // In clips, masks, filters, patterns, texts and embedded drawings.
        node.subroots(|inner| collect(inner, ids));
    }
}
