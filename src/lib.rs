//! Seamfast puts motifs into exact, seamless repeat.

pub mod artwork;
pub mod length;
pub mod pixels;
pub mod repeat;
