//! Files that appear whole or not at all: written beside their place, then renamed.

use std::fs::File;
use std::io;
use std::path::{Path, PathBuf};
use std::time::Duration;

use tempfile::NamedTempFile;

const PREFIX: &str = ".seamfast-";
const SUFFIX: &str = ".draft";
/// A draft is locked a moment after it is made; younger ones are left alone.
const YOUNG: Duration = Duration::from_secs(60);

/// Takes away drafts of programs that were killed: those that nobody holds.
pub(super) fn sweep(folder: &Path) -> io::Result<()> {
    for entry in std::fs::read_dir(folder)? {
        let entry = entry?;
        let name = entry.file_name();
        let name = name.to_string_lossy();
        if !(name.starts_with(PREFIX) && name.ends_with(SUFFIX)) {
            continue;
        }
        let old = entry.metadata()?.modified()?.elapsed().is_ok_and(|age| age > YOUNG);
        if old && File::open(entry.path())?.try_lock().is_ok() {
            std::fs::remove_file(entry.path())?;
        }
    }
    Ok(())
}

/// Takes away the drafts that one process left when it was ended. Those of others stay.
pub(super) fn clear_drafts_of(folder: &Path, process: u32) -> io::Result<()> {
    let prefix = prefix_of(process);
    for entry in std::fs::read_dir(folder)? {
        let entry = entry?;
        let name = entry.file_name();
        let name = name.to_string_lossy();
        if name.starts_with(&prefix) && name.ends_with(SUFFIX) {
            std::fs::remove_file(entry.path())?;
        }
    }
    Ok(())
}

/// How a process begins the names of its drafts.
fn prefix_of(process: u32) -> String {
    format!("{PREFIX}{process}-")
}

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
        let mut builder = tempfile::Builder::new();
        let prefix = prefix_of(std::process::id());
        let file = with_usual_rights(builder.prefix(&prefix).suffix(SUFFIX)).tempfile_in(folder)?;
        // Held as long as this program lives, so that another can tell a draft from a leftover.
        // Where a disk knows no locks, leftovers are kept, too.
        let _ = file.as_file().try_lock();
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

    /// How many bytes it has.
    pub(super) fn bytes(&self) -> io::Result<u64> {
        Ok(self.file.as_file().metadata()?.len())
    }

    /// Puts the file in its place, whole; an older file there is replaced.
    pub(super) fn keep(self) -> io::Result<()> {
        self.file.as_file().sync_all()?;
        let folder = folder_of(&self.path).to_path_buf();
        self.file.persist(&self.path).map_err(|e| e.error)?;
        File::open(folder)?.sync_all()
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

fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

/// A folder and those above it, as far as they are not there, from the innermost.
pub(super) fn missing(folder: &Path) -> Vec<PathBuf> {
    let missing = folder.ancestors().take_while(|f| !f.as_os_str().is_empty() && !f.exists());
    missing.map(Path::to_path_buf).collect()
}

/// Folders made for files to come; dropped, those that are still empty are taken away again.
#[derive(Debug)]
pub(super) struct NewFolders(pub(super) Vec<PathBuf>);

impl NewFolders {
    /// Makes a folder and those above it that are missing.
    pub(super) fn make(folder: &Path) -> io::Result<NewFolders> {
        let new = NewFolders(missing(folder));
        std::fs::create_dir_all(folder)?;
        Ok(new)
    }

    /// They are wanted.
    pub(super) fn stay(mut self) {
        self.0.clear();
    }
}

impl Drop for NewFolders {
    fn drop(&mut self) {
        // Innermost first; a folder that someone has put a file into stays.
        for folder in &self.0 {
            let _ = std::fs::remove_dir(folder);
        }
    }
}
