//! What a pattern holds, as art in the pattern's own space, ready to be laid out. Patterns
//! inside it are laid out on the way, innermost first.

use kurbo::{Affine, BezPath, Rect};
use usvg::tiny_skia_path::PathSegment;
use usvg::{ClipPath, Group, ImageKind, Node, Paint, PaintOrder, Path};

use super::super::error::ArtworkError;
use super::super::ink::{Rule, norm, outline};
use super::art::{Area, Art, Flat, Layer, Leaf, Means, Place, What, laid};
use super::lattice::{Lattice, rectangle};
use super::stroke::stroked;

/// How art is made of a tree's parts.
#[derive(Clone, Copy)]
pub(super) struct Maker<'a> {
    pub(super) means: Means<'a>,
    /// Strokes are widened this exactly, in pixels of the tree.
    pub(super) accuracy: f64,
}

/// From a thing's own space to where it is laid, and from there on to the tree's pixels.
#[derive(Clone, Copy)]
pub(super) struct Space {
    pub(super) to: Affine,
    pub(super) on: Affine,
}

impl Space {
    fn inside(self, transform: usvg::Transform) -> Space {
        Space { to: self.to * outline::affine(transform), ..self }
    }
}

impl Maker<'_> {
    /// What a pattern paints on an area of a path; `None` if it paints nothing there.
    pub(super) fn pattern<'t>(
        &self,
        pattern: &'t usvg::Pattern,
        area: Area,
        opacity: f32,
        space: Space,
    ) -> Result<Option<Art<'t>>, ArtworkError> {
        let to = space.to * outline::affine(pattern.transform());
        let r = pattern.rect();
        let cell =
            Rect::from_origin_size((f64::from(r.x()), f64::from(r.y())), (f64::from(r.width()), f64::from(r.height())));
        let Means { name, budget } = self.means;
        let Some(lattice) = Lattice::under(&area.path, to, cell, name, budget)? else { return Ok(None) };
        let mut content = Vec::new();
        self.group(pattern.root(), Space { to: Affine::IDENTITY, on: space.on * to }, &mut content)?;
        let children = laid(content, &lattice, self.means)?;
        let layer =
            Layer { opacity, blend: usvg::BlendMode::Normal, isolate: false, clips: vec![vec![area]], children };
        Ok((!layer.children.is_empty()).then_some(Art::Layer(layer)))
    }

    fn group<'t>(&self, group: &'t Group, space: Space, out: &mut Vec<Art<'t>>) -> Result<(), ArtworkError> {
        let inner = space.inside(group.transform());
        if group.mask().is_some() || !group.filters().is_empty() {
            out.push(leaf(What::Group(group), space.to));
            return Ok(());
        }
        let Some(clips) = clips(group, inner.to) else {
            out.push(leaf(What::Group(group), space.to));
            return Ok(());
        };
        let mut children = Vec::new();
        for node in group.children() {
            match node {
                Node::Group(g) => self.group(g, inner, &mut children)?,
                Node::Text(text) => self.group(text.flattened(), inner, &mut children)?,
                Node::Path(path) => self.path(path, inner, &mut children)?,
                Node::Image(image) if image.is_visible() => children.push(leaf(What::Image(image), inner.to)),
                Node::Image(_) => {}
            }
        }
        let plain = clips.is_empty() && group.blend_mode() == usvg::BlendMode::Normal;
        if let ([Art::Flat(only)], true) = (&mut children[..], plain) {
            only.opacity *= group.opacity().get();
            out.append(&mut children);
        } else if group.should_isolate() {
            out.push(Art::Layer(Layer {
                opacity: group.opacity().get(),
                blend: group.blend_mode(),
                isolate: group.isolate(),
                clips,
                children,
            }));
        } else {
            out.append(&mut children);
        }
        Ok(())
    }

    fn path<'t>(&self, path: &'t Path, space: Space, out: &mut Vec<Art<'t>>) -> Result<(), ArtworkError> {
        if !path.is_visible() {
            return Ok(());
        }
        let mut parts = [What::Fill(path), What::Stroke(path)];
        if path.paint_order() == PaintOrder::StrokeAndFill {
            parts.reverse();
        }
        for part in parts {
            let paint = match part {
                What::Stroke(_) => path.stroke().map(|s| (s.paint(), s.opacity().get())),
                _ => path.fill().map(|f| (f.paint(), f.opacity().get())),
            };
            let Some((paint, opacity)) = paint else { continue };
            if matches!(paint, Paint::LinearGradient(_) | Paint::RadialGradient(_)) {
                out.push(leaf(part, space.to));
                continue;
            }
            let Some(area) = self.area(part, path, space)? else { continue };
            match paint {
                Paint::Color(color) => out.push(Art::Flat(Flat { area, color: *color, opacity })),
                Paint::Pattern(pattern) => out.extend(self.pattern(pattern, area, opacity, space)?),
                _ => {}
            }
        }
        Ok(())
    }

    /// What the fill or the stroke of a path covers.
    pub(super) fn area(&self, part: What, path: &Path, space: Space) -> Result<Option<Area>, ArtworkError> {
        if let What::Stroke(_) = part {
            let accuracy = self.accuracy / norm(space.on * space.to).max(1e-9);
            let Some(widened) = stroked(path, accuracy, self.means)? else { return Ok(None) };
            let crisp = !path.rendering_mode().use_shape_antialiasing();
            return Ok(Some(Area { path: space.to * widened, rule: Rule::NonZero, crisp }));
        }
        Ok(filled(path, space.to))
    }
}

/// What the fill of a path covers; nothing if the path is flat, or one line.
fn filled(path: &Path, to: Affine) -> Option<Area> {
    let flat = path.data().bounds();
    if flat.width() == 0.0 || flat.height() == 0.0 {
        return None;
    }
    if path.data().len() < 4 && !path.data().segments().any(is_curved) {
        return None; // a line and back
    }
    let rule = match path.fill()?.rule() {
        usvg::FillRule::NonZero => Rule::NonZero,
        usvg::FillRule::EvenOdd => Rule::EvenOdd,
    };
    let crisp = !path.rendering_mode().use_shape_antialiasing();
    Some(Area { path: to * outline::close(&outline::bez(path.data())), rule, crisp })
}

fn is_curved(segment: PathSegment) -> bool {
    matches!(segment, PathSegment::QuadTo(..) | PathSegment::CubicTo(..))
}

/// The clips of a group as areas; `None` if they are more than shapes side by side.
fn clips(group: &Group, to: Affine) -> Option<Vec<Vec<Area>>> {
    let mut all = Vec::new();
    let mut next: Option<&ClipPath> = group.clip_path();
    while let Some(clip) = next {
        let mut areas = Vec::new();
        clip_areas(clip.root(), to * outline::affine(clip.transform()), &mut areas)?;
        all.push(areas);
        next = clip.clip_path();
    }
    Some(all)
}

fn clip_areas(group: &Group, to: Affine, out: &mut Vec<Area>) -> Option<()> {
    for node in group.children() {
        match node {
            Node::Path(path) if path.is_visible() => out.extend(filled(path, to)),
            Node::Text(text) => clip_areas(text.flattened(), to, out)?,
            Node::Group(g) if g.clip_path().is_some() => return None,
            Node::Group(g) => clip_areas(g, to * outline::affine(g.transform()), out)?,
            Node::Path(_) | Node::Image(_) => {}
        }
    }
    Some(())
}

fn leaf(what: What, to: Affine) -> Art {
    let rect =
        |r: usvg::Rect| Rect::new(f64::from(r.left()), f64::from(r.top()), f64::from(r.right()), f64::from(r.bottom()));
    let (bounds, cost) = match what {
        // A group's own transform is part of it.
        What::Group(g) => {
            (outline::affine(g.transform()).transform_rect_bbox(rect(g.layer_bounding_box().to_rect())), cost(g))
        }
        What::Image(i) => (Rect::new(0.0, 0.0, f64::from(i.size().width()), f64::from(i.size().height())), 4),
        What::Fill(p) => (rect(p.bounding_box()), p.data().len() + 4),
        What::Stroke(p) => (rect(p.stroke_bounding_box()), p.data().len() + 4),
    };
    let [_, b, c, ..] = to.as_coeffs();
    let solid = b == 0.0 && c == 0.0 && is_solid(what);
    Art::Leaf(Leaf { what, bounds, solid, cost, places: vec![Place { to, within: Vec::<BezPath>::new() }] })
}

/// Whether something is a rectangle without anything see-through.
fn is_solid(what: What) -> bool {
    match what {
        What::Image(image) => match image.kind() {
            ImageKind::JPEG(_) => true,
            ImageKind::PNG(data) => {
                let has_alpha = data.get(25).is_none_or(|kind| matches!(kind, 4 | 6));
                !has_alpha && !data.windows(4).any(|chunk| chunk == b"tRNS")
            }
            _ => false,
        },
        What::Fill(path) => path.fill().is_some_and(|fill| {
            let stops = match fill.paint() {
                Paint::LinearGradient(g) => g.stops(),
                Paint::RadialGradient(g) => g.stops(),
                Paint::Color(_) | Paint::Pattern(_) => &[],
            };
            fill.opacity().get() == 1.0
                && stops.iter().all(|stop| stop.opacity().get() == 1.0)
                && rectangle(&outline::close(&outline::bez(path.data()))).is_some()
        }),
        What::Group(_) | What::Stroke(_) => false,
    }
}

fn cost(group: &Group) -> usize {
    let each = group.children().iter().map(|node| match node {
        Node::Group(g) => cost(g),
        Node::Text(text) => cost(text.flattened()),
        Node::Path(path) => path.data().len() + 4,
        Node::Image(_) => 4,
    });
    each.fold(4, usize::saturating_add)
}
