//! What another process left in a folder when it was ended in the middle of delivering.

use std::path::{Path, PathBuf};

use super::draft::{NewFolders, clear_drafts_of, missing};

/// A folder as it was before another process began to deliver there.
#[derive(Debug)]
pub struct Aftermath {
    folder: PathBuf,
    missing: Vec<PathBuf>,
}

impl Aftermath {
    /// To be asked before the other process begins.
    pub fn before(folder: &Path) -> Aftermath {
        Aftermath { folder: folder.into(), missing: missing(folder) }
    }

    /// Takes away the drafts of a process that has ended, and the folders that it made and left
    /// empty. What can't be taken away now is taken away by a later delivery.
    pub fn clear(self, process: u32) {
        let _ = clear_drafts_of(&self.folder, process);
        drop(NewFolders(self.missing));
    }
}
