//! Commands that take in strangers' files are done by a worker; its words are ours.

use std::ffi::OsString;
use std::io::{self, Write};
use std::panic::{self, AssertUnwindSafe};
use std::path::PathBuf;
use std::process::ExitCode;
use std::sync::Mutex;

use super::say::{Failure, Outcome, failure_with, warn};
use super::watch::{Bar, STOPS, listen, listen_and_end};
use crate::guard::{self, Ended, GuardError, Job, Mark, Said, Worker};

impl From<GuardError> for Failure {
    fn from(error: GuardError) -> Failure {
        match error.hint() {
            Some(hint) => failure_with(error, hint),
            None => super::say::failure(error),
        }
    }
}

/// Does a command in a worker and hands on what it says; `None` if there can be no worker.
pub(super) fn elsewhere(words: Vec<OsString>, folder: Option<PathBuf>, bar: Bar) -> Option<Result<ExitCode, Failure>> {
    let job = Job { words, colored: super::say::colored(), folder, stops: &STOPS };
    listen();
    let ended = guard::watch(&job, &mut |done, total| bar.hear(done, total));
    bar.clear();
    match ended {
        Ok(Ended::Said(said)) => Some(hand_on(&said)),
        Ok(Ended::Alone(why)) => {
            warn(&format!("memory is not bounded, since no second process can be started: {why}"));
            None
        }
        Err(error) => Some(Err(error.into())),
    }
}

fn hand_on(said: &Said) -> Result<ExitCode, Failure> {
    let _ = io::stderr().write_all(&said.words);
    super::say::bytes(&said.answer)?;
    Ok(ExitCode::from(said.code))
}

/// The worker that this process is, under a watcher or alone.
#[expect(clippy::exit, reason = "a task that never ends can be left in no other way")]
pub(super) fn worker(mark: Option<Mark>, bar: Bar) -> Worker {
    match mark {
        Some(mark) => {
            listen_and_end(None);
            Worker::watched(mark, &STOPS)
        }
        None => {
            listen_and_end(Some(bar.clone()));
            let hear = bar.clone();
            Worker::alone(
                &STOPS,
                move |done, total| hear.hear(done, total),
                move |late| {
                    bar.clear();
                    Failure::from(late).print();
                    std::process::exit(2);
                },
            )
        }
    }
}

/// Where the last panic was and what it said.
static PANIC: Mutex<Option<String>> = Mutex::new(None);

/// Does a command; a fault of ours in it becomes a failure like any other.
pub(super) fn caught(command: impl FnOnce() -> Outcome) -> Outcome {
    panic::set_hook(Box::new(|info| {
        let what = info.payload_as_str().unwrap_or("no words");
        let place = info.location().map(|place| format!(" at {}:{}", place.file(), place.line())).unwrap_or_default();
        if let Ok(mut last) = PANIC.lock() {
            *last = Some(format!("{what}{place}"));
        }
    }));
    panic::catch_unwind(AssertUnwindSafe(command)).unwrap_or_else(|_| {
        let what = PANIC.lock().ok().and_then(|mut last| last.take()).unwrap_or_default();
        Err(failure_with(
            format!("Seamfast failed: {what}"),
            "this is a fault of Seamfast's: please report it with the design and its motifs",
        ))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fault_of_ours_is_said_and_not_thrown() {
        let outcome = caught(|| panic!("as if a room had failed"));
        let Err(Failure::Said(error)) = outcome else { panic!("not a failure") };
        let said = error.to_string();
        assert!(said.starts_with("Seamfast failed: as if a room had failed at src/cli/guarded.rs:"), "{said}");
        assert!(error.hint().unwrap().contains("please report it"));
    }
}
