//! The counter, tried as a designer would: the program itself is run in a folder of its own.

mod done;
mod paper;
mod shop;
mod sizes;
mod stop;
mod wrong;
mod wrong_design;
