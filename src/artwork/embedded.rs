//! The pictures inside a drawing: how many pixels each has, and how large it lies there.

use kurbo::{Affine, Rect};
use usvg::{Group, Image, ImageKind, Node, Tree};

use super::ink::outline::affine;
use super::scan::Places;

/// A picture made of pixels, as it lies in a drawing.
#[derive(Clone, Debug)]
pub struct Embedded {
    /// Its line in the drawing's file.
    pub line: Option<u32>,
    /// Pixels across and down.
    pub pixels: [u32; 2],
    /// From its pixels to pixels of the tree.
    pub to: Affine,
}

impl Embedded {
    /// The fewest of its pixels that come to one unit of a transform's target, along its own sides.
    pub fn density(&self, to: Affine) -> f64 {
        let [a, b, c, d, ..] = (to * self.to).as_coeffs();
        1.0 / a.hypot(b).max(c.hypot(d))
    }

    /// The rectangle around it after a transform.
    pub fn bounds(&self, to: Affine) -> Rect {
        let [width, height] = self.pixels.map(f64::from);
        (to * self.to).transform_rect_bbox(Rect::new(0.0, 0.0, width, height))
    }
}

/// All pictures that are seen in a tree; not those of filters.
pub(super) fn of(tree: &Tree, places: &Places) -> Vec<Embedded> {
    let mut found = Vec::new();
    group(tree.root(), Affine::IDENTITY, places, &mut found);
    found
}

fn group(g: &Group, to: Affine, places: &Places, found: &mut Vec<Embedded>) {
    let to = to * affine(g.transform());
    for node in g.children() {
        match node {
            Node::Group(inner) => group(inner, to, places, found),
            Node::Image(image) if image.is_visible() => picture(image, to, places, found),
            Node::Image(_) | Node::Path(_) | Node::Text(_) => {}
        }
    }
}

fn picture(image: &Image, to: Affine, places: &Places, found: &mut Vec<Embedded>) {
    let data = match image.kind() {
        ImageKind::SVG(tree) => return group(tree.root(), to, places, found),
        ImageKind::JPEG(data) | ImageKind::PNG(data) | ImageKind::GIF(data) | ImageKind::WEBP(data) => data,
    };
    let Ok(size) = imagesize::blob_size(data) else { return };
    let [Ok(width), Ok(height)] = [size.width, size.height].map(u32::try_from) else { return };
    if width == 0 || height == 0 {
        return;
    }
    let own = image.size();
    let to = to
        * Affine::scale_non_uniform(
            f64::from(own.width()) / f64::from(width),
            f64::from(own.height()) / f64::from(height),
        );
    found.push(Embedded { line: places.image_line(data), pixels: [width, height], to });
}
