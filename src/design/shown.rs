//! A design at another resolution than it is delivered in: to be looked at from near and far.

use super::error::DesignError;
use super::order::Order;
use crate::pixels::{PixelGrid, Resolution, Side};
use crate::repeat::Repeat;

impl Order {
    /// The first delivery's tile on the grid that is nearest to this resolution, and the design on it.
    ///
    /// # Errors
    /// A tile of too many pixels.
    pub fn shown_at(&self, resolution: Resolution) -> Result<(PixelGrid, Repeat), DesignError> {
        let delivery = &self.deliveries[0];
        let (sides, blocks) = delivery.asked;
        let asked = sides.map(|side| Side::Length(side.length(delivery.grid.resolution())));
        let grid = self.arrangement.fit((asked, blocks), resolution, false).map_err(DesignError::new)?;
        let repeat = self.on_grid(&grid, blocks, delivery.repeat.ground);
        let repeat = repeat.ok_or_else(|| {
            DesignError::new(format!("{} px can't carry the layout {}", grid.width(), self.arrangement))
        })?;
        Ok((grid, repeat))
    }
}
