//! What is seen at a point of a drawing, and whether a thin part shows as a line there.

use std::cell::Cell;

use kurbo::{Affine, Point, Shape as _};

use super::super::thin::{Spot, spend};
use super::{Paint, Rule, Shape};

/// So far beside a line its neighbours are looked at, in shares of the limit.
const BESIDE: f64 = 0.1;

/// Looks at shapes after a transform, from above.
pub(super) struct Sight<'a> {
    shapes: &'a [Shape],
    back: Affine,
    under: Option<[u8; 3]>,
}

impl<'a> Sight<'a> {
    /// `under` is the color below all shapes.
    pub(super) fn new(shapes: &'a [Shape], to: Affine, under: Option<[u8; 3]>) -> Sight<'a> {
        Sight { shapes, back: to.inverse(), under }
    }

    /// Whether a part of a shape shows as a line: on top, with another color on both sides. Where the
    /// look at it is more than is left, `None`.
    pub(super) fn shows(&self, index: usize, spot: &Spot, limit: f64, left: &Cell<u64>) -> Option<bool> {
        let at = |along: f64| self.top(spot.at + spot.towards * along, left);
        let beside = BESIDE * limit;
        Some(
            self.is_like(index, at(spot.width / 2.0)?)
                && !self.is_like(index, at(-beside)?)
                && !self.is_like(index, at(spot.width + beside)?),
        )
    }

    /// The topmost shape there.
    fn top(&self, at: Point, left: &Cell<u64>) -> Option<Option<usize>> {
        let at = self.back * at;
        for (index, shape) in self.shapes.iter().enumerate().rev() {
            let near = shape.bounds.contains(at);
            spend(left, 1 + if near { shape.path.elements().len() as u64 } else { 0 })?;
            if near && shape.holds(at) {
                return Some(Some(index));
            }
        }
        Some(None)
    }

    /// Whether what is seen is that shape or has its color.
    fn is_like(&self, index: usize, seen: Option<usize>) -> bool {
        let color = |paint| if let Paint::Flat(color) = paint { Some(color) } else { None };
        let own = color(self.shapes[index].paint);
        match seen {
            Some(other) if other == index => true,
            Some(other) => own.is_some() && own == color(self.shapes[other].paint),
            None => own.is_some() && own == self.under,
        }
    }
}

impl Shape {
    /// Whether a point lies inside.
    pub(super) fn holds(&self, at: Point) -> bool {
        let winding = if self.bounds.contains(at) { self.path.winding(at) } else { 0 };
        match self.rule {
            Rule::NonZero => winding != 0,
            Rule::EvenOdd => winding % 2 != 0,
        }
    }
}
