//! What is asked of a toss, and what comes of it.

use kurbo::Affine;

use super::Vector;
use crate::repeat::sin_cos_degrees;

/// Where a motif's ink is: closed contours about the middle of its page.
///
/// Ink lies nowhere more than `slack` outside the contours. All are filled: what lies in a hole lies on the motif.
#[derive(Clone, Debug)]
pub struct Silhouette {
    /// Chords; the last point leads to the first.
    pub contours: Vec<Vec<Vector>>,
    /// How far the truth may lie outside.
    pub slack: f64,
}

/// A motif to be strewn.
#[derive(Clone, Debug)]
pub struct Kind {
    /// At size one.
    pub silhouette: Silhouette,
    /// The least and the greatest size.
    pub sizes: [f64; 2],
    /// How many there are of it, to the shares of the others.
    pub share: f64,
    /// Only in what the others leave.
    pub filler: bool,
    /// Kinds with the same number are of one kind to [`Wishes::apart`].
    pub family: usize,
}

/// A motif that lies where it lies.
#[derive(Clone, Debug)]
pub struct Fixed {
    /// In its place, at its size.
    pub silhouette: Silhouette,
    /// As a kind's.
    pub family: usize,
    /// It may overlap others that lie fixed, and its own copies a step away.
    pub overlap: bool,
    /// It has no ink, and only keeps others away: it covers nothing.
    pub bare: bool,
}

/// Which way up motifs may lie.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Turns {
    /// Upright.
    OneWay,
    /// Upright or upside down.
    TwoWay,
    /// By quarter turns.
    FourWay,
    /// Any turn.
    #[default]
    Any,
}

impl Turns {
    /// How many there are; `None` for any.
    pub(super) fn count(self) -> Option<usize> {
        match self {
            Turns::OneWay => Some(1),
            Turns::TwoWay => Some(2),
            Turns::FourWay => Some(4),
            Turns::Any => None,
        }
    }
}

/// What places, turns and sizes are whole multiples of, so that they can be written as short decimals.
#[derive(Clone, Copy, Debug)]
pub struct Grain {
    /// Of a place, across and down, and of a size; 0 for none.
    pub length: f64,
    /// Of a turn, in degrees; 0 for none.
    pub turn: f64,
}

/// All that is asked.
#[derive(Clone, Debug)]
pub struct Wishes {
    /// What is strewn.
    pub kinds: Vec<Kind>,
    /// What lies fixed.
    pub fixed: Vec<Fixed>,
    /// The least distance between two outlines, of which one is strewn.
    pub gap: f64,
    /// Which way up.
    pub turns: Turns,
    /// How many, fillers apart; as many as go in, if nothing is said.
    pub count: Option<usize>,
    /// The most that are strewn, fillers among them.
    pub most: usize,
    /// The least distance between two of one family.
    pub apart: Option<f64>,
    /// The same seed, the same places.
    pub seed: u64,
    /// How places are rounded.
    pub grain: Grain,
}

/// A motif in its place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Laid {
    /// Which kind.
    pub kind: usize,
    /// Where its page's middle lies.
    pub at: Vector,
    /// Its size.
    pub size: f64,
    /// Degrees, clockwise, from 0 to 360.
    pub turn: f64,
    /// The kind of place in whose block that is, from 0 ([`Torus::with_blocks`](super::Torus::with_blocks)).
    pub place: usize,
}

impl Laid {
    /// From the motif's own coordinates to the cloth.
    pub fn pose(&self) -> Affine {
        let (sin, cos) = sin_cos_degrees(self.turn);
        let s = self.size;
        Affine::new([s * cos, s * sin, -s * sin, s * cos, self.at[0], self.at[1]])
    }
}
