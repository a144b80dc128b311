//! Order → files: planned once, painted once for each grid, read back, then put in place.

use std::fs::File;
use std::io::{self, BufReader, Read, Write};
use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};

use super::draft::Draft;
use super::order::{Delivery, Kind, Order};
use crate::raster::{self, Progress, RasterError, ReadBackError, SheetSpec, Target, Woven};
use crate::vector::{self, SvgError};
use crate::wrap::Copies;

/// Why files were not made. None of the order's files was touched, unless it says so.
#[derive(Debug, thiserror::Error)]
pub enum DeliverError {
    /// A folder or file the system won't give.
    #[error("{}: {}", path.display(), say(error))]
    Disk {
        /// Which.
        path: PathBuf,
        /// Why.
        error: io::Error,
    },
    /// The file would replace a drawing or the design.
    #[error("{}: would overwrite the design's own {}; choose another folder with --out or another --name", path.display(), source_file.display())]
    OverSource {
        /// The file.
        path: PathBuf,
        /// What it would destroy.
        source_file: PathBuf,
    },
    /// The painter.
    #[error(transparent)]
    Raster(#[from] RasterError),
    /// A raster that does not read back.
    #[error("{}: {error}; nothing was delivered. Please report this", path.display())]
    Pixels {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        error: ReadBackError,
    },
    /// An SVG that does not read back.
    #[error("{}: {error}; nothing was delivered. Please report this", path.display())]
    Vector {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        error: SvgError,
    },
}

/// The system's word, and what to do about it.
fn say(error: &io::Error) -> String {
    let hint = match error.kind() {
        io::ErrorKind::NotFound => "; check the folder's name",
        io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => "; choose a folder you may write to with --out",
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => "; make room, or choose another disk with --out",
        io::ErrorKind::NotADirectory | io::ErrorKind::AlreadyExists => "; there is a file of that name, choose another folder with --out",
        _ => "",
    };
    format!("{error}{hint}")
}

/// One delivered file.
#[derive(Clone, Debug)]
pub struct FileReport {
    /// Where it is.
    pub path: PathBuf,
    /// What it is.
    pub kind: Kind,
    /// Its length.
    pub bytes: u64,
    /// SHA-256 of its bytes, in hex.
    pub sha256: String,
}

/// What became of one delivery.
#[derive(Clone, Debug)]
pub struct Delivered {
    /// Copies on the tile.
    pub copies: usize,
    /// Its files.
    pub files: Vec<FileReport>,
}

/// What became of an order.
#[derive(Clone, Debug)]
pub struct Report {
    /// One for each delivery of the order.
    pub delivered: Vec<Delivered>,
}

impl Order {
    /// The rows that all rasters together have, for a progress bar.
    pub fn rows(&self) -> u64 {
        let raster = |d: &&Delivery| d.kinds.iter().any(|kind| d.format(*kind).is_some());
        self.deliveries.iter().filter(raster).map(|d| d.grid.height() as u64).sum()
    }

    /// Makes all files in `folder`, which is made if it is missing. They appear together, after
    /// the last has been read back.
    ///
    /// # Errors
    /// What could not be done; then no file has been touched.
    pub fn deliver(&self, folder: &Path, progress: &dyn Progress) -> Result<Report, DeliverError> {
        std::fs::create_dir_all(folder).map_err(disk(folder))?;
        self.spare_sources(folder)?;
        let mut drafts = Vec::new();
        let mut delivered = Vec::new();
        for delivery in &self.deliveries {
            let copies = Copies::plan(&delivery.repeat, &self.motifs);
            let made = self.make(delivery, &copies, folder, progress)?;
            let files = made.iter().map(|(kind, draft)| report(*kind, draft)).collect::<Result<_, _>>()?;
            delivered.push(Delivered { copies: copies.copies().len(), files });
            drafts.extend(made);
        }
        for (_, draft) in drafts {
            let path = draft.path().to_path_buf();
            draft.keep().map_err(disk(&path))?;
        }
        Ok(Report { delivered })
    }

    fn spare_sources(&self, folder: &Path) -> Result<(), DeliverError> {
        let real = |path: &Path| path.canonicalize().ok();
        for delivery in &self.deliveries {
            for path in delivery.kinds.iter().map(|kind| delivery.path(folder, *kind)) {
                let over = self.sources.iter().find(|source| real(source).is_some() && real(source) == real(&path));
                if let Some(source) = over {
                    return Err(DeliverError::OverSource { path, source_file: source.clone() });
                }
                if path.is_dir() {
                    return Err(DeliverError::Disk { path, error: io::ErrorKind::IsADirectory.into() });
                }
            }
        }
        Ok(())
    }

    fn make(
        &self,
        delivery: &Delivery,
        copies: &Copies,
        folder: &Path,
        progress: &dyn Progress,
    ) -> Result<Vec<(Kind, Draft)>, DeliverError> {
        let mut drafts = Vec::new();
        for &kind in &delivery.kinds {
            let path = delivery.path(folder, kind);
            drafts.push((kind, Draft::beside(&path).map_err(disk(folder))?));
        }
        for (_, draft) in drafts.iter().filter(|(kind, _)| *kind == Kind::Svg) {
            self.write_svg(delivery, copies, draft)?;
        }
        if drafts.iter().any(|(kind, _)| delivery.format(*kind).is_some()) {
            let woven = self.write_rasters(delivery, copies, &drafts, progress)?;
            for (kind, draft) in &drafts {
                let Some(format) = delivery.format(*kind) else { continue };
                raster::read_back(&format, &|| draft.handle(), &woven)
                    .map_err(|error| DeliverError::Pixels { path: draft.path().into(), error })?;
            }
        }
        Ok(drafts)
    }

    fn write_svg(&self, delivery: &Delivery, copies: &Copies, draft: &Draft) -> Result<(), DeliverError> {
        let text = vector::svg(copies, &self.motifs, &self.name, delivery.svg);
        let disk = disk(draft.path());
        let written = draft.handle().and_then(|mut file| file.write_all(text.as_bytes()).and_then(|()| file.flush()));
        let read = written.and_then(|()| io::read_to_string(draft.handle()?)).map_err(disk)?;
        vector::read_back(&read, copies, &self.motifs)
            .map_err(|error| DeliverError::Vector { path: draft.path().into(), error })
    }

    fn write_rasters(
        &self,
        delivery: &Delivery,
        copies: &Copies,
        drafts: &[(Kind, Draft)],
        progress: &dyn Progress,
    ) -> Result<Woven, DeliverError> {
        let spec: SheetSpec = raster::spec(copies, delivery.grid.resolution())?;
        let mut targets = Vec::new();
        for (kind, draft) in drafts {
            let Some(format) = delivery.format(*kind) else { continue };
            let (file, scratch) = (draft.handle(), draft.scratch());
            let disk = disk(draft.path());
            targets.push(Target { format, file: file.map_err(&disk)?, scratch: scratch.map_err(&disk)? });
        }
        raster::paint(copies, &self.motifs, spec, targets, progress).map_err(|e| match e {
            RasterError::Disk(error) => DeliverError::Disk { path: drafts[0].1.path().into(), error },
            other => DeliverError::Raster(other),
        })
    }
}

fn disk(path: &Path) -> impl Fn(io::Error) -> DeliverError {
    move |error| DeliverError::Disk { path: path.into(), error }
}

fn report(kind: Kind, draft: &Draft) -> Result<FileReport, DeliverError> {
    let disk = disk(draft.path());
    let (bytes, sha256) = draft.handle().and_then(digest).map_err(disk)?;
    Ok(FileReport { path: draft.path().into(), kind, bytes, sha256 })
}

fn digest(file: File) -> io::Result<(u64, String)> {
    let mut file = BufReader::with_capacity(1 << 18, file);
    let (mut hash, mut bytes, mut buffer) = (Sha256::new(), 0, vec![0; 1 << 18]);
    loop {
        let count = file.read(&mut buffer)?;
        if count == 0 {
            return Ok((bytes, hash.finalize().iter().map(|b| format!("{b:02x}")).collect()));
        }
        bytes += count as u64;
        hash.update(&buffer[..count]);
    }
}
