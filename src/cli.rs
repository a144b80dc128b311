//! The command line: one file a command, and all words to the user.

mod args;
mod check;
mod cut;
mod cut_settings;
mod cut_words;
mod evenness;
mod fitness;
mod guarded;
mod input;
mod limits;
mod make;
mod new;
mod open;
mod paper;
mod proof;
mod say;
mod size;
mod summary;
mod toss;
mod watch;

use std::ffi::OsString;
use std::process::ExitCode;

use clap::{CommandFactory, Parser};

use crate::guard::Mark;
use args::{Args, Command};
use say::Failure;
use seamfast::join::Verdict;
use watch::Bar;

/// Runs one command. Exit code 0: done; 1: a check found a fault; 2: could not do it.
pub fn run() -> ExitCode {
    let mut words: Vec<OsString> = std::env::args_os().collect();
    let mark = Mark::take(&mut words);
    if let Some(mark) = mark {
        say::color(mark.colored);
    }
    let args = match Args::try_parse_from(&words) {
        Ok(args) => args,
        Err(wrong) => {
            // Help and version are answers, the rest is a wrong call.
            let code = if wrong.use_stderr() { 2 } else { 0 };
            let _ = wrong.print();
            return ExitCode::from(code);
        }
    };
    // What takes in strangers' files is done elsewhere, if there is an elsewhere.
    let folder = match &args.command {
        Command::New(_) | Command::Check(_) => Some(None),
        Command::Make(args) => Some(Some(args.input.out.clone())),
        Command::Cut(args) => Some(Some(args.input.out.clone())),
        Command::Proof(args) => Some(Some(args.out.clone())),
        Command::Toss(args) => Some(args.design.parent().map(|folder| std::path::Path::new(".").join(folder))),
        _ => None,
    };
    let bar = if matches!(args.command, Command::Toss(_)) { Bar::of_steps() } else { Bar::new() };
    if let (None, Some(folder)) = (mark, folder)
        && let Some(ended) = guarded::elsewhere(words.split_off(1), folder, bar.clone())
    {
        return ended.unwrap_or_else(|failure| failed(&failure));
    }
    let mut code = ExitCode::SUCCESS;
    let outcome = guarded::caught(|| match args.command {
        Command::New(args) => new::run(&args, &guarded::worker(mark, bar)),
        Command::Make(args) => make::run(&args, &guarded::worker(mark, bar)),
        Command::Check(args) => check::run(&args, &guarded::worker(mark, bar)).map(|worst| {
            if worst == Verdict::Fault {
                code = ExitCode::from(1);
            }
        }),
        Command::Cut(args) => cut::run(&args, &guarded::worker(mark, bar)),
        Command::Proof(args) => proof::run(&args, &guarded::worker(mark, bar)),
        Command::Toss(args) => toss::run(&args, &guarded::worker(mark, bar)),
        // Behind a mark it is the page's own worker, which is asked by pipe.
        Command::Open(_) if mark.is_some() => {
            crate::page::bench(&guarded::worker(mark, bar));
            Ok(())
        }
        Command::Open(args) => open::run(&args),
        Command::Limits(args) => limits::run(&args),
        Command::Size(args) => size::run(&args),
        Command::Schema => say::line(&seamfast::design::schema()),
        Command::Completions { shell } => paper::completions(shell, &mut Args::command()),
        Command::Man { out } => paper::man(out.as_deref(), Args::command()),
    });
    outcome.map_or_else(|failure| failed(&failure), |()| code)
}

fn failed(failure: &Failure) -> ExitCode {
    failure.print();
    if matches!(failure, Failure::ClosedPipe) { ExitCode::SUCCESS } else { ExitCode::from(2) }
}
