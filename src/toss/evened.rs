//! Spreading what room there is, after all have found their places.

use super::bodies::{Body, Cells};
use super::placer::Placer;
use super::pockets::pockets;
use super::push::{Push, Weed, weed};
use super::scatter::turned;

/// From how far off they feel each other when room is spread, in radii of the bald spots.
const FAR: f64 = 0.7;
/// How often room is spread.
const EVENED: usize = 8;

impl Placer<'_> {
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
    pub(super) fn evened(&mut self) {
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

    /// Widens the gap as far as all can keep it.
    pub(super) fn widened(&mut self) {
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
}
