//! Where there is room: bare spots, the largest first.

use super::Vector;
use super::bodies::{Body, Cells, Ground};

/// Points of the grid for each body.
const POINTS: f64 = 40.0;

/// A bare spot.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pocket {
    pub(super) at: Vector,
    /// From there to the nearest outline, nearly.
    pub(super) room: f64,
}

/// How far the nearest outline is from a point, nearly; at most `most`.
pub(super) fn room(ground: &Ground, bodies: &[Body], cells: &Cells, at: Vector, most: f64) -> f64 {
    let mut found = most;
    cells.around(&ground.torus, at, most + cells.largest, |entry, image| {
        let body = ground.image(&bodies[entry], image);
        let way = super::minus(at, body.middle());
        let far = super::dot(way, way);
        let reach = body.shape.radius * body.size + found;
        if far < reach * reach {
            let local = body.pose.inverse() * kurbo::Point::new(at[0], at[1]);
            found = found.min(body.shape.field.at([local.x, local.y]) * body.size);
        }
    });
    found
}

/// The points of a grid that have more room than those around them, the roomiest first.
pub(super) fn pockets(ground: &Ground, bodies: &[Body], cells: &Cells, least: f64) -> Vec<Pocket> {
    let torus = &ground.torus;
    let images = (bodies.len() * torus.operators().len()).max(4) as f64;
    let reach = torus.reach((torus.area() / images / POINTS).sqrt());
    let count = reach.map(|reach| ((1.0 / reach).ceil() as usize).clamp(8, 2000));
    let most = torus.area().sqrt();
    let place = |x: usize, y: usize| torus.point([x as f64 / count[0] as f64, y as f64 / count[1] as f64]);
    let mut rooms = vec![0.0; count[0] * count[1]];
    let mut before = most;
    let step = {
        let [u, v] = torus.steps();
        super::length(u) / count[0] as f64 + super::length(v) / count[1] as f64
    };
    for y in 0..count[1] {
        for x in 0..count[0] {
            // A step away the room is no more than a step larger.
            before = room(ground, bodies, cells, place(x, y), if x == 0 { most } else { (before + step).max(step) });
            rooms[y * count[0] + x] = before;
        }
    }
    let mut found = Vec::new();
    for y in 0..count[1] {
        for x in 0..count[0] {
            let here = rooms[y * count[0] + x];
            let around = (0..9).map(|n| {
                let (x, y) = ((x + n % 3 + count[0] - 1) % count[0], (y + n / 3 + count[1] - 1) % count[1]);
                rooms[y * count[0] + x]
            });
            if here > least && around.into_iter().all(|other| other <= here) {
                found.push(Pocket { at: place(x, y), room: here });
            }
        }
    }
    found.sort_by(|a, b| b.room.total_cmp(&a.room));
    found
}
