//! Why an order's files were not made.

use std::io;
use std::path::PathBuf;

use crate::raster::{RasterError, ReadBackError};
use crate::vector::SvgError;

/// Why files were not made. None of the order's files was touched, unless it says so.
#[derive(Debug, thiserror::Error)]
pub enum DeliverError {
    /// A folder or file the system won't give.
    #[error("{}: {}", path.display(), plain(error))]
    Disk {
        /// Which.
        path: PathBuf,
        /// Why.
        error: io::Error,
    },
    /// The disk refused when some of the files were in their places already.
    #[error("{}: {}; only these files are new: {}", path.display(), plain(error), list(kept))]
    Half {
        /// The file that is not in its place.
        path: PathBuf,
        /// Why.
        error: io::Error,
        /// Those that are.
        kept: Vec<PathBuf>,
    },
    /// The file would replace a drawing or the design.
    #[error("{} would replace the design's own {}", path.display(), source_file.display())]
    OverSource {
        /// The file.
        path: PathBuf,
        /// What it would destroy.
        source_file: PathBuf,
    },
    /// Asked to stop.
    #[error("stopped; no file was changed")]
    Stopped,
    /// The painter.
    #[error(transparent)]
    Raster(RasterError),
    /// A raster that does not read back.
    #[error("{}: {error}; no file was changed", path.display())]
    Pixels {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        error: ReadBackError,
    },
    /// An SVG that does not read back.
    #[error("{}: {error}; no file was changed", path.display())]
    Vector {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        error: SvgError,
    },
}

/// What the system says, without its number.
fn plain(error: &io::Error) -> String {
    let text = error.to_string();
    text.split(" (os error").next().unwrap_or_default().to_lowercase()
}

fn list(paths: &[PathBuf]) -> String {
    let shown: Vec<String> = paths.iter().map(|path| path.display().to_string()).collect();
    shown.join(", ")
}
