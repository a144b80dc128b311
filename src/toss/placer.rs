//! The toss itself: throw, push apart, take out what finds no place, fill bare spots, and at last widen the gap
//! as far as all can keep it.

use std::cell::Cell;

use super::bodies::{Body, Cells, Ground};
use super::contact::lying;
use super::error::TossError;
use super::outlines::near;
use super::pockets::{pockets, room};
use super::push::{Push, SHARE, Weed, weed};
use super::random::Random;
use super::scatter::{Mix, body, rounded, thrown, turned};
use super::shape::Shape;
use super::torus::Torus;
use super::wishes::{Kind, Laid, Turns, Wishes, sin_cos};
use super::{length, minus};

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
/// From how far off they feel each other when room is spread, in radii of the bald spots.
const FAR: f64 = 0.7;
/// How often room is spread.
const EVENED: usize = 8;
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

/// Makes all shapes ready, those of fixed motifs behind the kinds', and looks whether the wishes can be met at all.
pub(super) fn ground(torus: &Torus, wishes: &Wishes) -> Result<(Ground, Vec<Body>), TossError> {
    let step = length(torus.steps()[0]);
    if !(wishes.gap >= 0.0 && wishes.gap < step) {
        return Err(TossError::Gap { gap: wishes.gap, step });
    }
    let mains = || wishes.kinds.iter().filter(|kind| !kind.filler);
    if wishes.kinds.is_empty() {
        return Err(TossError::NoKind);
    }
    if mains().next().is_none() {
        return Err(TossError::OnlyFillers);
    }
    if let Some(kind) = wishes.kinds.iter().position(|k| !(k.sizes[0] > 0.0 && k.sizes[0] <= k.sizes[1])) {
        return Err(TossError::Sizes { kind, sizes: wishes.kinds[kind].sizes });
    }
    let shares_of = |filler: bool| wishes.kinds.iter().filter(move |k| k.filler == filler).map(|k| k.share);
    let none = |filler: bool| shares_of(filler).next().is_some() && shares_of(filler).sum::<f64>() <= 0.0;
    if wishes.kinds.iter().any(|k| !(k.share >= 0.0 && k.share.is_finite())) || none(false) || none(true) {
        return Err(TossError::Shares);
    }
    if wishes.apart.is_some() && mains().all(|kind| mains().next().is_some_and(|first| kind.family == first.family)) {
        return Err(TossError::Alone);
    }
    let mut shapes = Vec::new();
    for (kind, k) in wishes.kinds.iter().enumerate() {
        let reach = 1.5 * wishes.gap / k.sizes[0];
        shapes.push(Shape::new(&k.silhouette, reach).ok_or(TossError::NoInk { kind })?);
    }
    let (mut fixed, mut origins) = (Vec::new(), Vec::new());
    for (origin, one) in wishes.fixed.iter().enumerate() {
        // What lies fixed and has no ink is in nobody's way.
        let Some(shape) = Shape::new(&one.silhouette, 1.5 * wishes.gap) else { continue };
        let at = shape.middle;
        let whole = Body {
            shape: shapes.len(),
            at,
            size: 1.0,
            turn: 0.0,
            way: (0.0, 1.0),
            fixed: true,
            filler: false,
            family: one.family,
        };
        shapes.push(shape);
        fixed.push(whole);
        origins.push(origin);
    }
    let bare = Ground { torus: torus.clone(), shapes, gap: wishes.gap, apart: None };
    if let Some(error) = too_near(&bare, &fixed, &origins).or_else(|| too_large(&bare, wishes)) {
        return Err(error);
    }
    let shapes = bare.shapes;
    // Rounding moves an outline by no more than this.
    let Grains { at, turn } = Grains::of(wishes, &shapes);
    let gap = wishes.gap + 2.0 * (at + turn);
    Ok((Ground { torus: torus.clone(), shapes, gap, apart: wishes.apart }, fixed))
}

/// Two different ones that lie fixed, nearer than the gap. How one lies to its own images is the person's business.
fn too_near(ground: &Ground, fixed: &[Body], origins: &[usize]) -> Option<TossError> {
    let free: Vec<Body> = fixed.iter().map(|body| Body { fixed: false, ..*body }).collect();
    ground.pairs(&free, 0.0).into_iter().filter(|pair| pair.one != pair.other).find_map(|pair| {
        let (a, b) = lying(ground, &free, &pair);
        // Their slack is not held against them: as they lie, so they stay.
        let found = near(a, b, ground.gap)?;
        Some(TossError::FixedTooNear {
            fixed: [pair.one, pair.other].map(|n| origins[n as usize]),
            near: found.distance,
            at: found.a,
        })
    })
}

/// A kind that comes too near to its own copies a step away, however it is turned.
fn too_large(ground: &Ground, wishes: &Wishes) -> Option<TossError> {
    let steps = Torus::new(ground.torus.steps(), &[]).ok()?;
    let alone = Ground { torus: steps, ..ground.clone() };
    (0..wishes.kinds.len()).find_map(|kind| {
        let tried = wishes.turns.count().unwrap_or(36);
        let mut most = 0.0_f64;
        for n in 0..tried {
            let body = [body(&wishes.kinds, kind, wishes.kinds[kind].sizes[0]).turned(360.0 * n as f64 / tried as f64)];
            let nears = alone.pairs(&body, 0.0).into_iter().filter_map(|pair| {
                let (a, b) = lying(&alone, &body, &pair);
                near(a, b, pair.gap).map(|near| near.distance)
            });
            most = most.max(nears.fold(f64::INFINITY, f64::min));
        }
        most.is_finite().then_some(TossError::TooLarge { kind, near: most })
    })
}

/// How far rounding a place and a turn moves an outline at most.
struct Grains {
    at: f64,
    turn: f64,
}

impl Grains {
    fn of(wishes: &Wishes, shapes: &[Shape]) -> Grains {
        let farthest = wishes.kinds.iter().zip(shapes).map(|(k, shape)| k.sizes[1] * shape.radius).fold(0.0, f64::max);
        let turn = if wishes.turns == Turns::Any { wishes.grain.turn.to_radians() / 2.0 * farthest } else { 0.0 };
        // A size at the end of its range is rounded, too.
        Grains { at: wishes.grain.length * (0.7072 + 0.5), turn }
    }
}

struct Placer<'a> {
    ground: &'a Ground,
    wishes: &'a Wishes,
    stopped: &'a dyn Fn() -> bool,
    /// How much, from 0 to 1.
    done: &'a Cell<f64>,
    random: Random,
    turns: bool,
    /// What can be handed out at any time: rounded, and every gap kept.
    best: Vec<Body>,
}

impl<'a> Placer<'a> {
    fn mix(&self, filler: bool) -> Mix<'a> {
        Mix { kinds: &self.wishes.kinds, filler, grain: self.wishes.grain.length }
    }

    fn loose(&self, bodies: &[Body]) -> f64 {
        let sum: f64 = bodies.iter().map(|body| self.ground.radius(body)).sum();
        LOOSE * sum / bodies.len().max(1) as f64
    }

    fn pushed(&self, bodies: &mut [Body], widen: f64, sweeps: usize) -> f64 {
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
    fn finished(&self, bodies: &[Body]) -> Vec<Body> {
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
            *body = Body { turn, way: sin_cos(turn), ..*body };
            let off = body.off(shape);
            body.at = [at[0] + off[0], at[1] + off[1]];
        }
        let true_gap = Ground { gap: self.wishes.gap, ..self.ground.clone() };
        weed(&true_gap, &mut whole, 0.0, Weed { left: 0.0, exact: true, most: usize::MAX });
        whole
    }

    /// The result so far, if more of the ground is covered than before.
    fn kept(&mut self, bodies: &[Body]) -> bool {
        let whole = self.finished(bodies);
        let better = self.surface(&whole) >= self.surface(&self.best);
        if better {
            self.best = whole;
        }
        better
    }

    /// How bald the baldest spots are: the mean room of the roomiest tenth.
    fn bald(&self, bodies: &[Body]) -> f64 {
        let cells = Cells::new(self.ground, bodies);
        let spots = pockets(self.ground, bodies, &cells, 0.0);
        let few = (bodies.len() * self.ground.torus.operators().len()).div_ceil(10).max(1);
        let rooms = spots.iter().take(few).map(|spot| spot.room);
        rooms.sum::<f64>() / few as f64
    }

    /// Spreads what room there is: all feel each other from farther off than they can keep, so that each comes to lie
    /// where it is pressed alike from all sides.
    fn evened(&mut self) {
        let count = self.best.len();
        let mut bald = self.bald(&self.best);
        let mut from = self.best.clone();
        let mut far = FAR;
        for n in 0..EVENED {
            self.done.set(0.7 + 0.2 * n as f64 / EVENED as f64);
            if (self.stopped)() {
                break;
            }
            let mut tried = from.clone();
            if n % 2 == 1 {
                self.moved_over(&mut tried);
            }
            for share in [0.3, 0.2, 0.1] {
                let soft = Push {
                    turns: self.turns,
                    widen: bald * far,
                    sweeps: 8,
                    left: 0.0,
                    exact: false,
                    share,
                    patient: true,
                };
                soft.run(self.ground, &mut tried, self.stopped);
            }
            self.pushed(&mut tried, 0.0, 90);
            let whole = self.finished(&tried);
            let now = self.bald(&whole);
            if whole.len() == count && now < bald {
                bald = now;
                self.best = whole;
                from = tried;
            } else {
                // Those that were moved over may have been the wrong ones.
                far *= if n % 2 == 1 { 1.0 } else { 0.8 };
                from = self.best.clone();
            }
        }
    }

    /// Takes a few of the most crowded out and puts them into the largest bare spots, into each the one that fits best.
    fn moved_over(&mut self, bodies: &mut Vec<Body>) {
        let few = bodies.len().div_ceil(60);
        let spots = pockets(self.ground, bodies, &Cells::new(self.ground, bodies), 0.0);
        let widen = spots.first().map_or(0.0, |spot| spot.room);
        let mut left = bodies.clone();
        weed(self.ground, &mut left, widen, Weed { left: 0.0, exact: false, most: 8 * few });
        // Those that are missing, found by walking along both lists.
        let mut kept = left.iter().peekable();
        let mut out: Vec<Body> = Vec::new();
        for body in bodies.iter() {
            match kept.peek() {
                Some(next) if next.at == body.at && next.shape == body.shape => drop(kept.next()),
                _ => out.push(*body),
            }
        }
        let mut cells = Cells::new(self.ground, &left);
        for spot in spots.iter().take(few) {
            let mut best: Option<(f64, usize, Body)> = None;
            for (index, body) in out.iter().enumerate() {
                let there = Body { at: spot.at, ..*body };
                let (there, missing) = turned(self.ground, &left, &cells, there, self.wishes.turns, &mut self.random);
                let missing = missing / self.ground.radius(body);
                if best.as_ref().is_none_or(|(least, ..)| missing < *least) {
                    best = Some((missing, index, there));
                }
            }
            let Some((_, index, there)) = best else { break };
            out.remove(index);
            cells.add(self.ground, left.len(), &there);
            left.push(there);
        }
        left.extend(out);
        *bodies = left;
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

    /// Widens the gap as far as all can keep it.
    fn widened(&mut self) {
        self.done.set(0.9);
        let mut bodies = self.best.clone();
        let loose = self.loose(&bodies);
        let (mut wide, mut step) = (0.0, 4.0 * loose);
        while step > 0.4 * loose && !(self.stopped)() {
            let mut tried = bodies.clone();
            let left = self.pushed(&mut tried, wide + step, 150);
            if left < loose * 0.5 && self.kept(&tried) {
                bodies = tried;
                wide += step;
            } else {
                step /= 2.0;
            }
        }
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
