//! A motif that one straight cut along the join ends, while others go on: most copies lie as they should, and one of
//! them has lost a half, or was painted over on one side.
//!
//! ```text
//!    ▟███│        before │ behind       Over the boundary the color changes at once, and beside it does not: as far
//!    ████│                              along the join as nowhere along another line of the tile.
//!    ▜███│
//! ```

use rayon::prelude::*;

use super::fault::Places;
use super::image::{Image, Side};
use super::inside::Inside;

/// A change of so many levels is one of color; with grain, of so many times more.
const CLEAR: f64 = 24.0;
const GRAIN: f64 = 4.0;
/// What changes beside it by less, as a share, is flat.
const FLAT: f64 = 0.25;
/// A cut of fewer samples is too short to be one.
const SHORTEST: usize = 10;
/// So many times as long as the longest straight edge inside.
const LONGER: f64 = 1.25;

/// Why the join is doubtful, where something is cut along it.
pub(super) fn severed(inside: &Inside, places: Places) -> Option<String> {
    let Places { image, side } = places;
    let least = (CLEAR + GRAIN * inside.noise) as u8;
    let own = longest(image, side, 0, least);
    // An edge all along is a stripe's, or of the ground.
    if own < SHORTEST || 10 * own > 9 * image.length(side) {
        return None;
    }
    let lines = image.lines(side);
    // A line over which all in all less changes than over such an edge has none.
    let change = own as f64 / LONGER * f64::from(least) / (image.length(side) * image.channels()) as f64;
    let has_longer =
        |at: usize| inside.changes[at] >= change && LONGER * longest(image, side, at, least) as f64 > own as f64;
    let is_longest = !(2..lines.saturating_sub(1)).into_par_iter().any(has_longer);
    is_longest.then(|| {
        format!(
            "what lies on one side of this join ends there along a straight line of {own} px, longer than any edge inside the tile that runs this way: a motif was cut off, or an edge of the design lies just there; look at it through the loupe"
        )
    })
}

/// The longest run along the boundary before a line over which the color changes at once.
fn longest(image: &Image, side: Side, at: usize, least: u8) -> usize {
    let lines = image.lines(side);
    let [far, before, behind, next] = [lines - 2, lines - 1, 0, 1].map(|by| (at + by) % lines);
    let apart = |a: usize, b: usize, along: usize| {
        let [a, b] = [a, b].map(|line| image.sample(side, line, along));
        a.iter().zip(b).map(|(a, b)| a.abs_diff(*b)).max().unwrap_or(0)
    };
    let is_cut = |along: usize| {
        let over = apart(before, behind, along);
        let flat = || apart(far, before, along).min(apart(behind, next, along));
        over > least && f64::from(flat()) < FLAT * f64::from(over)
    };
    let (mut run, mut most) = (0, 0);
    for along in 0..image.length(side) {
        run = if is_cut(along) { run + 1 } else { 0 };
        most = most.max(run);
    }
    most
}
