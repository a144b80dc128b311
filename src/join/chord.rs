//! Shapes that a boundary cuts so near to their end that no contour of them can be followed over it.
//!
//! ```text
//!      ▄▟██     before │ behind      The chords of a round shape grow or shrink from line to line,
//!    ▟█████            │             and their contours run far along; their middles hardly move.
//!   ██████  ───────────┼────────     So a slip shows in the middles alone.
//!    ▜█████            │
//!      ▀▜██            │
//! ```

use rayon::prelude::*;

use super::fault::{Fault, FaultKind, Places};
use super::fit::median;
use super::image::{REACH, Strip};
use super::inside::quantile;
use super::soft::ground;
use super::track::Crossing;

/// What lies on the ground differs from it by more, in levels.
const CLEAR: f32 = 24.0;
/// A chord with less on it, in levels times samples, tells nothing.
const LEAST: f32 = 240.0;
/// By how much more or less a chord may hold than the one before it.
const GROWTH: f32 = 3.0;
/// By how much the ways of the middles on both sides may differ, in samples.
const BEND: f32 = 0.25;
/// A middle off by less is no slip, in samples.
const SLIP: f64 = 0.45;
/// Boundaries inside the tile that the join is held against.
const INSIDE: usize = 160;

/// A slip of all chords that go over the join, larger than next to all inside.
pub(super) fn slipped(strip: &Strip, places: Places) -> Option<Fault> {
    let Places { image, side } = places;
    let own = crossings(strip);
    let slip = median(own.iter().map(|chord| f64::from(chord.excess)).collect());
    let agree = own.iter().all(|chord| (f64::from(chord.excess) - slip).abs() < 0.3);
    if own.is_empty() || !agree || slip.abs() < SLIP {
        return None;
    }
    let inside = image.lines(side).saturating_sub(2 * REACH);
    let at = (0..inside.min(INSIDE)).map(|i| REACH + i * inside / inside.min(INSIDE));
    let at: Vec<usize> = at.collect();
    let usual = at.par_iter().flat_map_iter(|at| crossings(&Strip::around(image, side, *at)));
    let usual: Vec<f64> = usual.map(|chord| f64::from(chord.excess.abs())).collect();
    (slip.abs() > 2.0 * quantile(usual, 0.98)).then(|| Fault::new(FaultKind::Slip, slip, places.crossings(&own)))
}

/// A run of samples on the ground.
#[derive(Clone, Copy)]
struct Chord {
    from: usize,
    end: usize,
    middle: f32,
    mass: f32,
}

/// The chords of one line.
fn chords(line: &[f32], channels: usize) -> Vec<Chord> {
    let ground = ground(line, channels).map(|level| level as f32);
    let off = |pixel: &[f32]| pixel.iter().zip(&ground).map(|(n, g)| (n - g).abs() - CLEAR).fold(0.0, f32::max);
    let weights: Vec<f32> = line.chunks_exact(channels).map(off).collect();
    let mut chords = Vec::new();
    let mut at = 0;
    for run in weights.chunk_by(|a, b| (*a > 0.0) == (*b > 0.0)) {
        let (from, end) = (at, at + run.len());
        at = end;
        // What reaches over the line's ends is left out.
        if run[0] == 0.0 || from == 0 || end == weights.len() {
            continue;
        }
        let mass: f32 = run.iter().sum();
        let moment: f32 = run.iter().enumerate().map(|(i, weight)| (from + i) as f32 * weight).sum();
        if mass > LEAST {
            chords.push(Chord { from, end, middle: moment / mass, mass });
        }
    }
    chords
}

/// The chords that go over a strip's boundary.
fn crossings(strip: &Strip) -> Vec<Crossing> {
    let [far, before, behind, next] = [-2, -1, 0, 1].map(|offset| chords(strip.line(offset), strip.channels));
    // The only chord that one touches, and that no other one does.
    let partner = |own: &Chord, own_line: &[Chord], line: &[Chord]| -> Option<Chord> {
        let touch = |a: &Chord, b: &Chord| a.from < b.end && b.from < a.end;
        let [one] = line.iter().filter(|other| touch(own, other)).collect::<Vec<_>>()[..] else { return None };
        let alone = own_line.iter().filter(|other| touch(other, one)).count() == 1;
        let growth = one.mass / own.mass;
        (alone && growth < GROWTH && growth > 1.0 / GROWTH).then_some(*one)
    };
    let over = |own: &Chord| {
        let back = partner(own, &before, &far)?;
        let on = partner(own, &before, &behind)?;
        let beyond = partner(&on, &behind, &next)?;
        let ways = [own.middle - back.middle, beyond.middle - on.middle];
        let slope = f32::midpoint(ways[0], ways[1]);
        let excess = on.middle - own.middle - slope;
        ((ways[1] - ways[0]).abs() < BEND).then_some(Crossing { at: own.middle, slope, excess })
    };
    // Where the ground itself is another color behind, what lies on it is, too.
    let grounds = [-1, 0].map(|offset| ground(strip.line(offset), strip.channels));
    let is_one = grounds[0].iter().zip(grounds[1]).all(|(a, b)| (a - b).abs() < f64::from(CLEAR));
    if is_one { before.iter().filter_map(over).collect() } else { Vec::new() }
}
