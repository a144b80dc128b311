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
        let entries = self.entries();
        let mut said = Vec::new();
        let mut known: Vec<(&Placement, Vec<[i64; 2]>)> = Vec::new();
        for (entry, place) in places.iter().enumerate().filter(|(_, place)| !place.may_overlap()) {
            let placement = &repeat.placements[entries.partition_point(|owner| *owner < entry)];
            let between = between(repeat, place);
            // Where it lies is nothing to its own copies.
            let same = |(one, ways): &(&Placement, Vec<[i64; 2]>)| {
                (one.motif, one.linear) == (placement.motif, placement.linear) && *ways == between
            };
            if known.iter().any(same) {
                continue;
            }
            let motif = &self.motifs[placement.motif];
            let sentence = format!(
                "{} overlaps its own copies in the next blocks: write a smaller width or a larger block, or in the \
                 design overlap = true where it is meant",
                motif.name()
            );
            if !said.contains(&sentence) && overlaps(repeat, motif, placement, &between) {
                said.push(sentence);
            }
            known.push((placement, between));
        }
        said
    }
}

/// From a motif to its copies on other kinds of place, one way of each two that are opposites; and no way at all, which
/// leads to those on its own.
fn between(repeat: &Repeat, place: &Place) -> Vec<[i64; 2]> {
    let kinds = || repeat.places.iter().enumerate().filter(|(kind, _)| place.lies_on(*kind));
    let others = kinds().flat_map(|(one, from)| {
        kinds().filter(move |(other, _)| *other > one).map(|(_, to)| [to[0] - from[0], to[1] - from[1]])
    });
    let mut ways: Vec<[i64; 2]> = std::iter::once([0, 0]).chain(others).collect();
    ways.sort_unstable();
    ways.dedup();
    ways
}

#[allow(clippy::cast_possible_truncation, reason = "rounded first; the casts saturate, and a motif is far smaller")]
fn overlaps(repeat: &Repeat, motif: &Motif, placement: &Placement, between: &[[i64; 2]]) -> bool {
    let [xx, yx, xy, yy] = placement.linear;
    let to = Affine::new([xx, yx, xy, yy, 0.0, 0.0]);
    let Some(ink) = motif.ink().bounds(to) else { return false };
    let window = [ink.x0.floor() as i64, ink.y0.floor() as i64, ink.x1.ceil() as i64, ink.y1.ceil() as i64];
    let back = to.inverse();
    let [times, _] = crate::artwork::stretch(to);
    let ways = between.iter().flat_map(|[right, down]| {
        let there = ink + Vec2::new(*right as f64, *down as f64);
        let steps = repeat.lattice.steps_into([there.x0, there.y0, there.x1, there.y1], window);
        let steps = steps.into_iter().filter(|[_, y]| !repeat.one_way || *y == 0);
        steps.map(move |[x, y]| [x + right, y + down])
    });
    // Of two ways that are each other's opposites, one is enough.
    let own = between.len() == 1;
    ways.filter(|[x, y]| if own { *y > 0 || (*y == 0 && *x > 0) } else { [*x, *y] != [0, 0] }).any(|[x, y]| {
        let (x, y) = (x as f64, y as f64);
        let longer = 1.0 + LEAST / x.hypot(y);
        let way = back * kurbo::Point::new(x * longer, y * longer);
        let shared = motif.ink().shared(Vec2::new(way.x, way.y), EXACT / times);
        shared * to.determinant().abs() > LEAST
    })
}
