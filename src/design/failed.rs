//! Why an order's files were not made.

use std::io;
use std::path::{Path, PathBuf};

use crate::cut::CutFileError;
use crate::raster::{RasterError, ReadBackError};
use crate::vector::{PdfError, SvgError};

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
    /// All files are new, and the disk does not say that it has written down their names.
    #[error("{}: {}; all files are in their places, but a power cut might undo it", path.display(), plain(error))]
    Unsettled {
        /// The folder.
        path: PathBuf,
        /// Why.
        error: io::Error,
    },
    /// Something is there that is no old file, and would be lost.
    #[error("{} {what}", path.display())]
    Unfit {
        /// Where.
        path: PathBuf,
        /// What is there.
        what: String,
    },
    /// Another run makes the same file just now.
    #[error("{} is being made by another run", path.display())]
    Busy {
        /// Which.
        path: PathBuf,
    },
    /// The file would replace a drawing or the design.
    #[error("{} would replace the design's own {}", path.display(), source_file.display())]
    OverSource {
        /// The file.
        path: PathBuf,
        /// What it would destroy.
        source_file: PathBuf,
    },
    /// A color mode that the art does not allow.
    #[error("{}: {what}", path.display())]
    Colors {
        /// The file.
        path: PathBuf,
        /// Why not.
        what: &'static str,
    },
    /// A file over its limit.
    #[error("{} would have {bytes} bytes, over the limit of {most}; {remedy}", path.display())]
    TooManyBytes {
        /// The file.
        path: PathBuf,
        /// Its bytes.
        bytes: u64,
        /// The limit.
        most: u64,
        /// Which setting meets the limit, tried out.
        remedy: String,
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
    /// A cut that was written is not what was worked out.
    #[error("{}: {error}", path.display())]
    Cut {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        error: CutFileError,
    },
    /// A PDF that does not read back.
    #[error("{}: {error}; no file was changed", path.display())]
    Pdf {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        error: PdfError,
    },
}

impl DeliverError {
    /// A file whose pixels were not written.
    pub(super) fn unpainted(path: &Path, error: RasterError) -> DeliverError {
        match error {
            RasterError::Stopped => DeliverError::Stopped,
            RasterError::Disk(error) => DeliverError::Disk { path: path.into(), error },
            other => DeliverError::Raster(other),
        }
    }

    /// A file whose pixels do not read back.
    pub(super) fn unread(path: &Path, error: ReadBackError) -> DeliverError {
        match error {
            ReadBackError::Disk(error) => DeliverError::Disk { path: path.into(), error },
            error => DeliverError::Pixels { path: path.into(), error },
        }
    }
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
