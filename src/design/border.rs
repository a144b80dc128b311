//! A border to be strewn on: it repeats across only, and what lies beyond its edges keeps motifs inside.
//!
//! ```text
//!   ■ ■ ■ ■ ■ ■ ■   bars without ink, half a gap beyond the edges: motifs keep the gap to
//!   ─────────────   them, and so half a gap to the edge
//!    ◖  ▲   ◗  ◖
//!   ─────────────
//!   ■ ■ ■ ■ ■ ■ ■   the same: the torus is as much higher than the border
//! ```

#![allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a count of bars, at most some hundreds")]

use super::bench::on_steps;
use super::order::Delivery;
use crate::toss::{Fixed, Kind, Silhouette, Torus, TossError};

/// The most bars in a row.
const MOST: f64 = 500.0;

/// A border in EMU as asked.
pub(super) struct Border {
    width: f64,
    height: f64,
    gap: f64,
    bars: usize,
    /// How high they are: what hangs over one edge doesn't reach to the other, nor what is to be kept apart.
    deep: f64,
}

impl Border {
    pub(super) fn new(delivery: &Delivery, kinds: &[Kind], fixed: &[Fixed], [gap, apart]: [f64; 2]) -> Border {
        let scale = delivery.grid.scale();
        // Where columns alternate, all of them.
        let width = delivery.repeat.lattice.across() as f64 / scale[0];
        let height = delivery.repeat.block[1] as f64 / scale[1];
        // As wide as motifs: all that asks who is near asks no farther than it must.
        let far = |kind: &Kind| {
            let all = kind.silhouette.contours.iter().flatten().map(|[x, y]| x * x + y * y);
            all.fold(0.0, f64::max).sqrt() * kind.sizes[1]
        };
        let side = kinds.iter().map(far).fold(gap, f64::max);
        let bars = (width / side).ceil().clamp(2.0, MOST);
        let ys = || fixed.iter().flat_map(|one| &one.silhouette.contours).flatten().map(|[_, y]| *y);
        // Over either edge: a mirrored border has it over both.
        let over = 2.0 * (ys().fold(height, f64::max) - height).max(-ys().fold(0.0, f64::min));
        Border { width, height, gap, bars: bars as usize, deep: width / bars + over + apart }
    }

    fn steps(&self) -> [[f64; 2]; 2] {
        [[self.width, 0.0], [0.0, self.height + self.gap + self.deep]]
    }

    /// The torus, higher than the border by the bars and what is between.
    pub(super) fn torus(&self, delivery: &Delivery) -> Result<Torus, TossError> {
        on_steps(delivery, self.steps())
    }

    /// The border's share of the torus.
    pub(super) fn part(&self) -> f64 {
        self.height / self.steps()[1][1]
    }

    /// The bars beyond its edges, of one family of their own.
    pub(super) fn beyond(&self, family: usize) -> impl Iterator<Item = Fixed> + '_ {
        let (side, top) = (self.width / self.bars as f64, self.height + self.gap / 2.0);
        (0..self.bars).map(move |n| {
            let [l, r] = [n, n + 1].map(|n| n as f64 * side);
            let contours = vec![vec![[l, top], [r, top], [r, top + self.deep], [l, top + self.deep]]];
            Fixed { silhouette: Silhouette { contours, slack: 0.0 }, family, overlap: true, bare: true }
        })
    }
}
