//! The toss itself: throw, push apart, take out what finds no place, fill bare spots, and at last widen the gap
//! as far as all can keep it.

use std::cell::Cell;

use super::bodies::{Body, Ground};
use super::error::TossError;
use super::minus;
use super::push::{Push, SHARE, Weed, weed};
use super::random::Random;
use super::ready::ground;
use super::scatter::rounded;
use super::torus::Torus;
use super::wishes::{Laid, Turns, Wishes};

/// What may be missing while it is pushed by fields, in shares of a motif's radius.
const LOOSE: f64 = 0.02;
/// What it is pushed farther than the gap by the outlines, in shares of that.
const SPARE: f64 = 0.4;

/// What a toss came to.
#[derive(Clone, Debug)]
pub struct Tossed {
    /// The motifs in their places; those that were fixed are not among them.
    pub laid: Vec<Laid>,
    /// How many were asked, fillers apart; `None` for as many as go in.
    pub asked: Option<usize>,
    /// How many of them are fillers.
    pub fillers: usize,
    /// The share of the cloth that silhouettes cover, the fixed ones among them.
    pub coverage: f64,
    /// It was stopped before it was done.
    pub stopped: bool,
}

/// Strews motifs; `stopped` is told how much is done, from 0 to 1, and asked whether to end with what there is.
///
/// # Errors
/// Wishes that contradict themselves. That fewer went in than were asked is no error.
pub fn toss(torus: &Torus, wishes: &Wishes, stopped: &dyn Fn(f64) -> bool) -> Result<Tossed, TossError> {
    let (ground, fixed) = ground(torus, wishes)?;
    let done = Cell::new(0.0);
    let stopped = &|| stopped(done.get());
    let mut placer = Placer {
        ground: &ground,
        wishes,
        stopped,
        done: &done,
        random: Random::new(wishes.seed),
        turns: wishes.turns == Turns::Any,
        best: fixed.clone(),
    };
    placer.mains(fixed);
    // Without any there would be no end of room to spread.
    if placer.best.iter().any(|body| !body.fixed) {
        placer.evened();
        placer.widened();
    }
    if wishes.kinds.iter().any(|kind| kind.filler) {
        placer.fillers();
    }
    let best = placer.best;
    let surface = |body: &Body| ground.shapes[body.shape].area * body.size * body.size;
    let images = ground.torus.operators().len() as f64;
    let coverage = best.iter().map(surface).sum::<f64>() * images / ground.torus.area();
    let laid: Vec<Body> = best.into_iter().filter(|body| !body.fixed).collect();
    Ok(Tossed {
        asked: wishes.count,
        fillers: laid.iter().filter(|body| body.filler).count(),
        laid: laid.iter().map(|body| body.laid(&ground.shapes[body.shape])).collect(),
        coverage,
        stopped: stopped(),
    })
}

pub(super) struct Placer<'a> {
    pub(super) ground: &'a Ground,
    pub(super) wishes: &'a Wishes,
    pub(super) stopped: &'a dyn Fn() -> bool,
    /// How much, from 0 to 1.
    pub(super) done: &'a Cell<f64>,
    pub(super) random: Random,
    pub(super) turns: bool,
    /// What can be handed out at any time: rounded, and every gap kept.
    pub(super) best: Vec<Body>,
}

impl<'a> Placer<'a> {
    pub(super) fn loose(&self, bodies: &[Body]) -> f64 {
        let sum: f64 = bodies.iter().map(|body| self.ground.radius(body)).sum();
        LOOSE * sum / bodies.len().max(1) as f64
    }

    pub(super) fn pushed(&self, bodies: &mut [Body], widen: f64, sweeps: usize) -> f64 {
        let spare = self.loose(bodies) * SPARE;
        Push {
            turns: self.turns,
            widen: widen + spare,
            sweeps,
            left: spare * 0.5,
            exact: false,
            share: SHARE,
            patient: false,
        }
        .run(self.ground, bodies, self.stopped)
    }

    /// Takes out what finds no place.
    pub(super) fn settle(&self, bodies: &mut Vec<Body>) {
        let spare = self.loose(bodies) * SPARE;
        while !(self.stopped)() {
            // A few at a time: what pressed on them has room then.
            let few = (bodies.len() / 50).max(1);
            if weed(self.ground, bodies, spare, Weed { left: spare, exact: false, most: few }) == 0 {
                break;
            }
            self.pushed(bodies, 0.0, 50);
        }
    }

    /// Pushed by the outlines themselves, rounded, and freed of what is still too near.
    pub(super) fn finished(&self, bodies: &[Body]) -> Vec<Body> {
        let mut whole = bodies.to_vec();
        let spare = self.loose(bodies) * SPARE * 0.3;
        let exact = Push {
            turns: self.turns,
            widen: spare,
            sweeps: 40,
            left: spare * 0.9,
            exact: true,
            share: SHARE,
            patient: false,
        };
        let mut tries = 0;
        loop {
            exact.run(self.ground, &mut whole, self.stopped);
            tries += 1;
            let few = if tries > 4 { usize::MAX } else { (whole.len() / 100).max(1) };
            if weed(self.ground, &mut whole, 0.0, Weed { left: 0.0, exact: true, most: few }) == 0 {
                break;
            }
        }
        let grain = self.wishes.grain;
        for body in whole.iter_mut().filter(|body| !body.fixed) {
            let shape = &self.ground.shapes[body.shape];
            let turn = rounded(body.turn, grain.turn).rem_euclid(360.0);
            let (place, page) = self.ground.torus.in_block(minus(body.at, body.off(shape)));
            let (corner, at) = (self.ground.torus.corner(place), page.map(|n| rounded(n, grain.length)));
            *body = Body { place, ..body.turned(turn) };
            let off = body.off(shape);
            body.at = [corner[0] + at[0] + off[0], corner[1] + at[1] + off[1]];
        }
        let true_gap = Ground { gap: self.wishes.gap, ..self.ground.clone() };
        weed(&true_gap, &mut whole, 0.0, Weed { left: 0.0, exact: true, most: usize::MAX });
        whole
    }

    /// The result so far, if more of the ground is covered than before.
    pub(super) fn kept(&mut self, bodies: &[Body]) -> bool {
        let whole = self.finished(bodies);
        let better = self.surface(&whole) >= self.surface(&self.best);
        if better {
            self.best = whole;
        }
        better
    }

    pub(super) fn surface(&self, bodies: &[Body]) -> f64 {
        bodies.iter().map(|body| self.ground.shapes[body.shape].area * body.size * body.size).sum()
    }
}
