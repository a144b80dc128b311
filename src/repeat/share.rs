//! Steps and operators in shares of the block, as fractions: exact before there are units.

use super::symmetry::Triplet;

/// A number as a fraction; the denominator is above zero.
pub(super) type Part = (i64, i64);
pub(super) type Step = [Part; 2];
pub(super) const ZERO: Part = (0, 1);
pub(super) const HALF: Part = (1, 2);
pub(super) const ONE: Part = (1, 1);
pub(super) const TWO: Part = (2, 1);

/// An operator whose shift is in shares of the block.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Share {
    pub(super) m: [[i64; 2]; 2],
    pub(super) t: Step,
}

impl Share {
    pub(super) const IDENTITY: Share = Share { m: [[1, 0], [0, 1]], t: [ZERO, ZERO] };
}

/// A triplet on the conventional cell, moved by whole cells so that it carries the block onto itself.
pub(super) fn share(triplet: Triplet) -> Share {
    let t = [0, 1].map(|row| {
        let reversed = triplet.m[row].contains(&-1);
        reduced(triplet.halves[row] + 2 * i64::from(reversed), 2)
    });
    Share { m: triplet.m, t }
}

/// The triplets of hexagonal axes that are plain mirrors and half turns on the upright rectangle; the
/// others are these after a turn by a third.
pub(super) fn upright(triplet: Triplet) -> Option<Share> {
    // Axes (1, 0) and (-1/2, 1/2) in shares of the rectangle: X = x − y/2, Y = y/2.
    let [[a, b], [c, d]] = triplet.m;
    // The columns of the same operator in X and Y, times two.
    let m = [[2 * a - c, 2 * a + 4 * b - c - 2 * d], [c, c + 2 * d]];
    (m[0][1] == 0 && m[1][0] == 0).then(|| Share { m: m.map(|row| row.map(|n| n / 2)), t: [ZERO, ZERO] })
}

pub(super) fn units(step: Step, block: [i64; 2]) -> Option<[i64; 2]> {
    Some([part(step[0], block[0])?, part(step[1], block[1])?])
}

fn part((num, den): Part, units: i64) -> Option<i64> {
    let product = units.checked_mul(num)?;
    (product % den == 0).then(|| product / den)
}

pub(super) fn times(step: Step, n: i64) -> Step {
    step.map(|(num, den)| reduced(num * n, den))
}

pub(super) fn plus(a: Step, b: Step) -> Step {
    [0, 1].map(|axis| {
        let ((p, q), (r, s)) = (a[axis], b[axis]);
        reduced(p * s + r * q, q * s)
    })
}

fn reduced(num: i64, den: i64) -> Part {
    let by = gcd(num, den);
    (num / by, den / by)
}

pub(super) fn lcm(a: i64, b: i64) -> i64 {
    a / gcd(a, b) * b
}

/// Above zero, if one of them is.
pub(super) fn gcd(a: i64, b: i64) -> i64 {
    let (mut x, mut y) = (a.abs(), b.abs());
    while y != 0 {
        (x, y) = (y, x % y);
    }
    x.max(1)
}
