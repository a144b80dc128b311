//! Pushing all apart until none is too near.
//!
//! Pair after pair gives way by part of what is missing, and so again (Gauss and Seidel). What has not moved since it
//! was found far enough apart is not looked at again, so a change costs what lies around it.

use super::bodies::{Body, Ground, Pair};
use super::contact::{Contact, apart, depth, felt, lying, measured, yielded};
use super::minus;

/// The share of what is missing that is made good at once.
pub(super) const SHARE: f64 = 0.7;
/// It is looked after so many sweeps whether there is less missing than before, by a tenth at least.
const LOOK: usize = 15;

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
            let (pair, looked) = (near.pairs[n], near.looked[n]);
            let (i, j) = (pair.one as usize, pair.other as usize);
            if near.moved[i] < looked && near.moved[j] < looked {
                continue;
            }
            near.now += 1;
            let gap = pair.gap + self.widen;
            let mut missing = 0.0_f64;
            for swapped in [false, true] {
                let (a, b) = lying(ground, bodies, &pair);
                if apart(a, b, gap) {
                    break;
                }
                let contact = match (self.exact, swapped) {
                    (true, false) => measured(a, b, gap),
                    (true, true) => None,
                    (false, false) => felt(a, b, gap),
                    (false, true) => felt(b, a, gap).map(|c| Contact { way: [-c.way[0], -c.way[1]], ..c }),
                };
                let Some(contact) = contact.filter(|contact| contact.depth > 0.0) else { continue };
                missing = missing.max(contact.depth);
                if contact.depth > self.left * 0.5 {
                    let far = yielded(ground, bodies, &pair, contact, self.turns, self.share);
                    if far > 0.0 {
                        near.moved[i] = near.now;
                        near.moved[j] = near.now;
                    }
                }
            }
            worst = worst.max(missing);
            sum += missing;
            // Looked at after it was moved: only others can bring it nearer again, unless something is left.
            near.looked[n] = if missing > self.left * 0.5 { 0 } else { near.now + 1 };
        }
        (worst, sum)
    }
}

/// Who may come near whom, as long as nobody has gone far.
struct Neighbors {
    pairs: Vec<Pair>,
    /// When a pair was found far enough apart.
    looked: Vec<u64>,
    /// When a body was moved.
    moved: Vec<u64>,
    now: u64,
    from: Vec<Body>,
    skin: f64,
}

impl Neighbors {
    fn new(ground: &Ground, bodies: &[Body], widen: f64) -> Neighbors {
        let sum: f64 = bodies.iter().map(|body| ground.radius(body)).sum();
        let skin = 0.25 * sum / bodies.len().max(1) as f64;
        let pairs = ground.pairs(bodies, widen + 2.0 * skin);
        let looked = vec![0; pairs.len()];
        Neighbors { pairs, looked, moved: vec![0; bodies.len()], now: 0, from: bodies.to_vec(), skin }
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
            measured(a, b, gap).map_or(0.0, |contact| contact.depth.max(0.0))
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
