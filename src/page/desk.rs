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
mod tests {
    use super::*;

    const TEXT: &str = "name = \"shore\" # by hand\n";

    fn desk() -> (tempfile::TempDir, Desk) {
        let folder = tempfile::tempdir().unwrap();
        let desk = Desk::open(folder.path().join("shore.toml"), TEXT.into()).unwrap();
        (folder, desk)
    }

    fn ground(color: &str) -> Vec<Edit> {
        let json = format!(r#"[{{"set":{{"section":{{"name":""}},"values":{{"ground":"{color}"}}}}}}]"#);
        serde_json::from_str(&json).unwrap()
    }

    fn change(desk: &mut Desk, color: &str, together: Option<&str>) {
        let text = desk.proposed(desk.number(), &ground(color)).unwrap();
        desk.put(desk.number(), text, together).unwrap();
    }

    fn file(desk: &Desk) -> String {
        std::fs::read_to_string(desk.file()).unwrap()
    }

    fn look_twice(desk: &mut Desk) {
        assert!(!desk.look(), "it may be half written");
        assert!(desk.look());
    }

    #[test]
    fn an_editor_that_empties_the_file_first_leaves_no_empty_design() {
        let (_folder, mut desk) = desk();
        change(&mut desk, "linen", None);
        std::fs::write(desk.file(), "").unwrap();
        assert!(!desk.look());
        std::fs::write(desk.file(), "name = \"theirs\"\n").unwrap();
        look_twice(&mut desk);
        assert_eq!((desk.text(), desk.steps()), ("name = \"theirs\"\n", [2, 0]));
    }

    #[test]
    fn changes_are_written_and_undone_one_by_one_or_together() {
        let (_folder, mut desk) = desk();
        change(&mut desk, "linen", None);
        change(&mut desk, "white", Some("ground"));
        change(&mut desk, "black", Some("ground"));
        assert!(file(&desk).contains("black") && file(&desk).contains("# by hand"));
        assert_eq!(desk.steps(), [2, 0]);
        desk.step(desk.number(), Way::Undo).unwrap();
        assert!(file(&desk).contains("linen"));
        desk.step(desk.number(), Way::Undo).unwrap();
        assert_eq!(file(&desk), TEXT);
        assert!(matches!(desk.step(desk.number(), Way::Undo), Err(Refusal::Nothing(_))));
        desk.step(desk.number(), Way::Redo).unwrap();
        desk.step(desk.number(), Way::Redo).unwrap();
        assert!(file(&desk).contains("black"));
    }

    #[test]
    fn what_an_editor_wrote_is_not_written_over() {
        let (_folder, mut desk) = desk();
        change(&mut desk, "linen", None);
        let seen = desk.number();
        let mine = desk.proposed(seen, &ground("black")).unwrap();
        std::fs::write(desk.file(), "name = \"theirs\"\n").unwrap();
        assert!(matches!(desk.put(seen, mine, None), Err(Refusal::Old)));
        look_twice(&mut desk);
        assert_eq!((desk.text(), &*file(&desk)), ("name = \"theirs\"\n", "name = \"theirs\"\n"));
        // What was here is a step back.
        desk.step(desk.number(), Way::Undo).unwrap();
        assert!(file(&desk).contains("linen"));
        assert!(matches!(desk.proposed(seen, &ground("black")), Err(Refusal::Old)));
    }

    #[test]
    fn a_change_names_no_file_outside_the_folder() {
        let (_folder, mut desk) = desk();
        let motif = |number: usize, file: &str| -> Vec<Edit> {
            let section = format!(r#"{{"name":"motif","number":{number}}}"#);
            let json = format!(r#"[{{"set":{{"section":{section},"values":{{"file":"{file}"}}}}}}]"#);
            serde_json::from_str(&json).unwrap()
        };
        for file in ["/etc/passwd", "../away.svg", "motifs/../../away.svg"] {
            let refused = desk.proposed(desk.number(), &motif(0, file)).unwrap_err().to_string();
            assert!(refused.contains("lies outside the design's folder"), "{refused}");
        }
        desk.proposed(desk.number(), &motif(0, "motifs/kelp.svg")).unwrap();
        // What the person's own file names may be laid once more.
        std::fs::write(desk.file(), "[[motif]]\nfile = \"../kelp.svg\"\n").unwrap();
        look_twice(&mut desk);
        desk.proposed(desk.number(), &motif(1, "../kelp.svg")).unwrap();
    }

    #[test]
    fn a_file_that_is_gone_is_written_anew() {
        let (_folder, mut desk) = desk();
        change(&mut desk, "linen", None);
        std::fs::remove_file(desk.file()).unwrap();
        look_twice(&mut desk);
        assert!(!desk.is_kept() && desk.text().contains("linen"));
        change(&mut desk, "black", None);
        assert!(file(&desk).contains("black"));
    }
}
