//! Files that appear whole or not at all: written beside their place, then renamed.

use std::fs::File;
use std::io;
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

/// A file on its way; dropped, it leaves nothing behind.
#[derive(Debug)]
pub(super) struct Draft {
    file: NamedTempFile,
    path: PathBuf,
}

impl Draft {
    /// An empty draft beside `path`.
    pub(super) fn beside(path: &Path) -> io::Result<Draft> {
        let folder = folder_of(path);
        let file = tempfile::Builder::new().prefix(".seamfast-").suffix(".draft").tempfile_in(folder)?;
        Ok(Draft { file, path: path.into() })
    }

    /// A second handle to write through.
    pub(super) fn handle(&self) -> io::Result<File> {
        self.file.reopen()
    }

    /// A scratch file in the same folder that no one sees.
    pub(super) fn scratch(&self) -> io::Result<File> {
        tempfile::tempfile_in(folder_of(&self.path))
    }

    pub(super) fn path(&self) -> &Path {
        &self.path
    }

    /// Puts the file in its place, whole; an older file there is replaced.
    pub(super) fn keep(self) -> io::Result<()> {
        self.file.as_file().sync_all()?;
        set_usual_rights(self.file.as_file())?;
        let folder = folder_of(&self.path).to_path_buf();
        self.file.persist(&self.path).map_err(|e| e.error)?;
        File::open(folder)?.sync_all()
    }
}

/// Scratch files are made for their owner alone; a delivered file is for everyone.
#[cfg(unix)]
fn set_usual_rights(file: &File) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    file.set_permissions(std::fs::Permissions::from_mode(0o644))
}

#[cfg(not(unix))]
fn set_usual_rights(_: &File) -> io::Result<()> {
    Ok(())
}

fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."))
}
