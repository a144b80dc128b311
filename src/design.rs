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
mod failed;
mod measure;
mod order;
mod place;
mod size;
mod slips;
mod starter;
mod written;
#[cfg(test)]
mod tests;

pub use deliver::{Delivered, FileReport, Report};
pub use failed::DeliverError;
pub use error::{DesignError, SourcePlace};
pub use order::{Delivery, Kind, Order};
pub use starter::{StarterMotif, starter};
pub use written::{Amount, Deliver, Design, Entry, RepeatEntry, schema};
