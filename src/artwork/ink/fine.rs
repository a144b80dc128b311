//! How fine the ink is: lines that are too thin, and the welded outline between whose parts the gaps
//! are measured.
//!
//! A stroke's width is known and not measured: its own, times the least stretch on its way to the
//! goods. A filled shape is measured between its walls. Either counts only where it is seen as a
//! line: on top, and with another color on both sides.

use std::cell::Cell;

use i_overlay::core::fill_rule::FillRule;
use kurbo::{Affine, Point, Rect, Shape as _};

use super::super::thin::{Contours, Look, NEAR, Narrow, Spot, is_long, joined, narrow, parts, spend, walked};
use super::clip::{followed, weld};
use super::sight::Sight;
use super::{Ink, Paint, Shape, stretch};

/// Curves become chords this exact, in shares of the limit.
const FLAT: f64 = 0.005;
/// What is looked at of one stretch to see whether it shows.
const SAMPLES: usize = 16;

/// What was found, and whether all could be looked at.
#[derive(Clone, Debug, Default)]
pub struct Measured {
    /// Narrowest first.
    pub found: Vec<Narrow>,
    /// Parts of the drawing were too tangled, or too many, to be measured.
    pub left_out: bool,
}

impl Ink {
    /// The lines and long parts of shapes that are thinner than `limit` after a transform, in units of
    /// its target. What is behind a filter or mask, and pictures, are not looked at. `under` is the
    /// color below all; `left` bounds the work.
    pub fn thin_lines(&self, to: Affine, limit: f64, under: Option<[u8; 3]>, left: &Cell<u64>) -> Measured {
        let mut measured = Measured::default();
        if to.determinant() == 0.0 {
            return measured;
        }
        let sight = Sight::new(&self.shapes, to, under);
        for (index, shape) in self.shapes.iter().enumerate().filter(|(_, shape)| shape.paint != Paint::Bound) {
            match shape.thin_parts(to, limit, left) {
                Some(stretches) => {
                    let mut seen = Vec::new();
                    for spots in stretches {
                        match seen_of(&sight, index, &spots, limit, left) {
                            Some(spots) if is_long(&spots, limit) => seen.push(spots),
                            Some(_) => {}
                            None => measured.left_out = true,
                        }
                    }
                    measured.found.extend(parts(seen.iter().map(Vec::as_slice), limit));
                }
                None => measured.left_out = true,
            }
        }
        measured.found.sort_by(|a, b| a.width.total_cmp(&b.width));
        measured
    }

    /// The outline of all ink together, welded, fine enough for a limit of so many pixels of the tree;
    /// `None` for what is too tangled. A rectangle over a whole `page` at the bottom is its ground,
    /// and left out, as are things whose outline is not known.
    pub fn silhouette(&self, limit: f64, page: Option<Rect>) -> Option<Contours> {
        let covers = |r: Rect| page.is_some_and(|page| r.inflate(1e-3, 1e-3).contains_rect(page));
        let is_ground = |shape: &&Shape| shape.rectangle().is_some_and(covers);
        let above = self.shapes.iter().skip_while(is_ground).filter(|shape| shape.paint != Paint::Bound);
        let mut all = Contours::new();
        for shape in above {
            all.extend(followed(shape, FLAT * limit)?);
        }
        weld(all, FillRule::NonZero)
    }

    /// Whether a point of the tree lies in something of which only a bound is known.
    pub fn is_vague_at(&self, at: Point) -> bool {
        self.shapes.iter().any(|shape| shape.paint == Paint::Bound && shape.holds(at))
    }

    /// How many parts of it are only bounded, not followed.
    pub fn vague(&self) -> usize {
        self.shapes.iter().filter(|shape| shape.paint == Paint::Bound).count()
    }
}

impl Shape {
    /// Stretches that are thinner than the limit; `None` if it can't be measured.
    fn thin_parts(&self, to: Affine, limit: f64, left: &Cell<u64>) -> Option<Vec<Vec<Spot>>> {
        let width = self.line.map(|line| line.width * stretch(to * line.to)[1]);
        if width.is_some_and(|width| width >= NEAR * limit) {
            return Some(Vec::new());
        }
        spend(left, self.path.elements().len() as u64)?;
        let there = Shape { path: to * &self.path, bounds: self.bounds_after(to), ..self.clone() };
        let contours = followed(&there, FLAT * limit)?;
        let Some(width) = width else {
            return narrow(&contours, Look::In, [0.0, limit], &|_| true, left);
        };
        let all = walked(&contours, Look::In, limit, left)?;
        let spot = |step: super::super::thin::Step| Spot { at: step.at, towards: step.towards, width };
        Some(all.into_iter().map(|steps| steps.into_iter().map(spot).collect()).collect())
    }

    /// The rectangle, if it is one upright one.
    pub(super) fn rectangle(&self) -> Option<Rect> {
        let (b, area) = (self.bounds, self.path.area().abs());
        let straight = self.path.segments().all(|s| matches!(s, kurbo::PathSeg::Line(_)));
        (straight && (area - b.area()).abs() <= 1e-6 * b.area()).then_some(b)
    }
}

/// The spots of a stretch, or some of a long one each standing for its neighbours, that show as a line;
/// `None` if that is more to look at than is left.
fn seen_of(sight: &Sight, index: usize, spots: &[Spot], limit: f64, left: &Cell<u64>) -> Option<Vec<Spot>> {
    let mut seen = Vec::new();
    for stretch in spots.chunks(spots.len().div_ceil(SAMPLES).max(1)) {
        if sight.shows(index, &stretch[stretch.len() / 2], limit, left)? {
            seen.extend_from_slice(stretch);
        }
    }
    Some(seen)
}

/// The gaps between welded outlines that are narrower than `limit`, inside a window; `None` if there is
/// more to look at than is left. What nearly touches is no gap: a printer closes it.
pub fn narrow_gaps(
    outlines: Contours,
    limit: f64,
    window: Rect,
    vague: &dyn Fn(Point) -> bool,
    left: &Cell<u64>,
) -> Option<Vec<Narrow>> {
    let welded = weld(outlines, FillRule::NonZero)?;
    let stretches = narrow(&welded, Look::Out, [6.0 * FLAT * limit, limit], &|p| window.contains(p), left)?;
    let ground = |spots: &&Vec<Spot>| !spots.iter().any(|spot| vague(spot.at + spot.towards * (spot.width / 2.0)));
    let gaps = parts(stretches.iter().filter(ground).map(Vec::as_slice), limit);
    Some(joined(gaps, limit))
}

/// The parts of welded outlines that are narrower than `limit`, tips aside; `None` if there is more to look at than is left.
pub fn narrow_parts(outlines: Contours, limit: f64, left: &Cell<u64>) -> Option<Vec<Narrow>> {
    let welded = weld(outlines, FillRule::NonZero)?;
    let stretches = narrow(&welded, Look::In, [0.0, limit], &|_| true, left)?;
    Some(joined(parts(stretches.iter().map(Vec::as_slice), limit), limit))
}
