//! Which objects of a page are one drawing, moved.
//!
//! People lay a page into repeat by dragging copies of a motif to the opposite edge and to the
//! corners. Such a copy is no motif of its own: the repeat brings it in by itself.

use std::collections::BTreeMap;
use std::fmt::Write;

use kurbo::{Affine, Point, Vec2};
use usvg::{Group, Node, Paint};

use super::super::ink::outline::{affine, bez};
use super::super::motif::Motif;

/// A piece as the first piece of its drawing, moved.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Alike {
    /// The first piece with this drawing.
    pub first: usize,
    /// From that piece to this one, in pixels of the page.
    pub by: Vec2,
}

/// Points of equal drawings may differ by this much of the page: drawing programs write one or
/// two decimals, and 0.05 of a page of 283 points is as much.
const SAME: f64 = 3e-4;

/// For each piece, the first that is the same drawing: perhaps itself.
pub(super) fn alike(pieces: &[Motif]) -> Vec<Alike> {
    let mut kinds: BTreeMap<String, Vec<(usize, Vec<Point>)>> = BTreeMap::new();
    let mut out = Vec::new();
    for (index, piece) in pieces.iter().enumerate() {
        let mut drawing = Drawing::default();
        drawing.group(piece.tree().root(), Affine::IDENTITY);
        let page = piece.page_px();
        let close = SAME * page.width.max(page.height);
        let known = kinds.entry(drawing.kind).or_default();
        let same = known.iter().find_map(|(first, points)| {
            let by = middle(&drawing.points)? - middle(points)?;
            let moved = points.len() == drawing.points.len()
                && points.iter().zip(&drawing.points).all(|(a, b)| (*a + by - *b).hypot() <= close);
            moved.then_some(Alike { first: *first, by })
        });
        out.push(same.unwrap_or(Alike { first: index, by: Vec2::ZERO }));
        if same.is_none() {
            known.push((index, drawing.points));
        }
    }
    out
}

/// What a drawing is made of, and where its points lie.
#[derive(Default)]
struct Drawing {
    kind: String,
    points: Vec<Point>,
}

impl Drawing {
    fn group(&mut self, group: &Group, to: Affine) {
        let to = to * affine(group.transform());
        let ids: Vec<&str> = (group.clip_path().map(|c| c.id()).into_iter())
            .chain(group.mask().map(|m| m.id()))
            .chain(group.filters().iter().map(|f| f.id()))
            .collect();
        let effects = (group.opacity(), group.blend_mode(), group.isolate());
        // A group that only moves what it holds is no part of the drawing.
        if group.should_isolate() {
            self.say(&format!("group {effects:?} {ids:?}"), to, !ids.is_empty());
        }
        for node in group.children() {
            match node {
                Node::Group(inner) => self.group(inner, to),
                Node::Text(text) => self.group(text.flattened(), to),
                Node::Image(image) => self.say(&format!("image {:?} {}", image.size(), image.id()), to, true),
                Node::Path(path) if path.is_visible() => {
                    let paints = [path.fill().map(|f| f.paint()), path.stroke().map(|s| s.paint())];
                    let tied = paints.iter().flatten().any(|paint| !matches!(paint, Paint::Color(_)));
                    self.say(&format!("path {:?} {:?}", path.fill(), path.stroke()), to, tied);
                    self.points.extend((to * bez(path.data())).elements().iter().flat_map(points));
                }
                Node::Path(_) => {}
            }
        }
        if group.should_isolate() {
            self.kind.push_str("end\n");
        }
    }

    /// Adds to what tells drawings apart. What is tied to its coordinate system (a clip, a
    /// gradient) must move with it, so the system's origin counts as a point.
    fn say(&mut self, what: &str, to: Affine, tied: bool) {
        let _ = writeln!(self.kind, "{what} {:?}", rounded(to));
        if tied {
            self.points.push(to * Point::ORIGIN);
        }
    }
}

/// The linear part, to three digits: turns and scales tell drawings apart, places don't.
fn rounded(to: Affine) -> [String; 4] {
    let [a, b, c, d, ..] = to.as_coeffs();
    [a, b, c, d].map(|n| format!("{n:.3}"))
}

fn middle(points: &[Point]) -> Option<Point> {
    let sum = points.iter().fold(Vec2::ZERO, |sum, p| sum + p.to_vec2());
    (!points.is_empty()).then(|| (sum / points.len() as f64).to_point())
}

fn points(element: &kurbo::PathEl) -> Vec<Point> {
    match *element {
        kurbo::PathEl::MoveTo(p) | kurbo::PathEl::LineTo(p) => vec![p],
        kurbo::PathEl::QuadTo(a, p) => vec![a, p],
        kurbo::PathEl::CurveTo(a, b, p) => vec![a, b, p],
        kurbo::PathEl::ClosePath => Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::super::Croquis;
    use crate::artwork::Intake;

    fn firsts(objects: &str) -> Vec<usize> {
        let defs = r#"<defs><clipPath id="c"><circle cx="5" cy="5" r="4"/></clipPath></defs>"#;
        let page =
            format!(r#"<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm">{defs}{objects}</svg>"#);
        let croquis = Croquis::from_svg("page", page.as_bytes(), &Intake::new()).expect("a page");
        croquis.alike.iter().map(|a| a.first).collect()
    }

    #[test]
    fn moved_by_whatever_means_it_is_the_same_drawing() {
        let objects = r#"<path d="M0 0h10v5z"/><path transform="translate(30 7)" d="M0 0h10v5z"/>
            <path d="M50 50h10v5z"/><g transform="translate(1 1)"><path transform="translate(8 70)" d="M0 0h10v5z"/></g>"#;
        assert_eq!(firsts(objects), [0, 0, 0, 0]);
    }

    #[test]
    fn another_color_turn_or_stroke_is_another_drawing() {
        let objects = r#"<path d="M0 0h10v5z"/><path fill="red" d="M30 0h10v5z"/><path transform="rotate(90)" d="M30 -50h10v5z"/>
            <path stroke="red" d="M60 0h10v5z"/><path d="M60 50h10v5h-1z"/><g opacity=".5"><path d="M0 50h10v5z"/></g>"#;
        assert_eq!(firsts(objects), [0, 1, 2, 3, 4, 5]);
    }

    #[test]
    fn a_clip_must_move_with_its_drawing() {
        let objects = r#"<g clip-path="url(#c)"><path d="M0 0h10v5z"/></g><g clip-path="url(#c)"><path d="M1 0h10v5z"/></g>
            <g transform="translate(40)"><g clip-path="url(#c)"><path d="M0 0h10v5z"/></g></g>"#;
        assert_eq!(firsts(objects), [0, 1, 0]);
    }
}
