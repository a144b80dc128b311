//! The witness inside the tile: a motif that is cut by the join often lies whole elsewhere, as in
//! every half-drop. Its two pieces are looked for there, each by itself. If they are found at one
//! and the same step, they lie to each other as they should; if not, the difference is by how much
//! one of them is off, across the join too, which the edges alone can't tell.

use std::collections::{BTreeMap, HashSet};

use super::correlate::steps;
use super::image::{Image, Side};
use super::point::{PATCH, Point, View, points};

/// How far a piece may be off and still be found.
pub(super) const OFF: i64 = 3;
/// Points that must agree.
const FEWEST: usize = 4;
/// Pieces of one motif lie so near to each other along the join.
const BESIDE: i64 = 160;
/// Points that count against any number of others, where nothing was lost in packing.
const MINORITY: usize = 9;

/// What the witness says: how many points say that the far piece is off by so much.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Witness {
    votes: Votes,
    lossless: bool,
}

impl Witness {
    fn best(&self) -> Option<([i64; 2], usize)> {
        self.votes.iter().map(|(off, count)| (*off, *count)).max_by_key(|(_, count)| *count)
    }

    /// By how many pixels, across the join and along it, the pieces behind the join are off; `None` if they are not,
    /// or if it is not sure. Where nothing was lost in packing, a few points that are the same only at
    /// another place are of a motif that lies there.
    pub(super) fn off(&self) -> Option<[i64; 2]> {
        let at_home = self.votes.get(&[0, 0]).copied().unwrap_or(0);
        let mut others: Vec<_> =
            self.votes.iter().filter(|(off, _)| **off != [0, 0]).map(|(off, n)| (*n, *off)).collect();
        others.sort_unstable();
        let (count, off) = others.pop()?;
        let next = others.pop().map_or(0, |(count, _)| count);
        // A line more or less moves all that lies behind it, a slip only what crosses the join.
        let outweighs = match (self.lossless, off[0]) {
            (true, 0) => 0,
            (true, _) => at_home / 2,
            (false, _) => 3 * at_home,
        };
        let clear = count > 2 * next && count > outweighs;
        let enough = match (self.lossless, at_home + next) {
            (true, 0) => FEWEST,
            (true, _) => MINORITY,
            (false, _) => 2 * FEWEST + 4,
        };
        (count >= enough && clear).then_some(off)
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

/// Looks for witnesses of a join.
pub(super) fn witness(image: &Image, side: Side) -> Option<Witness> {
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
    let mut votes = Votes::new();
    ask(&view, &before, &behind, &steps, |[a, b]| *votes.entry([a, b]).or_default() += 1);
    // And the other way round: a piece behind the join may be the larger one.
    ask(&view, &behind, &before, &steps, |[a, b]| *votes.entry([-a, -b]).or_default() += 1);
    (!votes.is_empty()).then_some(Witness { votes, lossless: !image.is_lossy() })
}

/// Looks for the pieces with these points inside the tile, and for each point of the other side where
/// it lies beside its piece there: says by how much, `[across, along]`, it is off.
fn ask(view: &View, before: &[Point], behind: &[Point], steps: &[([i64; 2], i64)], mut vote: impl FnMut([i64; 2])) {
    let most = view.most();
    // Of places that are as alike the nearest counts.
    let mut offs: Vec<[i64; 2]> = (-OFF..=OFF).flat_map(|a| (-OFF..=OFF).map(move |b| [a, b])).collect();
    offs.sort_by_key(|[a, b]| a * a + b * b);
    let mut homes: Vec<(Vec<[i64; 2]>, [i64; 2])> = Vec::new();
    for &(step, coarse) in steps {
        let near = (-coarse..=coarse).flat_map(|a| (-coarse..=coarse).map(move |b| [step[0] + a, step[1] + b]));
        let some: Vec<&Point> = before.iter().step_by(before.len().div_ceil(100)).collect();
        let alike = |p: &&Point, step: [i64; 2]| p.unlike(view, step, most).map_or(0.0, |unlike| most - unlike);
        let likeness = |step: [i64; 2]| some.iter().map(|p| alike(p, step)).sum::<f64>();
        let home = near.map(|step| (likeness(step), step)).max_by(|(a, _), (b, _)| a.total_cmp(b));
        let Some((_, home)) = home else { continue };
        let found: Vec<[i64; 2]> =
            before.iter().filter(|p| p.unlike(view, home, most).is_some()).map(|p| p.at).collect();
        homes.push((found, home));
    }
    // The step that explains most goes first; what it explains needs no other.
    homes.sort_by_key(|(found, _)| std::cmp::Reverse(found.len()));
    let (mut explained, mut open) = (HashSet::new(), behind.iter().collect::<Vec<_>>());
    for (mut found, home) in homes {
        found.retain(|at| !explained.contains(at));
        if found.len() < FEWEST {
            continue;
        }
        explained.extend(found.iter().copied());
        open.retain(|point| {
            // Only pieces of the same motif count: they lie beside each other.
            if !found.iter().any(|f| (f[1] - point.at[1]).abs() < BESIDE) {
                return true;
            }
            let (mut likest, mut best) = (most, None);
            for &[a, b] in &offs {
                if let Some(unlike) = point.unlike(view, [home[0] - a, home[1] - b], likest) {
                    (likest, best) = (unlike, Some([a, b]));
                }
            }
            best.into_iter().for_each(&mut vote);
            best.is_none()
        });
    }
}
