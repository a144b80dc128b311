//! From the plan to paths that a blade or laser can follow, at true size.
//!
//! ```text
//!   seen     what artwork shows: shapes, each of one ink, in painting order
//!     ▼
//!   plane    whole EMU; every chord knows the curve it stands for
//!     ▼
//!   region   booleans by polygons, which are the truth
//!     ▼
//!   outline  curves again, each result held against its polygons
//! ```
//!
//! Chords carry their curves' names through every boolean, so what comes out is made of the
//! very curves that went in, cut where they cross.

mod bridges;
mod checks;
mod curve;
mod error;
mod finish;
mod grow;
mod job;
mod laid;
mod mode;
mod names;
mod near;
mod nearest;
mod nested;
mod outline;
mod plane;
mod region;
mod route;
mod runs;
mod sheets;
mod sound;
mod trim;
mod write;

pub use bridges::Bridging;
pub use checks::{Checks, Found, Small};
pub use error::{CutError, place, small};
pub use grow::Corner;
pub use job::{Cut, CutLayer, CutPath, CutSheet, Goods, Settings};
pub use laid::Laid;
pub use mode::{Islands, Layer, Layers, Mode};
pub use outline::Outline;
pub use plane::{EXACT, Plane};
pub use region::Region;
pub use route::Route;
pub use sheets::Sheets;
pub use write::{CutFile, CutFileError};

#[cfg(test)]
mod tests;
