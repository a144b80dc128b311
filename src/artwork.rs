//! The one door to usvg: drawings are taken in here and nowhere else.
//!
//! ```text
//!   file ─▶ picture          PNG, JPEG, TIFF, WebP: decoded, upright, in sRGB ─▶ Motif
//!     └──▶ source ─▶ page   the true size, exact
//!                 ├─▶ scan   what cannot be kept
//!                 └─▶ usvg ─▶ sanity ─▶ patterns ─▶ ink   where ink really reaches
//!                                             └─▶ Motif, or the pieces of a Croquis
//!                                                   └─▶ trim   the page drawn to the ink, on request
//!                                             ink ─▶ thin   where it, or the ground beside it, is too fine
//! ```
//!
//! Nothing is dropped in silence: what cannot be kept is named with its place and is an
//! error unless allowed by name. No outside file is read, and what a file may ask for is bounded.

mod budget;
mod croquis;
mod css;
mod deep;
mod effort;
mod embedded;
mod error;
mod finished;
mod fonts;
mod ink;
mod inks;
mod intake;
mod links;
mod look;
mod losses;
mod motif;
mod page;
mod patterns;
mod picture;
mod sanity;
mod scan;
mod source;
mod thin;
mod trim;

pub use croquis::{Alike, Croquis};
pub use effort::Effort;
pub use embedded::Embedded;
pub use error::ArtworkError;
pub use finished::{ColorSpace, Finished};
pub use ink::clip::{common, welded};
pub use ink::outline::{affine, bez, close, covered};
pub use ink::{
    Clip, ClipPart, Hindrance, HindranceKind, Ink, InkName, Measured, Painted, Patterns, Rule, Seen, narrow_gaps,
    narrow_parts, stretch,
};
pub use intake::Intake;
pub use losses::{LOSSES, Loss, LossKind, loss_kind};
pub use motif::Motif;
pub use page::Page;
pub use picture::{Picture, Pixels};
pub use thin::{Contours, Narrow};
