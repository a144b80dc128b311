//! What a run has on the disk while it works: drafts, locks, new folders. All of it is taken
//! away when the run ends, however it ends short of a `kill -9`; for that, see `slot.rs`.

use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// Traces of this process, and whether the last order's files have begun to come to their places.
pub(super) struct Ours {
    paths: Vec<PathBuf>,
    placed: bool,
}

static OURS: Mutex<Ours> = Mutex::new(Ours { paths: Vec::new(), placed: false });

/// While this is held nothing is left, taken away or abandoned. Don't drop a [`Trace`] meanwhile.
pub(super) fn hold() -> MutexGuard<'static, Ours> {
    OURS.lock().unwrap_or_else(PoisonError::into_inner)
}

/// A file or folder that goes when this is dropped; a folder only while it is empty.
#[derive(Debug)]
pub(super) struct Trace(Option<PathBuf>);

impl Trace {
    /// Makes something on the disk; `make` gives it with its path.
    pub(super) fn leave<T>(make: impl FnOnce() -> io::Result<(T, PathBuf)>) -> io::Result<(Trace, T)> {
        let mut ours = hold();
        let (made, path) = make()?;
        ours.paths.push(path.clone());
        ours.placed = false;
        Ok((Trace(Some(path)), made))
    }

    /// Makes a folder and those above it that are missing; gives the new ones, innermost first.
    pub(super) fn folders(folder: &Path) -> io::Result<Vec<Trace>> {
        let mut new = Vec::new();
        for folder in missing(folder).into_iter().rev() {
            match Trace::leave(|| Ok((std::fs::create_dir(&folder)?, folder.clone()))) {
                Ok((trace, ())) => new.insert(0, trace),
                // Another run was faster.
                Err(e) if e.kind() == io::ErrorKind::AlreadyExists && folder.is_dir() => {}
                Err(e) => return Err(e),
            }
        }
        // An error if there is something else of that name.
        std::fs::create_dir_all(folder).map(|()| new)
    }

    /// Where it is.
    pub(super) fn path(&self) -> &Path {
        self.0.as_deref().unwrap_or(Path::new(""))
    }

    /// Gives the file its place, whole; an older file there is replaced.
    pub(super) fn move_to(&mut self, place: &Path, ours: &mut Ours) -> io::Result<()> {
        std::fs::rename(self.path(), place)?;
        ours.placed = true;
        ours.paths.retain(|path| path != self.path());
        self.0 = None;
        Ok(())
    }
}

impl Drop for Trace {
    fn drop(&mut self) {
        if let Some(path) = &self.0 {
            let mut ours = hold();
            ours.paths.retain(|ours| ours != path);
            remove(path);
        }
    }
}

/// A folder and those above it, as far as they are not there, from the innermost.
pub(super) fn missing(folder: &Path) -> Vec<PathBuf> {
    let missing = folder.ancestors().take_while(|f| !f.as_os_str().is_empty() && !f.exists());
    missing.map(Path::to_path_buf).collect()
}

fn remove(path: &Path) {
    // What can't be removed now is taken away by a later run.
    let _ = std::fs::remove_file(path).or_else(|_| std::fs::remove_dir(path));
}

/// Takes away all that this process's unfinished orders have on the disk, and gives `true`; for a
/// program that must end before its workers have noticed. They come no further than their next
/// draft or their first finished file, so end the process.
///
/// Once an order's files have begun to come to their places it is too late: nothing is done, and
/// the answer is `false`. Those few renames are not interrupted; wait for the order to end.
pub fn abandon() -> bool {
    let mut ours = hold();
    if ours.placed {
        return false;
    }
    // The last first, so that folders are empty when their turn comes.
    while let Some(path) = ours.paths.pop() {
        remove(&path);
    }
    std::mem::forget(ours);
    true
}
