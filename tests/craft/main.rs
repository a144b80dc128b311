//! The craft held against brute force and against itself.

mod common;
mod copies;
mod exact;
mod golden;
mod house;
mod picture;
mod readme;
