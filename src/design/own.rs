//! Motifs that overlap their own copies: a step of the lattice is shorter than the ink is long. Mirrored and turned
//! images are another thing: they meet on purpose.

use kurbo::{Affine, Vec2};

use super::order::Order;
use super::place::Place;
use crate::artwork::Motif;
use crate::repeat::{Placement, Repeat};

/// Less than this stays unseen, in pixels of the delivery: so much is taken from an overlap before it counts.
const LEAST: f64 = 1.0;
/// Outlines are this exact, in pixels of the delivery.
const EXACT: f64 = 0.1;

impl Order {
    /// A sentence for each motif that overlaps its own copies and doesn't say that it may.
    pub(super) fn on_themselves(&self, places: &[Place]) -> Vec<String> {
        let repeat = &self.deliveries[0].repeat;
        let kinds = |place: &Place| (0..repeat.places.len()).filter(|kind| place.lies_on(*kind)).count();
        let may = places.iter().flat_map(|place| std::iter::repeat_n(place.may_overlap(), kinds(place)));
        let mut said = Vec::new();
        let mut known: Vec<&Placement> = Vec::new();
        for placement in repeat.placements.iter().zip(may).filter(|(_, may)| !may).map(|(placement, _)| placement) {
            // Where it lies is nothing to its own copies.
            if known.iter().any(|one| (one.motif, one.linear) == (placement.motif, placement.linear)) {
                continue;
            }
            let motif = &self.motifs[placement.motif];
            let sentence = format!(
                "{} overlaps its own copies in the next blocks: write a smaller width or a larger block, or in the \
                 design overlap = true where it is meant",
                motif.name()
            );
            if !said.contains(&sentence) && overlaps(repeat, motif, placement) {
                said.push(sentence);
            }
            known.push(placement);
        }
        said
    }
}

#[allow(clippy::cast_possible_truncation, reason = "rounded first; the casts saturate, and a motif is far smaller")]
fn overlaps(repeat: &Repeat, motif: &Motif, placement: &Placement) -> bool {
    let [xx, yx, xy, yy] = placement.linear;
    let to = Affine::new([xx, yx, xy, yy, 0.0, 0.0]);
    let Some(ink) = motif.ink().bounds(to) else { return false };
    let bounds = [ink.x0, ink.y0, ink.x1, ink.y1];
    let window = [ink.x0.floor() as i64, ink.y0.floor() as i64, ink.x1.ceil() as i64, ink.y1.ceil() as i64];
    let back = to.inverse();
    let [times, _] = crate::artwork::stretch(to);
    // Of two steps that are each other's opposites, one.
    let steps = repeat.lattice.steps_into(bounds, window).into_iter().filter(|[x, y]| *y > 0 || (*y == 0 && *x > 0));
    steps.filter(|[_, y]| !repeat.one_way || *y == 0).any(|[x, y]| {
        let (x, y) = (x as f64, y as f64);
        let longer = 1.0 + LEAST / x.hypot(y);
        let way = back * kurbo::Point::new(x * longer, y * longer);
        let shared = motif.ink().shared(Vec2::new(way.x, way.y), EXACT / times);
        shared * to.determinant().abs() > LEAST
    })
}
