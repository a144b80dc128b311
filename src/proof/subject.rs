//! What is judged: pixels, and what is known of their true size.

use std::path::{Path, PathBuf};

use super::findings::Finding;
use super::fitness::{Wanted, of_bytes, of_design, of_drawing, of_file};
use super::misnamed;
use crate::artwork::{ArtworkError, Finished, Intake, Motif};
use crate::design::{Acceptance, Design, DesignError, Order};
use crate::join::Image;
use crate::length::Unit;
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
    /// A file of another kind than its name says.
    #[error("{}: its contents are {kind}, and its name says {said}", path.display())]
    Misnamed {
        /// The file.
        path: PathBuf,
        /// What it is.
        kind: &'static str,
        /// What its name says.
        said: &'static str,
        /// A name that says what it is.
        better: PathBuf,
    },
    /// A picture with frames.
    #[error("{}: is a moving picture, and a tile is one picture", path.display())]
    Moving {
        /// The file.
        path: PathBuf,
    },
}

impl ProofError {
    /// What to do about it.
    pub fn hint(&self) -> Option<String> {
        Some(match self {
            ProofError::Artwork(error) => error.hint(),
            ProofError::Unreadable { .. } => "name a design file, or a tile: PNG, TIFF, JPEG, WebP or SVG".into(),
            ProofError::Misnamed { said, better, .. } => {
                format!("call it {}, or save it as {said}: printers go by the name", better.display())
            }
            ProofError::Moving { .. } => "save the frame that is to be printed by itself".into(),
            ProofError::Design(_) | ProofError::Raster { .. } => return None,
        })
    }
}

/// CSS pixels in an inch, for drawings without a true size.
const CSS_PX: f64 = 96.0;

/// A tile as pixels.
#[derive(Debug)]
pub struct Subject {
    /// Its file, and for a design the delivery.
    pub name: String,
    /// `design`, `SVG`, `PNG` …
    pub kind: &'static str,
    /// Pixels an inch on the goods, across and down, where they are known.
    pub dpi: Option<[f64; 2]>,
    /// Its pixels.
    pub image: Image,
    /// How a design repeats, in its own words.
    pub layout: Option<String>,
    /// It is a border, which is repeated across only.
    pub border: bool,
    /// Its ground as the pixels have it, with alpha last, if the file says which it is.
    pub ground: Option<[u8; 4]>,
    /// The files that it was made from.
    pub sources: Vec<PathBuf>,
    /// What is to be said of it beside its joins.
    pub findings: Vec<Finding>,
    /// What of that, and of what is found later, the design accepts.
    pub accepted: Vec<Acceptance>,
}

impl Subject {
    /// Takes in a file: a design gives a subject for each of its deliveries of another size.
    /// What it is judged for, `wanted` says.
    ///
    /// # Errors
    /// A file that can't be taken in, with the reason.
    pub fn read(
        path: &Path,
        wanted: &Wanted,
        limits: &Limits,
        progress: &dyn Progress,
    ) -> Result<Vec<Subject>, ProofError> {
        if path.extension().is_some_and(|e| e.eq_ignore_ascii_case("toml")) {
            return Subject::of_design(path, wanted, limits, progress);
        }
        let mut subject = if Finished::is_one(path) {
            let _busy = progress.busy(Task::Tile(path));
            let finished = Finished::read(path, limits)?;
            misnamed::hold(path, finished.kind)?;
            misnamed::hold_still(path, &finished)?;
            Subject::of_finished(path, finished, wanted)?
        } else {
            Subject::of_drawing(path, wanted, limits, progress)?
        };
        let bytes = std::fs::metadata(path).map_err(|error| ProofError::Unreadable { path: path.into(), error })?;
        subject.findings.extend(of_bytes(bytes.len(), wanted.max_bytes));
        Ok(vec![subject])
    }

    /// A finished tile that was read from this file.
    ///
    /// # Errors
    /// Limits of fitness that can't be.
    pub fn of_finished(path: &Path, finished: Finished, wanted: &Wanted) -> Result<Subject, ProofError> {
        let findings = of_file(&finished, &wanted.check.decide()?, wanted);
        let channels = finished.channels();
        let pixels = finished.pixels;
        let image = Image::new(pixels.width as usize, pixels.height as usize, channels, pixels.bytes);
        Ok(Subject {
            name: path.to_string_lossy().into(),
            kind: finished.kind,
            dpi: wanted.size.map(|size| size.density([image.width(), image.height()])).or(finished.dpi),
            image: if finished.kind == "JPEG" { image.lossy() } else { image },
            layout: None,
            border: wanted.border,
            ground: None,
            sources: vec![path.into()],
            findings,
            accepted: Vec::new(),
        })
    }

    /// The page of a drawing, painted as any program would: what hangs over its edge is cut away.
    fn of_drawing(
        path: &Path,
        wanted: &Wanted,
        limits: &Limits,
        progress: &dyn Progress,
    ) -> Result<Subject, ProofError> {
        let name = path.to_string_lossy().into_owned();
        let _busy = progress.busy(Task::Reading(path));
        let motif = Motif::read(path, &Intake::new().with_limits(*limits))?;
        misnamed::hold(path, "SVG")?;
        let page = motif.page_px();
        let own = match motif.size() {
            Some(size) => [size.width, size.height].map(|side| side.to(Unit::In)),
            None => [page.width, page.height].map(|px| px / CSS_PX),
        };
        let inches = wanted.size.map_or(own, |size| size.inches([page.width, page.height]));
        let painted = raster::page(&motif, inches.map(|side| side * wanted.dpi), limits.tile);
        let (width, height, bytes) = painted.map_err(|error| ProofError::Raster { file: name.clone(), error })?;
        let known = motif.size().is_some() || wanted.size.is_some();
        let fitness = wanted.check.decide()?;
        let findings = of_drawing(&motif, [width, height], &bytes, inches, &fitness, wanted);
        Ok(Subject {
            kind: "SVG",
            dpi: known.then_some([wanted.dpi; 2]),
            image: Image::new(width as usize, height as usize, 4, bytes),
            layout: None,
            border: wanted.border,
            ground: None,
            sources: vec![path.into()],
            findings,
            accepted: Vec::new(),
            name,
        })
    }

    fn of_design(
        path: &Path,
        wanted: &Wanted,
        limits: &Limits,
        progress: &dyn Progress,
    ) -> Result<Vec<Subject>, ProofError> {
        let text =
            std::fs::read_to_string(path).map_err(|error| ProofError::Unreadable { path: path.into(), error })?;
        let in_file = |e: DesignError| e.in_file(path, &text);
        let mut design = Design::parse(&text, path).map_err(in_file)?;
        design.check = wanted.check.over(&design.check);
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
            let findings = of_design(&order, delivery, &copies, &bytes);
            subjects.push(Subject {
                name: path.to_string_lossy().into(),
                kind: "design",
                dpi: Some([dpi; 2]),
                image: Image::new(spec.width as usize, spec.height as usize, channels, bytes),
                layout: Some(order.arrangement.to_string()),
                border: copies.is_border(),
                ground: Some(copies.ground().map_or([0; 4], |[r, g, b]| [r, g, b, 255])),
                sources: order.sources.iter().cloned().chain([path.to_path_buf()]).collect(),
                findings,
                accepted: order.accepted.clone(),
            });
        }
        Ok(subjects)
    }
}
