//! The counter, tried as a designer would: the program itself is run in a folder of its own.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test says what is wrong by failing")]

mod done;
mod paper;
mod shop;
mod sizes;
mod stop;
mod wrong;
mod wrong_design;
