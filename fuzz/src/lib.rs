//! What fuzzing holds the craft against: each target takes any bytes and panics on a finding.
//!
//! The engine (`fuzz/run`) grows inputs that reach new code. `tests/fuzz.rs` takes these same
//! functions, so that the corpus and every input that was once a finding run with the other tests.

mod cut;
mod design;
mod length;
mod picture;
mod plan;
mod svg;
mod tile;

pub use cut::cut;
pub use design::design;
pub use length::length;
pub use picture::picture;
pub use svg::{page, svg};
pub use tile::tile;

/// Lets the SVG reader give up within its own sources: that is caught and is a refusal in words. Any
/// other panic, though it may be caught further up, is a finding and goes to the engine.
pub fn tolerate_the_reader() {
    let engine = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |info| {
        let file = info.location().map_or("", |at| at.file());
        if !["/usvg-", "/tiny-skia-path-"].iter().any(|reader| file.contains(reader)) {
            engine(info);
        }
    }));
}

/// A target: any bytes.
pub type Target = fn(&[u8]);

/// Every target by the name of its corpus.
pub const TARGETS: &[(&str, Target)] = &[
    ("cut", cut),
    ("design", design),
    ("length", length),
    ("page", page),
    ("picture", picture),
    ("svg", svg),
    ("tile", tile),
];

/// A few bits that depend on all bytes, to choose by (FNV-1a).
fn pick(data: &[u8]) -> usize {
    let hash = data.iter().fold(0xcbf2_9ce4_8422_2325_u64, |h, b| (h ^ u64::from(*b)).wrapping_mul(0x0100_0000_01b3));
    (hash >> 40) as usize
}
