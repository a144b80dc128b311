//! Seamfast puts motifs into exact, seamless repeat.

pub mod artwork;
pub mod cut;
pub mod design;
pub mod evenness;
pub mod fitness;
pub mod join;
pub mod length;
pub mod limits;
pub mod pixels;
pub mod progress;
pub mod proof;
pub mod raster;
pub mod repeat;
pub mod toss;
pub mod vector;
pub mod wrap;
