//! Cutting outlines by clips and masks. Curves are flattened only where something is cut.

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;
use kurbo::{BezPath, PathEl, Point, Rect, Shape as _};

use super::super::budget::{Budget, CROSSINGS};
use super::{Rule, Shape, holds, meets};

pub(super) type Contours = Vec<Vec<[f64; 2]>>;

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
        Region::from_contours(if shapes.len() > 1 { settle(all, FillRule::NonZero) } else { all }, slack)
    }

    fn from_contours(contours: Contours, slack: f64) -> Region {
        let bounds = contours.iter().filter_map(|c| contour_bounds(c)).reduce(|a, b| a.union(b));
        let upright = contours.len() == 1 && contours[0].len() == 4 && {
            let c = &contours[0];
            (0..4).all(|i| c[i][0] == c[(i + 1) % 4][0] || c[i][1] == c[(i + 1) % 4][1])
        };
        Region { contours, bounds, slack, upright }
    }

    /// What two regions have in common.
    pub(super) fn and(&self, other: &Region) -> Region {
        if is_tangled(self.contours.iter().chain(&other.contours)) {
            return self.clone(); // more than the truth
        }
        let both = self.contours.overlay_as::<i64>(&other.contours, OverlayRule::Intersect, FillRule::NonZero);
        Region::from_contours(both.into_iter().flatten().collect(), self.slack + other.slack)
    }

    /// Cuts shapes; what lies wholly outside goes.
    pub(super) fn cut(&self, shapes: Vec<Shape>, accuracy: f64, budget: &Budget) -> Vec<Shape> {
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
            let near: Contours = self
                .contours
                .iter()
                .filter(|c| contour_bounds(c).is_some_and(|b| meets(b, shape.bounds)))
                .cloned()
                .collect();
            let points = contours.iter().chain(&near).map(Vec::len).sum();
            if !Budget::spend(&budget.points, points) || is_tangled(contours.iter().chain(&near)) {
                kept.push(shape); // uncut, so more than the truth
                continue;
            }
            let cut = contours.overlay_as::<i64>(&near, OverlayRule::Intersect, FillRule::NonZero);
            let cut: Contours = cut.into_iter().flatten().collect();
            let cut = Shape::new(to_path(&cut), Rule::NonZero, slack + self.slack);
            kept.extend(cut.map(|cut| cut.painted(shape.paint, shape.line)));
        }
        kept
    }
}

/// Flattened and settled under the shape's own rule, so that non-zero says the same.
pub(super) fn flat(shape: &Shape, accuracy: f64) -> (Contours, f64) {
    let extent = shape.bounds.width().max(shape.bounds.height());
    let accuracy = accuracy.max(1e-6 * extent);
    let contours = chords(shape, accuracy);
    let simple = contours.len() == 1 && contours[0].len() <= 4 && shape.rule == Rule::NonZero;
    let settled = if simple { contours } else { settle(contours, shape.rule.into()) };
    (settled, shape.slack + accuracy)
}

/// As [`flat`], but nothing for what is too tangled.
pub(super) fn followed(shape: &Shape, accuracy: f64) -> Option<Contours> {
    let contours = chords(shape, accuracy);
    weld(contours, shape.rule.into())
}

/// The contours as chords, this exact.
fn chords(shape: &Shape, accuracy: f64) -> Contours {
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
    contours
}

impl From<usvg::FillRule> for Rule {
    fn from(rule: usvg::FillRule) -> Rule {
        match rule {
            usvg::FillRule::NonZero => Rule::NonZero,
            usvg::FillRule::EvenOdd => Rule::EvenOdd,
        }
    }
}

impl From<Rule> for FillRule {
    fn from(rule: Rule) -> FillRule {
        match rule {
            Rule::NonZero => FillRule::NonZero,
            Rule::EvenOdd => FillRule::EvenOdd,
        }
    }
}

/// Resolves overlaps. What is too tangled for that becomes its bounding rectangle.
fn settle(contours: Contours, rule: FillRule) -> Contours {
    let bounds = contours.iter().filter_map(|c| contour_bounds(c)).reduce(|a, b| a.union(b));
    weld(contours, rule).unwrap_or_else(|| {
        bounds.map(|b| vec![[b.x0, b.y0], [b.x1, b.y0], [b.x1, b.y1], [b.x0, b.y1]]).into_iter().collect()
    })
}

/// The union of contours: the outermost all turn one way, holes the other. `None` for what is too tangled.
pub(in crate::artwork) fn weld(contours: Contours, rule: FillRule) -> Option<Contours> {
    let none: Contours = Vec::new();
    let free = !is_tangled(contours.iter());
    free.then(|| contours.overlay_as::<i64>(&none, OverlayRule::Subject, rule).into_iter().flatten().collect())
}

/// Whether so many sides may cross that working it out could take all memory. Counts pairs of
/// sides whose boxes meet, from left to right, and gives up early.
pub(super) fn is_tangled<'a>(contours: impl Iterator<Item = &'a Vec<[f64; 2]>>) -> bool {
    let mut sides: Vec<Rect> = Vec::new();
    for contour in contours {
        let next = contour.iter().cycle().skip(1);
        sides.extend(
            contour
                .iter()
                .zip(next)
                .map(|(a, b)| Rect::new(a[0].min(b[0]), a[1].min(b[1]), a[0].max(b[0]), a[1].max(b[1]))),
        );
    }
    sides.sort_by(|a, b| a.x0.total_cmp(&b.x0));
    let (mut looks, mut pairs) = (0_u64, 0_u64);
    for (i, side) in sides.iter().enumerate() {
        for other in sides[i + 1..].iter().take_while(|o| o.x0 <= side.x1) {
            looks += 1;
            pairs += u64::from(other.y0 <= side.y1 && side.y0 <= other.y1);
            if pairs > CROSSINGS || looks > 50 * CROSSINGS {
                return true;
            }
        }
    }
    false
}

fn contour_bounds(contour: &[[f64; 2]]) -> Option<Rect> {
    contour.iter().map(|[x, y]| Rect::new(*x, *y, *x, *y)).reduce(|a, b| a.union(b))
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

/// What an area and a welded one have in common, as polygons whose sides are this exact; `None` for what is too tangled.
pub fn common(area: &BezPath, rule: usvg::FillRule, welded: &BezPath, accuracy: f64) -> Option<BezPath> {
    let [area, welded] = [contours(area, rule, accuracy)?, contours(welded, usvg::FillRule::NonZero, accuracy)?];
    if is_tangled(area.iter().chain(&welded)) {
        return None;
    }
    let both = area.overlay_as::<i64>(&welded, OverlayRule::Intersect, FillRule::NonZero);
    Some(to_path(&both.into_iter().flatten().collect()))
}

/// The union of areas, each under its rule, as polygons whose sides are this exact; `None` for what is too tangled.
pub fn welded(areas: &[(BezPath, usvg::FillRule)], accuracy: f64) -> Option<BezPath> {
    let mut all = Contours::new();
    for (area, rule) in areas {
        all.extend(contours(area, *rule, accuracy)?);
    }
    Some(to_path(&weld(all, FillRule::NonZero)?))
}

fn contours(area: &BezPath, rule: usvg::FillRule, accuracy: f64) -> Option<Contours> {
    let Some(shape) = Shape::new(super::outline::close(area), rule.into(), 0.0) else { return Some(Contours::new()) };
    followed(&shape, accuracy)
}

/// A rectangle under a transform, as a shape.
pub(super) fn quad(rect: Rect, to: kurbo::Affine) -> Option<Shape> {
    Shape::new(to * rect.to_path(0.1), Rule::NonZero, 0.0)
}
