//! The counter, tried as a designer would: the program itself is run in a folder of its own.
#![allow(clippy::unwrap_used, clippy::panic)] // a test says so by stopping

mod check;
mod cut;
mod cut_inks;
mod cut_limits;
mod done;
mod fitness;
mod guard;
mod layouts;
mod leftovers;
mod open;
mod paper;
mod places;
mod proof;
mod readme;
mod shop;
mod sizes;
mod stop;
mod strewn;
mod toss;
mod vectors;
mod wrong;
mod wrong_design;
