//! The command line: one file a command, and all words to the user.

mod args;
mod make;
mod new;
mod paper;
mod say;
mod size;
mod summary;
mod watch;

use std::process::ExitCode;

use clap::{CommandFactory, Parser};

use args::{Args, Command};
use say::Failure;

/// Runs one command. Exit code 0: done; 1: a check found a fault; 2: could not do it.
pub fn run() -> ExitCode {
    let args = match Args::try_parse() {
        Ok(args) => args,
        Err(wrong) => {
            // Help and version are answers, the rest is a wrong call.
            let code = if wrong.use_stderr() { 2 } else { 0 };
            let _ = wrong.print();
            return ExitCode::from(code);
        }
    };
    let outcome = match args.command {
        Command::New(args) => new::run(&args),
        Command::Make(args) => make::run(&args),
        Command::Size(args) => size::run(&args),
        Command::Schema => say::line(&seamfast::design::schema()),
        Command::Completions { shell } => paper::completions(shell, &mut Args::command()),
        Command::Man { out } => paper::man(out.as_deref(), Args::command()),
    };
    match outcome {
        Ok(()) => ExitCode::SUCCESS,
        Err(Failure::ClosedPipe) => ExitCode::SUCCESS,
        Err(failure) => {
            failure.print();
            ExitCode::from(2)
        }
    }
}
