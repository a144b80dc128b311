//! Some lines along one edge or along both that have another color than what lies beside them: the outline of the page,
//! a frame, a fade into paper. One line alone is told by `lines.rs`.
//!
//! ```text
//!      beside  │ band │ beside       where the picture is the same on both sides of the band, it should be so in it
//!   ▒▒▒▒▒▒▒▒▒▒▒│██╎██│▒▒▒▒▒▒▒▒▒▒
//!              └──join┘
//! ```

use rayon::prelude::*;

use super::fault::{Edge, Fault, FaultKind, Places, Told};
use super::fit::{median, middle_level};
use super::image::{Image, Side};
use super::inside::Inside;

/// How many lines a band may have on one side of the join.
const DEPTHS: [usize; 7] = [1, 2, 3, 4, 6, 8, 12];
/// Samples along a line that are looked at; more say hardly more.
const SAMPLES: usize = 1024;
/// The share of a line that must agree on a band's color, and that is enough to make a band inside another of its kind.
const MOST: f64 = 0.3;
const KIND: f64 = 0.25;
/// What a band differs by at least, in levels; after packing, by so much.
const LEAST: f64 = 3.0;
const LEAST_PACKED: f64 = 8.0;
/// Places of ink nearer than this, in pixels, may be of one motif; one motif may have a gap just there, so many have not.
const NEAR: usize = 24;
const APART: usize = 3;
/// In so much grain, in levels, no line of a design is alike along itself.
const GRAINED: f64 = 1.0;
/// Wider bands of the ground's color lie between motifs anywhere.
const NARROW: usize = 4;
/// So many lines on both sides tell a mirror.
const MIRRORED: isize = 12;
/// Ink differs from its ground by more, in levels; is the same on both sides if it differs by less, and gone if by
/// more, as a share of that.
const INK: f64 = 24.0;
const ALIKE: f64 = 0.3;
const GONE: f64 = 0.4;
/// So many samples of ink, and such a share of all of it, are covered by a band that lies over the motifs; half of it,
/// where the band itself is seen.
const COVERED: usize = 8;
const NEARLY_ALL: f64 = 0.7;

/// Some lines, thinned out along themselves.
struct Lines<'a> {
    image: &'a Image,
    side: Side,
    step: usize,
    flat: f64,
}

/// What a band is like.
#[derive(Clone, Copy, Debug, Default)]
struct Look {
    /// By how much it differs from what lies beside it where that is flat and alike, in levels; and along what share.
    level: f64,
    share: f64,
    /// By how much most of it lies beyond both sides, whatever they are, in levels.
    ridge: f64,
}

impl Lines<'_> {
    fn pixels(&self, at: isize) -> impl Iterator<Item = &[u8]> + Clone {
        let line = at.rem_euclid(self.image.lines(self.side) as isize) as usize;
        (0..self.image.length(self.side)).step_by(self.step).map(move |along| self.image.sample(self.side, line, along))
    }

    /// Samples of both sides of a band of `deep` lines around the boundary `at`, and of the two lines in it that are
    /// looked at.
    fn samples(&self, at: isize, deep: [usize; 2]) -> impl Iterator<Item = [&[u8]; 6]> {
        let (first, end) = (at - deep[0] as isize, at + deep[1] as isize);
        let own = if deep[0] == 0 {
            at
        } else if deep[1] == 0 {
            at - 2
        } else {
            at - 1
        };
        let lines = [first - 2, first - 1, own, own + 1, end, end + 1].map(|at| self.pixels(at));
        let [a, b, c, d, e, f] = lines;
        a.zip(b).zip(c).zip(d).zip(e).zip(f).map(|(((((a, b), c), d), e), f)| [a, b, c, d, e, f])
    }

    fn look(&self, at: isize, deep: [usize; 2]) -> Look {
        let channels = self.image.channels();
        let mut offsets: Vec<Vec<[f64; 2]>> = vec![Vec::new(); channels];
        let mut beyond: Vec<Vec<f64>> = vec![Vec::new(); channels];
        let mut count = 0.0;
        for [far, before, one, other, behind, next] in self.samples(at, deep) {
            count += 1.0;
            let is_flat = apart(before, behind) <= self.flat
                && apart(far, before) <= self.flat
                && apart(behind, next) <= self.flat;
            for c in 0..channels {
                let [a, b] = [before, behind].map(|pixel| f64::from(pixel[c]));
                let own = [one, other].map(|pixel| f64::from(pixel[c]));
                if is_flat {
                    offsets[c].push(own.map(|own| own - (a + b) / 2.0));
                }
                let over = own.map(|own| own - own.clamp(a.min(b), a.max(b)));
                beyond[c].push(nearer(over));
            }
        }
        let levels: Vec<f64> = offsets.iter().map(|all| median(all.iter().copied().map(nearer).collect())).collect();
        let level = levels.iter().fold(0.0, |most: f64, level| most.max(level.abs()));
        let agrees = |i: &usize| {
            offsets
                .iter()
                .zip(&levels)
                .all(|(all, level)| (nearer(all[*i]) - level).abs() <= self.flat.max(0.35 * level.abs()))
        };
        let share = (0..offsets[0].len()).filter(agrees).count() as f64 / count;
        let ridge = beyond.into_iter().fold(0.0, |most: f64, all| most.max(median(all).abs()));
        Look { level, share, ridge }
    }

    /// Whether the sides of a band are mirror images of each other, as at an axis that lies between motifs.
    fn mirrored(&self, deep: [usize; 2]) -> bool {
        let (first, end) = (-(deep[0] as isize), deep[1] as isize);
        let far = |a: isize, b: isize| self.pixels(a).zip(self.pixels(b)).map(|(a, b)| apart(a, b)).sum::<f64>();
        let faced: f64 = (0..MIRRORED).map(|k| far(first - 1 - k, end + k)).sum();
        let turned: f64 = (0..MIRRORED).map(|k| far(first - 1 - k, end + MIRRORED - 1 - k)).sum();
        faced <= 0.5 * turned
    }

    /// What becomes of the ink that lies on both sides of a band.
    fn cover(&self, at: isize, deep: [usize; 2]) -> Cover {
        let channels = self.image.channels();
        let level = |c| middle_level(self.samples(at, deep).map(move |lines| lines[1][c]));
        let ground: Vec<u8> = (0..channels).map(|c| level(c) as u8).collect();
        let mut cover = Cover::default();
        let mut levels = Vec::new();
        let (mut last, near) = (None, NEAR.div_ceil(self.step));
        for (i, [_, before, one, other, behind, _]) in self.samples(at, deep).enumerate() {
            let ink = apart(before, &ground).min(apart(behind, &ground));
            if ink > INK && apart(before, behind) < ALIKE * ink {
                cover.ink += 1;
                let off = [one, other].map(|own| apart(own, before).min(apart(own, behind)));
                let off = off[0].min(off[1]);
                if off > GONE * ink {
                    cover.covered += 1;
                    cover.places += usize::from(last.is_none_or(|last| i - last > near));
                    last = Some(i);
                    levels.push(off);
                }
            }
        }
        Cover { level: median(levels), ..cover }
    }
}

/// What becomes of ink in a band: of so many samples that have it on both sides, in so many it is gone, by so many
/// levels, at so many places apart from each other.
#[derive(Clone, Copy, Debug, Default)]
struct Cover {
    ink: usize,
    covered: usize,
    places: usize,
    level: f64,
}

impl Cover {
    /// The band lies over nearly all ink.
    fn is_over(self) -> bool {
        self.covered >= COVERED && self.covered as f64 > NEARLY_ALL * self.ink as f64
    }
}

/// The largest difference of two pixels' channels.
fn apart(a: &[u8], b: &[u8]) -> f64 {
    f64::from(a.iter().zip(b).map(|(a, b)| a.abs_diff(*b)).max().unwrap_or(0))
}

/// The smaller of two values, if they have one sign; else none.
fn nearer([a, b]: [f64; 2]) -> f64 {
    if a * b <= 0.0 {
        0.0
    } else if a.abs() < b.abs() {
        a
    } else {
        b
    }
}

/// A band along the join, if there is none like it inside. One that lies over motifs, too, is none of the design; else
/// it may be.
pub(super) fn band(inside: &Inside, places: Places) -> Option<Told> {
    let Places { image, side } = places;
    let flat = 1.5 * inside.noise + 1.0;
    let lines = Lines { image, side, step: image.length(side).div_ceil(SAMPLES), flat };
    let count = image.lines(side);
    let least = 1.5 * inside.noise + if image.is_lossy() { LEAST_PACKED } else { LEAST };
    let shapes = DEPTHS.into_iter().flat_map(|deep| [[deep, deep], [deep, 0], [0, deep]]);
    let shapes = shapes.filter(|deep| deep[0] + deep[1] > 1 && 8 * (deep[0] + deep[1]) < count);
    for deep in shapes {
        let (own, cover) = (lines.look(0, deep), lines.cover(0, deep));
        let is_flat = own.share > MOST && own.level > least;
        let is_ridge = own.share <= MOST && own.ridge > least && deep[0] == deep[1];
        if !is_flat && !is_ridge && !cover.is_over() {
            continue;
        }
        let keep = deep[0] + deep[1] + 4;
        let none_inside = |is_like: &(dyn Fn(isize) -> bool + Sync)| {
            !(keep..count.saturating_sub(keep)).into_par_iter().any(|at| is_like(at as isize))
        };
        let is_line = is_flat
            && none_inside(&|at| {
                let there = lines.look(at, deep);
                there.share > KIND && there.level > 0.5 * own.level
            });
        // A soft ground that is mirrored at the join has its crest there.
        let may_crest = deep[0] > NARROW && lines.mirrored(deep);
        let is_ridge = is_ridge && !may_crest && none_inside(&|at| lines.look(at, deep).ridge > 0.5 * own.ridge);
        let is_over = own.share > MOST
            && deep.iter().all(|deep| *deep <= NARROW)
            && cover.is_over()
            && !lines.mirrored(deep)
            && none_inside(&|at| {
                let there = lines.cover(at, deep);
                2 * there.covered > cover.covered.max(there.ink)
            });
        let areas = deep.into_iter().zip(Edge::BOTH);
        let areas =
            areas.into_iter().filter(|(deep, _)| *deep > 0).map(|(deep, edge)| places.edge(edge, deep)).collect();
        let is_covering = 2 * cover.covered > cover.ink.max(2 * COVERED);
        let is_fault = (is_over && cover.places >= APART)
            || (is_ridge && (inside.noise >= GRAINED || is_covering))
            || (is_line && is_covering);
        if is_fault {
            let level = if is_over { cover.level } else { own.level.max(own.ridge) };
            return Some(Told::Fault(Fault::new(FaultKind::Hairline, level, areas)));
        }
        if is_line || is_over || is_ridge {
            let edges = if deep.contains(&0) { "one edge" } else { "both edges" };
            return Some(Told::Doubt(format!(
                "a line of another color stands along {edges} of this join, and none like it inside the tile: a frame that was left in the file, or a line of the design; look at it through the loupe"
            )));
        }
    }
    None
}
