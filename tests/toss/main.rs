//! Strewing: densities that the literature knows, evenness, and that the gap is kept.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stdout,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a test says so by stopping; figures are printed; cells and parts are counted"
)]

mod cloths;
mod common;
mod discs;
mod evenness;
mod figures;
mod motifs;
mod origin;
mod wishes;
