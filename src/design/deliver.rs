//! Order → files: planned once, painted once for each grid, read back, then put in place.

use std::fs::File;
use std::io::{self, BufReader, Read};
use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};

use super::draft::Draft;
use super::failed::DeliverError;
use super::order::{Delivery, Kind, Order};
use super::slot::{Slot, fit, sweep};
use super::together::together;
use crate::progress::{Progress, Task};
use crate::wrap::Copies;

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
    /// What a person should know of them.
    pub remarks: Vec<String>,
}

/// Drafts of one delivery, and what is to be said of them.
pub(super) struct Made {
    pub(super) drafts: Vec<(Kind, Draft)>,
    files: Vec<FileReport>,
    remarks: Vec<String>,
}

/// What became of an order.
#[derive(Clone, Debug)]
pub struct Report {
    /// One for each delivery of the order.
    pub delivered: Vec<Delivered>,
}

impl Order {
    /// The pixels that all rasters together have, for a progress bar.
    pub fn pixels(&self) -> u64 {
        self.deliveries
            .iter()
            .filter(|d| d.has_raster())
            .map(|d| d.grid.width().unsigned_abs() * d.grid.height().unsigned_abs())
            .sum()
    }

    /// Makes all files in `folder`, which is made if it is missing. They appear together, after
    /// the last has been read back.
    ///
    /// # Errors
    /// What could not be done. No file has then been touched, unless the error says so, and a
    /// folder that was made for them is gone again.
    pub fn deliver(&self, folder: &Path, progress: &dyn Progress) -> Result<Report, DeliverError> {
        together(folder, progress, || {
            let slots = self.claim(folder)?;
            let (drafts, report) = self.make_all(&slots, progress)?;
            Ok((slots, drafts, report))
        })
    }

    /// Claims the place of every file, one list for each delivery.
    fn claim(&self, folder: &Path) -> Result<Vec<Vec<(Kind, Slot)>>, DeliverError> {
        let places = |d: &Delivery| d.kinds.iter().map(|kind| (*kind, d.path(folder, *kind))).collect::<Vec<_>>();
        let places: Vec<_> = self.deliveries.iter().map(places).collect();
        for (_, path) in places.iter().flatten() {
            fit(path, &self.sources)?;
        }
        sweep(folder);
        let claim = |(kind, path)| Ok((kind, Slot::claim(path)?));
        places.into_iter().map(|files| files.into_iter().map(claim).collect()).collect()
    }

    fn make_all(
        &self,
        slots: &[Vec<(Kind, Slot)>],
        progress: &dyn Progress,
    ) -> Result<(Vec<Draft>, Report), DeliverError> {
        let mut drafts = Vec::new();
        let mut delivered = Vec::new();
        for (delivery, slots) in self.deliveries.iter().zip(slots) {
            let copies = {
                let _busy = progress.busy(Task::Planning);
                Copies::plan(&delivery.repeat, &self.motifs)
            };
            let made = self.make(delivery, &copies, slots, progress)?;
            self.hold_limit(delivery, &made.files, slots, progress)?;
            if progress.stopped() {
                return Err(DeliverError::Stopped);
            }
            delivered.push(Delivered { copies: copies.copies().len(), files: made.files, remarks: made.remarks });
            drafts.extend(made.drafts.into_iter().map(|(_, draft)| draft));
        }
        Ok((drafts, Report { delivered }))
    }

    /// Writes a delivery's drafts and reads each back.
    pub(super) fn make(
        &self,
        delivery: &Delivery,
        copies: &Copies,
        slots: &[(Kind, Slot)],
        progress: &dyn Progress,
    ) -> Result<Made, DeliverError> {
        let mut drafts = Vec::new();
        for (kind, slot) in slots.iter().filter(|(kind, _)| delivery.kinds.contains(kind)) {
            drafts.push((*kind, Draft::beside(slot).map_err(disk(slot.path()))?));
        }
        let mut remarks = self.make_vectors(delivery, copies, &drafts, progress)?;
        let told = || drafts.iter().map(|(kind, draft)| report(*kind, draft)).collect::<Result<Vec<_>, _>>();
        let files = if delivery.has_raster() {
            let (more, files) = self.make_rasters(delivery, copies, &drafts, progress, told)?;
            remarks.extend(more);
            files?
        } else {
            told()?
        };
        Ok(Made { drafts, files, remarks })
    }
}

pub(super) fn disk(path: &Path) -> impl Fn(io::Error) -> DeliverError {
    move |error| DeliverError::Disk { path: path.into(), error }
}

fn report(kind: Kind, draft: &Draft) -> Result<FileReport, DeliverError> {
    let disk = disk(draft.path());
    let (bytes, sha256) = draft.handle().and_then(digest).map_err(disk)?;
    Ok(FileReport { path: draft.path().into(), kind, bytes, sha256 })
}

pub(super) fn digest(file: File) -> io::Result<(u64, String)> {
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
