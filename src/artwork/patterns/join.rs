//! Joining what is one thing in the cell: a motif that hangs over the cell's edge is drawn
//! again at the other edge, and its parts must be painted together, or hairlines show
//! where they meet in the next cell.
//!
//! ```text
//!   ┌─────────┐
//!   │◗       ◖│     four quarters of one color become one outline;
//!   │         │     the order stays where things overlap
//!   │◗       ◖│
//!   └─────────┘
//! ```

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;
use kurbo::{BezPath, PathEl, Rect, Shape as _};

use super::super::budget::Budget;
use super::super::ink::Rule;
use super::art::{Art, Flat, Layer};

/// How far back a partner is looked for.
const BACK: usize = 200;
/// How many parts are kept apart; more count as one.
const PARTS: usize = 40;

/// Art cut to the cell, in its order but for what overlaps nothing between.
pub(super) fn joined<'a>(content: Vec<Art<'a>>, budget: &Budget) -> Vec<Art<'a>> {
    let mut items: Vec<Item> = Vec::new();
    for art in content {
        let mut next = Some(Item::new(art));
        for item in items.iter_mut().rev().take(BACK) {
            let Some(new) = next.take() else { break };
            next = item.take(new, budget);
            if next.as_ref().is_some_and(|new| !item.apart(new)) {
                break;
            }
        }
        items.extend(next);
    }
    items.into_iter().map(|item| item.done(budget)).collect()
}

struct Item<'a> {
    art: Art<'a>,
    /// Of each part.
    bounds: Vec<Rect>,
    /// Which way the outline winds, once it is known.
    turn: Option<Turn>,
}

/// Whether an outline winds one way only.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Turn {
    Left,
    Right,
    Both,
}

impl<'a> Item<'a> {
    fn new(art: Art<'a>) -> Item<'a> {
        Item { bounds: vec![bounds(&art)], art, turn: None }
    }

    /// Layers are joined inside once nothing more is added to them.
    fn done(self, budget: &Budget) -> Art<'a> {
        match self.art {
            Art::Layer(layer) => Art::Layer(Layer { children: joined(layer.children, budget), ..layer }),
            art => art,
        }
    }

    /// Takes in another, or hands it back.
    fn take(&mut self, mut other: Item<'a>, budget: &Budget) -> Option<Item<'a>> {
        let apart = self.apart(&other);
        let joins = match (&self.art, &other.art) {
            (Art::Flat(a), Art::Flat(b)) => {
                let alike = a.color == b.color && a.opacity == b.opacity;
                let same = a.area.rule == b.area.rule && a.area.crisp == b.area.crisp;
                let full = a.opacity == 1.0 && a.area.rule == Rule::NonZero;
                alike && same && (apart || (full && self.wind_alike(&mut other, budget)))
            }
            (Art::Layer(a), Art::Layer(b)) => {
                let effects = |l: &Layer| (l.opacity, l.blend, l.isolate);
                apart && effects(a) == effects(b) && a.clips.is_empty() && b.clips.is_empty()
            }
            _ => false,
        };
        if !joins {
            return Some(other);
        }
        self.bounds.append(&mut other.bounds);
        if self.bounds.len() > PARTS {
            self.bounds = self.bounds.iter().copied().reduce(|a, b| a.union(b)).into_iter().collect();
        }
        if apart && self.turn != other.turn {
            self.turn = None;
        }
        match (&mut self.art, other.art) {
            (Art::Flat(a), Art::Flat(b)) => a.area.path.extend(b.area.path),
            (Art::Layer(a), Art::Layer(b)) => a.children.extend(b.children),
            _ => {}
        }
        None
    }

    fn apart(&self, other: &Item) -> bool {
        !self.bounds.iter().any(|a| other.bounds.iter().any(|b| overlap(*a, *b)))
    }

    /// Makes two outlines wind the same way, if each winds one way only: then together they
    /// cover what they cover one after the other.
    fn wind_alike(&mut self, other: &mut Item, budget: &Budget) -> bool {
        let (a, b) = (self.turn(budget), other.turn(budget));
        if a == Turn::Both || b == Turn::Both {
            return false;
        }
        if let (true, Art::Flat(flat)) = (a != b, &mut other.art) {
            flat.area.path = flat.area.path.reverse_subpaths();
            other.turn = Some(a);
        }
        true
    }

    fn turn(&mut self, budget: &Budget) -> Turn {
        let found = self.turn.unwrap_or_else(|| match &self.art {
            Art::Flat(Flat { area, .. }) => turn(&area.path, budget),
            _ => Turn::Both,
        });
        self.turn = Some(found);
        found
    }
}

fn turn(path: &BezPath, budget: &Budget) -> Turn {
    let count = path.elements().len();
    if !Budget::spend(&budget.turns, count.saturating_mul(count)) {
        return Turn::Both;
    }
    let bounds = path.bounding_box();
    let mut contours: Vec<Vec<[f64; 2]>> = Vec::new();
    let accuracy = 1e-3 * bounds.width().max(bounds.height());
    kurbo::flatten(path.elements().iter().copied(), accuracy, |element| match element {
        PathEl::MoveTo(p) => contours.push(vec![[p.x, p.y]]),
        PathEl::LineTo(p) => {
            if let Some(contour) = contours.last_mut() {
                contour.push([p.x, p.y]);
            }
        }
        _ => {}
    });
    let none: Vec<Vec<[f64; 2]>> = Vec::new();
    let winds = |rule| {
        let shapes = contours.overlay_as::<i64>(&none, OverlayRule::Subject, rule);
        shapes.iter().flatten().any(|contour| area(contour).abs() > 1e-6 * bounds.area())
    };
    match (winds(FillRule::Positive), winds(FillRule::Negative)) {
        (true, false) => Turn::Left,
        (false, true) => Turn::Right,
        _ => Turn::Both,
    }
}

fn area(contour: &[[f64; 2]]) -> f64 {
    let next = contour.iter().cycle().skip(1);
    contour.iter().zip(next).map(|(a, b)| (a[0] * b[1] - a[1] * b[0]) / 2.0).sum()
}

fn overlap(a: Rect, b: Rect) -> bool {
    a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1
}

fn bounds(art: &Art) -> Rect {
    let none = Rect::new(f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY);
    match art {
        Art::Flat(flat) => flat.area.path.bounding_box(),
        Art::Layer(layer) => layer.children.iter().map(bounds).fold(none, |a, b| a.union(b)),
        Art::Leaf(leaf) => {
            leaf.places.iter().map(|place| place.to.transform_rect_bbox(leaf.bounds)).fold(none, |a, b| a.union(b))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::art::Area;
    use super::*;
    use crate::limits::Limits;
    use kurbo::{Affine, Circle};
    use usvg::Color;

    fn dot(x: f64, y: f64, color: Color) -> Art<'static> {
        let path = Circle::new((x, y), 2.0).to_path(1e-3);
        Art::Flat(Flat { area: Area { path, rule: Rule::NonZero, crisp: false }, color, opacity: 1.0 })
    }

    fn colors(content: &[Art]) -> Vec<u8> {
        content.iter().map(|a| if let Art::Flat(f) = a { f.color.red } else { 0 }).collect()
    }

    #[test]
    fn parts_of_motifs_join_but_keep_their_order() {
        let [petal, heart] = [1, 2].map(|red| Color::new_rgb(red, 0, 0));
        let motif = |x: f64| [dot(x, 0.0, petal), dot(x, 1.0, heart)];
        let apart = joined(motif(0.0).into_iter().chain(motif(9.0)).collect(), &Budget::new(Limits::default()));
        assert_eq!(colors(&apart), [1, 2]);
        let over = joined(motif(0.0).into_iter().chain(motif(1.0)).collect(), &Budget::new(Limits::default()));
        assert_eq!(colors(&over), [1, 2, 1, 2]);
    }

    #[test]
    fn outlines_that_overlap_are_made_to_wind_alike() {
        let ink = Color::new_rgb(1, 0, 0);
        let mut turned = dot(1.0, 0.0, ink);
        if let Art::Flat(flat) = &mut turned {
            flat.area.path = Affine::translate((2.0, 0.0)) * Affine::FLIP_X * flat.area.path.clone();
        }
        let all = joined(vec![dot(0.0, 0.0, ink), turned], &Budget::new(Limits::default()));
        let [Art::Flat(flat)] = &all[..] else { panic!("not one outline") };
        assert_eq!(flat.area.path.winding((0.5, 0.0).into()).abs(), 2);
    }
}
