//! An SVG of plain paths, for programs that know little of SVG: no uses, no style sheets, transforms gone into the path
//! data, clips and the tile's edge cut by booleans.
//!
//! ```text
//!   <use transform> ×  <clipPath>         <path d>
//!        ╭───╮                               ╭─╮
//!        │  ─┼──   edge          ═▶          │ │   what is seen, and no more
//!        ╰───╯                               ╰─╯
//! ```

mod clips;
mod halves;
mod shapes;
mod text;
mod walk;

use std::fmt::Write;

use kurbo::{BezPath, Rect, Shape as _};
use usvg::roxmltree::{Document, Node as XmlNode};
use usvg::{Group, ImageKind, Node};

use self::walk::{Clip, Plain, Seen};
use super::notes::Note;
use super::painter::MOST_BYTES;
use super::sheet::Piece;
use super::svg::{SvgError, drawing, head, matrix, sized};
use crate::artwork::Motif;
use crate::length::Unit;
use crate::wrap::Copies;

/// Curves that are cut by curves are flattened to within so many millimetres.
const EXACT_MM: f64 = 0.001;
/// Writes the piece, and says what is no plain path in it.
///
/// # Errors
/// Drawings that stand in it so often that the file would be too large.
pub fn plain_svg(
    copies: &Copies,
    motifs: &[Motif],
    name: &str,
    piece: &Piece,
) -> Result<(String, Vec<Note>), SvgError> {
    let [width, height] = piece.units;
    let mut plain = Plain::new(EXACT_MM * width / piece.size.width.to(Unit::Mm));
    let window = Clip::Window(Rect::new(0.0, 0.0, width, height));
    for (index, copy) in copies.copies().iter().enumerate() {
        let mark = &copies.marks()[copy.mark];
        let motif = &motifs[mark.motif];
        plain.motif = motif.name();
        let _ = writeln!(plain.body, "<g id=\"copy-{}\">", index + 1);
        let seen = Seen { to: mark.to_units(motif, copy.step), clips: vec![window.clone()] };
        if filtered(motif.tree().root()) {
            let [a, b, c, d, x, y] = matrix(copies, motifs, copy);
            let drawing = drawing(&format!("c{}.", index + 1), motif);
            let ink = motif.ink().bounds(seen.to).unwrap_or_default();
            plain.whole(&drawing, ink, &Seen { to: kurbo::Affine::new([a, b, c, d, x, y]), ..seen });
        } else {
            plain.nodes(motif.tree().root(), &seen);
        }
        plain.body.push_str("</g>\n");
        if plain.is_full() {
            return Err(SvgError::TooLarge { motif: motif.name().into(), most: MOST_BYTES >> 20 });
        }
    }
    let mut out = String::new();
    head(&mut out, name, piece);
    if !plain.defs.is_empty() {
        let _ = writeln!(out, "<defs>\n{}</defs>", plain.defs);
    }
    if let Some([r, g, b]) = copies.ground() {
        let _ = writeln!(out, "<path d=\"M0 0H{width}V{height}H0Z\" fill=\"#{r:02x}{g:02x}{b:02x}\"/>");
    }
    out.push_str(&plain.body);
    out.push_str("</svg>\n");
    Ok((out, plain.notes.all()))
}

/// Whether there is a filter anywhere in a drawing.
fn filtered(group: &Group) -> bool {
    let of = |node: &Node| match node {
        Node::Group(inner) => {
            !inner.filters().is_empty() || filtered(inner) || inner.mask().is_some_and(|mask| filtered(mask.root()))
        }
        Node::Text(text) => filtered(text.flattened()),
        Node::Image(image) => matches!(image.kind(), ImageKind::SVG(tree) if filtered(tree.root())),
        Node::Path(_) => false,
    };
    group.children().iter().any(of)
}

/// Reads a plain SVG with an XML reader of its own and holds it against the plan: its size, every copy in order, and
/// that no path that is nothing but one reaches over the edge.
///
/// # Errors
/// The first thing that differs.
pub fn read_plain_back(text: &str, copies: &Copies, piece: &Piece) -> Result<(), SvgError> {
    let differs = |what: String| SvgError::Differs(what);
    let document = Document::parse(text).map_err(|e| differs(e.to_string()))?;
    let root = document.root_element();
    sized(&root, piece)?;
    let found: Vec<&str> = root.children().filter_map(|node| node.attribute("id")).collect();
    let wanted: Vec<String> = (1..=copies.copies().len()).map(|n| format!("copy-{n}")).collect();
    if found != wanted {
        return Err(differs(format!("it holds {} copies, not {}", found.len(), wanted.len())));
    }
    // Rounding moves a place by half of its last digit.
    let window = Rect::new(0.0, 0.0, piece.units[0], piece.units[1]).inflate(1e-3, 1e-3);
    for node in root.descendants().filter(|node| node.has_tag_name("path") && alone(*node)) {
        let path = BezPath::from_svg(node.attribute("d").unwrap_or_default()).map_err(|e| differs(e.to_string()))?;
        if !path.is_empty() && !window.contains_rect(path.bounding_box()) {
            return Err(differs(format!("a path reaches over the edge, to {:?}", path.bounding_box())));
        }
    }
    match root.descendants().find(|node| ["use", "symbol"].contains(&node.tag_name().name())) {
        Some(node) if alone(node) => Err(differs(format!("it holds a {}", node.tag_name().name()))),
        _ => Ok(()),
    }
}

/// Whether nothing around an element clips, masks or moves it.
fn alone(node: XmlNode<'_, '_>) -> bool {
    let kept = ["clip-path", "mask", "transform", "filter"];
    node.ancestors().all(|node| {
        kept.iter().all(|name| !node.has_attribute(*name))
            && !["defs", "clipPath", "mask"].contains(&node.tag_name().name())
    })
}
