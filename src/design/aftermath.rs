//! What another process left in a folder when it was ended in the middle of delivering.

use std::path::{Path, PathBuf};

use super::slot::sweep;
use super::traces::missing;

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

    /// Takes away what processes that have ended left there, and the folders that were made and are
    /// empty. What can't be taken away now is taken away by a later delivery.
    pub fn clear(self) {
        sweep(&self.folder);
        // Innermost first; a folder that someone has put a file into stays.
        for folder in &self.missing {
            let _ = std::fs::remove_dir(folder);
        }
    }
}
