//! Files that appear together or not at all: an order's, and the evidence of a proof.

use std::fs::File;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};

use super::deliver::{digest, disk};
use super::draft::{Draft, settle};
use super::failed::DeliverError;
use super::slot::{Slot, fit, folder_of, sweep};
use super::traces::{self, Trace};
use crate::progress::{Progress, Task};
use crate::raster::{self, Format, PngColors, SheetSpec, Target};

/// What was made: the places that are claimed until all files have theirs, the drafts, and what is to be told.
pub(super) type Made<S, T> = (S, Vec<Draft>, T);

/// Lets `make` write drafts into `folder`, and puts all of them in their places.
pub(super) fn together<S, T>(
    folder: &Path,
    progress: &dyn Progress,
    make: impl FnOnce() -> Result<Made<S, T>, DeliverError>,
) -> Result<T, DeliverError> {
    if folder.is_symlink() && !folder.exists() {
        return Err(DeliverError::Unfit { path: folder.into(), what: "is a link that leads nowhere".into() });
    }
    // Dropped, a folder with files in it stays.
    let new = Trace::folders(folder).map_err(disk(folder))?;
    let (_claimed, mut drafts, told) = make()?;
    for draft in &drafts {
        if progress.stopped() {
            return Err(DeliverError::Stopped);
        }
        draft.flush().map_err(disk(draft.path()))?;
    }
    place(&mut drafts, progress)?;
    for folder in new.iter().map(|new| folder_of(new.path())).chain([folder]) {
        settle(folder).map_err(|error| DeliverError::Unsettled { path: folder.into(), error })?;
    }
    Ok(told)
}

/// Puts all drafts in their places. A stop that comes later than this begins comes too late.
fn place(drafts: &mut [Draft], progress: &dyn Progress) -> Result<(), DeliverError> {
    // Said before it is asked: who ends this program later knows that files may have changed.
    let _busy = progress.busy(Task::Placing);
    let mut ours = traces::hold();
    if progress.stopped() {
        return Err(DeliverError::Stopped);
    }
    let mut kept = Vec::new();
    for draft in drafts {
        match draft.keep(&mut ours) {
            Ok(()) => kept.push(draft.path().to_path_buf()),
            Err(error) if kept.is_empty() => return Err(disk(draft.path())(error)),
            Err(error) => return Err(DeliverError::Half { path: draft.path().into(), error, kept }),
        }
    }
    Ok(())
}

/// A file that was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Written {
    /// Where it is.
    pub path: PathBuf,
    /// Its length.
    pub bytes: u64,
    /// SHA-256 of its bytes, in hex.
    pub sha256: String,
}

/// A file on its way, to be written once.
pub struct Blank<'a> {
    draft: &'a Draft,
    progress: &'a dyn Progress,
}

impl Blank<'_> {
    /// Where it will be.
    pub fn path(&self) -> &Path {
        self.draft.path()
    }

    /// Writes bytes as they are.
    ///
    /// # Errors
    /// What the disk says.
    pub fn bytes(&self, bytes: &[u8]) -> Result<(), DeliverError> {
        let written = self.draft.handle().and_then(|mut file| file.write_all(bytes));
        written.map_err(disk(self.path()))
    }

    /// What stands in it by now.
    pub(super) fn read(&self) -> Result<Vec<u8>, DeliverError> {
        let mut bytes = Vec::new();
        let read = self.draft.handle().and_then(|mut file| file.read_to_end(&mut bytes));
        read.map(|_| bytes).map_err(disk(self.path()))
    }

    /// Writes a PNG, whose rows `row` fills, and reads it back.
    ///
    /// # Errors
    /// What the disk says; that it was stopped; that it does not read back.
    pub fn png(&self, spec: SheetSpec, row: &(dyn Fn(usize, &mut [u8]) + Sync)) -> Result<(), DeliverError> {
        let format = Format::Png(PngColors::Full);
        let open = || -> std::io::Result<File> { self.draft.handle() };
        let file = open().map_err(disk(self.path()))?;
        let scratch = self.draft.scratch().map_err(disk(self.path()))?;
        let target = Target { format: format.clone(), file, scratch };
        let unpainted = |e| DeliverError::unpainted(self.path(), e);
        let woven = raster::write(row, spec, target, self.progress).map_err(unpainted)?;
        raster::read_back(&format, &open, &woven).map_err(|e| DeliverError::unread(self.path(), e)).map(|_| ())
    }
}

/// Makes files that are no delivery of an order, as safely: `make` writes the one with the index.
///
/// # Errors
/// As [`Order::deliver`](super::Order::deliver), and what `make` says.
pub fn write_together(
    folder: &Path,
    names: &[String],
    sources: &[PathBuf],
    progress: &dyn Progress,
    mut make: impl FnMut(usize, &Blank<'_>) -> Result<(), DeliverError>,
) -> Result<Vec<Written>, DeliverError> {
    together(folder, progress, || {
        let paths: Vec<PathBuf> = names.iter().map(|name| folder.join(name)).collect();
        for path in &paths {
            fit(path, sources)?;
        }
        sweep(folder);
        let slots = paths.into_iter().map(Slot::claim).collect::<Result<Vec<_>, _>>()?;
        let (mut drafts, mut written) = (Vec::new(), Vec::new());
        for (index, slot) in slots.iter().enumerate() {
            let draft = Draft::beside(slot).map_err(disk(slot.path()))?;
            make(index, &Blank { draft: &draft, progress })?;
            let (bytes, sha256) = draft.handle().and_then(digest).map_err(disk(draft.path()))?;
            written.push(Written { path: draft.path().into(), bytes, sha256 });
            drafts.push(draft);
        }
        Ok((slots, drafts, written))
    })
}

/// Puts a design's new text in its file's place, unless another stands there than is known; `None` is no file.
///
/// # Errors
/// As [`write_together`]; [`DeliverError::Unfit`] if it was changed meanwhile.
pub fn replace_design(file: &Path, known: Option<&str>, new: &str) -> Result<(), DeliverError> {
    let name = file.file_name().unwrap_or_default().to_string_lossy().into_owned();
    write_together(folder_of(file), &[name], &[], &(), |_, blank| {
        let now = match std::fs::read_to_string(file) {
            Ok(text) => Some(text),
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => None,
            Err(error) => return Err(disk(file)(error)),
        };
        if now.as_deref() != known {
            return Err(DeliverError::Unfit { path: file.into(), what: "was changed meanwhile".into() });
        }
        blank.bytes(new.as_bytes())
    })
    .map(|_| ())
}
