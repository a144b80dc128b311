//! Checks of any tile, whoever made it: does the join show, and what repeats inside.
//!
//! ```text
//!   Image ─┬─▶ judge     each join: its contours followed over it (track, fit), its lines held
//!          │             against their neighbours (measure, soft), and all of it against the
//!          │             inside of the same tile
//!          ├─▶ witness   the same motif, whole elsewhere in the tile, tells where its pieces belong
//!          └─▶ lattice   what repeats inside, exactly
//! ```
//!
//! Nothing is judged by a fixed number alone: a picture full of hard edges asks for more than a
//! soft one, so the join is a fault only where it stands out from what lies inside.

#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_precision_loss,
    clippy::cast_possible_wrap,
    reason = "places are counted in pixels, of which a tile has at most 2^31 a side"
)]

use std::cell::LazyCell;

mod band;
mod between;
mod broken;
mod chord;
mod copies;
mod correlate;
mod displaced;
mod faded;
mod fault;
mod fit;
mod ground;
mod image;
mod inside;
mod judge;
mod lattice;
mod lines;
mod measure;
mod name;
mod near;
mod point;
mod profile;
mod severed;
mod soft;
mod torn;
mod track;
mod witness;

pub use fault::{Area, Fault, FaultKind};
pub use image::{Image, Side};
pub use lattice::Steps;
pub use name::Inner;

/// What is said of a join or a tile.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// No fault, and what could be told was told.
    Seamless,
    /// It can't be told.
    Unsure,
    /// A fault.
    Fault,
}

impl Verdict {
    /// As it stands in reports.
    pub fn name(self) -> &'static str {
        match self {
            Verdict::Seamless => "seamless",
            Verdict::Unsure => "unsure",
            Verdict::Fault => "fault",
        }
    }
}

/// What is known of a join.
#[derive(Clone, Debug, PartialEq)]
pub struct Join {
    /// Which one.
    pub side: Side,
    /// What is said of it.
    pub verdict: Verdict,
    /// How far the second side lies further along, in pixels, where contours tell.
    pub slip: Option<f64>,
    /// What is wrong.
    pub faults: Vec<Fault>,
    /// Why it can't be told.
    pub doubt: Option<String>,
    /// How many contours cross it.
    pub crossings: usize,
    /// A motif that crosses it lies whole elsewhere in the tile, and is the same there.
    pub proven: bool,
}

impl Join {
    /// One that lies inside the tile once more.
    fn proven(side: Side) -> Join {
        let (faults, doubt) = (Vec::new(), None);
        Join { side, verdict: Verdict::Seamless, slip: Some(0.0), faults, doubt, crossings: 0, proven: true }
    }
}

/// Judges both joins of a tile, whose repeat is known from [`inner`].
///
/// A join that the exact repeat carries to a place inside the tile is, pixel by pixel, what lies there.
pub fn judge(image: &Image, repeat: Steps, inner: &Inner) -> Vec<Join> {
    let brightness = image.is_lossy().then(|| image.brightness());
    let (told, colors) = brightness.as_ref().map_or((image, None), |told| (told, Some(image)));
    // What is spoiled more lines deep hides the repeat; it is looked for again without them.
    let deeper = LazyCell::new(|| {
        if inner.blocks > 1 {
            return None;
        }
        let parts = near::near(told, copies::DEEPEST + 1)?;
        Some(Inner::of_parts(parts, image.width(), image.height()).lattice)
    });
    let judge = |side| match repeat.proves(side, image) {
        true => Join::proven(side),
        false => judge::judge(told, colors, side, inner.lattice, &|| *deeper),
    };
    Side::BOTH.into_iter().map(judge).collect()
}

/// The repeat inside a tile, exactly, or nearly if nothing repeats exactly.
pub fn inner(image: &Image) -> (Steps, Inner) {
    let brightness = image.is_lossy().then(|| image.brightness());
    let image = brightness.as_ref().unwrap_or(image);
    let steps = lattice::exact(image);
    let (width, height) = (image.width(), image.height());
    let inner = Inner::of_steps(steps, width, height);
    // A line spoiled at one edge leaves the steps along it exact, and packing in squares those that are whole squares.
    if Side::BOTH.into_iter().all(|side| steps.proves(side, image)) && !image.is_lossy() {
        return (steps, inner);
    }
    match near::near(image, 1) {
        Some(parts) if parts.blocks() > inner.blocks => (steps, Inner::of_parts(parts, width, height)),
        _ => (steps, inner),
    }
}
