//! Evidence: what is known of a tile, whoever made it.
//!
//! ```text
//!   a design ─────▶ its order, painted as it will be printed ─┐
//!   an SVG tile ──▶ its page, painted and cut at its edges    ├─▶ Subject ─▶ join ─▶ Judged
//!   a finished tile ─▶ its pixels, in sRGB ───────────────────┘         └──▶ findings
//! ```

mod findings;
mod judged;
mod subject;

pub use findings::{Finding, Severity};
pub use judged::Judged;
pub use subject::{ProofError, Subject};
