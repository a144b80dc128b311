//! A tile moved within itself, so that its joins cross in the midst of the picture.

use super::view::{View, Window, over_white};
use crate::join::Image;

/// Pixels of the page's picture along its longer side.
const PAGE: f64 = 1000.0;

/// A tile, and how far it is moved.
pub(super) struct Moved<'a> {
    tile: &'a Image,
    by: [usize; 2],
    /// By how much, as it is said of it.
    pub(super) words: &'static str,
}

impl<'a> Moved<'a> {
    /// By half of itself both ways, a border across only. With a repeat inside (`blocks` of it) that may be the same
    /// picture again, as it is for a half-drop; then a quarter down.
    pub(super) fn of(tile: &'a Image, border: bool, blocks: usize) -> Moved<'a> {
        let half = "half of itself";
        let (down, words) = match (border, blocks) {
            (true, _) => (0, half),
            (false, 0 | 1) => (tile.height().div_ceil(2), half),
            (false, _) => (
                tile.height().div_ceil(4),
                "half of itself across and a quarter down, since by half both ways a drop is the same picture",
            ),
        };
        Moved { tile, by: [tile.width().div_ceil(2), down], words }
    }

    /// Its row `y` in RGB, over white.
    pub(super) fn row(&self, y: usize, row: &mut [u8]) {
        let (width, height) = (self.tile.width(), self.tile.height());
        for (x, pixel) in row.chunks_exact_mut(3).enumerate() {
            let from = [(x + self.by[0]) % width, (y + self.by[1]) % height];
            pixel.copy_from_slice(&over_white(self.tile.pixel(from[0], from[1])));
        }
    }

    /// The same, small enough for the page.
    pub(super) fn reduced(&self) -> View {
        let px = [self.tile.width(), self.tile.height()];
        let step = (px[0].max(px[1]) as f64 / PAGE).max(1.0);
        let size = px.map(|side| (side as f64 / step).round().max(1.0) as usize);
        let step = [0, 1].map(|axis| px[axis] as f64 / size[axis] as f64);
        View::reduced(self.tile, Window { from: self.by.map(|at| at as f64), step, size })
    }
}
