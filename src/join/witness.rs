//! The witness inside the tile: a motif that is cut by the join often lies whole elsewhere, as in
//! every half-drop. Its two pieces are looked for there, each by itself. If they are found at one
//! and the same step, they lie to each other as they should; if not, the difference is by how much
//! one of them is off, across the join too, which the edges alone can't tell.

use std::collections::{BTreeMap, HashSet};

use super::correlate::steps;
use super::image::{Image, Side};

/// How far a piece may be off and still be found.
const OFF: i64 = 3;
/// Pixels around a point that are compared.
const PATCH: i64 = 3;
/// Points that are taken on each side.
const POINTS: usize = 400;
/// Points that must agree.
const FEWEST: usize = 4;
/// The least that a point must differ by in every direction: squared levels of all channels.
const TELLING: f64 = 300.0;
/// The same of a picture that was packed with loss.
const TELLING_PACKED: f64 = 1000.0;
/// Pieces of one motif lie so near to each other along the join.
const BESIDE: i64 = 160;
/// Points that count against any number of others, where nothing was lost in packing.
const MINORITY: usize = 9;
/// What may differ of a patch's contrast.
const UNLIKE: f64 = 0.01;
/// The same of a picture that was packed with loss.
const UNLIKE_PACKED: f64 = 0.06;

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
        let clear = count > 2 * next && (self.lossless || count > 3 * at_home);
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

/// A view of the tile with the join's lines counted by `across`; beyond the last line the first
/// one follows.
pub(super) struct View<'a> {
    pub(super) image: &'a Image,
    pub(super) side: Side,
}

impl View<'_> {
    /// What may differ of a patch's contrast.
    fn most(&self) -> f64 {
        if self.image.is_lossy() { UNLIKE_PACKED } else { UNLIKE }
    }

    pub(super) fn pixel(&self, across: i64, along: i64) -> &[u8] {
        let across = across.rem_euclid(self.image.lines(self.side) as i64) as usize;
        match self.side {
            Side::LeftRight => self.image.pixel(across, along as usize),
            Side::TopBottom => self.image.pixel(along as usize, across),
        }
    }
}

/// By how much the side behind is off, across the join and along it, and how many points say so.
type Votes = BTreeMap<[i64; 2], usize>;

/// A point where the picture changes in both directions.
struct Point {
    at: [i64; 2],
    /// The pixels around it, row by row.
    patch: Vec<u8>,
    /// How much they differ from its own, squared.
    contrast: f64,
}

/// Pixels a side of a patch.
const SIDE: usize = 2 * PATCH as usize + 1;

impl Point {
    fn new(view: &View, at: [i64; 2]) -> Point {
        let mut patch = Vec::with_capacity(SIDE * SIDE * view.image.channels());
        for j in -PATCH..=PATCH {
            for i in -PATCH..=PATCH {
                let [across, along] = if view.side == Side::LeftRight { [i, j] } else { [j, i] };
                patch.extend_from_slice(view.pixel(at[0] + across, at[1] + along));
            }
        }
        let middle = view.pixel(at[0], at[1]);
        let squares = patch.chunks_exact(middle.len()).flat_map(|pixel| pixel.iter().zip(middle));
        let contrast: u32 = squares.map(|(a, b)| u32::from(a.abs_diff(*b)).pow(2)).sum();
        Point { at, patch, contrast: f64::from(contrast).max(1.0) }
    }

    /// Whether the like lies a few pixels off, as in a weave: then it says nothing of its place.
    fn is_woven(&self, view: &View) -> bool {
        // Behind the join the lines are counted on.
        let lines = view.image.lines(view.side) as i64;
        let home = if self.at[0] >= lines { -lines } else { 0 };
        let mut steps = (-2 * OFF..=2 * OFF).flat_map(|a| (-2 * OFF..=2 * OFF).map(move |b| [a, b]));
        steps.any(|[a, b]| [a, b] != [0, 0] && self.unlike(view, [home + a, b], view.most()).is_some())
    }

    /// What differs around it a step further, inside the tile, as a share of its contrast; `None` if that
    /// is not less than `most`.
    fn unlike(&self, view: &View, step: [i64; 2], most: f64) -> Option<f64> {
        let (lines, length) = (view.image.lines(view.side) as i64, view.image.length(view.side) as i64);
        let [there, over] = [self.at[0] + step[0], self.at[1] + step[1]];
        if there < PATCH || there >= lines - PATCH || over < PATCH || over >= length - PATCH {
            return None;
        }
        let [x, y] = if view.side == Side::LeftRight { [there, over] } else { [over, there] };
        let (first, channels) = ((x - PATCH) as usize, view.image.channels());
        let mut off = 0u32;
        for (j, own) in self.patch.chunks_exact(SIDE * channels).enumerate() {
            let other = &view.image.row((y - PATCH) as usize + j)[first * channels..];
            off += own.iter().zip(other).map(|(a, b)| u32::from(a.abs_diff(*b)).pow(2)).sum::<u32>();
            if f64::from(off) >= most * self.contrast {
                return None;
            }
        }
        Some(f64::from(off) / self.contrast)
    }
}

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

/// Points of a band that can't be mistaken for their neighbours, the best of each small field.
fn points(view: &View, [first, end]: [i64; 2], length: i64) -> Vec<Point> {
    const FIELD: usize = 8;
    let levels = Levels::new(view, [first, end], length);
    let least = if view.image.is_lossy() { TELLING_PACKED } else { TELLING };
    let mut best = Vec::new();
    for across in (first..end).step_by(FIELD) {
        for along in (PATCH + 1..length - PATCH - 1).step_by(FIELD) {
            let field = (across..(across + FIELD as i64).min(end))
                .flat_map(|a| (along..(along + FIELD as i64).min(length - PATCH - 1)).map(move |b| [a, b]));
            let strongest = field.map(|p| (levels.telling(p), p)).max_by(|(a, _), (b, _)| a.total_cmp(b));
            best.extend(strongest.filter(|(strength, _)| *strength > least));
        }
    }
    best.sort_unstable_by(|(a, _), (b, _)| b.total_cmp(a));
    best.truncate(POINTS);
    best.into_iter().map(|(_, at)| Point::new(view, at)).filter(|point| !point.is_woven(view)).collect()
}

/// A band's pixels, and two lines more on both of its sides.
struct Levels {
    first: i64,
    length: i64,
    channels: usize,
    levels: Vec<u8>,
}

impl Levels {
    fn new(view: &View, [first, end]: [i64; 2], length: i64) -> Levels {
        let lines = (first - 2)..(end + 2);
        let places = lines.flat_map(|a| (0..length).map(move |b| [a, b]));
        let levels = places.flat_map(|[a, b]| view.pixel(a, b)).copied().collect();
        Levels { first: first - 2, length, channels: view.image.channels(), levels }
    }

    /// The smaller eigenvalue of the gradients around a point (J. Shi, C. Tomasi, "Good features to
    /// track", 1994).
    fn telling(&self, [across, along]: [i64; 2]) -> f64 {
        let (mut aa, mut ab, mut bb) = (0, 0, 0);
        let at = |i: i64, j: i64| {
            let at = ((across + i - self.first) * self.length + along + j) as usize * self.channels;
            &self.levels[at..at + self.channels]
        };
        for (i, j) in (-1..=1).flat_map(|i| (-1..=1).map(move |j| (i, j))) {
            let (above, below, left, right) = (at(i - 1, j), at(i + 1, j), at(i, j - 1), at(i, j + 1));
            for c in 0..self.channels {
                let difference = |to: &[u8], from: &[u8]| i32::from(to[c]) - i32::from(from[c]);
                let (a, b) = (difference(below, above), difference(right, left));
                (aa, ab, bb) = (aa + a * a, ab + a * b, bb + b * b);
            }
        }
        let (half, difference, ab) = (f64::from(aa + bb) / 2.0, f64::from(aa - bb) / 2.0, f64::from(ab));
        (half - (difference * difference + ab * ab).sqrt()) / 9.0
    }
}
