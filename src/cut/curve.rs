//! One curve of the plane, and how it is cut into chords.

use kurbo::{CubicBez, ParamCurve, ParamCurveDeriv, Point, Vec2};

use super::plane::{Spot, Whole, spot};

/// The most chords of one curve.
const MOST_CHORDS: f64 = 65_536.0;

/// A curve, its control points whole numbers, and how it is cut.
#[derive(Clone, Copy, Debug)]
pub(super) struct Curve {
    pub curve: CubicBez,
    pub moved: [Whole; 2],
    pub chords: u32,
    pub straight: bool,
}

impl Curve {
    /// Chord `index` begins here.
    pub fn spot(&self, index: u32) -> Spot {
        let at = match index {
            0 => self.curve.p0,
            n if n >= self.chords => self.curve.p3,
            n => self.curve.eval(f64::from(n) / f64::from(self.chords)),
        };
        let at = spot(at);
        Spot::new(at.x + self.moved[0], at.y + self.moved[1])
    }

    /// A point of the curve, and how it goes on there for its parameter.
    pub fn at(&self, t: f64) -> (Point, Vec2) {
        let by = Vec2::new(self.moved[0] as f64, self.moved[1] as f64);
        if self.straight {
            return (self.curve.p0.lerp(self.curve.p3, t) + by, self.curve.p3 - self.curve.p0);
        }
        (self.curve.eval(t) + by, self.curve.deriv().eval(t).to_vec2())
    }
}

/// Exactly on what is upright or level.
pub(super) fn on_axes(curves: [&Curve; 2], mut at: Point) -> Point {
    for curve in curves.into_iter().filter(|curve| curve.straight) {
        let (a, b) = (curve.spot(0), curve.spot(1));
        if a.x == b.x {
            at.x = a.x as f64;
        }
        if a.y == b.y {
            at.y = a.y as f64;
        }
    }
    at
}

/// Chords of equal shares that lie no farther off than `exact`: G. Wang's bound by the second differences of the control
/// points ("The subdivision method for finding the intersection between two Bézier curves or surfaces", 1984; from memory).
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
pub(super) fn chords(curve: CubicBez, exact: f64) -> u32 {
    let bend = |a: Point, b: Point, c: Point| (a.to_vec2() - 2.0 * b.to_vec2() + c.to_vec2()).hypot();
    let most = bend(curve.p0, curve.p1, curve.p2).max(bend(curve.p1, curve.p2, curve.p3));
    (0.75 * most / exact).sqrt().ceil().clamp(1.0, MOST_CHORDS) as u32
}

/// Whether a curve is the line between its ends, passed in one direction.
pub(super) fn is_straight(curve: CubicBez) -> bool {
    let way = curve.p3 - curve.p0;
    let [b, c] = [curve.p1 - curve.p0, curve.p2 - curve.p0];
    let long = way.hypot2();
    let on = |v: Vec2| v.cross(way) == 0.0 && (0.0..=long).contains(&v.dot(way));
    // One that comes back to its start is a loop.
    (long > 0.0 || (b == Vec2::ZERO && c == Vec2::ZERO)) && on(b) && on(c)
}
