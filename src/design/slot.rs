//! The place of one delivered file: fit to take it, and claimed, so that no other run writes it.
//!
//! ```text
//!   out/limpet.png                            the place
//!   out/.seamfast-5c1f03aa29b7e610.lock       held by the run that makes it; empty
//!   out/.seamfast-5c1f03aa29b7e610-x7Gq2B.draft   the new file, until it is right
//! ```
//!
//! The number is that of the file's name. The system gives a lock back when its holder ends, even by
//! `kill -9`; a lock that nobody holds and its drafts are leftovers, and the next run takes them away.
//! A second run is refused and not kept waiting: nothing hangs, and other names go on side by side.

use std::collections::BTreeMap;
use std::fs::{File, TryLockError};
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};
use std::time::Duration;

use sha2::{Digest, Sha256};
use unicode_normalization::UnicodeNormalization;

use super::failed::DeliverError;
use super::traces::Trace;

const PREFIX: &str = ".seamfast-";
/// Hexadecimal digits of a name's number.
const DIGITS: usize = 16;
/// A lock may be held for a moment by a run that looks for leftovers.
const TRIES: usize = 10;
const MOMENT: Duration = Duration::from_millis(20);

/// A place that is ours until this is dropped.
#[derive(Debug)]
pub(super) struct Slot {
    path: PathBuf,
    number: String,
    /// The lock's file goes before the lock does. None where a disk knows no locks: then the last
    /// of two runs wins, with its whole file.
    _lock: Option<(Trace, File)>,
}

impl Slot {
    /// Claims a place.
    pub(super) fn claim(path: PathBuf) -> Result<Slot, DeliverError> {
        let number = number(&path.file_name().unwrap_or_default().to_string_lossy());
        let lock_path = lock_path(folder_of(&path), &number);
        for _ in 0..TRIES {
            match Trace::leave(|| lock(&lock_path)) {
                Ok(lock) => return Ok(Slot { path, number, _lock: Some(lock) }),
                Err(e) if e.kind() == ErrorKind::WouldBlock => std::thread::sleep(MOMENT),
                Err(e) if e.kind() == ErrorKind::Unsupported => return Ok(Slot { path, number, _lock: None }),
                Err(error) => return Err(DeliverError::Disk { path, error }),
            }
        }
        Err(DeliverError::Busy { path })
    }

    pub(super) fn path(&self) -> &Path {
        &self.path
    }

    /// How the names of its drafts begin.
    pub(super) fn draft_prefix(&self) -> String {
        format!("{PREFIX}{}-", self.number)
    }
}

/// How the names of drafts end.
pub(super) const DRAFT: &str = ".draft";

/// Refuses a place where a file would take away something that is no old file of that name.
pub(super) fn fit(path: &Path, sources: &[PathBuf]) -> Result<(), DeliverError> {
    for source in sources {
        // What can't be told apart for sure is not written over.
        match same_file(source, path) {
            Ok(false) => {}
            Ok(true) => return Err(DeliverError::OverSource { path: path.into(), source_file: source.clone() }),
            Err(error) => return Err(DeliverError::Disk { path: source.clone(), error }),
        }
    }
    let unfit = |what: &str| Err(DeliverError::Unfit { path: path.into(), what: what.into() });
    match path.symlink_metadata() {
        Ok(there) if there.is_symlink() => match std::fs::read_link(path) {
            Ok(to) => unfit(&format!("is a link to {}", to.display())),
            Err(error) => Err(DeliverError::Disk { path: path.into(), error }),
        },
        Ok(there) if there.is_dir() => {
            Err(DeliverError::Disk { path: path.into(), error: ErrorKind::IsADirectory.into() })
        }
        Ok(there) if !there.is_file() => unfit("is a pipe or a device, not a file"),
        // A rename would not ask.
        Ok(there) if there.permissions().readonly() => unfit("is read-only"),
        Ok(_) => Ok(()),
        Err(e) if e.kind() == ErrorKind::NotFound => Ok(()),
        Err(error) => Err(DeliverError::Disk { path: path.into(), error }),
    }
}

/// Takes away what killed runs have left in a folder: locks that nobody holds, and their drafts.
/// What can't be looked at or removed stays, and stops nobody.
pub fn sweep(folder: &Path) {
    let mut found: BTreeMap<String, Vec<PathBuf>> = BTreeMap::new();
    for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
        if let Some(number) = number_in(&entry.file_name().to_string_lossy()) {
            found.entry(number).or_default().push(entry.path());
        }
    }
    for (number, files) in found {
        if let Ok(_held) = Trace::leave(|| lock(&lock_path(folder, &number))) {
            for draft in files.iter().filter(|file| file.extension().is_some_and(|e| e == "draft")) {
                let _ = std::fs::remove_file(draft);
            }
        }
    }
}

/// A file's name as disks compare names that don't tell cases apart, nor ways to write an accent.
pub(super) fn plain(name: &str) -> String {
    name.nfd().collect::<String>().to_uppercase().to_lowercase().nfc().collect()
}

fn number(name: &str) -> String {
    let digest = Sha256::digest(plain(name));
    digest.iter().take(DIGITS / 2).map(|byte| format!("{byte:02x}")).collect()
}

/// The number in the name of a lock or a draft.
fn number_in(name: &str) -> Option<String> {
    let (number, rest) = name.strip_prefix(PREFIX)?.split_at_checked(DIGITS)?;
    let ours = rest == ".lock" || (rest.starts_with('-') && rest.ends_with(DRAFT));
    (ours && number.bytes().all(|b| b.is_ascii_hexdigit())).then(|| number.into())
}

fn lock_path(folder: &Path, number: &str) -> PathBuf {
    folder.join(format!("{PREFIX}{number}.lock"))
}

/// Takes a lock, which is free, held (`WouldBlock`), or unknown to this disk (`Unsupported`).
fn lock(path: &Path) -> io::Result<(File, PathBuf)> {
    let file = match File::options().write(true).create(true).truncate(false).open(path) {
        // Left by someone else; it can be held even so.
        Err(e) if e.kind() == ErrorKind::PermissionDenied => File::open(path).map_err(|_| e)?,
        other => other?,
    };
    match file.try_lock() {
        // Whoever held it may have taken its file away in between.
        Ok(()) if is_at(&file, path) => Ok((file, path.into())),
        Ok(()) | Err(TryLockError::WouldBlock) => Err(ErrorKind::WouldBlock.into()),
        Err(TryLockError::Error(_)) => {
            let _ = std::fs::remove_file(path);
            Err(ErrorKind::Unsupported.into())
        }
    }
}

#[cfg(unix)]
fn is_at(file: &File, path: &Path) -> bool {
    match (file.metadata(), path.metadata()) {
        (Ok(a), Ok(b)) => identity(&a) == identity(&b),
        _ => false,
    }
}

#[cfg(not(unix))]
fn is_at(_: &File, path: &Path) -> bool {
    path.exists()
}

/// One file by two names: a link of either kind, another spelling.
fn same_file(a: &Path, b: &Path) -> io::Result<bool> {
    #[cfg(unix)]
    let who = |path: &Path| path.metadata().map(|file| identity(&file));
    #[cfg(not(unix))]
    let who = |path: &Path| path.canonicalize();
    match (who(b), who(a)) {
        (Err(e), _) | (_, Err(e)) if e.kind() == ErrorKind::NotFound => Ok(false),
        (Ok(b), Ok(a)) => Ok(a == b),
        // A link in a circle and the like: what is there is looked at next.
        (Err(_), _) => Ok(false),
        (_, Err(e)) => Err(e),
    }
}

#[cfg(unix)]
fn identity(file: &std::fs::Metadata) -> (u64, u64) {
    use std::os::unix::fs::MetadataExt;
    (file.dev(), file.ino())
}

pub(super) fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_that_a_disk_may_take_for_one() {
        for [one, other] in [["Limpet.png", "limpet.PNG"], ["M\u{f6}we.svg", "Mo\u{308}WE.svg"], ["ΣΑΣ.tif", "σας.tif"]]
        {
            assert_eq!(number(one), number(other));
        }
        assert_ne!(number("limpet.png"), number("limpet.svg"));
    }

    #[test]
    fn only_our_own_names_are_leftovers() {
        let number = number("limpet.png");
        for ours in [".lock", "-x7Gq2B.draft"] {
            assert_eq!(number_in(&format!(".seamfast-{number}{ours}")).as_ref(), Some(&number));
        }
        for other in [".seamfast-notes.txt", ".seamfast-notes.draft", ".seamfast-möwemöwemöwe.lock", "x.lock"] {
            assert_eq!(number_in(other), None);
        }
    }
}
