//! Following contours from line to line, to fractions of a pixel.
//!
//! A contour that crosses a boundary is found in the line before it, followed back into that side and
//! forward over the boundary into the other. How far it moves from line to line (its slope) changes
//! slowly; so the step over the boundary is the mean of the steps on both sides. What it differs by
//! tells how the sides lie to each other: a slip along the boundary adds the same to every contour, a
//! gap across it adds to each in proportion to its slope.
//!
//! The step is found as in B. D. Lucas, T. Kanade, "An iterative image registration technique" (1981),
//! here along one line and over all channels.

use super::image::{Strip, weight};

/// Samples on each side that a contour is compared over.
const WINDOW: isize = 3;
const SAMPLES: usize = 2 * WINDOW as usize + 1;
/// The weakest contour, in levels a sample, all channels together.
const WEAKEST: f32 = 5.0;
/// A contour that moves further from line to line is too steep to follow.
const STEEPEST: f32 = 1.6;
/// What may stay of a contour's contrast when it is laid on itself.
const UNLIKE: f32 = 0.2;
const ROUNDS: usize = 4;

/// A contour that crosses a boundary.
#[derive(Clone, Copy, Debug)]
pub(super) struct Crossing {
    /// Where, along the boundary.
    pub(super) at: f32,
    /// How far it moves a line, by what it does on both sides.
    pub(super) slope: f32,
    /// How much further it moves over the boundary.
    pub(super) excess: f32,
}

/// What crosses a boundary.
#[derive(Clone, Debug, Default)]
pub(super) struct Crossings {
    pub(super) matched: Vec<Crossing>,
    /// Where a contour ends at the boundary.
    pub(super) ended: Vec<f32>,
}

/// A line, smoothed along itself.
struct Smooth {
    samples: Vec<f32>,
    channels: usize,
    length: isize,
}

/// A contour found again in another line: how far it moved, and how unlike it is.
struct Found {
    moved: f32,
    unlike: f32,
}

impl Smooth {
    fn new(line: &[f32], channels: usize) -> Smooth {
        let length = line.len() / channels;
        // The line is a ring: two samples of each end once more at the other.
        let ends = |at: usize| line[at % length * channels..][..channels].iter().copied();
        let before = ends(2 * length - 2).chain(ends(length - 1));
        let ring: Vec<f32> = before.chain(line.iter().copied()).chain(ends(0)).chain(ends(1)).collect();
        let mut samples = Vec::with_capacity(line.len());
        for i in 0..line.len() {
            let at = |by: usize| ring[i + by * channels];
            samples.push((at(0) + at(4) + 4.0 * (at(1) + at(3)) + 6.0 * at(2)) / 16.0);
        }
        Smooth { samples, channels, length: length as isize }
    }

    fn whole(&self, at: isize) -> &[f32] {
        // Hardly any place lies over the end, and a division takes long.
        let at = if (0..self.length).contains(&at) { at } else { at.rem_euclid(self.length) };
        let at = at as usize * self.channels;
        &self.samples[at..at + self.channels]
    }

    /// The level and the gradient at a place between samples.
    fn sample(&self, at: f32, c: usize) -> (f32, f32) {
        let low = at.floor();
        let t = at - low;
        let i = low as isize;
        let [before, a, b, after] = [-1, 0, 1, 2].map(|by| self.whole(i + by)[c]);
        let level = a + t * (b - a);
        let gradient = ((b - before) * (1.0 - t) + (after - a) * t) / 2.0;
        (level, gradient)
    }

    /// The square of the gradient at a sample.
    fn energy(&self, at: isize) -> f32 {
        let pairs = self.whole(at + 1).iter().zip(self.whole(at - 1));
        weight(self.channels) * pairs.map(|(b, a)| (b - a) * (b - a) / 4.0).sum::<f32>()
    }

    /// The contours of this line, strongest of their surroundings.
    fn contours(&self) -> Vec<f32> {
        let energy: Vec<f32> = (0..self.length).map(|i| self.energy(i)).collect();
        let at = |i: isize| energy[i.rem_euclid(self.length) as usize];
        let peaks = (0..self.length).filter(|&i| {
            let own = at(i);
            own > WEAKEST * WEAKEST && (1..=2).all(|by| own >= at(i - by) && own > at(i + by))
        });
        peaks.map(|i| i as f32).collect()
    }

    /// The levels and gradients around a place, channel by channel, and each channel's mean level.
    fn around(&self, at: f32, around: &mut Around) {
        for c in 0..self.channels {
            let mut sum = 0.0;
            for (i, sample) in around.samples[c].iter_mut().enumerate() {
                *sample = self.sample(at + (i as f32 - WINDOW as f32), c);
                sum += sample.0;
            }
            around.means[c] = sum / SAMPLES as f32;
        }
    }

    /// Finds the contour at `at` again in another line.
    fn find_in(&self, other: &Smooth, at: f32, guess: f32) -> Found {
        let mut moved = guess;
        let mut unlike = f32::INFINITY;
        let (mut own, mut there) = (Around::default(), Around::default());
        self.around(at, &mut own);
        for _ in 0..ROUNDS {
            other.around(at + moved, &mut there);
            let (mut top, mut under, mut left, mut contrast) = (0.0, 0.0, 0.0, 0.0);
            for c in 0..self.channels {
                for ((own_level, own_gradient), (level, gradient)) in own.samples[c].iter().zip(&there.samples[c]) {
                    let (error, gradient) = (level - own_level, (gradient + own_gradient) / 2.0);
                    top += gradient * error;
                    under += gradient * gradient;
                    left += error * error;
                    contrast += (own_level - own.means[c]).powi(2) + (level - there.means[c]).powi(2);
                }
            }
            unlike = 2.0 * left / contrast.max(1e-3);
            if under < 1e-3 {
                break;
            }
            let step = (top / under).clamp(-1.0, 1.0);
            moved -= step;
            if step.abs() < 0.01 || (moved - guess).abs() > 3.0 {
                break;
            }
        }
        Found { moved, unlike }
    }
}

/// A line around a place: levels and gradients, by channel, and their mean level.
#[derive(Default)]
struct Around {
    samples: [[(f32, f32); SAMPLES]; 4],
    means: [f32; 4],
}

/// Follows every contour that crosses the strip's boundary; also where contours of the other side end there.
pub(super) fn crossings(strip: &Strip) -> Crossings {
    let [far, before, behind, next] = [-2, -1, 0, 1].map(|offset| Smooth::new(strip.line(offset), strip.channels));
    let mut crossings = followed([&far, &before, &behind, &next]);
    // A contour that ends on the other side is only seen from there.
    crossings.ended.extend(followed([&next, &behind, &before, &far]).ended);
    crossings
}

/// Follows the contours of the second line into the first and over to the others.
fn followed([far, before, behind, next]: [&Smooth; 4]) -> Crossings {
    let mut crossings = Crossings::default();
    for at in before.contours() {
        let back = before.find_in(far, at, 0.0);
        if back.unlike > UNLIKE || back.moved.abs() > STEEPEST {
            continue;
        }
        let over = before.find_in(behind, at, -back.moved);
        let on = behind.find_in(next, at + over.moved, -back.moved);
        if over.unlike > 2.0 * UNLIKE {
            crossings.ended.push(at);
            continue;
        }
        if on.unlike > UNLIKE || on.moved.abs() > STEEPEST || (on.moved + back.moved).abs() > 1.0 {
            continue;
        }
        let slope = (on.moved - back.moved) / 2.0;
        crossings.matched.push(Crossing { at, slope, excess: over.moved - slope });
    }
    crossings
}
