//! Pushing all apart until none is too near.
//!
//! Pair after pair gives way by part of what is missing, and so again (Gauss and Seidel). A pair that was found far
//! enough apart is not looked at again before the two have gone as far as there was to spare, so a change costs what
//! lies around it.

use super::bodies::{Body, Ground, Pair};
use super::contact::{apart, depth, felt, felt_back, lying, measured, yielded};
use super::minus;

/// The share of what is missing that is made good at once.
pub(super) const SHARE: f64 = 0.9;
/// It is looked after so many sweeps whether there is less missing than before, by a tenth at least.
const LOOK: usize = 15;
/// Of what there is to spare, what is counted on: a field may grow a little faster than the way that is gone.
const SURE: f64 = 0.8;

/// How it is pushed.
#[derive(Clone, Copy, Debug)]
pub(super) struct Push {
    /// Bodies may turn.
    pub(super) turns: bool,
    /// More than the gap, by so much.
    pub(super) widen: f64,
    /// So many times at most.
    pub(super) sweeps: usize,
    /// What may still be missing.
    pub(super) left: f64,
    /// By the outlines, where they don't cross.
    pub(super) exact: bool,
    /// The share of what is missing that is made good at once.
    pub(super) share: f64,
    /// To the last sweep, though it may bring nothing.
    pub(super) patient: bool,
}

impl Push {
    /// Pushes, and says how much was missing at most in the last sweep.
    pub(super) fn run(self, ground: &Ground, bodies: &mut [Body], stopped: &dyn Fn() -> bool) -> f64 {
        let (mut worst, mut sum, mut before) = (0.0, 0.0, f64::INFINITY);
        let mut near = Neighbors::new(ground, bodies, self.widen);
        for sweep in 0..self.sweeps {
            if stopped() {
                return f64::INFINITY;
            }
            (worst, sum) = self.sweep(ground, bodies, &mut near, sweep, sum);
            if worst <= self.left {
                break;
            }
            if (sweep + 1).is_multiple_of(LOOK) && !self.patient {
                if sum > 0.9 * before {
                    break;
                }
                (before, sum) = (sum, 0.0);
            }
            near.renew(ground, bodies, self.widen);
        }
        for body in bodies.iter_mut().filter(|body| !body.fixed) {
            body.at = ground.torus.home(body.at);
            body.turn = body.turn.rem_euclid(360.0);
        }
        worst
    }

    fn sweep(self, ground: &Ground, bodies: &mut [Body], near: &mut Neighbors, sweep: usize, sum: f64) -> (f64, f64) {
        let (mut worst, mut sum) = (0.0_f64, sum);
        let count = near.pairs.len();
        for n in 0..count {
            let n = if sweep.is_multiple_of(2) { n } else { count - 1 - n };
            let pair = near.pairs[n];
            let (i, j) = (pair.one as usize, pair.other as usize);
            if near.gone[i] + near.gone[j] <= near.until[n] {
                continue;
            }
            let gap = pair.gap + self.widen;
            let (mut missing, mut spare) = (0.0_f64, f64::INFINITY);
            // Each feels the other, in the next sweep the other first; outlines say all at once.
            let orders = [!sweep.is_multiple_of(2), sweep.is_multiple_of(2)];
            for swapped in orders.into_iter().take(if self.exact { 1 } else { 2 }) {
                let (a, b) = lying(ground, bodies, &pair);
                if let Some(more) = apart(a, b, gap) {
                    spare = spare.min(more);
                    break;
                }
                let contact = match (self.exact, swapped) {
                    (true, _) => measured(a, b, gap, self.widen),
                    (false, false) => felt(a, b, gap),
                    (false, true) => felt_back(a, b, gap),
                };
                match contact {
                    Ok(contact) => {
                        missing = missing.max(contact.depth);
                        if contact.depth > self.left * 0.5 {
                            let far = yielded(ground, bodies, &pair, contact, self.turns, self.share);
                            near.gone[i] += far[0];
                            near.gone[j] += far[1];
                            break;
                        }
                    }
                    Err(clear) => spare = spare.min(SURE * (clear - gap)),
                }
            }
            worst = worst.max(missing);
            sum += missing;
            // Only as far as others bring it nearer again, unless something is left.
            near.until[n] = match missing {
                0.0 => near.gone[i] + near.gone[j] + spare.max(0.0),
                small if small <= self.left * 0.5 => near.gone[i] + near.gone[j],
                _ => -1.0,
            };
        }
        (worst, sum)
    }
}

/// Who may come near whom, as long as nobody has gone far.
struct Neighbors {
    pairs: Vec<Pair>,
    /// How far the two of a pair may go, together and from the beginning, before they are looked at.
    until: Vec<f64>,
    /// How far a point of a body has gone at most, all its ways together.
    gone: Vec<f64>,
    from: Vec<Body>,
    skin: f64,
}

impl Neighbors {
    fn new(ground: &Ground, bodies: &[Body], widen: f64) -> Neighbors {
        let sum: f64 = bodies.iter().map(|body| ground.radius(body)).sum();
        let skin = 0.25 * sum / bodies.len().max(1) as f64;
        let pairs = ground.pairs(bodies, widen + 2.0 * skin);
        let until = vec![-1.0; pairs.len()];
        Neighbors { pairs, until, gone: vec![0.0; bodies.len()], from: bodies.to_vec(), skin }
    }

    /// A new list, if someone has gone farther than the old one allows.
    fn renew(&mut self, ground: &Ground, bodies: &[Body], widen: f64) {
        let far = bodies.iter().zip(&self.from).any(|(body, before)| {
            let way = minus(body.at, before.at);
            way[0] * way[0] + way[1] * way[1] > self.skin * self.skin
        });
        if far {
            *self = Neighbors::new(ground, bodies, widen);
        }
    }
}

/// Who is taken out.
#[derive(Clone, Copy, Debug)]
pub(super) struct Weed {
    /// What may be missing.
    pub(super) left: f64,
    /// By the outlines.
    pub(super) exact: bool,
    /// So many at most.
    pub(super) most: usize,
}

/// Takes out those that lack most; returns how many.
pub(super) fn weed(ground: &Ground, bodies: &mut Vec<Body>, widen: f64, how: Weed) -> usize {
    let Weed { left, exact, most } = how;
    let pairs = ground.pairs(bodies, widen);
    let mut lacks: Vec<(usize, usize, f64)> = Vec::new();
    for pair in &pairs {
        let gap = pair.gap + widen;
        let missing = if exact {
            let (a, b) = lying(ground, bodies, pair);
            measured(a, b, gap, 0.0).map_or(0.0, |contact| contact.depth.max(0.0))
        } else {
            depth(ground, bodies, pair, gap)
        };
        if missing > left {
            lacks.push((pair.one as usize, pair.other as usize, missing));
        }
    }
    let mut out = vec![false; bodies.len()];
    for _ in 0..most.min(bodies.len()) {
        let mut sums = vec![0.0; bodies.len()];
        for (i, j, missing) in lacks.iter().filter(|(i, j, _)| !out[*i] && !out[*j]) {
            sums[*i] += missing;
            sums[*j] += missing;
        }
        let worst = (0..bodies.len()).filter(|i| !bodies[*i].fixed && sums[*i] > 0.0);
        // A filler gives way before others do.
        let key = |i: &usize| (bodies[*i].filler, sums[*i] / ground.radius(&bodies[*i]));
        let worst = worst.max_by(|a, b| {
            let (a, b) = (key(a), key(b));
            a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
        });
        match worst {
            Some(worst) => out[worst] = true,
            None => break,
        }
    }
    let before = bodies.len();
    let mut index = 0;
    bodies.retain(|_| {
        index += 1;
        !out[index - 1]
    });
    before - bodies.len()
}
