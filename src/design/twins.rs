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

/// Up to this many pixels from a whole step, a copy is the repeat's own.
const SAME: f64 = 0.1;
/// Up to this many, it was meant to be.
const MEANT: f64 = 4.0;

impl Order {
    /// Takes the person's own copies from the motifs, and says so; says where one is a little off.
    pub(super) fn drop_twins(&mut self, alike: &[Alike], page: Page, repeat: &Repeat) {
        let mut kept: Vec<(usize, Alike)> = Vec::new();
        let mut dropped = 0;
        for (piece, place) in alike.iter().enumerate() {
            let off = kept
                .iter()
                .filter(|(_, other)| other.first == place.first)
                .map(|(index, other)| (off_step(*other, *place, page, repeat), *index))
                .min_by(|a, b| a.0.total_cmp(&b.0));
            match off {
                Some((off, _)) if off <= SAME => dropped += 1,
                Some((off, index)) if off <= MEANT => {
                    kept.push((piece, *place));
                    self.warnings.push(format!(
                        "{} lies {off:.1} px off a whole repeat from {}, and both print: take one away, or move it",
                        self.motifs[piece].name(),
                        self.motifs[index].name()
                    ));
                }
                _ => kept.push((piece, *place)),
            }
        }
        if dropped > 0 {
            self.warnings.push(match dropped {
                1 => "1 object is the copy of another, a whole repeat away: left out, since the repeat brings it in"
                    .into(),
                n => format!(
                    "{n} objects are copies of others, a whole repeat away: left out, since the repeat brings them in"
                ),
            });
            let mut index = 0;
            self.motifs.retain(|_: &Motif| {
                index += 1;
                kept.iter().any(|(piece, _)| *piece == index - 1)
            });
        }
    }
}

/// How far, in pixels, two places are from being a lattice step apart.
fn off_step(a: Alike, b: Alike, page: Page, repeat: &Repeat) -> f64 {
    let by = b.by - a.by;
    let x = by.x / page.px.width * repeat.block[0] as f64;
    let y = by.y / page.px.height * repeat.block[1] as f64;
    nearest(&repeat.lattice, x, y)
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
