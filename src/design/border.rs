//! A border to be strewn on: it repeats across only, and what lies beyond its edges keeps motifs inside.
//!
//! ```text
//!   ■ ■ ■ ■ ■ ■ ■   squares without ink, half a gap beyond the edges: motifs keep the gap to
//!   ─────────────   them, and so half a gap to the edge
//!    ◖  ▲   ◗  ◖
//!   ─────────────
//!   ■ ■ ■ ■ ■ ■ ■   the same squares: the torus is as much higher than the border
//! ```

#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a count of squares, at most some hundreds"
)]

use super::bench::on_steps;
use super::order::Delivery;
use crate::toss::{Fixed, Kind, Silhouette, Torus, TossError};

/// The most squares in a row.
const MOST: f64 = 500.0;

/// A border in EMU as asked.
pub(super) struct Border {
    width: f64,
    height: f64,
    gap: f64,
    squares: usize,
}

impl Border {
    pub(super) fn new(delivery: &Delivery, kinds: &[Kind], gap: f64) -> Border {
        let scale = delivery.grid.scale();
        let [width, height] = [0, 1].map(|axis| delivery.repeat.block[axis] as f64 / scale[axis]);
        // Squares as large as motifs: all that asks who is near asks no farther than it must.
        let far = |kind: &Kind| {
            let squares = kind.silhouette.contours.iter().flatten().map(|[x, y]| x * x + y * y);
            squares.fold(0.0, f64::max).sqrt() * kind.sizes[1]
        };
        let side = kinds.iter().map(far).fold(gap, f64::max);
        Border { width, height, gap, squares: (width / side).ceil().clamp(2.0, MOST) as usize }
    }

    fn side(&self) -> f64 {
        self.width / self.squares as f64
    }

    fn steps(&self) -> [[f64; 2]; 2] {
        [[self.width, 0.0], [0.0, self.height + self.gap + self.side()]]
    }

    /// The torus, higher than the border by the squares and what is between.
    pub(super) fn torus(&self, delivery: &Delivery) -> Result<Torus, TossError> {
        on_steps(delivery, self.steps())
    }

    /// The border's share of the torus.
    pub(super) fn part(&self) -> f64 {
        self.height / self.steps()[1][1]
    }

    /// The squares, of one family of their own.
    pub(super) fn beyond(&self, family: usize) -> impl Iterator<Item = Fixed> + '_ {
        let (side, top) = (self.side(), self.height + self.gap / 2.0);
        (0..self.squares).map(move |n| {
            let [l, r] = [n, n + 1].map(|n| n as f64 * side);
            let contours = vec![vec![[l, top], [r, top], [r, top + side], [l, top + side]]];
            Fixed { silhouette: Silhouette { contours, slack: 0.0 }, family, overlap: true, bare: true }
        })
    }
}
