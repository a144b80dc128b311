//! Putting one more in: which kind, how large, turned how.

use super::bodies::{Body, Cells, Ground, moved};
use super::contact::felt;
use super::pockets::room;
use super::random::Random;
use super::wishes::{Kind, Turns};
use super::{Vector, minus};

/// Turns that are tried where any will do.
const TRIED: usize = 16;
/// Places that are tried for one motif.
const PLACES: usize = 10;

/// Keeps the shares, and draws sizes.
#[derive(Clone, Debug)]
pub(super) struct Mix<'a> {
    pub(super) kinds: &'a [Kind],
    pub(super) filler: bool,
    pub(super) grain: f64,
}

impl Mix<'_> {
    /// The kind that lacks most to its share.
    pub(super) fn next(&self, bodies: &[Body]) -> usize {
        self.due(bodies, 1).first().copied().unwrap_or(0)
    }

    /// The kinds that lack most to their shares, at most so many, and none that has a whole one more than the first.
    pub(super) fn due(&self, bodies: &[Body], most: usize) -> Vec<usize> {
        let mut counts = vec![0_usize; self.kinds.len()];
        for body in bodies.iter().filter(|body| !body.fixed) {
            counts[body.shape] += 1;
        }
        let ours = self.kinds.iter().enumerate().filter(|(_, kind)| kind.filler == self.filler && kind.share > 0.0);
        let mut lacks: Vec<(f64, usize)> = ours.map(|(i, kind)| ((counts[i] as f64 + 0.5) / kind.share, i)).collect();
        lacks.sort_by(|a, b| a.0.total_cmp(&b.0));
        let least = lacks.first().map_or(0.0, |first| first.0);
        let due = lacks.iter().filter(|(lack, i)| *lack < least + 1.0 / self.kinds[*i].share);
        due.take(most).map(|(_, i)| *i).collect()
    }

    /// A size of a kind's range, a whole multiple of the grain; `most` is a wish.
    pub(super) fn size(&self, kind: usize, random: &mut Random, most: f64) -> f64 {
        let [low, high] = self.kinds[kind].sizes;
        let size = random.between(low, high.min(most).max(low));
        rounded(size, self.grain).clamp(low, high)
    }
}

/// To the nearest whole multiple.
pub(super) fn rounded(value: f64, grain: f64) -> f64 {
    if grain > 0.0 { (value / grain).round() * grain } else { value }
}

/// A body of a kind.
pub(super) fn body(kinds: &[Kind], kind: usize, size: f64) -> Body {
    let (filler, family) = (kinds[kind].filler, kinds[kind].family);
    Body { shape: kind, at: [0.0; 2], size, turn: 0.0, way: (0.0, 1.0), fixed: false, filler, family, place: 0 }
}

/// A body where of some chance places most room is, turned as it lies best.
pub(super) fn thrown(
    ground: &Ground,
    bodies: &[Body],
    cells: &Cells,
    body: Body,
    turns: Turns,
    random: &mut Random,
) -> Body {
    let most = ground.torus.area().sqrt();
    let mut best: Option<(f64, Vector)> = None;
    for _ in 0..PLACES {
        let at = ground.torus.point([random.share(), random.share()]);
        let here = room(ground, bodies, cells, at, most);
        if best.is_none_or(|(most, _)| here > most) {
            best = Some((here, at));
        }
    }
    let at = best.map_or([0.0; 2], |(_, at)| at);
    turned(ground, bodies, cells, Body { at, ..body }, turns, random).0
}

/// A body turned so that least is missing, and how much that is.
pub(super) fn turned(
    ground: &Ground,
    bodies: &[Body],
    cells: &Cells,
    body: Body,
    turns: Turns,
    random: &mut Random,
) -> (Body, f64) {
    let count = turns.count().unwrap_or(TRIED);
    let first = if turns.count().is_some() { 0.0 } else { random.between(0.0, 360.0) };
    let begin = random.below(count);
    let mut near = Vec::new();
    let radius = ground.radius(&body);
    let most = cells.largest + ground.gap.max(ground.apart.unwrap_or(0.0));
    cells.around(&ground.torus, body.at, radius + most, |entry, image| {
        let other = &bodies[entry];
        let gap = ground.gap_of(&body, other);
        let apart = radius + ground.radius(other) + gap;
        let way = minus(moved(image, other.at), body.at);
        if way[0] * way[0] + way[1] * way[1] < apart * apart {
            near.push((ground.image(other, image), gap));
        }
    });
    let mut best: Option<(Body, f64)> = None;
    for n in 0..count {
        let turn = (first + 360.0 * ((n + begin) % count) as f64 / count as f64).rem_euclid(360.0);
        let tried = body.turned(turn);
        let lying = ground.lying(&tried);
        let mut missing = 0.0;
        for (other, gap) in &near {
            let depth = [felt(lying, *other, *gap), felt(*other, lying, *gap)];
            missing += depth.into_iter().flatten().map(|contact| contact.depth).fold(0.0, f64::max);
            if best.as_ref().is_some_and(|(_, least)| missing >= *least) {
                break;
            }
        }
        if best.as_ref().is_none_or(|(_, least)| missing < *least) {
            best = Some((tried, missing));
        }
        if missing == 0.0 {
            break;
        }
    }
    best.unwrap_or((body, 0.0))
}
