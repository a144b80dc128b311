//! What is measured at a boundary between two lines, the same at the join and inside the tile, so
//! that the join is judged by what this very picture does elsewhere.

use super::fit::{Fit, fit, median};
use super::image::Strip;
use super::track::{Crossing, crossings};

/// A boundary's figures.
#[derive(Clone, Debug, Default)]
pub(super) struct Measures {
    /// How the sides lie to each other.
    pub(super) fit: Fit,
    pub(super) crossings: Vec<Crossing>,
    /// How far the contours of one motif lie off together, at most; 0 if none do.
    pub(super) strayed: f64,
    /// Where contours end at the boundary.
    pub(super) ended: Vec<f32>,
    /// The change over the boundary as a share of the changes beside it, where there are both;
    /// about 1, and 0 where a line stands twice.
    pub(super) change: Option<Change>,
    /// The same for the boundaries before and behind this one.
    pub(super) beside: [Option<Change>; 2],
    /// The mean change over the boundary, in levels.
    pub(super) jump: f64,
    /// The same one line before and one behind.
    pub(super) jumps_beside: [f64; 2],
    /// The step between two flat sides, where most flat samples agree on it: by channel, in levels.
    pub(super) step: Option<Step>,
    /// The same between lines some way off on both sides, after packing, which spreads an edge, so that nothing is flat
    /// beside it.
    pub(super) wide_step: Option<Step>,
}

/// What changes over a boundary.
#[derive(Clone, Copy, Debug)]
pub(super) struct Change {
    /// As a share of what changes beside it.
    pub(super) share: f64,
    /// How many samples tell it.
    pub(super) samples: usize,
}

/// A difference between two sides that are flat in themselves.
#[derive(Clone, Copy, Debug)]
pub(super) struct Step {
    /// By channel.
    pub(super) levels: [f64; 4],
    /// The share of the boundary that is flat on both sides and agrees.
    pub(super) share: f64,
}

impl Step {
    /// The largest of its channels.
    pub(super) fn size(&self) -> f64 {
        self.levels.iter().fold(0.0, |most, level| level.abs().max(most))
    }
}

impl Measures {
    /// Measures a boundary; `noise` is what flat samples differ by, in levels.
    pub(super) fn of(strip: &Strip, noise: f64) -> Measures {
        let found = crossings(strip);
        let wide = [-4, -3, 2, 3].map(|offset| strip.line(offset));
        Measures {
            fit: fit(&found.matched),
            strayed: strayed(&found.matched),
            crossings: found.matched,
            ended: found.ended,
            change: change(strip, 0, noise),
            beside: [-1, 1].map(|at| change(strip, at, noise)),
            jump: jump(strip, 0),
            jumps_beside: [-1, 1].map(|at| jump(strip, at)),
            step: step(sides(strip, 0), strip.channels, 1.5 * noise + 1.0),
            wide_step: strip.lossy.then(|| step(wide, strip.channels, 1.5 * noise + 2.0)).flatten(),
        }
    }

    /// The share of contours that end at the boundary.
    pub(super) fn ended_share(&self) -> f64 {
        let all = self.ended.len() + self.crossings.len();
        if all == 0 { 0.0 } else { self.ended.len() as f64 / all as f64 }
    }
}

/// Contours this near to each other may be of one motif.
const NEAR: f32 = 40.0;
/// So many must agree.
const FEWEST: usize = 4;

/// The excess on which the contours of one place agree, where it is largest.
fn strayed(crossings: &[Crossing]) -> f64 {
    let groups = crossings.chunk_by(|a, b| b.at - a.at < NEAR).filter(|group| group.len() >= FEWEST);
    let agreed = groups.filter_map(|group| {
        let excess = |c: &Crossing| f64::from(c.excess);
        let middle = median(group.iter().map(excess).collect());
        let scatter = median(group.iter().map(|c| (excess(c) - middle).abs()).collect());
        (scatter < 0.12).then_some(middle)
    });
    agreed.fold(0.0, |most: f64, own| if own.abs() > most.abs() { own } else { most })
}

/// The lines at both sides of the boundary `at` lines from the strip's own.
fn sides(strip: &Strip, at: isize) -> [&[f32]; 4] {
    [-2, -1, 0, 1].map(|offset| strip.line(at + offset))
}

/// The largest difference of a sample's channels.
fn difference(a: &[f32], b: &[f32]) -> f64 {
    a.iter().zip(b).map(|(a, b)| f64::from((a - b).abs())).fold(0.0, f64::max)
}

fn change(strip: &Strip, at: isize, noise: f64) -> Option<Change> {
    let least = 4.0 * noise + 6.0;
    let (mut over, mut beside, mut samples) = (0.0, 0.0, 0);
    let [far, before, behind, next] = sides(strip, at).map(|line| line.chunks_exact(strip.channels));
    for (((far, before), behind), next) in far.zip(before).zip(behind).zip(next) {
        let (left, right) = (difference(far, before), difference(behind, next));
        if left > least && right > least {
            over += difference(before, behind);
            beside += (left + right) / 2.0;
            samples += 1;
        }
    }
    (samples > 0).then(|| Change { share: over / beside, samples })
}

fn jump(strip: &Strip, at: isize) -> f64 {
    let [_, before, behind, _] = sides(strip, at);
    let sum: f64 = before.iter().zip(behind).map(|(a, b)| f64::from((a - b).abs())).sum();
    sum / before.len() as f64
}

/// Whether the sides are mirror images of each other, as in a mirrored layout, about an axis that lies up to a line
/// from the boundary, not only on a line or between two: a round motif hardly changes beside its middle, and its lines
/// there are as alike as one that stands twice.
pub(super) fn mirrored(strip: &Strip) -> bool {
    let far = |a: isize, b: isize| strip.line(a).iter().zip(strip.line(b)).map(|(a, b)| f64::from(a - b));
    // Which lines face each other if the axis lies on the boundary, and half a line before and behind it.
    let faces = |shift: [isize; 2]| -> Vec<f64> { (0..3).flat_map(|k| far(-1 - k - shift[0], k + shift[1])).collect() };
    let square = |v: &[f64]| v.iter().map(|d| d * d).sum::<f64>();
    let own: f64 = [(-1, -2), (-2, -3)].into_iter().flat_map(|(a, b)| far(a, b)).map(|d| d * d).sum();
    let here = faces([0, 0]);
    let is_axis = |there: Vec<f64>| {
        let way: Vec<f64> = there.iter().zip(&here).map(|(there, here)| there - here).collect();
        let along: f64 = way.iter().zip(&here).map(|(way, here)| way * here).sum();
        let part = (-along / square(&way).max(f64::MIN_POSITIVE)).clamp(0.0, 2.0);
        let rest: Vec<f64> = here.iter().zip(&way).map(|(here, way)| here + part * way).collect();
        square(&rest) < if strip.lossy { MIRRORED_PACKED } else { MIRRORED } * own
    };
    own > 0.0 && (is_axis(faces([1, 0])) || is_axis(faces([0, 1])))
}

/// What mirror images may differ by, squared, for what changes in two lines.
const MIRRORED: f64 = 0.04;
/// The same after packing.
const MIRRORED_PACKED: f64 = 0.12;

/// The step from two lines to two others, where each pair is alike to within `flat` levels.
fn step(lines: [&[f32]; 4], channels: usize, flat: f64) -> Option<Step> {
    let length = lines[0].len() / channels;
    let [far, before, behind, next] = lines.map(|line| line.chunks_exact(channels));
    let mut steps: Vec<Vec<f64>> = vec![Vec::new(); channels];
    for (((far, before), behind), next) in far.zip(before).zip(behind).zip(next) {
        if difference(far, before) <= flat && difference(behind, next) <= flat {
            for (steps, (a, b)) in steps.iter_mut().zip(before.iter().zip(behind)) {
                steps.push(f64::from(b - a));
            }
        }
    }
    if steps[0].len() * 5 < length {
        return None;
    }
    let tell = |which: &dyn Fn(usize) -> bool| {
        let mut levels = [0.0; 4];
        for (level, steps) in levels.iter_mut().zip(&steps) {
            *level = median(steps.iter().enumerate().filter(|(i, _)| which(*i)).map(|(_, step)| *step).collect());
        }
        let agree = (0..steps[0].len()).filter(|i| steps.iter().zip(levels).all(|(s, l)| (s[*i] - l).abs() <= flat));
        Step { levels, share: agree.count() as f64 / length as f64 }
    };
    let all = tell(&|_| true);
    if all.size() > flat {
        return Some(all);
    }
    // Where shapes cross most of the join and go on, only the ground between them tells.
    let ground = tell(&|i| steps.iter().any(|step| step[i].abs() > flat));
    Some(if ground.share > 0.25 && ground.size() > flat { ground } else { all })
}
