//! The counter: reads flags, calls the library, speaks to people.

mod cli;
mod guard;

fn main() -> std::process::ExitCode {
    cli::run()
}
