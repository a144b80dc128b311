//! Darts: motifs thrown blindly, each kept if it keeps its gap, none ever moved. What a toss is measured against.
//!
//! Discs thrown so until none goes in any more cover 0.547 of the plane (J. Feder, "Random sequential adsorption", J.
//! Theor. Biol. 87, 1980; S. Torquato, O. Uche and F. Stillinger, Phys. Rev. E 74, 2006).

use super::bodies::{Body, Cells, Ground, moved};
use super::error::TossError;
use super::outlines::near;
use super::random::Random;
use super::ready::ground;
use super::scatter::{Mix, body};
use super::shape::Shape;
use super::torus::Torus;
use super::wishes::{Kind, Laid, Turns, Wishes};
use super::{Vector, minus};

/// What is thrown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dart {
    /// The least circle around each motif, until there is provably no place for another: the ground is cut
    /// into cells, ever finer, and a cell that lies wholly within reach of one circle is thrown at no more.
    Circles,
    /// The silhouette, until so many in a row found no place.
    Outlines {
        /// How many.
        patience: usize,
    },
}

/// The most cells that may be open at once.
const MOST_CELLS: usize = 20_000_000;

/// Throws until nothing goes in, or `wishes.count` or `wishes.most` lie; each dart's kind and size are chance, by the
/// shares.
///
/// # Errors
/// As [`toss`](super::toss).
pub fn darts(torus: &Torus, wishes: &Wishes, dart: Dart) -> Result<Vec<Laid>, TossError> {
    let (ground, bodies) = ground(torus, wishes)?;
    let ground = Ground { gap: wishes.gap, ..ground };
    let surface = |(kind, shape): (&Kind, &Shape)| shape.area * kind.sizes[0] * kind.sizes[0];
    let least = wishes.kinds.iter().zip(&ground.shapes).map(surface).fold(f64::INFINITY, f64::min);
    let cells = Cells::with_room(&ground, &bodies, ((torus.area() / least) as usize).min(wishes.most));
    let mut board = Board { ground: &ground, wishes, bodies, cells, random: Random::new(wishes.seed) };
    board.cells.largest =
        wishes.kinds.iter().zip(&ground.shapes).map(|(k, s)| k.sizes[1] * s.radius).fold(0.0, f64::max);
    match dart {
        Dart::Circles => board.circles(),
        Dart::Outlines { patience } => board.outlines(patience),
    }
    let laid = board.bodies.iter().filter(|body| !body.fixed);
    Ok(laid.map(|body| body.laid(&ground.shapes[body.shape])).collect())
}

struct Board<'a> {
    ground: &'a Ground,
    wishes: &'a Wishes,
    bodies: Vec<Body>,
    cells: Cells,
    random: Random,
}

impl Board<'_> {
    /// By chance, in the shares that are asked.
    fn drawn(&mut self) -> Body {
        let mains: Vec<usize> = (0..self.wishes.kinds.len()).filter(|k| !self.wishes.kinds[*k].filler).collect();
        let whole: f64 = mains.iter().map(|k| self.wishes.kinds[*k].share).sum();
        let mut at = self.random.share() * whole;
        let found = mains.iter().find(|k| {
            at -= self.wishes.kinds[**k].share;
            at < 0.0
        });
        let kind = found.or(mains.last()).copied().unwrap_or(0);
        let mix = Mix { kinds: &self.wishes.kinds, filler: false, grain: self.wishes.grain.length };
        let size = mix.size(kind, &mut self.random, f64::INFINITY);
        let turn = match self.wishes.turns {
            Turns::Any => self.random.between(0.0, 360.0),
            turns => self.random.below(turns.count().unwrap_or(1)) as f64 * 360.0 / turns.count().unwrap_or(1) as f64,
        };
        body(&self.wishes.kinds, kind, size).turned(turn)
    }

    fn full(&self) -> bool {
        let laid = self.bodies.iter().filter(|body| !body.fixed).count();
        laid >= self.wishes.count.unwrap_or(usize::MAX).min(self.wishes.most)
    }

    fn lay(&mut self, body: Body) {
        self.cells.add(self.ground, self.bodies.len(), &body);
        self.bodies.push(body);
    }

    /// Whether it keeps its gap to all others and its own images, by circles or outlines.
    fn is_free(&self, body: &Body, circles: bool) -> bool {
        let mut free = true;
        let radius = self.ground.radius(body);
        let gap = self.ground.gap.max(self.ground.apart.unwrap_or(0.0));
        let lying = self.ground.lying(body);
        let slack = self.ground.shapes.iter().map(|s| s.slack).fold(0.0, f64::max) * 4.0;
        self.cells.around(&self.ground.torus, body.at, radius + gap + slack + self.cells.largest, |entry, image| {
            if !free {
                return;
            }
            let other = &self.bodies[entry];
            let gap = self.ground.gap_of(body, other);
            let way = minus(moved(image, other.at), body.at);
            let reach = radius + self.ground.radius(other) + gap;
            if way[0] * way[0] + way[1] * way[1] < reach * reach {
                free = !circles && near(lying, self.ground.image(other, image), gap).is_none();
            }
        });
        free && self.is_free_of_itself(body, circles)
    }

    fn is_free_of_itself(&self, body: &Body, circles: bool) -> bool {
        let pairs = self.ground.pairs(std::slice::from_ref(body), 0.0);
        pairs.iter().all(|pair| {
            let image = self.ground.image(body, pair.image);
            !circles && near(self.ground.lying(body), image, pair.gap).is_none()
        })
    }

    fn outlines(&mut self, patience: usize) {
        let mut missed = 0;
        while missed < patience && !self.full() {
            let at = self.ground.torus.point([self.random.share(), self.random.share()]);
            let body = Body { at, ..self.drawn() };
            if self.is_free(&body, false) {
                self.lay(body);
                missed = 0;
            } else {
                missed += 1;
            }
        }
    }

    fn circles(&mut self) {
        let kinds =
            self.wishes.kinds.iter().zip(&self.ground.shapes).filter(|(kind, _)| !kind.filler && kind.share > 0.0);
        let least = kinds.map(|(kind, shape)| kind.sizes[0] * shape.radius).fold(f64::INFINITY, f64::min);
        let reach = self.ground.torus.reach(least);
        let mut side = reach.map(|reach| 1.0 / (2.0 / reach).ceil());
        let count = side.map(|side| (1.0 / side).round() as usize);
        let mut open: Vec<Vector> = (0..count[0] * count[1])
            .map(|n| [(n % count[0]) as f64 * side[0], (n / count[0]) as f64 * side[1]])
            .collect();
        while !open.is_empty() && open.len() < MOST_CELLS && !self.full() {
            for _ in 0..open.len() {
                let corner = open[self.random.below(open.len())];
                let shares = [corner[0] + self.random.share() * side[0], corner[1] + self.random.share() * side[1]];
                let body = Body { at: self.ground.torus.point(shares), ..self.drawn() };
                if self.is_free(&body, true) {
                    self.lay(body);
                }
            }
            side = side.map(|side| side / 2.0);
            let quarters = open.iter().flat_map(|c| {
                (0..4).map(move |n| [c[0] + side[0] * f64::from(n % 2), c[1] + side[1] * f64::from(n / 2)])
            });
            open = quarters.filter(|corner| !self.is_covered(*corner, side, least)).collect();
        }
    }

    /// Whether one circle keeps the least one out of a whole cell.
    fn is_covered(&self, corner: Vector, side: Vector, least: f64) -> bool {
        let torus = &self.ground.torus;
        let corners = [[0.0, 0.0], [1.0, 0.0], [0.0, 1.0], [1.0, 1.0]];
        let corners = corners.map(|[x, y]| torus.point([corner[0] + x * side[0], corner[1] + y * side[1]]));
        let mut covered = false;
        self.cells.around(torus, corners[0], self.cells.largest + least + self.ground.gap, |entry, image| {
            let other = &self.bodies[entry];
            let reach = self.ground.radius(other) + least + self.ground.gap;
            let at = moved(image, other.at);
            covered |= corners.iter().all(|p| {
                let way = minus(*p, at);
                way[0] * way[0] + way[1] * way[1] < reach * reach
            });
        });
        covered
    }
}
