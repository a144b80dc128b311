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

mod aftermath;
mod arrangement;
mod bench;
mod border;
mod checked;
mod cutting;
mod decide;
mod deliver;
mod deliveries;
mod draft;
mod edges;
mod edit;
mod error;
mod failed;
mod idle;
mod limit;
mod measure;
mod order;
mod own;
mod place;
mod proved;
mod rasters;
mod refused;
mod shelf;
mod shown;
mod size;
mod slips;
mod slot;
mod spread;
mod starter;
mod strewn;
#[cfg(test)]
mod tests;
mod together;
mod toss;
mod traces;
mod twins;
mod vectors;
mod writing;
mod written;

pub use aftermath::Aftermath;
pub use arrangement::Arrangement;
pub use checked::{AcceptEntry, Acceptance, CheckEntry};
pub use cutting::{CuttingError, NoShape};
pub use deliver::{Delivered, FileReport, Report};
pub use edit::{Edit, Section, edited};
pub use error::{DesignError, SourcePlace};
pub use failed::DeliverError;
pub use measure::{bytes as file_bytes, stem};
pub use order::{ColorMode, Delivery, Kind, Order};
pub use proved::Proved;
pub use shelf::Shelf;
pub use slot::sweep;
pub use starter::{StarterMotif, starter};
pub use strewn::{Count, Strewn, TOSS_STEPS};
pub use together::{Blank, Written, replace_design, write_together};
pub use toss::{Apart, TossEntry, TossMotif, Widths};
pub use traces::abandon;
pub use written::{Amount, Deliver, Design, Entry, RepeatEntry, schema};
