//! Strewing: densities that the literature knows, evenness, and that the gap is kept.

mod common;
mod discs;
mod look;
mod dump;
