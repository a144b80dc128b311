//! Putting motifs in: the first throw, what bare spots get, and the fillers at last.

use super::bodies::{Body, Cells};
use super::placer::Placer;
use super::pockets::{pockets, room};
use super::scatter::{Mix, body, rounded, thrown, turned};
use super::wishes::Kind;

/// Of the cloth, what motifs with half the gap around them are thought to cover at first.
const FIRST: f64 = 0.8;
/// The most times that bare spots are filled.
const ROUNDS: usize = 40;
/// It ends when so many rounds in a row brought nothing.
const IDLE: usize = 3;
/// Of all motifs, how many are put in at once.
const BATCH: f64 = 0.06;
/// So many kinds may come next; the one that fits best does.
const DUE: usize = 3;

impl<'a> Placer<'a> {
    fn mix(&self, filler: bool) -> Mix<'a> {
        Mix { kinds: &self.wishes.kinds, filler, grain: self.wishes.grain.length }
    }

    /// Those that are no fillers.
    pub(super) fn mains(&mut self, mut bodies: Vec<Body>) {
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
        self.kept(&bodies);
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
    pub(super) fn fillers(&mut self) {
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
