//! What is judged: pixels, and what is known of their true size.

use std::path::{Path, PathBuf};

use super::findings::{Finding, of_design, of_drawing, of_file};
use crate::artwork::{ArtworkError, Finished, Intake, Motif};
use crate::design::{Design, DesignError, Order};
use crate::join::Image;
use crate::limits::Limits;
use crate::progress::{Progress, Task};
use crate::raster::{self, Channels, RasterError};
use crate::wrap::Copies;

/// Why there is nothing to judge.
#[derive(Debug, thiserror::Error)]
pub enum ProofError {
    /// A file that can't be taken in.
    #[error(transparent)]
    Artwork(#[from] ArtworkError),
    /// A design that can't be decided.
    #[error(transparent)]
    Design(#[from] DesignError),
    /// A drawing or design that can't be painted.
    #[error("{file}: {error}")]
    Raster {
        /// The file.
        file: String,
        /// Why.
        error: RasterError,
    },
    /// A design file that can't be read.
    #[error("{}: cannot be read: {error}", path.display())]
    Unreadable {
        /// The file.
        path: PathBuf,
        /// What the system says.
        error: std::io::Error,
    },
}

/// A tile as pixels.
#[derive(Debug)]
pub struct Subject {
    /// Its file, and for a design the delivery.
    pub name: String,
    /// `design`, `SVG`, `PNG` …
    pub kind: &'static str,
    /// Pixels an inch, across and down, where they are known.
    pub dpi: Option<[f64; 2]>,
    /// Its pixels.
    pub image: Image,
    /// Its ground as the pixels have it, with alpha last, if the file says which it is.
    pub ground: Option<[u8; 4]>,
    /// The files that it was made from.
    pub sources: Vec<PathBuf>,
    /// What is to be said of it beside its joins.
    pub findings: Vec<Finding>,
}

impl Subject {
    /// Takes in a file: a design gives a subject for each of its deliveries of another size.
    /// Drawings are painted at `dpi`.
    ///
    /// # Errors
    /// A file that can't be taken in, with the reason.
    pub fn read(path: &Path, dpi: f64, limits: &Limits, progress: &dyn Progress) -> Result<Vec<Subject>, ProofError> {
        if path.extension().is_some_and(|e| e.eq_ignore_ascii_case("toml")) {
            return Subject::of_design(path, limits, progress);
        }
        let _busy = progress.busy(Task::Reading(path));
        if Finished::is_one(path) {
            return Ok(vec![Subject::of_finished(path, Finished::read(path, limits)?)]);
        }
        Ok(vec![Subject::of_drawing(path, dpi, limits)?])
    }

    /// A finished tile that was read from this file.
    pub fn of_finished(path: &Path, finished: Finished) -> Subject {
        let findings = of_file(&finished);
        let channels = finished.channels();
        let pixels = finished.pixels;
        let image = Image::new(pixels.width as usize, pixels.height as usize, channels, pixels.bytes);
        Subject {
            name: path.to_string_lossy().into(),
            kind: finished.kind,
            dpi: finished.dpi,
            image: if finished.kind == "JPEG" { image.lossy() } else { image },
            ground: None,
            sources: vec![path.into()],
            findings,
        }
    }

    /// The page of a drawing, painted as any program would: what hangs over its edge is cut away.
    fn of_drawing(path: &Path, dpi: f64, limits: &Limits) -> Result<Subject, ProofError> {
        let name = path.to_string_lossy().into_owned();
        let motif = Motif::read(path, &Intake::new().with_limits(*limits))?;
        let painted = raster::page(&motif, dpi, limits.tile);
        let (width, height, bytes) = painted.map_err(|error| ProofError::Raster { file: name.clone(), error })?;
        Ok(Subject {
            kind: "SVG",
            dpi: motif.size().map(|_| [dpi; 2]),
            image: Image::new(width as usize, height as usize, 4, bytes),
            ground: None,
            sources: vec![path.into()],
            findings: of_drawing(&motif, dpi),
            name,
        })
    }

    fn of_design(path: &Path, limits: &Limits, progress: &dyn Progress) -> Result<Vec<Subject>, ProofError> {
        let text =
            std::fs::read_to_string(path).map_err(|error| ProofError::Unreadable { path: path.into(), error })?;
        let in_file = |e: DesignError| e.in_file(path, &text);
        let design = Design::parse(&text, path).map_err(in_file)?;
        let stem = path.file_stem().unwrap_or_default().to_string_lossy();
        let folder = path.parent().unwrap_or(Path::new(""));
        let order = Order::decide_told(&design, folder, &stem, progress).map_err(in_file)?;
        let mut subjects: Vec<Subject> = Vec::new();
        for delivery in &order.deliveries {
            let failed = |error| ProofError::Raster { file: path.to_string_lossy().into(), error };
            let copies = Copies::plan(&delivery.repeat, &order.motifs);
            let spec = raster::spec(&copies, delivery.grid.resolution()).map_err(failed)?;
            let seen = |s: &Subject| (s.image.width(), s.image.height()) == (spec.width as usize, spec.height as usize);
            if subjects.iter().any(seen) {
                continue;
            }
            raster::hold(&copies, &order.motifs, limits.painted).map_err(failed)?;
            raster::hold_size([spec.width.into(), spec.height.into()], limits.tile).map_err(failed)?;
            let bytes = raster::pixels(&copies, &order.motifs, spec).map_err(failed)?;
            let channels = if spec.channels == Channels::Rgb { 3 } else { 4 };
            let dpi = spec.resolution.value();
            subjects.push(Subject {
                name: path.to_string_lossy().into(),
                kind: "design",
                dpi: Some([dpi; 2]),
                image: Image::new(spec.width as usize, spec.height as usize, channels, bytes),
                ground: Some(copies.ground().map_or([0; 4], |[r, g, b]| [r, g, b, 255])),
                sources: order.sources.iter().cloned().chain([path.to_path_buf()]).collect(),
                findings: of_design(&order),
            });
        }
        Ok(subjects)
    }
}
