//! Intake held against what is painted, against what is lost, and against strangers.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test says what is wrong by failing")]
#![allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "pictures are small")]

mod common;
mod croquis;
mod errors;
mod hostile;
mod ink;
mod losses;
mod patterns;
mod pictures;
mod rewritten;
