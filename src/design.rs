//! From what was asked to what is delivered.
//!
//! ```text
//!   design file ─┐
//!                ├─▶ Design (as written) ─▶ Order (every choice made) ─▶ files, each read back
//!   flags ───────┘
//! ```
//!
//! The command line and the design file build the same [`Design`], so neither can do what
//! the other can't.

mod decide;
mod deliver;
mod draft;
mod error;
mod measure;
mod order;
mod place;
mod starter;
mod written;
#[cfg(test)]
mod tests;

pub use deliver::{DeliverError, Delivered, FileReport, Report};
pub use error::{DesignError, SourcePlace};
pub use order::{Delivery, Kind, Order};
pub use starter::starter;
pub use written::{Amount, Deliver, Design, Entry, RepeatEntry, schema};
