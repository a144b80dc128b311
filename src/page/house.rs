//! What all requests share: the desk, the bench, what is known of the design, and who waits for news.

use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

use hyper::body::Bytes;
use seamfast::design::{DesignError, Edit};
use seamfast::limits::Limits;
use serde_json::{Value, json};
use tokio::sync::watch;

use super::bench::{Ask, Question, said};
use super::desk::{Desk, Refusal, Way};
use super::errands::{Errand, Errands};
use crate::guard::{GuardError, Standing};

/// The page's state.
pub(super) struct House {
    desk: Mutex<Desk>,
    bench: Standing,
    known: Mutex<Known>,
    pub(super) errands: Errands,
    news: watch::Sender<u64>,
}

/// What came of looking at the design last.
#[derive(Default)]
struct Known {
    /// Which text was looked at, in which round.
    of: (u64, u64),
    /// Counts the times that drawings changed on the disk.
    round: u64,
    /// The design's facts, as long as it can be decided.
    facts: Value,
    /// Why it can't be.
    error: Value,
}

/// Why a question is not answered.
#[derive(Debug, thiserror::Error)]
pub(super) enum Trouble {
    #[error(transparent)]
    Refused(#[from] Refusal),
    #[error(transparent)]
    Guard(#[from] GuardError),
    /// The bench said so.
    #[error("{}", .0["what"].as_str().unwrap_or_default())]
    Bench(Value),
    #[error("{0}")]
    Other(String),
}

impl Trouble {
    /// As the page shows it.
    pub(super) fn told(&self) -> Value {
        match self {
            Trouble::Refused(Refusal::Design(error)) => said(error),
            Trouble::Guard(error) => json!({ "what": error.to_string(), "hint": error.hint() }),
            Trouble::Bench(value) => value.clone(),
            other => json!({ "what": other.to_string() }),
        }
    }

    /// What was seen is no longer so.
    pub(super) fn is_old(&self) -> bool {
        matches!(self, Trouble::Refused(Refusal::Old))
    }
}

fn open<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

impl House {
    pub(super) fn new(desk: Desk, bench: Standing) -> House {
        let news = watch::Sender::new(1);
        let teller = news.clone();
        House {
            desk: Mutex::new(desk),
            bench,
            known: Mutex::default(),
            errands: Errands::new(move || teller.send_modify(|count| *count += 1)),
            news,
        }
    }

    /// Says to all pages that something is new.
    pub(super) fn tell(&self) {
        self.news.send_modify(|count| *count += 1);
    }

    /// Hears when something is new.
    pub(super) fn listen(&self) -> watch::Receiver<u64> {
        self.news.subscribe()
    }

    pub(super) fn file(&self) -> PathBuf {
        open(&self.desk).file().to_path_buf()
    }

    /// The folder that is read and written: the design file's.
    pub(super) fn folder(&self) -> PathBuf {
        self.file().parent().unwrap_or(Path::new(".")).to_path_buf()
    }

    /// Asks the bench about a text.
    fn ask_of(&self, text: String, ask: Ask) -> Result<(Value, Bytes), Trouble> {
        let question = Question { file: self.file(), text, round: open(&self.known).round, ask };
        let line = serde_json::to_string(&question).map_err(|e| Trouble::Other(e.to_string()))?;
        let answer = Bytes::from(self.bench.ask(line)?);
        let end = answer.iter().position(|byte| *byte == b'\n').unwrap_or(answer.len());
        // The same bytes, not a copy: they are many.
        let pixels = answer.slice((end + 1).min(answer.len())..);
        let answer = answer.slice(..end);
        let mut head: Value = serde_json::from_slice(&answer).map_err(|e| Trouble::Other(e.to_string()))?;
        match head.get("error") {
            Some(error) => Err(Trouble::Bench(error.clone())),
            None => Ok((head["ok"].take(), pixels)),
        }
    }

    /// Asks the bench about the design as it is, or as it would be.
    pub(super) fn ask(&self, edits: &[Edit], ask: Ask) -> Result<(Value, Bytes), Trouble> {
        let text = {
            let desk = open(&self.desk);
            desk.proposed(desk.number(), edits)
        };
        self.ask_of(text?, ask)
    }

    /// Changes the design, if it can still be decided then. Before there is a motif nothing has to be decided.
    pub(super) fn edit(&self, number: u64, edits: &[Edit], together: Option<&str>) -> Result<(), Trouble> {
        let text = open(&self.desk).proposed(number, edits)?;
        let (facts, _) = self.ask_of(text.clone(), Ask::Look)?;
        {
            let mut desk = open(&self.desk);
            let put = desk.put(number, text, together);
            if put.is_ok() {
                let mut known = open(&self.known);
                (known.of, known.facts, known.error) = ((desk.number(), known.round), facts, Value::Null);
            }
            put?;
        }
        self.tell();
        Ok(())
    }

    /// Sends for something. `false` if something is on its way already.
    pub(super) fn send(&self, errand: Errand) -> bool {
        let (file, number) = (self.file(), self.number());
        let round = open(&self.known).round;
        self.errands.send(errand, &file, number, round)
    }

    /// Undoes, or does again.
    pub(super) fn step(&self, number: u64, way: Way) -> Result<(), Trouble> {
        open(&self.desk).step(number, way)?;
        self.look();
        self.tell();
        Ok(())
    }

    /// Looks at the design again where its text or drawings have changed.
    pub(super) fn look(&self) {
        let (number, text) = {
            let desk = open(&self.desk);
            (desk.number(), desk.text().to_owned())
        };
        let round = open(&self.known).round;
        if open(&self.known).of == (number, round) {
            return;
        }
        let looked = self.ask_of(text, Ask::Look);
        let mut known = open(&self.known);
        known.of = (number, round);
        match looked {
            Ok((facts, _)) => (known.facts, known.error) = (facts, Value::Null),
            // What was seen last stays to be seen.
            Err(trouble) => known.error = trouble.told(),
        }
    }

    /// Looks at the file and the drawings on the disk; tells all pages if anything there has changed.
    pub(super) fn look_at_disk(&self, drawings_changed: bool) {
        let changed = open(&self.desk).look();
        if drawings_changed {
            open(&self.known).round += 1;
        }
        if changed || drawings_changed {
            self.look();
            self.tell();
        }
    }

    /// The drawings of the design, as far as it could be decided.
    pub(super) fn sources(&self) -> Vec<PathBuf> {
        let known = open(&self.known);
        let all = known.facts["sources"].as_array().into_iter().flatten();
        all.filter_map(|path| path.as_str().map(PathBuf::from)).collect()
    }

    /// All that the page shows beside pixels.
    pub(super) fn state(&self) -> Value {
        self.look();
        let seen = *self.news.borrow();
        let (number, steps, kept, file) = {
            let desk = open(&self.desk);
            (desk.number(), desk.steps(), desk.is_kept(), desk.file().to_path_buf())
        };
        let known = open(&self.known);
        let mut facts = known.facts.clone();
        // Where drawings lie is nothing to the page.
        facts.as_object_mut().map(|facts| facts.remove("sources"));
        // Who finds an empty table may have looked for one of these.
        let designs = if facts["tile"].is_null() { open(&self.desk).neighbors() } else { Vec::new() };
        json!({
            "seen": seen,
            "number": number,
            "round": known.round,
            "file": file.file_name().unwrap_or_default().to_string_lossy(),
            "folder": file.parent().unwrap_or(Path::new("")).to_string_lossy(),
            "kept": kept,
            "designs": designs,
            "undo": steps[0],
            "redo": steps[1],
            "facts": facts,
            "error": known.error,
            "errand": self.errands.state(),
        })
    }

    /// The most bytes that a dropped file may have.
    pub(super) fn most_bytes() -> usize {
        Limits::default().file.size()
    }

    /// Text numbers are needed where a change is made without one.
    pub(super) fn number(&self) -> u64 {
        open(&self.desk).number()
    }
}

/// Reads the changes of a request.
pub(super) fn edits(value: &Value) -> Result<Vec<Edit>, Trouble> {
    match value {
        Value::Null => Ok(Vec::new()),
        value => serde_json::from_value(value.clone())
            .map_err(|e| Refusal::Design(DesignError::new(format!("these are no changes: {e}"))).into()),
    }
}
