//! The design on the desk: its text, what it was before, and its file.
//!
//! The text is all there is: a change is a new text, and undoing brings an old one back. Each has a number, so
//! that nobody changes what they have not seen; and the file is looked at before it is written, so that what
//! an editor wrote there is never lost.

use std::path::{Component, Path, PathBuf};
use std::time::{Duration, Instant};

use seamfast::design::{DeliverError, Design, DesignError, Edit, edited, replace_design};

/// Changes of one kind that follow one another this quickly are undone together.
const TOGETHER: Duration = Duration::from_millis(900);
/// So many designs beside it are named at most, and none larger than this is read for it.
const MOST_NEIGHBORS: usize = 8;
const MOST_BYTES: u64 = 1 << 20;

/// A design that is being worked on.
#[derive(Debug)]
pub(crate) struct Desk {
    file: PathBuf,
    text: String,
    /// What stands in the file, as far as is known.
    on_disk: Option<String>,
    /// What was read there last, where that is something else: perhaps half of what is being written.
    coming: Option<Option<String>>,
    number: u64,
    past: Vec<String>,
    future: Vec<String>,
    last: Option<(String, Instant)>,
}

/// Why a change is not made. Nothing is lost by any of them.
#[derive(Debug, thiserror::Error)]
pub(crate) enum Refusal {
    /// It was meant for another text.
    #[error("the design was changed meanwhile, on another page or in an editor; look, and do it again")]
    Old,
    /// It can't be, or the text can't be read.
    #[error(transparent)]
    Design(#[from] DesignError),
    /// The file can't be written.
    #[error(transparent)]
    Disk(#[from] DeliverError),
    /// There is nothing to undo, or to do again.
    #[error("there is nothing more to {0}")]
    Nothing(&'static str),
}

/// Which way to go through what was.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Way {
    Undo,
    Redo,
}

impl Desk {
    /// The design in a file, or a new one of this text, which is written with the first change.
    pub(crate) fn open(file: PathBuf, new: String) -> std::io::Result<Desk> {
        let on_disk = read(&file)?;
        let text = on_disk.clone().unwrap_or(new);
        let (past, future) = (Vec::new(), Vec::new());
        Ok(Desk { file, text, on_disk, coming: None, number: 1, past, future, last: None })
    }

    pub(crate) fn file(&self) -> &Path {
        &self.file
    }

    pub(crate) fn text(&self) -> &str {
        &self.text
    }

    /// Which text this is, counted from the first.
    pub(crate) fn number(&self) -> u64 {
        self.number
    }

    /// How many steps back and forth there are.
    pub(crate) fn steps(&self) -> [usize; 2] {
        [self.past.len(), self.future.len()]
    }

    /// Whether the design is in its file as it is here.
    pub(crate) fn is_kept(&self) -> bool {
        self.on_disk.as_ref() == Some(&self.text)
    }

    /// The text that these changes to text `number` make.
    pub(crate) fn proposed(&self, number: u64, edits: &[Edit]) -> Result<String, Refusal> {
        if number != self.number {
            return Err(Refusal::Old);
        }
        let text = edited(&self.text, edits)?;
        let new = Design::parse(&text, &self.file)?;
        let old = Design::parse(&self.text, &self.file).unwrap_or_default();
        let known = files(&old);
        match files(&new).into_iter().find(|file| !known.contains(file) && !is_inside(file)) {
            None => Ok(text),
            Some(file) => {
                let e = DesignError::new(format!("{file:?} lies outside the design's folder"));
                Err(e.with_hint("drop the file on the cloth, and a copy is kept beside the design").into())
            }
        }
    }

    /// Makes a proposed text the design's, in the file too. Changes with the same `together` are undone as one.
    pub(crate) fn put(&mut self, number: u64, text: String, together: Option<&str>) -> Result<(), Refusal> {
        if number != self.number {
            return Err(Refusal::Old);
        }
        if text == self.text && self.on_disk.is_some() {
            return Ok(());
        }
        self.write(&text)?;
        let now = Instant::now();
        let goes_on =
            matches!((&self.last, together), (Some((last, at)), Some(kind)) if last == kind && now - *at < TOGETHER);
        let old = std::mem::replace(&mut self.text, text);
        if !goes_on {
            self.past.push(old);
        }
        self.future.clear();
        self.last = together.map(|kind| (kind.to_owned(), now));
        self.number += 1;
        Ok(())
    }

    /// The text before this one, or the one that was undone last.
    pub(crate) fn step(&mut self, number: u64, way: Way) -> Result<(), Refusal> {
        if number != self.number {
            return Err(Refusal::Old);
        }
        let (from, word) = match way {
            Way::Undo => (&self.past, "undo"),
            Way::Redo => (&self.future, "do again"),
        };
        let Some(text) = from.last().cloned() else { return Err(Refusal::Nothing(word)) };
        self.write(&text)?;
        let old = std::mem::replace(&mut self.text, text);
        let (from, to) = match way {
            Way::Undo => (&mut self.past, &mut self.future),
            Way::Redo => (&mut self.future, &mut self.past),
        };
        from.pop();
        to.push(old);
        self.last = None;
        self.number += 1;
        Ok(())
    }

    /// Looks whether an editor has changed the file; what was here can then be had back by undoing. A file that
    /// is gone changes nothing: the next change writes it anew. Editors empty a file before they write it: a text
    /// counts once it is read twice in a row.
    pub(crate) fn look(&mut self) -> bool {
        let Ok(now) = read(&self.file) else { return false };
        if now == self.on_disk {
            self.coming = None;
            return false;
        }
        if self.coming.as_ref() != Some(&now) {
            self.coming = Some(now);
            return false;
        }
        self.coming = None;
        self.on_disk.clone_from(&now);
        match now {
            Some(text) if text != self.text => {
                self.past.push(std::mem::replace(&mut self.text, text));
                self.future.clear();
                self.last = None;
                self.number += 1;
            }
            _ => {}
        }
        true
    }

    /// The other designs in its folder, by name; a few, where there are many.
    pub(crate) fn neighbors(&self) -> Vec<String> {
        let entries =
            self.file.parent().and_then(|folder| std::fs::read_dir(folder).ok()).into_iter().flatten().flatten();
        let is_design = |path: &PathBuf| {
            let small = || std::fs::metadata(path).is_ok_and(|about| about.is_file() && about.len() <= MOST_BYTES);
            let design = || Design::parse(&read(path).ok()??, path).ok();
            path.extension().is_some_and(|ending| ending == "toml")
                && *path != self.file
                && small()
                && design().is_some_and(|design| !files(&design).is_empty())
        };
        let mut paths: Vec<PathBuf> =
            entries.map(|entry| entry.path()).filter(is_design).take(MOST_NEIGHBORS).collect();
        paths.sort();
        paths.iter().filter_map(|path| Some(path.file_name()?.to_string_lossy().into_owned())).collect()
    }

    fn write(&mut self, text: &str) -> Result<(), Refusal> {
        match replace_design(&self.file, self.on_disk.as_deref(), text) {
            Ok(()) => {
                self.on_disk = Some(text.to_owned());
                Ok(())
            }
            // Somebody else wrote there; it is taken when it is next looked at.
            Err(DeliverError::Unfit { .. }) if read(&self.file).is_ok_and(|now| now != self.on_disk) => {
                Err(Refusal::Old)
            }
            Err(error) => Err(error.into()),
        }
    }
}

/// The drawings that a design names.
fn files(design: &Design) -> Vec<&str> {
    let motifs = design.motifs.iter().map(|entry| &entry.file);
    let strewn = design.toss.iter().flat_map(|toss| toss.motifs.iter().map(|motif| &motif.file));
    motifs.chain(strewn).chain(&design.croquis).map(|file| file.get_ref().as_str()).collect()
}

/// Whether a file lies in the design's folder, or below it.
fn is_inside(file: &str) -> bool {
    Path::new(file).components().all(|part| matches!(part, Component::Normal(_) | Component::CurDir))
}

/// The text of a file; `None` if there is none.
fn read(file: &Path) -> std::io::Result<Option<String>> {
    match std::fs::read_to_string(file) {
        Ok(text) => Ok(Some(text)),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(error),
    }
}

#[cfg(test)]
mod tests;
