//! Evidence: what is known of a tile, whoever made it; does its join show, and is it fit for print?
//!
//! ```text
//!   a design ─────▶ its order, painted as it will be printed ─┐            ┌─▶ evenness ─┐
//!   an SVG tile ──▶ its page, painted and cut at its edges    ├─▶ Subject ─┼─▶ join ─────┼─▶ Judged
//!   a finished tile ─▶ its pixels, in sRGB ───────────────────┘            └─▶ findings ─┘     │
//!                                                                                              ▼
//!                        evidence: loupe, sheet at true size, cloth, distance, one page of all of it
//! ```

#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_possible_wrap,
    clippy::cast_precision_loss,
    reason = "places are counted in pixels, of which a tile has at most 2^31 a side"
)]

mod album;
mod cloth;
mod distance;
mod evidence;
mod findings;
mod fitness;
mod frame;
mod judged;
mod loupe;
mod misnamed;
mod moved;
mod sheet;
mod subject;
mod uneven;
mod view;

pub use evidence::{Asked, EvidenceError, prove};
pub use findings::Finding;
pub use fitness::{PrintSize, Wanted};
pub use judged::{Judged, area_words, reason};
pub use sheet::Paper;
pub use subject::{ProofError, Subject};
pub use uneven::words as evenness_words;
