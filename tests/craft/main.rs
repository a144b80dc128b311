//! The craft held against brute force and against itself.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test says what is wrong by failing")]
#![allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "pictures are small")]

mod common;
mod copies;
mod exact;
mod golden;
mod groups;
mod house;
mod picture;
mod pieces;
mod plate;
mod print_size;
mod readme;
mod satins;
mod written;
