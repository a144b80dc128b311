//! Where one silhouette comes too near to another, and which way leads out.

use kurbo::{Affine, Point};

use super::bodies::{Body, Ground, Pair};
use super::outlines::{self, Lying};
use super::{Vector, cross, dot, length, minus};

/// Two points that are too near.
#[derive(Clone, Copy, Debug)]
pub(super) struct Contact {
    /// How much is missing.
    pub(super) depth: f64,
    /// Where, on the cloth.
    pub(super) at: Vector,
    /// The way in which the first is pushed, of length one.
    pub(super) way: Vector,
}

/// What the feelers of `a` find deepest within `gap` of `b`, by the field of `b`; if nothing, how far off all is at least.
pub(super) fn felt(a: Lying<'_>, b: Lying<'_>, gap: f64) -> Result<Contact, f64> {
    let to = b.pose.inverse() * a.pose;
    let [xx, yx, xy, yy, tx, ty] = to.as_coeffs();
    let carried = |p: Vector| [xx * p[0] + xy * p[1] + tx, yx * p[0] + yy * p[1] + ty];
    let times = a.size / b.size;
    let (mut least, mut found) = (gap / b.size, None);
    let mut clear = f64::INFINITY;
    for group in &a.shape.feeling {
        let middle = carried(group.middle);
        let radius = group.radius * times;
        let (square, reach) = (dot(middle, middle), b.shape.radius + radius);
        let within = reach + least.max(0.0);
        let near = if square >= within * within { square.sqrt() - reach } else { b.shape.field.at(middle) - radius };
        if near >= least {
            clear = clear.min(near);
            continue;
        }
        for p in &a.shape.feelers[group.first..group.end] {
            let q = carried(*p);
            let near = b.shape.field.at(q);
            clear = clear.min(near);
            if near < least {
                (least, found) = (near, Some((*p, q)));
            }
        }
    }
    let (p, q) = found.ok_or(clear * b.size)?;
    let (near, way) = b.shape.field.slope(q);
    let at = a.pose * Point::new(p[0], p[1]);
    Ok(Contact { depth: gap - near * b.size, at: [at.x, at.y], way: unit(turned(b.pose, way)) })
}

/// What the feelers of `b` find in the field of `a`.
pub(super) fn felt_back(a: Lying<'_>, b: Lying<'_>, gap: f64) -> Result<Contact, f64> {
    felt(b, a, gap).map(|c| Contact { way: [-c.way[0], -c.way[1]], ..c })
}

/// What the outlines themselves say, where they cross what is felt; if nothing, how far off all is at least, as far as
/// `more` than the gap.
pub(super) fn measured(a: Lying<'_>, b: Lying<'_>, gap: f64, more: f64) -> Result<Contact, f64> {
    let near = outlines::near(a, b, gap + more).ok_or(gap + more)?;
    if near.distance >= gap {
        return Err(near.distance);
    }
    if near.distance > 0.0 {
        let way = minus(near.a, near.b);
        return Ok(Contact { depth: gap - near.distance, at: near.a, way: unit(way) });
    }
    // Where they cross between two feelers, nothing is felt.
    let away = unit(minus(a.middle(), b.middle()));
    let crossed = Contact { depth: gap, at: near.a, way: away };
    Ok(felt(a, b, gap).or_else(|_| felt_back(a, b, gap)).unwrap_or(crossed))
}

/// The most that is missing between the two of a pair.
pub(super) fn depth(ground: &Ground, bodies: &[Body], pair: &Pair, gap: f64) -> f64 {
    let (a, b) = lying(ground, bodies, pair);
    if apart(a, b, gap).is_some() {
        return 0.0;
    }
    let depth = |contact: Result<Contact, f64>| contact.map_or(0.0, |c| c.depth);
    depth(felt(a, b, gap)).max(depth(felt(b, a, gap)))
}

/// The two of a pair in their places.
pub(super) fn lying<'a>(ground: &'a Ground, bodies: &[Body], pair: &Pair) -> (Lying<'a>, Lying<'a>) {
    (ground.lying(&bodies[pair.one as usize]), ground.image(&bodies[pair.other as usize], pair.image))
}

/// How much farther than the gap they are apart by their circles, if they are.
pub(super) fn apart(a: Lying<'_>, b: Lying<'_>, gap: f64) -> Option<f64> {
    let way = minus(a.middle(), b.middle());
    let (square, reach) = (dot(way, way), a.shape.radius * a.size + b.shape.radius * b.size + gap);
    (square >= reach * reach).then(|| square.sqrt() - reach)
}

/// Moves and turns the two of a pair apart, by a share of what is missing; returns how far a point of each was moved at most.
///
/// Each gives way by what a point at the contact moves for the least change of both: what turns easily, turns. An
/// image moves as its body does, mirrored and turned; a body and its own image are one.
pub(super) fn yielded(
    ground: &Ground,
    bodies: &mut [Body],
    pair: &Pair,
    contact: Contact,
    turns: bool,
    share: f64,
) -> [f64; 2] {
    let (i, j) = (pair.one as usize, pair.other as usize);
    let back = pair.image.inverse();
    let at = back * Point::new(contact.at[0], contact.at[1]);
    let ways = [contact.way, turned(back, [-contact.way[0], -contact.way[1]])];
    let arms = [minus(contact.at, bodies[i].at), minus([at.x, at.y], bodies[j].at)];
    let mut lever = [cross(arms[0], ways[0]), cross(arms[1], ways[1])];
    // A mirrored image turns the other way, which the mirrored arm and way say already.
    let weight = |body: &Body| {
        let radius = ground.radius(body).max(1e-300);
        let free = if body.fixed { 0.0 } else { 1.0 };
        [free, if turns { free * 2.0 / (radius * radius) } else { 0.0 }]
    };
    let weights = [weight(&bodies[i]), weight(&bodies[j])];
    let mut moves = ways;
    let own = i == j;
    if own {
        moves = [[ways[0][0] + ways[1][0], ways[0][1] + ways[1][1]], [0.0; 2]];
        lever = [lever[0] + lever[1], 0.0];
    }
    let stiff: f64 =
        (0..2).map(|n| weights[n][0] * dot(moves[n], moves[n]) + weights[n][1] * lever[n] * lever[n]).sum();
    if stiff < 1e-9 {
        return [0.0; 2];
    }
    let force = share * contact.depth / stiff;
    let mut moved = [0.0; 2];
    for (n, index) in [i, j].into_iter().enumerate().take(if own { 1 } else { 2 }) {
        let body = bodies[index];
        let radius = ground.radius(&body);
        let by = [moves[n][0] * weights[n][0] * force, moves[n][1] * weights[n][0] * force];
        let far = length(by);
        let short = if far > radius { radius / far } else { 1.0 };
        let angle = (lever[n] * weights[n][1] * force).clamp(-0.25, 0.25);
        let at = [body.at[0] + by[0] * short, body.at[1] + by[1] * short];
        let body = Body { at, ..body };
        bodies[index] = if angle == 0.0 { body } else { body.turned(body.turn + angle.to_degrees()) };
        moved[n] = far * short + angle.abs() * radius;
    }
    moved
}

/// A way under a transform's linear part.
fn turned(by: Affine, [x, y]: Vector) -> Vector {
    let [xx, yx, xy, yy, ..] = by.as_coeffs();
    [xx * x + xy * y, yx * x + yy * y]
}

fn unit(way: Vector) -> Vector {
    let size = length(way);
    if size > 0.0 { [way[0] / size, way[1] / size] } else { [1.0, 0.0] }
}
