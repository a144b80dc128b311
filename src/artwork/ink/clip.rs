//! Cutting outlines by clips and masks. Curves are flattened only where something is cut.

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;
use kurbo::{BezPath, PathEl, Point, Rect, Shape as _};

use super::{Rule, Shape, holds, meets};

type Contours = Vec<Vec<[f64; 2]>>;

/// An area that lets ink through: contours under the non-zero rule.
#[derive(Clone, Debug)]
pub(super) struct Region {
    contours: Contours,
    bounds: Option<Rect>,
    slack: f64,
    /// An upright rectangle, which needs no cutting where it holds the whole shape.
    upright: bool,
}

impl Region {
    /// The union of shapes.
    pub(super) fn of(shapes: &[Shape], accuracy: f64) -> Region {
        let mut all: Contours = Vec::new();
        let mut slack: f64 = 0.0;
        for shape in shapes {
            let (contours, s) = flat(shape, accuracy);
            slack = slack.max(s);
            all.extend(contours);
        }
        let contours = if shapes.len() > 1 { settle(&all, FillRule::NonZero) } else { all };
        Region::from_contours(contours, slack)
    }

    fn from_contours(contours: Contours, slack: f64) -> Region {
        let points = contours.iter().flatten().map(|[x, y]| Rect::new(*x, *y, *x, *y));
        let bounds = points.reduce(|a, b| a.union(b));
        let upright = contours.len() == 1 && contours[0].len() == 4 && {
            let c = &contours[0];
            (0..4).all(|i| c[i][0] == c[(i + 1) % 4][0] || c[i][1] == c[(i + 1) % 4][1])
        };
        Region { contours, bounds, slack, upright }
    }

    /// What two regions have in common.
    pub(super) fn and(&self, other: &Region) -> Region {
        let both = self.contours.overlay_as::<i64>(&other.contours, OverlayRule::Intersect, FillRule::NonZero);
        Region::from_contours(both.into_iter().flatten().collect(), self.slack + other.slack)
    }

    /// Cuts shapes; what lies wholly outside goes.
    pub(super) fn cut(&self, shapes: Vec<Shape>, accuracy: f64) -> Vec<Shape> {
        let Some(bounds) = self.bounds else { return Vec::new() };
        let reach = bounds.inflate(self.slack, self.slack);
        let mut kept = Vec::new();
        for shape in shapes {
            if !meets(shape.bounds.inflate(shape.slack, shape.slack), reach) {
                continue;
            }
            if self.upright && holds(bounds, shape.bounds) {
                kept.push(shape);
                continue;
            }
            let (contours, slack) = flat(&shape, accuracy);
            let cut = contours.overlay_as::<i64>(&self.contours, OverlayRule::Intersect, FillRule::NonZero);
            let cut: Contours = cut.into_iter().flatten().collect();
            kept.extend(Shape::new(to_path(&cut), Rule::NonZero, slack + self.slack));
        }
        kept
    }
}

/// Flattened and settled under the shape's own rule, so that non-zero says the same.
fn flat(shape: &Shape, accuracy: f64) -> (Contours, f64) {
    let extent = shape.bounds.width().max(shape.bounds.height());
    let accuracy = accuracy.max(1e-6 * extent);
    let mut contours: Contours = Vec::new();
    kurbo::flatten(shape.path.elements().iter().copied(), accuracy, |element| match element {
        PathEl::MoveTo(p) => contours.push(vec![[p.x, p.y]]),
        PathEl::LineTo(p) => {
            if let Some(contour) = contours.last_mut() {
                contour.push([p.x, p.y]);
            }
        }
        _ => {}
    });
    for contour in &mut contours {
        if contour.len() > 1 && contour.first() == contour.last() {
            contour.pop();
        }
    }
    contours.retain(|c| c.len() > 2);
    let rule = match shape.rule {
        Rule::NonZero => FillRule::NonZero,
        Rule::EvenOdd => FillRule::EvenOdd,
    };
    let simple = contours.len() == 1 && contours[0].len() <= 4 && shape.rule == Rule::NonZero;
    let settled = if simple { contours } else { settle(&contours, rule) };
    (settled, shape.slack + accuracy)
}

fn settle(contours: &Contours, rule: FillRule) -> Contours {
    let none: Contours = Vec::new();
    contours.overlay_as::<i64>(&none, OverlayRule::Subject, rule).into_iter().flatten().collect()
}

fn to_path(contours: &Contours) -> BezPath {
    let mut path = BezPath::new();
    for contour in contours {
        let mut points = contour.iter().map(|[x, y]| Point::new(*x, *y));
        if let Some(start) = points.next() {
            path.move_to(start);
            points.for_each(|p| path.line_to(p));
            path.close_path();
        }
    }
    path
}

/// A rectangle under a transform, as a shape.
pub(super) fn quad(rect: Rect, to: kurbo::Affine) -> Option<Shape> {
    Shape::new(to * rect.to_path(0.1), Rule::NonZero, 0.0)
}
