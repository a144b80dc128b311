//! The first and the last line, held pixel by pixel against the same lines inside the tile.
//!
//! Where a tile holds its motifs twice, every line lies once more elsewhere. A line at the edge that differs from it
//! there, while its neighbours and all lines inside do not, was spoiled on its own: washed out, part-transparent, of
//! another color.

use rayon::prelude::*;

use super::fault::{Edge, Fault, FaultKind, Places};
use super::image::Side;
use super::inside::quantile;

/// A line at the edge differs from its copy by so much more than lines inside from theirs.
const TIMES: f64 = 4.0;
/// And by so much on average, in levels; after packing, which spoils every line a little, by so much.
const LEAST: f64 = 0.04;
const LEAST_PACKED: f64 = 2.0;
/// So many lines at an edge may be washed out together, to such a share of their strength.
pub(super) const DEEPEST: usize = 16;
const WASHED: f64 = 0.85;
/// And so much like their copies (correlation).
const LIKE: f64 = 0.7;
/// Samples at both ends of a line that the other join may have spoiled.
const ENDS: usize = 2;

/// Lines at the edges that are unlike their copies; `lattice` holds the steps `(across, 0)` and `(shift, down)` that
/// map the tile onto itself, nearly at least, away from its edges.
pub(super) fn copies(lattice: [f64; 3], places: Places) -> Vec<Fault> {
    let Some(held) = Held::by(lattice, places) else { return Vec::new() };
    let edges = Edge::BOTH.into_iter();
    edges.filter_map(|edge| held.spoiled(edge).or_else(|| held.washed(edge))).collect()
}

/// The same by a lattice that leaves more lines at the edges out, and so may hold but for what lies there: it says of
/// one line nothing, and of some only that they are paler.
pub(super) fn paler(lattice: [f64; 3], places: Places) -> Vec<Fault> {
    let held = Held::by(lattice, places);
    held.iter().flat_map(|held| Edge::BOTH.into_iter().filter_map(|edge| held.washed(edge))).collect()
}

/// A tile, held against itself a step further; steps go `[across the join, along it]`.
struct Held<'a> {
    places: Places<'a>,
    step: [usize; 2],
    /// By how much each line differs from its image, and a line that says something at least.
    differ: Vec<f64>,
    least: f64,
}

impl<'a> Held<'a> {
    /// By the steps of a lattice; `None` where they map each line onto itself.
    fn by([across, shift, down]: [f64; 3], places: Places<'a>) -> Option<Held<'a>> {
        let Places { image, side } = places;
        let whole = |step: f64, size: usize| step.round() as usize % size;
        let (across, shift) = (whole(across, image.width()), whole(shift, image.width()));
        let down = whole(down, image.height());
        let step = match side {
            Side::LeftRight if across > 0 => [across, 0],
            Side::LeftRight => [shift, down],
            Side::TopBottom => [down, shift],
        };
        if step[0] == 0 {
            return None;
        }
        let held = Held { places, step, differ: Vec::new(), least: 0.0 };
        let (differ, count) = (held.differ(), image.lines(side));
        let edge = |line: usize| !(ENDS..count - ENDS).contains(&line);
        let inside = (0..count).filter(|line| {
            let [there, back] = held.images(*line);
            !edge(*line) && !edge(there) && !edge(back)
        });
        let usual = quantile(inside.map(|line| differ[line]).collect(), 0.99);
        let least = if image.is_lossy() { LEAST_PACKED } else { LEAST };
        Some(Held { least: (TIMES * usual).max(least), differ, ..held })
    }

    /// The line at an edge, if it alone differs from its copy.
    fn spoiled(&self, edge: Edge) -> Option<Fault> {
        let [line, next] = [0, 1].map(|depth| self.places.at(edge, depth));
        let is_alone = self.differ[line] > self.least && self.differ[line] > 2.0 * self.differ[next];
        (is_alone && !self.is_packed(edge)).then(|| self.fault(line, self.places.edge(edge, 1)))
    }

    /// Whether packing may have spoiled the line at an edge: where its copy lies beside an edge of the design, which
    /// bleeds into each as their squares lie to it, or lies a line further, in a repeat that is only nearly one.
    fn is_packed(&self, edge: Edge) -> bool {
        let Places { image, side } = self.places;
        let line = self.places.at(edge, 0);
        let (there, count) = (self.images(line)[0], image.lines(side));
        let apart = |(a, b): (&[u8], &[u8])| u64::from(a.iter().zip(b).map(|(a, b)| a.abs_diff(*b)).max().unwrap_or(0));
        let change = |to: usize| image.line(side, there).zip(image.line(side, to)).map(apart).sum::<u64>();
        let most = change((there + 1) % count).max(change((there + count - 1) % count));
        image.is_lossy() && most as f64 / image.length(side) as f64 > 0.8 * self.differ[line]
    }

    /// Some lines at an edge, if they are their copies, but paler or softer. What only lies off its place is as strong.
    fn washed(&self, edge: Edge) -> Option<Fault> {
        let line = |depth| self.places.at(edge, depth);
        let differs = |depth: &usize| self.differ[line(*depth)] > self.least;
        let deep = (0..DEEPEST.min(self.differ.len() / 8)).take_while(differs).count();
        if deep < 2 || differs(&deep) || differs(&(deep + 1)) {
            return None;
        }
        let [strength, alike] = self.strength((0..deep).map(line));
        let fault = || Fault::new(FaultKind::SoftEdge, strength, vec![self.places.edge(edge, deep)]);
        (alike > LIKE && strength < WASHED).then(|| Fault { witnessed: true, ..fault() })
    }
    /// The lines that a line is mapped onto, a step further and a step back.
    fn images(&self, line: usize) -> [usize; 2] {
        let count = self.places.image.lines(self.places.side);
        [(line + self.step[0]) % count, (line + count - self.step[0]) % count]
    }

    /// A line's pixels beside those of its image a step further, without the ends of either.
    fn pairs(&self, line: usize) -> impl Iterator<Item = (&[u8], &[u8])> {
        let length = self.places.image.length(self.places.side);
        let ([there, _], along) = (self.images(line), self.step[1]);
        let Places { image, side } = self.places;
        let pixel = move |line: usize, at: usize| image.sample(side, line, at);
        let is_end = move |at: usize| !(ENDS..length - ENDS).contains(&at);
        let places = (0..length).map(move |at| (at, (at + along) % length));
        places
            .filter(move |(at, over)| !is_end(*at) && !is_end(*over))
            .map(move |(a, b)| (pixel(line, a), pixel(there, b)))
    }

    /// By how many levels each line differs from its image on average; by the liker of the two.
    fn differ(&self) -> Vec<f64> {
        let apart = self.apart();
        let back = |line: usize| apart[self.images(line)[1]];
        apart.iter().enumerate().map(|(line, on)| on.min(back(line))).collect()
    }

    /// The same of the images a step further. Goes through the picture row by row.
    fn apart(&self) -> Vec<f64> {
        let (Places { image, side }, step) = (self.places, self.step);
        let (width, height, channels) = (image.width(), image.height(), image.channels());
        let [right, down] = if side == Side::LeftRight { step } else { [step[1], step[0]] };
        let within = |at: usize, by: usize, size: usize| {
            [at, (at + by) % size].iter().all(|at| (ENDS..size - ENDS).contains(at))
        };
        let row = |y: usize| {
            let (own, there) = (image.row(y), image.row((y + down) % height));
            let (first, last) = there.split_at(right * channels);
            let (before, behind) = own.split_at(last.len());
            let beside = before.chunks_exact(channels).zip(last.chunks_exact(channels));
            let beside = beside.chain(behind.chunks_exact(channels).zip(first.chunks_exact(channels)));
            let apart =
                |(a, b): (&[u8], &[u8])| a.iter().zip(b).map(|(a, b)| u64::from(a.abs_diff(*b))).max().unwrap_or(0);
            beside.map(apart).enumerate()
        };
        let (sums, samples) = match side {
            Side::TopBottom => {
                let kept: Vec<bool> = (0..width).map(|x| within(x, right, width)).collect();
                let sum = |y| row(y).filter(|(x, _)| kept[*x]).map(|(_, apart)| apart).sum();
                ((0..height).into_par_iter().map(sum).collect::<Vec<u64>>(), kept.iter().filter(|kept| **kept).count())
            }
            Side::LeftRight => {
                let kept: Vec<usize> = (0..height).filter(|y| within(*y, down, height)).collect();
                let added = |mut sums: Vec<u64>, y: &usize| {
                    row(*y).for_each(|(x, apart)| sums[x] += apart);
                    sums
                };
                let both = |mut a: Vec<u64>, b: Vec<u64>| {
                    a.iter_mut().zip(b).for_each(|(a, b)| *a += b);
                    a
                };
                (kept.par_iter().fold(|| vec![0; width], added).reduce(|| vec![0; width], both), kept.len())
            }
        };
        sums.into_iter().map(|sum| sum as f64 / samples.max(1) as f64).collect()
    }

    /// How much some lines change along themselves, as a share of what their images do, and how alike they are
    /// (correlation).
    fn strength(&self, lines: impl Iterator<Item = usize>) -> [f64; 2] {
        let (mut own, mut there) = (0.0, 0.0);
        let square = |a: &[u8], b: &[u8]| a.iter().zip(b).map(|(a, b)| f64::from(a.abs_diff(*b)).powi(2)).sum::<f64>();
        let mut sums = Sums::default();
        for line in lines {
            for (a, b) in self.pairs(line).zip(self.pairs(line).skip(1)) {
                own += square(a.0, b.0);
                there += square(a.1, b.1);
            }
            self.pairs(line).for_each(|(own, true_one)| sums.add(own, true_one));
        }
        [if there > 0.0 { (own / there).sqrt() } else { 1.0 }, sums.correlation()]
    }

    /// What a line has become: paler than its image, or another one.
    fn fault(&self, line: usize, area: super::Area) -> Fault {
        let (mut sums, mut most) = (Sums::default(), 0u8);
        for (own, true_one) in self.pairs(line) {
            most = own.iter().zip(true_one).fold(most, |most, (a, b)| most.max(a.abs_diff(*b)));
            sums.add(own, true_one);
        }
        let strength = sums.slope();
        if (0.05..0.98).contains(&strength) {
            Fault { witnessed: true, ..Fault::new(FaultKind::SoftEdge, strength, vec![area]) }
        } else {
            Fault { witnessed: true, ..Fault::new(FaultKind::Hairline, f64::from(most), vec![area]) }
        }
    }
}

/// Sums over pairs of pixels, by channel: how one follows from the other.
#[derive(Default)]
struct Sums {
    count: f64,
    sums: [[f64; 5]; 4],
}

impl Sums {
    fn add(&mut self, own: &[u8], true_one: &[u8]) {
        self.count += 1.0;
        for (sums, (y, x)) in self.sums.iter_mut().zip(own.iter().zip(true_one)) {
            let (x, y) = (f64::from(*x), f64::from(*y));
            sums.iter_mut().zip([x, y, x * x, x * y, y * y]).for_each(|(sum, term)| *sum += term);
        }
    }

    /// What the true ones spread, both together, and their own, over all channels.
    fn spreads(&self) -> [f64; 3] {
        let n = self.count.max(1.0);
        self.sums.iter().fold([0.0; 3], |[a, b, c], [x, y, xx, xy, yy]| {
            [a + xx - x * x / n, b + xy - x * y / n, c + yy - y * y / n]
        })
    }

    fn slope(&self) -> f64 {
        let [xx, xy, _] = self.spreads();
        xy / xx.max(1.0)
    }

    fn correlation(&self) -> f64 {
        let [xx, xy, yy] = self.spreads();
        xy / (xx * yy).sqrt().max(1.0)
    }
}
