//! Files that appear whole or not at all: written beside their place, then renamed.

use std::fs::File;
use std::io;
use std::path::{Path, PathBuf};

use super::slot::{DRAFT, Slot, folder_of};
use super::traces::{Ours, Trace};

/// A file on its way; dropped, it leaves nothing behind.
#[derive(Debug)]
pub(super) struct Draft {
    trace: Trace,
    file: File,
    path: PathBuf,
}

impl Draft {
    /// An empty draft beside a place.
    pub(super) fn beside(slot: &Slot) -> io::Result<Draft> {
        let path = slot.path().to_path_buf();
        let prefix = slot.draft_prefix();
        let mut builder = tempfile::Builder::new();
        let builder = with_usual_rights(builder.prefix(&prefix).suffix(DRAFT));
        let (trace, file) = Trace::leave(|| Ok(builder.tempfile_in(folder_of(&path))?.keep()?))?;
        Ok(Draft { trace, file, path })
    }

    /// A second handle to write through.
    pub(super) fn handle(&self) -> io::Result<File> {
        File::options().read(true).write(true).open(self.trace.path())
    }

    /// A scratch file in the same folder that no one sees.
    pub(super) fn scratch(&self) -> io::Result<File> {
        tempfile::tempfile_in(folder_of(&self.path))
    }

    pub(super) fn path(&self) -> &Path {
        &self.path
    }

    /// How many bytes it has.
    pub(super) fn bytes(&self) -> io::Result<u64> {
        Ok(self.file.metadata()?.len())
    }

    /// Brings it to the disk, with the rights of the file that it will replace.
    pub(super) fn flush(&self) -> io::Result<()> {
        if let Ok(old) = self.path.metadata() {
            // Some disks know no rights.
            let _ = self.file.set_permissions(old.permissions());
        }
        self.file.sync_all()
    }

    /// Puts the file in its place, whole; an older file there is replaced.
    pub(super) fn keep(&mut self, ours: &mut Ours) -> io::Result<()> {
        self.trace.move_to(&self.path, ours)
    }
}

/// A delivered file is for everyone, as far as the user's own mask lets it be; a temporary
/// file would be for its owner alone.
#[cfg(unix)]
fn with_usual_rights<'a, 'b>(builder: &'a mut tempfile::Builder<'b, 'b>) -> &'a mut tempfile::Builder<'b, 'b> {
    use std::os::unix::fs::PermissionsExt;
    builder.permissions(std::fs::Permissions::from_mode(0o666))
}

#[cfg(not(unix))]
fn with_usual_rights<'a, 'b>(builder: &'a mut tempfile::Builder<'b, 'b>) -> &'a mut tempfile::Builder<'b, 'b> {
    builder
}

/// Makes the names in a folder outlast a power cut.
#[cfg(unix)]
pub(super) fn settle(folder: &Path) -> io::Result<()> {
    use io::ErrorKind as K;
    match File::open(folder).and_then(|folder| folder.sync_all()) {
        // A folder that may be written and not read; a disk that does this by itself.
        Err(e) if matches!(e.kind(), K::PermissionDenied | K::InvalidInput | K::Unsupported) => Ok(()),
        other => other,
    }
}

/// Makes the names in a folder outlast a power cut: elsewhere folders can't be opened for that.
#[cfg(not(unix))]
pub(super) fn settle(_: &Path) -> io::Result<()> {
    Ok(())
}
