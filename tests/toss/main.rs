//! Strewing: densities that the literature knows, evenness, and that the gap is kept.
#![allow(clippy::unwrap_used, clippy::panic)] // a test says so by stopping

mod cloths;
mod common;
mod discs;
mod evenness;
mod figures;
mod motifs;
mod origin;
mod wishes;
