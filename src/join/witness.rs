//! The witness inside the tile: a motif that is cut by the join often lies whole elsewhere, as in
//! every half-drop. Its two pieces are looked for there, each by itself. If they are found at one
//! and the same step, they lie to each other as they should; if not, the difference is by how much
//! one of them is off, across the join too, which the edges alone can't tell.

use std::collections::{BTreeMap, HashSet};

use super::between::between;
use super::correlate::steps;
use super::fit::median;
use super::image::{Image, Side};
use super::point::{PATCH, Point, View, points};
use super::torn::torn;

/// How far a piece may be off and still be found.
pub(super) const OFF: i64 = 3;
/// Points that must agree.
const FEWEST: usize = 4;
/// The same after packing, and so many that it is sure.
const FEWEST_PACKED: usize = 12;
const SURE_PACKED: usize = 28;
/// Pieces of one motif lie so near to each other along the join.
const BESIDE: i64 = 160;
/// Points that count against any number of others, where nothing was lost in packing.
const MINORITY: usize = 9;

/// What two points may differ by that tell the same part of a pixel.
const AGREE: f64 = 0.2;
/// What a patch may differ by, of its contrast, from its place half a pixel off.
const UNLIKE: f64 = 0.6;

/// What the witness says: how many points say that the far piece is off by so much.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Witness {
    votes: Votes,
    /// The same by points that are off by a part of a pixel, each for itself.
    between: Vec<[f64; 2]>,
    lossless: bool,
    /// How often the same lies along the join, and says the same.
    again: usize,
    /// Where copies do not go on over the join as they do inside: places along it.
    pub(super) torn: Vec<f32>,
}

impl Witness {
    fn best(&self) -> Option<([i64; 2], usize)> {
        self.votes.iter().map(|(off, count)| (*off, *count)).max_by_key(|(_, count)| *count)
    }

    /// By how many pixels, across the join and along it, the pieces behind the join are off; `None` if they are not,
    /// or if it is not sure. Where nothing was lost in packing, a few points that are the same only at
    /// another place are of a motif that lies there; but a motif that is drawn a little longer elsewhere is no witness.
    pub(super) fn off(&self) -> Option<[i64; 2]> {
        self.told(SURE_PACKED)
    }

    /// Whether fewer points say so after packing, which makes some alike that are not: it is doubtful then.
    pub(super) fn doubts(&self) -> bool {
        !self.lossless && self.told(FEWEST_PACKED).is_some()
    }

    /// The same, where after packing so many points are enough.
    fn told(&self, packed: usize) -> Option<[i64; 2]> {
        let at_home = self.votes.get(&[0, 0]).copied().unwrap_or(0);
        let mut others: Vec<_> =
            self.votes.iter().filter(|(off, _)| **off != [0, 0]).map(|(off, n)| (*n, *off)).collect();
        others.sort_unstable();
        let (count, off) = others.pop()?;
        let next = others.pop().map_or(0, |(count, _)| count);
        // A line more or less moves all that lies behind it, a slip only what crosses the join.
        let outweighs = match (self.lossless, off[0]) {
            // Of very many, some are of stairs that step elsewhere.
            (true, 0) => at_home / 16,
            (true, _) => at_home,
            (false, _) => 3 * at_home,
        };
        let clear = count > 2 * next && count > outweighs;
        let enough = match (self.lossless, at_home + next) {
            (true, 0) if off[0] == 0 => FEWEST,
            (true, _) => MINORITY,
            (false, _) => packed,
        };
        (count >= enough * self.again && clear).then_some(off)
    }

    /// By how many pixels along the join the pieces behind it are off, if that is no whole number.
    pub(super) fn off_between(&self) -> Option<f64> {
        let middle = [0, 1].map(|i| median(self.between.iter().map(|off| off[i]).collect()));
        let agree = self.between.iter().filter(|off| (0..2).all(|i| (off[i] - middle[i]).abs() < AGREE)).count();
        let at_home = self.votes.get(&[0, 0]).copied().unwrap_or(0);
        let enough = agree >= if at_home == 0 { FEWEST } else { MINORITY } && 2 * agree > self.between.len();
        (enough && middle[0].abs() < AGREE && middle[1].abs() > AGREE).then_some(middle[1])
    }

    /// Whether so many points are where they should be, and next to none elsewhere, that no other sign counts.
    pub(super) fn clears(&self) -> bool {
        let others = self.votes.iter().filter(|(off, _)| **off != [0, 0]).map(|(_, count)| count).max();
        self.sound() && self.best().is_some_and(|(_, count)| count >= MINORITY && others.unwrap_or(&0) * 5 < count)
    }

    /// Whether the pieces lie as they should.
    pub(super) fn sound(&self) -> bool {
        self.best().is_some_and(|(off, count)| off == [0, 0] && count >= FEWEST)
    }
}

/// By how much the side behind is off, across the join and along it, and how many points say so.
type Votes = BTreeMap<[i64; 2], usize>;

/// Looks for witnesses of a join, along which the same lies so often.
pub(super) fn witness(image: &Image, side: Side, again: usize) -> Option<Witness> {
    let view = View { image, side };
    let (lines, length) = (image.lines(side) as i64, image.length(side) as i64);
    let band = (lines / 8).clamp(16, 160);
    if lines < 4 * band.min(32) || length < 32 {
        return None;
    }
    let before = points(&view, [lines - band, lines - PATCH - 1], length);
    let behind = points(&view, [lines + PATCH + 1, lines + band], length);
    if before.len() < FEWEST || behind.len() < FEWEST {
        return None;
    }
    let steps = steps(&view, band);
    let mut witness =
        Witness { votes: Votes::new(), between: Vec::new(), lossless: !image.is_lossy(), again, torn: Vec::new() };
    witness.ask(&view, &before, &behind, &steps, 1);
    // And the other way round: a piece behind the join may be the larger one.
    witness.ask(&view, &behind, &before, &steps, -1);
    let silent = witness.votes.is_empty() && witness.between.is_empty();
    (!silent).then_some(witness)
}

/// A place inside the tile at which a piece lies again.
pub(super) struct Home {
    pub(super) step: [i64; 2],
    /// The points of the piece that are the same there.
    pub(super) found: Vec<[i64; 2]>,
}

impl Home {
    /// Whether a point is of the same motif as the piece: it lies beside it.
    fn is_beside(&self, point: &Point) -> bool {
        self.found.iter().any(|f| (f[1] - point.at[1]).abs() < BESIDE)
    }
}

/// Looks for the pieces with these points inside the tile. Each point goes to the place that explains most.
fn homes(view: &View, points: &[Point], steps: &[([i64; 2], i64)]) -> Vec<Home> {
    let most = view.most();
    let home = |&(step, coarse): &([i64; 2], i64)| {
        let near = (-coarse..=coarse).flat_map(|a| (-coarse..=coarse).map(move |b| [step[0] + a, step[1] + b]));
        let some: Vec<&Point> = points.iter().step_by(points.len().div_ceil(100)).collect();
        let alike = |p: &&Point, step: [i64; 2]| p.unlike(view, step, most).map_or(0.0, |unlike| most - unlike);
        let likeness = |step: [i64; 2]| some.iter().map(|p| alike(p, step)).sum::<f64>();
        let (_, step) = near.map(|step| (likeness(step), step)).max_by(|(a, _), (b, _)| a.total_cmp(b))?;
        let found = points.iter().filter(|p| p.unlike(view, step, most).is_some()).map(|p| p.at).collect();
        Some(Home { step, found })
    };
    let mut homes: Vec<Home> = steps.iter().filter_map(home).collect();
    homes.sort_by_key(|home| std::cmp::Reverse(home.found.len()));
    let mut explained = HashSet::new();
    homes.retain_mut(|home| {
        home.found.retain(|at| !explained.contains(at));
        let enough = home.found.len() >= FEWEST;
        if enough {
            explained.extend(home.found.iter().copied());
        }
        enough
    });
    homes
}

impl Witness {
    /// Looks for the pieces with these points inside the tile, and for each point of the other side where
    /// it lies beside its piece there: notes by how much, `[across, along]`, it is off, `turned` as asked.
    fn ask(&mut self, view: &View, before: &[Point], behind: &[Point], steps: &[([i64; 2], i64)], turned: i64) {
        // Of places that are as alike the nearest counts.
        let mut offs: Vec<[i64; 2]> = (-OFF..=OFF).flat_map(|a| (-OFF..=OFF).map(move |b| [a, b])).collect();
        offs.sort_by_key(|[a, b]| a * a + b * b);
        let nearest = |point: &Point, home: &Home, most: f64| {
            let (mut likest, mut best) = (most, None);
            for &[a, b] in &offs {
                if let Some(unlike) = point.unlike(view, [home.step[0] - a, home.step[1] - b], likest) {
                    (likest, best) = (unlike, Some([a, b]));
                }
            }
            best
        };
        let homes = homes(view, before, steps);
        let lines = view.image.lines(view.side) as i64;
        let beside = if turned > 0 { [lines - 1, lines] } else { [lines, lines - 1] };
        self.torn.extend(homes.iter().flat_map(|home| torn(view, home, beside)));
        let mut open: Vec<&Point> = behind.iter().collect();
        for home in &homes {
            open.retain(|point| {
                let off = if home.is_beside(point) { nearest(point, home, view.most()) } else { None };
                off.map(|off| *self.votes.entry(off.map(|by| turned * by)).or_default() += 1).is_none()
            });
        }
        // What is the same at no whole pixel may be so between them. Packing leaves nothing the same.
        for home in homes.iter().filter(|_| self.lossless) {
            open.retain(|point| {
                let near = if home.is_beside(point) { nearest(point, home, UNLIKE) } else { None };
                let off = near.and_then(|near| between(view, point, home.step, near));
                off.map(|off| self.between.push(off.map(|by| turned as f64 * by))).is_none()
            });
        }
    }
}
