//! The toss itself: throw, push apart, take out what finds no place, fill bare spots, and at last widen the gap
//! as far as all can keep it.

use std::cell::Cell;

use super::bodies::{Body, Cells, Ground};
use super::error::TossError;
use super::minus;
use super::pockets::{pockets, room};
use super::push::{Push, SHARE, Weed, weed};
use super::random::Random;
use super::ready::ground;
use super::scatter::{Mix, body, rounded, thrown, turned};
use super::torus::Torus;
use super::wishes::{Kind, Laid, Turns, Wishes};

/// Of the cloth, what motifs with half the gap around them are thought to cover at first.
const FIRST: f64 = 0.8;
/// The most times that bare spots are filled.
const ROUNDS: usize = 40;
/// It ends when so many rounds in a row brought nothing.
const IDLE: usize = 3;
/// Of all motifs, how many are put in at once.
const BATCH: f64 = 0.06;
/// What may be missing while it is pushed by fields, in shares of a motif's radius.
const LOOSE: f64 = 0.02;

/// So many kinds may come next; the one that fits best does.
const DUE: usize = 3;
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
    placer.evened();
    placer.widened();
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
    fn mix(&self, filler: bool) -> Mix<'a> {
        Mix { kinds: &self.wishes.kinds, filler, grain: self.wishes.grain.length }
    }

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

    /// Those that are no fillers.
    fn mains(&mut self, mut bodies: Vec<Body>) {
        let (fixed, mix) = (bodies.len(), self.mix(false));
        let wanted = self.wishes.count.unwrap_or(usize::MAX).min(self.wishes.most);
        let first = wanted.min(self.thought(&bodies));
        let mut cells = Cells::with_room(self.ground, &bodies, first);
        for body in self.drawn(&mix, &bodies, first) {
            let body = thrown(self.ground, &bodies, &cells, body, self.wishes.turns, &mut self.random);
            cells.add(self.ground, bodies.len(), &body);
            bodies.push(body);
        }
        self.pushed(&mut bodies, 0.0, 300);
        self.settle(&mut bodies);
        let mut idle = 0;
        for round in 0..ROUNDS {
            // The first throw takes as long as some rounds, and most tosses end before the last round.
            self.done.set((0.1 + 0.05 * round as f64).min(0.7));
            let have = bodies.len() - fixed;
            if have >= wanted || idle >= IDLE || (self.stopped)() {
                break;
            }
            let mut more = bodies.clone();
            let batch = ((have as f64 * BATCH / (1.0 + round as f64 / 8.0)).ceil() as usize).max(1);
            if !self.filled(&mut more, &mix, batch.min(wanted - have)) {
                break;
            }
            self.pushed(&mut more, 0.0, 200);
            self.settle(&mut more);
            if self.surface(&more) > self.surface(&bodies) * (1.0 + 1e-9) {
                bodies = more;
                idle = 0;
            } else {
                idle += 1;
            }
        }
    }

    /// Takes out what finds no place, and keeps the result if it is the best.
    fn settle(&mut self, bodies: &mut Vec<Body>) {
        let spare = self.loose(bodies) * SPARE;
        while !(self.stopped)() {
            // A few at a time: what pressed on them has room then.
            let few = (bodies.len() / 50).max(1);
            if weed(self.ground, bodies, spare, Weed { left: spare, exact: false, most: few }) == 0 {
                break;
            }
            self.pushed(bodies, 0.0, 50);
        }
        self.kept(bodies);
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
            let page = self.ground.torus.in_block(minus(body.at, body.off(shape)));
            let at = page.map(|n| rounded(n, grain.length));
            *body = body.turned(turn);
            let off = body.off(shape);
            body.at = [at[0] + off[0], at[1] + off[1]];
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

    fn surface(&self, bodies: &[Body]) -> f64 {
        bodies.iter().map(|body| self.ground.shapes[body.shape].area * body.size * body.size).sum()
    }

    /// Kinds and sizes of so many, the largest first.
    fn drawn(&mut self, mix: &Mix<'_>, bodies: &[Body], count: usize) -> Vec<Body> {
        let mut all = bodies.to_vec();
        for _ in 0..count {
            let kind = mix.next(&all);
            let size = mix.size(kind, &mut self.random, f64::INFINITY);
            all.push(body(mix.kinds, kind, size));
        }
        let mut drawn = all.split_off(bodies.len());
        drawn.sort_by(|a, b| self.ground.radius(b).total_cmp(&self.ground.radius(a)));
        drawn
    }

    /// How many are thought to go in.
    fn thought(&self, bodies: &[Body]) -> usize {
        let kinds: Vec<&Kind> = self.wishes.kinds.iter().filter(|kind| !kind.filler).collect();
        let whole: f64 = kinds.iter().map(|kind| kind.share).sum();
        let mut mean = 0.0;
        for (kind, shape) in self.wishes.kinds.iter().zip(&self.ground.shapes).filter(|(kind, _)| !kind.filler) {
            let size = (kind.sizes[0] + kind.sizes[1]) / 2.0;
            mean += kind.share / whole * shape.field.area_within(self.ground.gap / 2.0 / size) * size * size;
        }
        let images = self.ground.torus.operators().len() as f64;
        let held: f64 =
            bodies.iter().map(|b| self.ground.shapes[b.shape].field.area_within(self.ground.gap / 2.0)).sum();
        let free = (self.ground.torus.area() / images - held).max(0.0);
        ((FIRST * free / mean).ceil() as usize).clamp(1, self.wishes.most)
    }

    /// Puts motifs into the largest bare spots; says whether there was any.
    fn filled(&mut self, bodies: &mut Vec<Body>, mix: &Mix<'_>, batch: usize) -> bool {
        let mut cells = Cells::new(self.ground, bodies);
        let spots = pockets(self.ground, bodies, &cells, 0.0);
        let mut count = 0;
        for spot in spots.iter().take(4 * batch) {
            if count == batch {
                break;
            }
            // Another may have been put in beside it.
            let here = room(self.ground, bodies, &cells, spot.at, spot.room);
            if here < spot.room * 0.6 {
                continue;
            }
            let wiggle = self.random.between(0.0, 0.1) * here;
            let at = [spot.at[0] + wiggle, spot.at[1]];
            let mut best: Option<(f64, Body)> = None;
            for kind in mix.due(bodies, DUE) {
                let radius = self.ground.shapes[kind].radius;
                let size = mix.size(kind, &mut self.random, 1.6 * here / radius);
                let new = Body { at, ..body(mix.kinds, kind, size) };
                let (new, missing) = turned(self.ground, bodies, &cells, new, self.wishes.turns, &mut self.random);
                let missing = missing / (radius * size);
                if best.as_ref().is_none_or(|(least, _)| missing < *least) {
                    best = Some((missing, new));
                }
            }
            let Some((_, new)) = best else { break };
            cells.add(self.ground, bodies.len(), &new);
            bodies.push(new);
            count += 1;
        }
        count > 0
    }

    /// Fillers, one by one, where they go in without moving anyone.
    fn fillers(&mut self) {
        let mix = self.mix(true);
        let mut bodies = self.best.clone();
        let mut missed = 0;
        while missed < 2 && bodies.len() < self.wishes.most && !(self.stopped)() {
            let before = bodies.len();
            let mut cells = Cells::new(self.ground, &bodies);
            for spot in pockets(self.ground, &bodies, &cells, 0.0) {
                let kind = mix.next(&bodies);
                let here = room(self.ground, &bodies, &cells, spot.at, spot.room) - self.ground.gap;
                let [low, high] = self.wishes.kinds[kind].sizes;
                let fits = here / self.ground.shapes[kind].radius;
                let size = rounded(fits.min(high), self.wishes.grain.length).max(low);
                let new = Body { at: spot.at, ..body(mix.kinds, kind, size) };
                let (new, missing) = turned(self.ground, &bodies, &cells, new, self.wishes.turns, &mut self.random);
                if missing == 0.0 {
                    cells.add(self.ground, bodies.len(), &new);
                    bodies.push(new);
                }
            }
            missed = if bodies.len() == before { missed + 1 } else { 0 };
            self.kept(&bodies);
        }
    }
}
