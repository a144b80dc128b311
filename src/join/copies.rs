//! The first and the last line, held pixel by pixel against the same lines inside the tile.
//!
//! Where a tile holds its motifs twice, every line lies once more elsewhere. A line at the edge that differs from it
//! there, while its neighbours and all lines inside do not, was spoiled on its own: washed out, part-transparent, of
//! another color.

use rayon::prelude::*;

use super::fault::{Fault, FaultKind, Places};
use super::image::{Image, Side};
use super::inside::quantile;

/// A line at the edge differs from its copy by so much more than lines inside from theirs.
const TIMES: f64 = 4.0;
/// And by so much on average, in levels; after packing, which spoils every line a little, by so much.
const LEAST: f64 = 0.04;
const LEAST_PACKED: f64 = 2.0;
/// Samples at both ends of a line that the other join may have spoiled.
const ENDS: usize = 2;

/// Lines at the edge that are unlike their copies; `lattice` holds the steps `(across, 0)` and `(shift, down)` that
/// map the tile onto itself, nearly at least, away from its edges.
pub(super) fn copies([across, shift, down]: [f64; 3], places: Places) -> Vec<Fault> {
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
        return Vec::new();
    }
    let held = Held { image, side, step };
    let count = image.lines(side);
    let differ = held.differ();
    let edge = |line: usize| !(ENDS..count - ENDS).contains(&line);
    let inside = (0..count).filter(|line| {
        let [there, back] = held.images(*line);
        !edge(*line) && !edge(there) && !edge(back)
    });
    let usual = quantile(inside.map(|line| differ[line]).collect(), 0.99);
    let least = if image.is_lossy() { LEAST_PACKED } else { LEAST };
    let spoiled = [(-1, count - 1, count - 2), (0, 0, 1)]
        .into_iter()
        .filter(|(_, line, next)| differ[*line] > (TIMES * usual).max(least) && differ[*line] > 2.0 * differ[*next]);
    spoiled.map(|(offset, line, _)| Fault { witnessed: true, ..held.fault(line, places.line(offset)) }).collect()
}

/// A tile, held against itself a step further; steps go `[across the join, along it]`.
struct Held<'a> {
    image: &'a Image,
    side: Side,
    step: [usize; 2],
}

impl Held<'_> {
    /// The lines that a line is mapped onto, a step further and a step back.
    fn images(&self, line: usize) -> [usize; 2] {
        let count = self.image.lines(self.side);
        [(line + self.step[0]) % count, (line + count - self.step[0]) % count]
    }

    /// A line's pixels beside those of its image a step further, without the ends of either.
    fn pairs(&self, line: usize) -> impl Iterator<Item = (&[u8], &[u8])> {
        let length = self.image.length(self.side);
        let ([there, _], along) = (self.images(line), self.step[1]);
        let pixel = move |line: usize, at: usize| match self.side {
            Side::LeftRight => self.image.pixel(line, at),
            Side::TopBottom => self.image.pixel(at, line),
        };
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
        let Held { image, side, step } = *self;
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

    /// What a line has become: paler than its image, or another one.
    fn fault(&self, line: usize, area: super::Area) -> Fault {
        let (mut n, mut sums, mut most) = (0.0, [[0.0; 4]; 4], 0u8);
        for (own, true_one) in self.pairs(line) {
            n += 1.0;
            for (c, (y, x)) in own.iter().zip(true_one).enumerate() {
                most = most.max(y.abs_diff(*x));
                let (x, y) = (f64::from(*x), f64::from(*y));
                for (sum, term) in sums.iter_mut().zip([x, y, x * x, x * y]) {
                    sum[c] += term;
                }
            }
        }
        let [x, y, xx, xy] = sums;
        let spread = |a: &[f64; 4], b: &[f64; 4], ab: &[f64; 4]| {
            (0..4).map(|c| ab[c] - a[c] * b[c] / f64::max(n, 1.0)).sum::<f64>()
        };
        let strength = spread(&x, &y, &xy) / spread(&x, &x, &xx).max(1.0);
        if (0.05..0.98).contains(&strength) {
            Fault::new(FaultKind::SoftEdge, strength, vec![area])
        } else {
            Fault::new(FaultKind::Hairline, f64::from(most), vec![area])
        }
    }
}
