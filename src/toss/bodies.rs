//! All that lies on the torus, and who lies near whom.

use kurbo::{Affine, Vec2};

use super::outlines::Lying;
use super::shape::Shape;
use super::torus::Torus;
use super::wishes::Laid;
use super::{Vector, minus};
use crate::repeat::sin_cos_degrees;

/// One silhouette and where it lies.
#[derive(Clone, Copy, Debug)]
pub(super) struct Body {
    pub(super) shape: usize,
    /// The middle of the circle around it.
    pub(super) at: Vector,
    pub(super) size: f64,
    /// Degrees.
    pub(super) turn: f64,
    /// Sine and cosine of the turn.
    pub(super) way: (f64, f64),
    pub(super) fixed: bool,
    pub(super) filler: bool,
    pub(super) family: usize,
    /// The kind of place in whose block it was rounded.
    pub(super) place: usize,
}

impl Body {
    /// With another turn.
    pub(super) fn turned(self, turn: f64) -> Body {
        Body { turn, way: sin_cos_degrees(turn), ..self }
    }

    /// From the shape's own coordinates to the cloth.
    pub(super) fn pose(&self) -> Affine {
        let ((sin, cos), s) = (self.way, self.size);
        Affine::new([s * cos, s * sin, -s * sin, s * cos, self.at[0], self.at[1]])
    }

    /// As it is written: by the middle of its page.
    pub(super) fn laid(&self, shape: &Shape) -> Laid {
        let off = self.off(shape);
        Laid { kind: self.shape, at: minus(self.at, off), size: self.size, turn: self.turn, place: self.place }
    }

    /// From the page's middle to the circle's.
    pub(super) fn off(&self, shape: &Shape) -> Vector {
        let ((sin, cos), s, [x, y]) = (self.way, self.size, shape.middle);
        [s * (cos * x - sin * y), s * (sin * x + cos * y)]
    }
}

/// Two that may come too near: a body, and an image of another or of itself.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pair {
    pub(super) one: u32,
    pub(super) other: u32,
    /// From the other's own place to that of its image.
    pub(super) image: Affine,
    /// How far their outlines must be apart.
    pub(super) gap: f64,
}

/// Shapes and what they lie on.
#[derive(Clone, Debug)]
pub(super) struct Ground {
    pub(super) torus: Torus,
    pub(super) shapes: Vec<Shape>,
    pub(super) gap: f64,
    pub(super) apart: Option<f64>,
}

impl Ground {
    pub(super) fn lying(&self, body: &Body) -> Lying<'_> {
        Lying { shape: &self.shapes[body.shape], pose: body.pose(), size: body.size }
    }

    /// An image of a body.
    pub(super) fn image(&self, body: &Body, by: Affine) -> Lying<'_> {
        let lying = self.lying(body);
        Lying { pose: by * lying.pose, ..lying }
    }

    pub(super) fn radius(&self, body: &Body) -> f64 {
        self.shapes[body.shape].radius * body.size
    }

    /// How far two must be apart, what their outlines may be wrong by included.
    pub(super) fn gap_of(&self, a: &Body, b: &Body) -> f64 {
        let slack = self.shapes[a.shape].slack * a.size + self.shapes[b.shape].slack * b.size;
        let apart = self.apart.filter(|_| a.family == b.family && !(a.filler && b.filler));
        slack + apart.map_or(self.gap, |apart| apart.max(self.gap))
    }

    /// All pairs that are nearer than their gap and `more`, by their circles. Two that lie fixed are none.
    pub(super) fn pairs(&self, bodies: &[Body], more: f64) -> Vec<Pair> {
        let cells = Cells::new(self, bodies);
        let most = cells.largest + self.gap.max(self.apart.unwrap_or(0.0)) + self.slack(bodies) + more;
        let mut found = Vec::new();
        for (i, body) in bodies.iter().enumerate() {
            let radius = self.radius(body);
            cells.around(&self.torus, body.at, radius + most, |entry, image| {
                let other = &bodies[entry];
                if entry < i || (body.fixed && other.fixed) || (entry == i && image == Affine::IDENTITY) {
                    return;
                }
                let gap = self.gap_of(body, other);
                let apart = radius + self.radius(other) + gap + more;
                let way = minus(moved(image, other.at), body.at);
                if way[0] * way[0] + way[1] * way[1] < apart * apart {
                    found.push(Pair { one: i as u32, other: entry as u32, image, gap });
                }
            });
        }
        found
    }

    fn slack(&self, bodies: &[Body]) -> f64 {
        2.0 * bodies.iter().map(|body| self.shapes[body.shape].slack * body.size).fold(0.0, f64::max)
    }
}

pub(super) fn moved(by: Affine, [x, y]: Vector) -> Vector {
    let p = by * kurbo::Point::new(x, y);
    [p.x, p.y]
}

/// The images of all bodies, by cells of the torus.
pub(super) struct Cells {
    across: i64,
    down: i64,
    lists: Vec<Vec<Entry>>,
    /// The largest radius.
    pub(super) largest: f64,
}

struct Entry {
    body: usize,
    operator: Affine,
    /// Whole steps from the cell's home to where the image lies.
    steps: [i64; 2],
}

impl Cells {
    pub(super) fn new(ground: &Ground, bodies: &[Body]) -> Cells {
        Cells::with_room(ground, bodies, bodies.len())
    }

    /// Where so many are to come.
    pub(super) fn with_room(ground: &Ground, bodies: &[Body], expected: usize) -> Cells {
        let torus = &ground.torus;
        let images = (expected.max(bodies.len()) * torus.operators().len()).max(1) as f64;
        // About two images in a cell, as square as the steps allow.
        let reach = torus.reach((torus.area() / images).sqrt());
        let count = |reach: f64| ((1.0 / reach.max(1e-6)).round() as i64).clamp(1, 1000);
        let (across, down) = (count(reach[0]), count(reach[1]));
        let mut cells = Cells { across, down, lists: Vec::new(), largest: 0.0 };
        cells.lists.resize_with((across * down) as usize, Vec::new);
        for (i, body) in bodies.iter().enumerate() {
            cells.add(ground, i, body);
        }
        cells
    }

    /// One body more.
    pub(super) fn add(&mut self, ground: &Ground, index: usize, body: &Body) {
        self.largest = self.largest.max(ground.radius(body));
        for operator in ground.torus.operators() {
            let shares = ground.torus.shares(moved(*operator, body.at));
            let steps = [shares[0].floor() as i64, shares[1].floor() as i64];
            let x = ((shares[0] - steps[0] as f64) * self.across as f64) as i64;
            let y = ((shares[1] - steps[1] as f64) * self.down as f64) as i64;
            let cell = y.min(self.down - 1) * self.across + x.min(self.across - 1);
            self.lists[cell as usize].push(Entry { body: index, operator: *operator, steps });
        }
    }

    /// Every image whose middle may lie in a circle: its body, and the way from that to the image.
    pub(super) fn around(&self, torus: &Torus, at: Vector, radius: f64, mut each: impl FnMut(usize, Affine)) {
        let (shares, reach) = (torus.shares(at), torus.reach(radius));
        let range = |axis: usize, count: i64| {
            let first = ((shares[axis] - reach[axis]) * count as f64).floor() as i64;
            let last = ((shares[axis] + reach[axis]) * count as f64).floor() as i64;
            first..=last
        };
        for y in range(1, self.down) {
            for x in range(0, self.across) {
                let cell = y.rem_euclid(self.down) * self.across + x.rem_euclid(self.across);
                let home = [x.div_euclid(self.across), y.div_euclid(self.down)];
                for entry in &self.lists[cell as usize] {
                    let steps = [home[0] - entry.steps[0], home[1] - entry.steps[1]];
                    let by = torus.point([steps[0] as f64, steps[1] as f64]);
                    // A whole step of nothing is no move at all, to the last bit.
                    let to =
                        if steps == [0, 0] { Affine::IDENTITY } else { Affine::translate(Vec2::new(by[0], by[1])) };
                    each(entry.body, if steps == [0, 0] { entry.operator } else { to * entry.operator });
                }
            }
        }
    }
}
