//! The counter: reads flags, calls the library, speaks to people.

mod cli;

fn main() -> std::process::ExitCode {
    cli::run()
}
