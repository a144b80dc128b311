//! What takes longer: files made, judged, proven, strewn. Each is the very command that a person would type, done by
//! a worker of its own; one at a time.

use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU8, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

use serde::Deserialize;
use serde_json::{Value, json};

use crate::guard::{self, Ended, Job};

/// Asks the errand that runs to stop.
static STOPS: AtomicU8 = AtomicU8::new(0);
/// So long a look at the joins may take to stop.
const GIVE_WAY: Duration = Duration::from_secs(5);
/// Where files go, beside the design.
const OUT: &str = "out";

/// What can be sent for.
#[derive(Clone, Debug, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub(super) enum Errand {
    /// The design's files.
    Make,
    /// What is to be said of them.
    Check,
    /// Evidence for the eye, with so much goods.
    Proof { cloth: String },
    /// The design's motifs strewn another way.
    Toss { seed: u32 },
}

impl Errand {
    fn name(&self) -> &'static str {
        match self {
            Errand::Make => "make",
            Errand::Check => "check",
            Errand::Proof { .. } => "proof",
            Errand::Toss { .. } => "toss",
        }
    }

    fn words(&self, design: &Path) -> Vec<OsString> {
        let mut words: Vec<OsString> = vec![self.name().into(), design.into(), "--json".into()];
        if let Some(out) = self.out(design) {
            words.extend(["--out".into(), out.into()]);
        }
        match self {
            Errand::Proof { cloth } => words.push(format!("--cloth={cloth}").into()),
            Errand::Toss { seed } => words.push(format!("--seed={seed}").into()),
            Errand::Make | Errand::Check => {}
        }
        words
    }

    /// The folder that it writes to.
    fn out(&self, design: &Path) -> Option<PathBuf> {
        matches!(self, Errand::Make | Errand::Proof { .. }).then(|| design.with_file_name(OUT))
    }
}

/// The errand at hand, or the last of each kind.
pub(super) struct Errands {
    state: Arc<Mutex<State>>,
    tell: Arc<dyn Fn() + Send + Sync>,
}

#[derive(Default)]
struct State {
    running: Option<&'static str>,
    /// Of a thousand; nothing is known yet below zero.
    done: i64,
    /// What came of each kind last, and for which text of the design.
    ended: Vec<(&'static str, Value)>,
    /// The files that were made.
    files: Vec<PathBuf>,
}

impl Errands {
    pub(super) fn new(tell: impl Fn() + Send + Sync + 'static) -> Errands {
        Errands { state: Arc::default(), tell: Arc::new(tell) }
    }

    /// Sends for something, for text `number` of the design. `false` if something is on its way already; looking at
    /// the joins gives way.
    pub(super) fn send(&self, errand: Errand, design: &Path, number: u64, round: u64) -> bool {
        if !matches!(errand, Errand::Check) && hold(&self.state).running == Some(Errand::Check.name()) {
            self.stop();
            let until = Instant::now() + GIVE_WAY;
            while hold(&self.state).running.is_some() && Instant::now() < until {
                thread::sleep(Duration::from_millis(20));
            }
        }
        {
            let mut state = hold(&self.state);
            if state.running.is_some() {
                return false;
            }
            STOPS.store(0, Ordering::Relaxed);
            (state.running, state.done) = (Some(errand.name()), -1);
        }
        let (state, tell, design) = (self.state.clone(), self.tell.clone(), design.to_path_buf());
        tell();
        thread::spawn(move || {
            let job = Job { words: errand.words(&design), colored: false, folder: errand.out(&design), stops: &STOPS };
            let mut total = 0;
            let ended = guard::watch(&job, &mut |done, all| {
                total = all.unwrap_or(total);
                let part =
                    done.saturating_mul(1000).checked_div(total).map_or(-1, |part| i64::try_from(part).unwrap_or(0));
                let changed = std::mem::replace(&mut hold(&state).done, part) != part;
                if changed {
                    tell();
                }
            });
            let mut result = match ended {
                Ok(Ended::Said(said)) => match serde_json::from_slice::<Value>(&said.answer) {
                    Ok(answer) => json!({ "answer": answer }),
                    Err(_) => json!({ "error": plain(&said.words) }),
                },
                Ok(Ended::Alone(why)) => {
                    json!({ "error": { "what": format!("no second process can be started: {why}") } })
                }
                Err(error) => json!({ "error": { "what": error.to_string(), "hint": error.hint() } }),
            };
            result["number"] = number.into();
            result["round"] = round.into();
            {
                let mut state = hold(&state);
                let new = result["answer"]["files"].as_array().into_iter().flatten();
                let new: Vec<PathBuf> = new.filter_map(|file| Some(file["path"].as_str()?.into())).collect();
                state.files.retain(|file| !new.contains(file));
                state.files.extend(new);
                state.running = None;
                // A look that gave way is begun again.
                if !matches!(errand, Errand::Check) || STOPS.load(Ordering::Relaxed) == 0 {
                    state.ended.retain(|(name, _)| *name != errand.name());
                    state.ended.push((errand.name(), result));
                }
            }
            tell();
        });
        true
    }

    /// Asks it to stop.
    pub(super) fn stop(&self) {
        STOPS.fetch_add(1, Ordering::Relaxed);
    }

    /// One of the files that were made, by its name.
    pub(super) fn made(&self, name: &str) -> Option<PathBuf> {
        let state = hold(&self.state);
        state.files.iter().find(|file| file.file_name().is_some_and(|own| own == name)).cloned()
    }

    pub(super) fn state(&self) -> Value {
        let state = hold(&self.state);
        let ended: serde_json::Map<String, Value> =
            state.ended.iter().map(|(name, result)| ((*name).into(), result.clone())).collect();
        json!({ "running": state.running, "done": state.done, "ended": ended })
    }
}

fn hold(state: &Mutex<State>) -> std::sync::MutexGuard<'_, State> {
    state.lock().unwrap_or_else(PoisonError::into_inner)
}

/// A failure's words without what only a terminal shows: the sentence, and what to do.
fn plain(words: &[u8]) -> Value {
    let text = String::from_utf8_lossy(words);
    let (_, text) = text.split_once("error: ").unwrap_or(("", &text));
    let shown = |line: &&str| !["-->", "|"].iter().any(|mark| line.trim_start().starts_with(mark));
    let sentence: Vec<&str> = text.lines().take_while(shown).collect();
    let hint = text.split_once("= help: ").map(|(_, hint)| hint.trim());
    json!({ "what": sentence.join("\n").trim(), "hint": hint })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_failure_is_a_sentence_and_a_hint() {
        let said = "error: gap: \"abc\" is not a length\n  --> shore.toml:9:7\n   |\n 9 | gap = \"abc\"\n   |       ^^^^^\n   |\n   = help: write 3mm\n";
        assert_eq!(plain(said.as_bytes()), json!({ "what": "gap: \"abc\" is not a length", "hint": "write 3mm" }));
        let said = "error: layout: it alternates\n   --> shore.toml:17:10\n    |\n 17 | layout = \"checker\"\n    |\n    = help: choose another";
        assert_eq!(plain(said.as_bytes()), json!({ "what": "layout: it alternates", "hint": "choose another" }));
        let said = "error: out: the disk is full\n |\n = help: make room";
        assert_eq!(plain(said.as_bytes()), json!({ "what": "out: the disk is full", "hint": "make room" }));
    }
}
