//! Strangers' files are worked on in a process of their own, so that one that eats all memory, never
//! ends or crashes the reader ends that process and no more, and the user is told why.
//!
//! ```text
//!   seamfast make …                      the same program again, the same words behind a mark
//!   ┌──────────────┐    starts           ┌─────────────────────────────────────────┐
//!   │ watcher      │ ──────────────────▶ │ worker: bounded memory; ends with the   │
//!   │  bar, Ctrl-C │ ◀────────────────── │ watcher; tells what it is busy with     │
//!   └──────────────┘  answer, failures,  └─────────────────────────────────────────┘
//!                     messages by pipe
//! ```
//!
//! What can be judged by looking has a limit of its own in [`seamfast::limits`] and is refused
//! by the library; here is the net below. Time is counted in the worker, for each task by itself and
//! in processor time, so that a large tile may take as long as it takes and a busy machine is no fault
//! of the drawing's. Memory is counted by the kernel (`RLIMIT_DATA`), so a sudden request is
//! refused, too; only Linux counts it, elsewhere the library's limits alone bound it.
//!
//! The page's worker stays and is asked by pipe, a line at a time ([`Standing`]).
//!
//! Where the program can't be started again it works in one process: time is still bounded,
//! memory is not, and [`Ended::Alone`] says why.

mod bounds;
mod message;
mod standing;
mod watcher;
mod worker;

use std::io;

pub(crate) use message::Doing;
use seamfast::limits::Limit;
pub(crate) use standing::Standing;
pub(crate) use watcher::{Job, watch};
pub(crate) use worker::{Mark, Worker};

/// What became of a worker.
pub(crate) enum Ended {
    /// It came to its end and said this.
    Said(Said),
    /// It could not be started; the work is to be done in this process.
    Alone(io::Error),
}

/// What a worker said for standard output and standard error, and its exit code.
pub(crate) struct Said {
    pub(crate) code: u8,
    pub(crate) answer: Vec<u8>,
    pub(crate) words: Vec<u8>,
}

/// Why a worker was ended, or ended itself, before its time.
#[derive(Debug, thiserror::Error)]
pub(crate) enum GuardError {
    /// One task took too long.
    #[error("{doing} takes longer than {limit}{}", after(*placing))]
    Time { doing: Doing, limit: Limit, placing: bool },
    /// It asked for more memory than it may have.
    #[error("{doing} takes more memory than {limit}{}", after(*placing))]
    Memory { doing: Doing, limit: Limit, placing: bool },
    /// It crashed, or another program ended it.
    #[error("{doing} ended Seamfast's worker: {how}{}", after(*placing))]
    Crash { doing: Doing, how: String, placing: bool },
    /// It was asked to stop.
    #[error("stopped{}", after(*placing))]
    Stopped { placing: bool },
    /// The system would not let us watch it.
    #[error("the worker can't be watched: {0}")]
    Lost(io::Error),
}

/// What has become of the files.
fn after(placing: bool) -> &'static str {
    if placing { "; some of the files may be new" } else { "; no file was changed" }
}

impl GuardError {
    /// What to do about it.
    pub(crate) fn hint(&self) -> Option<String> {
        let simpler = |doing: &Doing| match doing {
            Doing::Painting(_) => "write a smaller width or a lower resolution, or simplify the drawing",
            Doing::Planning | Doing::Cutting | Doing::Own => "use fewer or smaller motifs",
            Doing::Tile(_) => "judge a tile of fewer pixels",
            _ => "simplify the drawing",
        };
        match self {
            GuardError::Time { doing, limit, .. } | GuardError::Memory { doing, limit, .. } => {
                Some(format!("{}; or {}", simpler(doing), limit.raise()))
            }
            GuardError::Crash { doing, .. } => {
                Some(format!("{}; it is a fault of Seamfast's: please report it with the drawing", simpler(doing)))
            }
            GuardError::Stopped { .. } | GuardError::Lost(_) => None,
        }
    }
}
