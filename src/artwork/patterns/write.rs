//! A resolved tree as SVG text, as it stands but for patterns, which are laid out.

use std::collections::HashMap;
use std::fmt::Write as _;

use kurbo::Affine;
use usvg::{Group, Image, ImageKind, ImageRendering, Node, Paint, PaintOrder, Path, Tree};

use super::super::budget::Budget;
use super::super::error::ArtworkError;
use super::super::ink::outline;
use super::super::inks::Inks;
use super::art::{Means, What};
use super::content::{Maker, Space};
use super::defs;
use super::text;

/// Flattening and widening are this exact, in sides of the page, as ink is.
const ACCURACY: f64 = 2e-6;

pub(super) type Done = Result<(), ArtworkError>;

/// A tree without patterns.
#[derive(Default)]
pub(super) struct Written {
    /// As SVG.
    pub(super) text: String,
    /// What gradients were called, by their new ids.
    pub(super) gradients: HashMap<String, String>,
    /// What patterns were called, by the ids of the groups that they became.
    pub(super) areas: HashMap<String, String>,
}

/// The tree as SVG text without patterns.
pub(super) fn without_patterns(name: &str, tree: &Tree, inks: &Inks, budget: &Budget) -> Result<Written, ArtworkError> {
    let start = Start { prefix: defs::free_prefix(tree), next: 0, written: Written::default() };
    Ok(whole(name, tree, inks, budget, start)?.written)
}

/// What is handed on from a drawing to those embedded in it, and back.
struct Start {
    /// No id of the tree, or of a drawing embedded in it, begins with this.
    prefix: String,
    next: usize,
    written: Written,
}

fn whole(name: &str, tree: &Tree, inks: &Inks, budget: &Budget, start: Start) -> Result<Start, ArtworkError> {
    let side = f64::from(tree.size().width().max(tree.size().height()));
    let maker = Maker { means: Means { name, budget }, accuracy: ACCURACY * side };
    let mut writer = Writer {
        maker,
        inks,
        start,
        defs: String::new(),
        known: HashMap::new(),
        filters: defs::filter_texts(name, tree)?,
        with_ids: true,
    };
    let mut body = String::new();
    writer.group(tree.root(), Affine::IDENTITY, &mut body)?;
    let (w, h) = (tree.size().width(), tree.size().height());
    writer.start.written.text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" \
         width=\"{w}\" height=\"{h}\"><defs>{}</defs>{body}</svg>",
        writer.defs
    );
    Ok(writer.start)
}

pub(super) struct Writer<'a> {
    maker: Maker<'a>,
    pub(super) inks: &'a Inks,
    start: Start,
    pub(super) defs: String,
    /// The ids of what is written already, by its place in memory.
    pub(super) known: HashMap<usize, String>,
    /// The filters' own texts, by their ids.
    pub(super) filters: HashMap<String, String>,
    /// Not inside patterns, which show things many times.
    with_ids: bool,
}

impl Writer<'_> {
    pub(super) fn name(&self) -> &str {
        self.maker.means.name
    }

    pub(super) fn new_id(&mut self) -> String {
        self.start.next += 1;
        format!("{}{}", self.start.prefix, self.start.next)
    }

    /// A gradient's new id.
    pub(super) fn gradient_id(&mut self, paint: &Paint) -> String {
        let id = self.new_id();
        self.start.written.gradients.insert(id.clone(), self.inks.name(paint).to_owned());
        id
    }

    pub(super) fn id(&self, id: &str, out: &mut String) {
        if self.with_ids && !id.is_empty() {
            let _ = write!(out, " id=\"{}\"", text::escaped(id));
        }
    }

    pub(super) fn group(&mut self, group: &Group, on: Affine, out: &mut String) -> Done {
        let own = outline::affine(group.transform());
        let on = on * own;
        out.push_str("<g");
        self.id(group.id(), out);
        if let Some(clip) = group.clip_path() {
            let id = self.clip_path(clip, Affine::IDENTITY, None)?;
            let _ = write!(out, " clip-path=\"url(#{id})\"");
        }
        if let Some(mask) = group.mask() {
            let id = self.mask(mask, on)?;
            let _ = write!(out, " mask=\"url(#{id})\"");
        }
        if !group.filters().is_empty() {
            let mut all = Vec::new();
            for filter in group.filters() {
                all.push(format!("url(#{})", self.filter(filter)?));
            }
            let _ = write!(out, " filter=\"{}\"", all.join(" "));
        }
        text::effects(group.opacity().get(), group.blend_mode(), group.isolate(), out);
        text::transform(out, "transform", own);
        out.push('>');
        self.children(group, on, out)?;
        out.push_str("</g>");
        Ok(())
    }

    pub(super) fn children(&mut self, group: &Group, on: Affine, out: &mut String) -> Done {
        for node in group.children() {
            match node {
                Node::Group(g) => self.group(g, on, out)?,
                Node::Text(t) => self.group(t.flattened(), on, out)?,
                Node::Path(path) => self.path(path, on, out)?,
                Node::Image(image) => self.image(image, out)?,
            }
        }
        Ok(())
    }

    fn path(&mut self, path: &Path, on: Affine, out: &mut String) -> Done {
        let patterned = |paint: Option<&Paint>| matches!(paint, Some(Paint::Pattern(_)));
        let (fill, stroke) = (path.fill().map(|f| f.paint()), path.stroke().map(|s| s.paint()));
        if !path.is_visible() || !(patterned(fill) || patterned(stroke)) {
            return self.plain(path, (path.is_visible(), path.is_visible()), out);
        }
        let mut parts = [What::Fill(path), What::Stroke(path)];
        if path.paint_order() == PaintOrder::StrokeAndFill {
            parts.reverse();
        }
        out.push_str("<g");
        self.id(path.id(), out);
        out.push('>');
        for part in parts {
            let (paint, opacity) = match part {
                What::Stroke(_) => (stroke, path.stroke().map_or(1.0, |s| s.opacity().get())),
                _ => (fill, path.fill().map_or(1.0, |f| f.opacity().get())),
            };
            match paint {
                Some(Paint::Pattern(pattern)) => {
                    let space = Space { to: Affine::IDENTITY, on };
                    let Some(area) = self.maker.area(part, path, space)? else { continue };
                    let Some(art) = self.maker.pattern(pattern, area, opacity, space)? else { continue };
                    let id = self.with_ids.then(|| self.new_id());
                    if let (Some(id), Some(paint)) = (&id, paint) {
                        self.start.written.areas.insert(id.clone(), self.inks.name(paint).to_owned());
                    }
                    let with_ids = std::mem::replace(&mut self.with_ids, false);
                    let done = self.art(&art, id.as_deref(), on, out);
                    self.with_ids = with_ids;
                    done?;
                }
                Some(_) => self.plain(path, (matches!(part, What::Fill(_)), matches!(part, What::Stroke(_))), out)?,
                None => {}
            }
        }
        out.push_str("</g>");
        Ok(())
    }

    pub(super) fn image(&mut self, image: &Image, out: &mut String) -> Done {
        let _ = write!(out, "<image width=\"{}\" height=\"{}\"", image.size().width(), image.size().height());
        if !image.is_visible() {
            out.push_str(" visibility=\"hidden\"");
        }
        out.push_str(match image.rendering_mode() {
            ImageRendering::OptimizeQuality => "",
            ImageRendering::OptimizeSpeed => " image-rendering=\"optimizeSpeed\"",
            ImageRendering::Smooth => " style=\"image-rendering:smooth\"",
            ImageRendering::HighQuality => " style=\"image-rendering:high-quality\"",
            ImageRendering::CrispEdges => " style=\"image-rendering:crisp-edges\"",
            ImageRendering::Pixelated => " style=\"image-rendering:pixelated\"",
        });
        let (kind, bytes) = match image.kind() {
            ImageKind::JPEG(data) => ("jpeg", data.as_slice()),
            ImageKind::PNG(data) => ("png", data.as_slice()),
            ImageKind::GIF(data) => ("gif", data.as_slice()),
            ImageKind::WEBP(data) => ("webp", data.as_slice()),
            ImageKind::SVG(tree) => {
                let Means { name, budget } = self.maker.means;
                let written = std::mem::take(&mut self.start.written);
                let start = Start { prefix: self.start.prefix.clone(), next: self.start.next, written };
                self.start = whole(name, tree, self.inks, budget, start)?;
                ("svg+xml", self.start.written.text.as_bytes())
            }
        };
        let _ = write!(out, " xlink:href=\"data:image/{kind};base64,");
        text::base64(out, bytes);
        out.push_str("\"/>");
        Ok(())
    }
}
