//! Order → files: planned once, painted once for each grid, read back, then put in place.

use std::fs::File;
use std::io::{self, BufReader, Read, Write};
use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};

use super::draft::{Draft, NewFolders, sweep};
use super::failed::DeliverError;
use super::order::{ColorMode, Delivery, Kind, Order};
use crate::progress::{Progress, Task};
use crate::raster::{self, Colors, Format, PngColors, RasterError, SheetSpec, Target, Woven};
use crate::vector;
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
        let made = NewFolders::make(folder).map_err(disk(folder))?;
        sweep(folder).map_err(disk(folder))?;
        self.spare_sources(folder)?;
        let report = self.make_all(folder, progress)?;
        made.stay();
        Ok(report)
    }

    fn make_all(&self, folder: &Path, progress: &dyn Progress) -> Result<Report, DeliverError> {
        let mut drafts = Vec::new();
        let mut delivered = Vec::new();
        for delivery in &self.deliveries {
            let copies = {
                let _busy = progress.busy(Task::Planning);
                Copies::plan(&delivery.repeat, &self.motifs)
            };
            let made = self.make(delivery, &copies, folder, progress)?;
            let files = made.drafts.iter().map(|(kind, draft)| report(*kind, draft)).collect::<Result<Vec<_>, _>>()?;
            self.hold_limit(delivery, &files, folder, progress)?;
            if progress.stopped() {
                return Err(DeliverError::Stopped);
            }
            delivered.push(Delivered { copies: copies.copies().len(), files, remarks: made.remarks });
            drafts.extend(made.drafts);
        }
        // Said before it is asked: who ends this program later knows that files may have changed.
        let _busy = progress.busy(Task::Placing);
        if progress.stopped() {
            return Err(DeliverError::Stopped);
        }
        let mut kept = Vec::new();
        for (_, draft) in drafts {
            let path = draft.path().to_path_buf();
            match draft.keep() {
                Ok(()) => kept.push(path),
                Err(error) if kept.is_empty() => return Err(disk(&path)(error)),
                Err(error) => return Err(DeliverError::Half { path, error, kept }),
            }
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

    /// Writes a delivery's drafts and reads each back.
    pub(super) fn make(
        &self,
        delivery: &Delivery,
        copies: &Copies,
        folder: &Path,
        progress: &dyn Progress,
    ) -> Result<Made, DeliverError> {
        let mut drafts = Vec::new();
        for &kind in &delivery.kinds {
            let path = delivery.path(folder, kind);
            drafts.push((kind, Draft::beside(&path).map_err(disk(folder))?));
        }
        for (_, draft) in drafts.iter().filter(|(kind, _)| *kind == Kind::Svg) {
            self.write_svg(delivery, copies, draft)?;
        }
        let mut remarks = Vec::new();
        if delivery.has_raster() {
            let spec = raster::spec(copies, delivery.grid.resolution()).map_err(DeliverError::Raster)?;
            {
                let _busy = progress.busy(Task::Planning);
                raster::hold(copies, &self.motifs, self.limits.painted).map_err(DeliverError::Raster)?;
            }
            let formats = self.formats(delivery, copies, spec, &drafts)?;
            let woven = self.write_rasters(copies, spec, &formats, progress)?;
            for (format, draft) in &formats {
                let remark = raster::read_back(format, &|| draft.handle(), &woven)
                    .map_err(|error| DeliverError::Pixels { path: draft.path().into(), error })?;
                remarks.extend(remark.map(|what| format!("{}: {what}", draft.path().display())));
            }
        }
        Ok(Made { drafts, remarks })
    }

    /// The raster drafts with their formats; counts the colors first where a format needs it.
    fn formats<'a>(
        &self,
        delivery: &Delivery,
        copies: &Copies,
        spec: SheetSpec,
        drafts: &'a [(Kind, Draft)],
    ) -> Result<Vec<(Format, &'a Draft)>, DeliverError> {
        let mut formats = Vec::new();
        for (kind, draft) in drafts {
            formats.push(match kind {
                Kind::Svg => continue,
                Kind::Png => (Format::Png(self.png_colors(delivery, copies, spec, draft.path())?), draft),
                Kind::Tiff => (Format::Tiff(delivery.packing), draft),
                Kind::Jpeg => (Format::Jpeg(delivery.quality), draft),
            });
        }
        Ok(formats)
    }

    fn png_colors(
        &self,
        delivery: &Delivery,
        copies: &Copies,
        spec: SheetSpec,
        path: &Path,
    ) -> Result<PngColors, DeliverError> {
        let (pick, what): (fn(&Colors) -> Option<PngColors>, _) = match delivery.colors {
            ColorMode::Full => return Ok(PngColors::Full),
            ColorMode::Grey => (
                Colors::as_grey,
                "not every pixel is an opaque grey; write colors = \"full\", or use grey inks and a grey ground",
            ),
            ColorMode::Palette => {
                (Colors::as_palette, "the tile has more than 256 colors; write colors = \"full\", or use fewer inks")
            }
        };
        let found = raster::colors(copies, &self.motifs, spec).map_err(DeliverError::Raster)?;
        pick(&found).ok_or_else(|| DeliverError::Colors { path: path.into(), what })
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
        copies: &Copies,
        spec: SheetSpec,
        formats: &[(Format, &Draft)],
        progress: &dyn Progress,
    ) -> Result<Woven, DeliverError> {
        let mut targets = Vec::new();
        for (format, draft) in formats {
            let (file, scratch) = (draft.handle(), draft.scratch());
            let disk = disk(draft.path());
            let (file, scratch) = (file.map_err(&disk)?, scratch.map_err(&disk)?);
            targets.push(Target { format: format.clone(), file, scratch });
        }
        raster::paint(copies, &self.motifs, spec, targets, progress).map_err(|e| match e {
            RasterError::Stopped => DeliverError::Stopped,
            RasterError::Disk(error) => DeliverError::Disk { path: formats[0].1.path().into(), error },
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
