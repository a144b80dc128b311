//! Strewing motifs evenly over the torus of a block, by their silhouettes.
//!
//! ```text
//!      ╭─╮   ◗            gap        from outline to outline, never from box to box
//!   ◖  ╰─╯ ▲  ╭──╮        heroes     lie fixed; the others go around them
//!     ▲    ◗  ╰──╯ ◖      fillers    only in what is left
//!   ╭─╮  ◖   ▲            neighbors  over every edge are those that the layout steps or
//!   ╰─╯     ╭─╮   ◗                  mirrors there, a motif's own images among them
//! ```
//!
//! How it is done: motifs are thrown where there is most room, overlaps and all ([`scatter`]); then all are
//! pushed apart until none is nearer than the gap ([`push`]); what finds no place is taken out, and put into the
//! largest bare spot again ([`pockets`]); at last room is spread and the gap widened ([`evened`]).
//! Where things are is told by distance fields ([`field`]), fast and nearly true; whether they keep
//! the gap, by the outlines themselves ([`outlines`]). [`proof`] measures the result again, and shares nothing
//! with either.
//!
//! Pure geometry in any unit of length; y points down, a positive turn is clockwise and in degrees. The
//! same wishes give the same places on every machine: one thread, its own generator ([`random`]), `libm` for
//! angles, and no operation whose last bit is the machine's choice.

#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_possible_wrap,
    reason = "counts of motifs and cells, some thousands; rounded first where they come from lengths"
)]

mod bodies;
mod circle;
mod contact;
mod darts;
mod error;
mod evened;
mod field;
mod filling;
mod outlines;
mod placer;
mod pockets;
mod proof;
mod push;
mod random;
mod ready;
mod scatter;
mod shape;
mod torus;
mod wishes;

pub use darts::{Dart, darts};
pub use error::TossError;
pub use placer::{Tossed, toss};
pub use proof::{Close, Nearest, Outline, nearest};
pub use torus::Torus;
pub use wishes::{Fixed, Grain, Kind, Laid, Silhouette, Turns, Wishes};

/// A point or a way, across and down.
pub(crate) type Vector = [f64; 2];

fn minus(a: Vector, b: Vector) -> Vector {
    [a[0] - b[0], a[1] - b[1]]
}

fn dot(a: Vector, b: Vector) -> f64 {
    a[0] * b[0] + a[1] * b[1]
}

fn cross(a: Vector, b: Vector) -> f64 {
    a[0] * b[1] - a[1] * b[0]
}

/// Not `hypot`, whose last bit is the machine's choice.
fn length(a: Vector) -> f64 {
    dot(a, a).sqrt()
}
