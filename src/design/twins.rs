//! Copies that a person laid on the page herself, a whole repeat from the motif.
//!
//! ```text
//!   ┌────────┐
//!   A        A     three of these four are brought in by the repeat;
//!   │        │     laid four times over itself, A's edges would print too dark
//!   A────────A
//! ```

use super::order::Order;
use crate::artwork::{Alike, Motif, Page};
use crate::repeat::{Lattice, Repeat};

/// Up to this share of the block's larger side from a whole step, a copy was meant to be the
/// repeat's own (3 px of 1 000: farther than a hand that lines up by eye).
const MEANT: f64 = 0.003;
/// Pixels off that are worth a word.
const OFF: f64 = 0.1;

impl Order {
    /// Takes the person's own copies from the motifs, and says so.
    pub(super) fn drop_twins(&mut self, alike: &[Alike], page: Page, repeat: &Repeat) {
        let mut kept: Vec<(usize, Alike)> = Vec::new();
        let (mut dropped, mut most) = (0, 0.0f64);
        let meant = MEANT * repeat.block[0].max(repeat.block[1]) as f64;
        for (piece, place) in alike.iter().enumerate() {
            let same = kept.iter().filter(|(_, other)| other.first == place.first);
            let off = same.map(|(_, other)| off_step(*other, *place, page, repeat)).min_by(f64::total_cmp);
            match off {
                Some(off) if off <= meant => {
                    dropped += 1;
                    most = most.max(off);
                }
                _ => kept.push((piece, *place)),
            }
        }
        if dropped > 0 {
            let (are, them) = match dropped {
                1 => ("1 object is the copy of another".to_owned(), "it"),
                n => (format!("{n} objects are copies of others"), "them"),
            };
            let off = if most > OFF { format!(" (up to {most:.1} px off)") } else { String::new() };
            self.warnings
                .push(format!("{are}, a whole repeat away{off}: left out, since the repeat brings {them} in exactly"));
            let mut index = 0;
            self.motifs.retain(|_: &Motif| {
                index += 1;
                kept.iter().any(|(piece, _)| *piece == index - 1)
            });
        }
    }
}

/// How far, in pixels, two places are from being a lattice step apart. One laid on the other
/// in the same place is no copy for the join: that was meant.
fn off_step(a: Alike, b: Alike, page: Page, repeat: &Repeat) -> f64 {
    let by = b.by - a.by;
    let x = by.x / page.px.width * repeat.block[0] as f64;
    let y = by.y / page.px.height * repeat.block[1] as f64;
    // Nothing of a border comes in again above or below.
    let elsewhere = repeat.one_way && y.abs() > repeat.block[1] as f64 / 2.0;
    let same_place = x.hypot(y) < repeat.lattice.across().min(repeat.lattice.down()) as f64 / 4.0;
    if same_place || elsewhere { f64::INFINITY } else { nearest(&repeat.lattice, x, y) }
}

/// The distance of a vector from the nearest step, where that is small against the lattice.
fn nearest(lattice: &Lattice, x: f64, y: f64) -> f64 {
    let rows = (y / lattice.down() as f64).round();
    let across = x - rows * lattice.shift() as f64;
    let columns = (across / lattice.across() as f64).round();
    (across - columns * lattice.across() as f64).hypot(y - rows * lattice.down() as f64)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn distances_from_a_step_of_a_third_drop() {
        let lattice = Lattice::from_steps([[60, 30], [0, 90]]).expect("a lattice");
        assert_eq!(nearest(&lattice, 0.0, 0.0), 0.0);
        assert_eq!(nearest(&lattice, 60.0, 30.0), 0.0);
        assert_eq!(nearest(&lattice, -60.0, 60.0), 0.0);
        assert_eq!(nearest(&lattice, 183.0, 4.0), 5.0);
    }
}
