//! A design at another resolution than it is delivered in: to be looked at from near and far.

use super::error::DesignError;
use super::order::Order;
use crate::pixels::{Resolution, Side};
use crate::repeat::Repeat;

impl Order {
    /// The first delivery's tile on the grid that is nearest to this resolution, and the design on it.
    ///
    /// # Errors
    /// A tile of too many pixels.
    pub fn shown_at(&self, resolution: Resolution) -> Result<Repeat, DesignError> {
        let delivery = &self.deliveries[0];
        let (sides, blocks) = delivery.asked;
        let asked = sides.map(|side| Side::Length(side.length(delivery.grid.resolution())));
        let grid = self.arrangement.fit((asked, blocks), resolution, false).map_err(DesignError::new)?;
        let repeat = self.on_grid(&grid, blocks, delivery.repeat.ground);
        repeat.ok_or_else(|| {
            DesignError::new(format!("a tile of {} can't carry the layout {}", grid.size(), self.arrangement))
        })
    }
}
