//! What a worker tells its watcher, a line at a time between the lines of its answer.

use std::fmt;

use seamfast::limits::{Limit, Limits};
use seamfast::progress::Task;
use serde::{Deserialize, Serialize};

/// Begins a line that is a message, and no line that a person reads.
pub(super) const SIGN: char = '\u{1}';

/// Something to know about the work.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(super) enum Message {
    /// It has begun: the program that was started is this one.
    Begun,
    /// How much memory it may have.
    Memory(u64),
    /// The pixels that there are to do in all.
    Total(u64),
    /// The pixels that are done, and the task that has been going on longest.
    At(u64, Doing),
    /// A task has taken longer than this many milliseconds.
    Late(Doing, u64),
    /// So many bytes follow, which are the answer to the last question.
    Answer(u64),
}

/// What the work is at.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) enum Doing {
    /// Getting ready, writing and reading back: nothing whose length a stranger decides.
    #[default]
    Own,
    /// Taking in this file.
    Reading(String),
    /// Taking in this finished tile.
    Tile(String),
    /// Deciding the copies.
    Planning,
    /// Working out what is cut.
    Cutting,
    /// Painting this motif.
    Painting(String),
    /// Putting the files in their places.
    Placing,
}

impl From<Task<'_>> for Doing {
    fn from(task: Task<'_>) -> Doing {
        match task {
            Task::Reading(path) => Doing::Reading(path.to_string_lossy().into_owned()),
            Task::Tile(path) => Doing::Tile(path.to_string_lossy().into_owned()),
            Task::Planning => Doing::Planning,
            Task::Cutting => Doing::Cutting,
            Task::Painting(motif) => Doing::Painting(motif.into()),
            Task::Placing => Doing::Placing,
        }
    }
}

impl fmt::Display for Doing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Doing::Own => f.write_str("making the files"),
            Doing::Reading(file) => write!(f, "{file}: reading it"),
            Doing::Tile(file) => write!(f, "{file}: taking in its pixels"),
            Doing::Planning => f.write_str("planning the tile"),
            Doing::Cutting => f.write_str("working out the cut"),
            Doing::Painting(motif) => write!(f, "{motif}: painting it"),
            Doing::Placing => f.write_str("putting the files in their places"),
        }
    }
}

impl Message {
    /// As a line with its end.
    pub(super) fn line(&self) -> String {
        format!("{SIGN}{}\n", serde_json::to_string(self).unwrap_or_default())
    }

    /// From a line; `None` if it belongs to the answer.
    pub(super) fn read(line: &[u8]) -> Option<Message> {
        serde_json::from_slice(line.strip_prefix(&[SIGN as u8])?).ok()
    }
}

impl Doing {
    /// The limit of the time that it may take.
    pub(super) fn time(&self, limits: &Limits) -> Limit {
        match self {
            Doing::Cutting => limits.cut_time,
            Doing::Tile(_) => limits.tile_time,
            _ => limits.time,
        }
    }
}

/// A limit with the value that a worker has for it.
pub(super) fn with(limit: Limit, most: u64) -> Limit {
    Limit { most, ..limit }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_message_is_one_line_whatever_a_file_is_called() {
        let message = Message::At(7, Doing::Reading("lim\npet\u{1}.svg".into()));
        let line = message.line();
        assert_eq!(line.matches('\n').count(), 1);
        assert_eq!(Message::read(line.trim_end().as_bytes()), Some(message));
        assert_eq!(Message::read(b"{\"name\":\"limpet\"}"), None);
    }
}
