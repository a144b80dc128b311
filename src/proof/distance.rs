//! The cloth as it looks from near and far: an eye at arm's length from the screen sees each panel as
//! it would see the goods from the distance that stands under it.

use super::frame::{Frame, FrameError, Held, INDIGO, LINEN};
use super::view::{View, Window};
use crate::join::Image;

/// CSS pixels in an inch: true size at arm's length on a screen that keeps to it.
const SCREEN: f64 = 96.0;
/// Arm's length is taken for half a metre (common practice, no source): from so many times that distance.
const TIMES: [(f64, &str); 4] =
    [(1.0, "true size, at arm's length"), (3.0, "from 1.5 m"), (6.0, "from 3 m"), (12.0, "from 6 m")];
const PANEL: usize = 480;
const GAP: usize = 24;
const WORDS: usize = 34;

/// Four panels of the cloth; `dpi` is the tile's, across and down. A border lies in the middle of its tile, and of each panel.
pub(super) fn distances(tile: &Image, dpi: [f64; 2], border: bool) -> Result<View, FrameError> {
    let [width, height] = [2 * PANEL + 3 * GAP, 2 * (PANEL + WORDS) + 2 * GAP];
    let mut view = View::new(width, height, LINEN);
    let mut frame = Frame::pixels(width, height);
    for (n, (times, words)) in TIMES.into_iter().enumerate() {
        let at = [GAP + n % 2 * (PANEL + GAP), GAP + n / 2 * (PANEL + WORDS)];
        let step = dpi.map(|dpi| dpi / SCREEN * times);
        let middle = (tile.height() as f64 - step[1] * PANEL as f64) / 2.0;
        let from = [0.0, if border { middle } else { 0.0 }];
        view.put(&View::reduced(tile, Window { from, step, size: [PANEL; 2] }), at);
        let below = [at[0] as f64, (at[1] + PANEL) as f64 + 20.0];
        frame.words(below, 15.0, Held::Left, INDIGO, words);
    }
    view.lay(&frame.painted()?);
    Ok(view)
}
