//! Some lines along an edge in which every contour is fainter or softer than further in: feathered, blurred, healed.
//!
//! ```text
//!     strength │▔▔▔▔▔▔▔▔▔▔▔▔╲
//!              │             ╲▁▁▁│ join      each contour that reaches the edge is followed into the tile,
//!              └─────────────────┴───▶       and its steepest step held against what it is further in
//! ```

use rayon::prelude::*;

use super::fault::{Edge, Fault, FaultKind, Places, Told};
use super::image::{Image, Side, weight};
use super::inside::{Inside, quantile};

/// How many lines may be soft.
const DEPTHS: [usize; 4] = [2, 4, 8, 14];
/// How far in a contour is followed.
const FAR: usize = 24;
/// What so great a share of the contours does not exceed tells of all: where a motif ends, some fade, and others don't.
const MOST_OF: f64 = 0.75;
/// The weakest contour, in levels a sample, all channels together.
const WEAKEST: f32 = 6.0;
/// After packing, whose waves beside an edge are contours, too.
const WEAKEST_PACKED: f32 = 14.0;

/// From which line on contours are followed (where the first ones fade into nothing, none begin there), how few of them
/// say something, and how many are enough for a fault.
const STARTS: [(usize, usize, usize); 3] = [(0, 3, 9), (2, 4, 16), (4, 4, 16)];
/// The most contours that are followed; more say no more.
const MOST: usize = 128;
/// The means of two lines of the same inks differ by less, in levels, beside what they differ by in themselves.
const INKS: f64 = 8.0;
/// Such a share of the strength further in is doubtful, and such a one a fault.
const LOW: f64 = 0.7;
const LOWER: f64 = 0.65;
/// A photograph with so much grain, in levels, may be soft anywhere.
const GRAINED: f64 = 3.0;
/// So many sides inside the tile are needed to say what is usual.
const ENOUGH: usize = 20;

/// What the contours on one side of a boundary are there, as a share of what they are further away, by depth.
#[derive(Clone, Copy, Debug, Default)]
struct Faded {
    strength: [f64; DEPTHS.len()],
    /// How many contours tell it.
    contours: [usize; DEPTHS.len()],
}

/// One side of a boundary: lines are counted from it on.
struct Half<'a> {
    image: &'a Image,
    side: Side,
    /// The line beside the boundary, and the way from it.
    first: usize,
    ahead: bool,
}

impl Half<'_> {
    fn pixel(&self, depth: isize, along: isize) -> &[u8] {
        let (count, length) = (self.image.lines(self.side) as isize, self.image.length(self.side) as isize);
        let line = (self.first as isize + if self.ahead { depth } else { -depth }).rem_euclid(count) as usize;
        let along = along.rem_euclid(length) as usize;
        self.image.sample(self.side, line, along)
    }

    /// The square of the gradient along the line, over all channels.
    fn along(&self, depth: isize, at: isize) -> f32 {
        self.square(self.pixel(depth, at + 1), self.pixel(depth, at - 1))
    }

    /// The square of the gradient both ways.
    fn gradient(&self, depth: isize, at: isize) -> f32 {
        // The first line has no neighbor on its own side but the next.
        self.along(depth, at) + self.square(self.pixel(depth + 1, at), self.pixel((depth - 1).max(0), at))
    }

    fn square(&self, a: &[u8], b: &[u8]) -> f32 {
        let sum: f32 = a.iter().zip(b).map(|(a, b)| (f32::from(*a) - f32::from(*b)).powi(2)).sum();
        weight(self.image.channels()) * sum / 4.0
    }

    /// Contours of the first line, each with its strength by line, as far as it can be followed.
    fn contours(&self, from: usize) -> Vec<Vec<f32>> {
        let length = self.image.length(self.side) as isize;
        let energy: Vec<f32> = (0..length).map(|at| self.along(from as isize, at)).collect();
        let weakest = if self.image.is_lossy() { WEAKEST_PACKED } else { WEAKEST };
        let get = |at: isize| energy[at.rem_euclid(length) as usize];
        let peaks = (0..length).filter(|&at| {
            let own = get(at);
            own > weakest * weakest && (1..=2).all(|by| own >= get(at - by) && own > get(at + by))
        });
        let peaks: Vec<isize> = peaks.collect();
        let every = peaks.len().div_ceil(MOST).max(1);
        peaks.into_iter().step_by(every).map(|at| self.follow(at, from)).collect()
    }

    fn follow(&self, start: isize, from: usize) -> Vec<f32> {
        let (mut at, mut slope) = (start as f32, 0.0f32);
        let mut strength = vec![self.gradient(from as isize, start).sqrt()];
        for depth in from as isize + 1..FAR as isize {
            let guess = at + slope;
            let middle = guess.round() as isize;
            let (best, found) = (middle - 2..=middle + 2)
                .map(|at| (self.gradient(depth, at) / (1.0 + 0.1 * (at as f32 - guess).powi(2)), at))
                .max_by(|a, b| a.0.total_cmp(&b.0))
                .unwrap_or((0.0, middle));
            let best = best.sqrt();
            if best < 0.35 * strength[strength.len() - 1] {
                break;
            }
            strength.push(best);
            let moved = found as f32 - at;
            at = f32::midpoint(guess, found as f32);
            slope = 0.7 * slope + 0.3 * moved;
        }
        strength
    }

    fn faded(&self, from: usize) -> Faded {
        let all = self.contours(from);
        let mean = |part: &[f32]| part.iter().sum::<f32>() / part.len() as f32;
        let mut faded = Faded::default();
        for (d, deep) in DEPTHS.into_iter().enumerate() {
            let far = (2 * deep + 2).min(FAR - from);
            let long = all.iter().filter(|strength| strength.len() >= far);
            let shares = long.map(|s| f64::from(mean(&s[..deep.div_ceil(2)]) / mean(&s[deep + 1..far])));
            let shares: Vec<f64> = shares.collect();
            faded.contours[d] = shares.len();
            faded.strength[d] = quantile(shares, MOST_OF);
        }
        faded
    }
}

/// Both sides of a boundary, from the line `from` on.
fn sides(image: &Image, side: Side, at: usize, from: usize) -> [Faded; 2] {
    let count = image.lines(side);
    let before = Half { image, side, first: (at + count - 1) % count, ahead: false };
    let behind = Half { image, side, first: at, ahead: true };
    [before, behind].map(|half| half.faded(from))
}

/// Whether two lines are of other inks, as the bands of a plaid, which have contours of their own: their means differ by
/// much of what one of them differs by in itself (its standard deviation).
fn other_inks(image: &Image, side: Side, lines: [usize; 2]) -> bool {
    let length = image.length(side) as f64;
    let sum = |line: usize, of: &dyn Fn(f64) -> f64, c: usize| {
        image.line(side, line).map(|pixel| of(f64::from(pixel[c]))).sum::<f64>() / length
    };
    (0..image.channels()).any(|c| {
        let means = lines.map(|line| sum(line, &|level| level, c));
        let spread = sum(lines[1], &|level| (level - means[1]).powi(2), c).sqrt();
        (means[0] - means[1]).abs() > INKS + 0.3 * spread
    })
}

/// Lines along an edge whose contours are fainter than further in, as next to none are inside the tile.
pub(super) fn faded(inside: &Inside, places: Places) -> Option<Told> {
    let Places { image, side } = places;
    let count = image.lines(side);
    let keep = FAR + DEPTHS[DEPTHS.len() - 1];
    let at: Vec<usize> =
        inside.at.iter().copied().filter(|at| (keep..count.saturating_sub(keep)).contains(at)).collect();
    let mut doubt = None;
    for (from, fewest, many) in STARTS {
        let own = sides(image, side, 0, from);
        // Most edges are as strong as what lies further in; nothing else need then be looked at.
        let is_low = |own: &Faded, d: usize| own.contours[d] >= fewest && own.strength[d] < LOW;
        if !own.iter().any(|own| (0..DEPTHS.len()).any(|d| is_low(own, d))) {
            continue;
        }
        let there: Vec<Faded> = at.par_iter().flat_map_iter(|at| sides(image, side, *at, from)).collect();
        for (own, edge) in own.iter().zip(Edge::BOTH) {
            for (d, deep) in DEPTHS.into_iter().enumerate() {
                let (strength, contours) = (own.strength[d], own.contours[d]);
                let alike = there.iter().filter(|there| there.contours[d] > 0 && 2 * there.contours[d] >= contours);
                let alike: Vec<f64> = alike.map(|there| there.strength[d]).collect();
                if !is_low(own, d) || alike.len() < ENOUGH {
                    continue;
                }
                if [deep + 1, 2 * deep + 1]
                    .iter()
                    .any(|depth| other_inks(image, side, [0, *depth].map(|depth| places.at(edge, depth))))
                {
                    continue;
                }
                let (least, rare) = (quantile(alike.clone(), 0.0), quantile(alike, 0.02));
                let under =
                    |most: f64| strength < most && strength < (most + 0.05) * rare && strength < (most + 0.15) * least;
                if contours >= many && rare > 0.6 && under(LOWER) && inside.noise < GRAINED {
                    let area = places.edge(edge, deep);
                    return Some(Told::Fault(Fault::new(FaultKind::SoftEdge, strength, vec![area])));
                }
                if doubt.is_none() && rare > 0.5 && under(LOW) {
                    doubt = Some(Told::Doubt(format!(
                        "contours that reach this join have {:.0} % of the strength there that they have {deep} px further in, as nowhere inside the tile: an edge was feathered or blurred, or the design is so; look at it through the loupe",
                        100.0 * strength
                    )));
                }
            }
        }
    }
    doubt
}
