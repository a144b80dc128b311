//! How evenly ink lies on the cloth, as it shows from three metres: bald spots, alleys, lumps, and
//! whether the design has an up.
//!
//! ```text
//!     ▓▓   ▓▓        the cloth is a torus, so a bald spot that lies over the join counts whole,
//!   ▓▓  ○   ▓▓       and an alley goes round and round: only directions of the lattice can be
//!     ▓▓   ▓▓        bare all along
//! ```
//!
//! All lengths are in the unit in which cells are measured, usually pixels of the tile; y points down.

#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_possible_wrap,
    reason = "places are counted in cells, of which a field has some thousands a side"
)]

mod alleys;
mod field;
mod lumps;
mod pockets;
mod ways;

pub use alleys::Alley;
pub use field::{Field, Steps};
pub use lumps::{Lumps, Spread};
pub use pockets::{Pocket, Pockets};
pub use ways::{Way, Ways};

/// What was measured.
#[derive(Clone, Debug, PartialEq)]
pub struct Evenness {
    /// The share of the cloth that is bare ground.
    pub bare: f64,
    /// Bare circles between the ink, if there is ink.
    pub pockets: Option<Pockets>,
    /// Straight bare bands, the widest first.
    pub alleys: Vec<Alley>,
    /// Where ink lies thick and thin, if there are motifs enough to tell.
    pub lumps: Option<Lumps>,
    /// Whether it has an up.
    pub ways: Ways,
}

impl Evenness {
    /// Measures a field that repeats by a lattice's steps.
    pub fn of(field: &Field, steps: Steps) -> Evenness {
        Evenness {
            bare: field.bare(),
            pockets: pockets::pockets(field, steps),
            alleys: alleys::alleys(field, steps),
            lumps: lumps::lumps(field, steps),
            ways: ways::ways(field),
        }
    }
}
