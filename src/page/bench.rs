//! The worker's side: answers one question after another about a design, and keeps what it has taken in.
//!
//! A question is one line of JSON. An answer is one line of JSON, and behind it pixels where they were asked for.

use std::collections::{BTreeMap, BTreeSet};
use std::io::BufRead;
use std::path::{Path, PathBuf};

use seamfast::artwork::{ArtworkError, Intake, Loss, Motif, loss_kind};
use seamfast::design::{Design, DesignError, Order, Shelf};
use seamfast::length::Unit;
use seamfast::pixels::Resolution;
use seamfast::progress::{Progress, Task};
use seamfast::raster;
use seamfast::repeat::{Placement, Repeat};
use seamfast::wrap::Copies;
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};

use super::hold::{pick, sprite};
use super::look::look;
use crate::guard::Worker;

/// A question about a design.
#[derive(Debug, Serialize, Deserialize)]
pub(super) struct Question {
    /// Its file, from whose folder motifs are read.
    pub(super) file: PathBuf,
    /// Its text.
    pub(super) text: String,
    /// Another number where its drawings may have changed.
    pub(super) round: u64,
    pub(super) ask: Ask,
}

/// What is asked.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub(super) enum Ask {
    /// All that is to be known of it.
    Look,
    /// A window of the cloth in pixels: x, y, width, height; without it the tile. At so many pixels an inch, or
    /// as it is delivered.
    Pixels { dpi: Option<f64>, window: Option<[i64; 4]>, part: Option<Part> },
    /// The motif that is seen at a place, in pixels of the delivery.
    Pick { x: f64, y: f64, reach: f64 },
    /// One motif by itself, at so many pixels an inch, and where its place lies on the picture.
    Sprite { entry: usize, dpi: f64 },
    /// How large a drawing is by itself.
    Measure { name: PathBuf },
}

/// Only what lies under one motif, with the ground, or only what lies over it.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum Part {
    Under(usize),
    Over(usize),
}

/// What is kept from one question to the next.
#[derive(Default)]
struct Bench {
    shelf: Shelf,
    order: Option<(String, u64, Order)>,
    /// The plans of the whole design, by the resolution as it was asked.
    plans: BTreeMap<Option<u64>, (Repeat, Copies)>,
}

/// Answers until nobody asks any more.
pub(crate) fn serve(worker: &Worker) {
    let mut bench = Bench::default();
    for line in std::io::stdin().lock().lines() {
        let Ok(line) = line else { return };
        let answered = match serde_json::from_str::<Question>(&line) {
            Ok(question) => bench.answer(&question, worker),
            Err(error) => Err(DesignError::new(format!("this is no question: {error}"))),
        };
        let (head, pixels) = match answered {
            Ok((head, pixels)) => (json!({ "ok": head }), pixels),
            Err(error) => (json!({ "error": said(&error) }), Vec::new()),
        };
        if worker.answer([format!("{head}\n").as_bytes(), &pixels]).is_err() {
            return;
        }
    }
}

/// An error as the page shows it.
pub(super) fn said(error: &DesignError) -> Value {
    let line =
        error.place().map(|place| place.text[..place.span.start.min(place.text.len())].matches('\n').count() + 1);
    json!({ "what": error.to_string(), "hint": error.hint(), "line": line })
}

/// JSON, and pixels behind it.
pub(super) type Answer = Result<(Value, Vec<u8>), DesignError>;

impl Bench {
    fn answer(&mut self, question: &Question, worker: &Worker) -> Answer {
        let design = Design::parse(&question.text, &question.file)?;
        let in_file = |e: DesignError| e.in_file(&question.file, &question.text);
        let threads = std::thread::available_parallelism().map_or(1, usize::from);
        worker.hold(&design.limits().map_err(in_file)?, threads);
        if let Ask::Measure { name } = &question.ask {
            return measured(&design, question.file.parent().unwrap_or(Path::new("")), name, worker);
        }
        if design.motifs.is_empty() && design.croquis.is_none() {
            return Ok((json!({ "empty": true }), Vec::new()));
        }
        let order = self.order(&design, question, worker).map_err(in_file)?;
        match question.ask.clone() {
            Ask::Look => Ok((look(&design, order), Vec::new())),
            Ask::Pixels { dpi, window, part } => self.pixels(dpi, window, part, worker),
            Ask::Pick { x, y, reach } => Ok((pick(order, [x, y], reach), Vec::new())),
            Ask::Sprite { entry, dpi } => sprite(order, entry, dpi, worker),
            Ask::Measure { .. } => Ok((Value::Null, Vec::new())),
        }
    }

    fn order(&mut self, design: &Design, question: &Question, worker: &Worker) -> Result<&Order, DesignError> {
        let known = matches!(&self.order, Some((text, round, _)) if (text, *round) == (&question.text, question.round));
        if !known {
            self.plans.clear();
            if let Some((_, _, old)) = self.order.take() {
                self.shelf.keep(old);
            }
            let folder = question.file.parent().unwrap_or(Path::new(""));
            let stem = question.file.file_stem().unwrap_or_default().to_string_lossy();
            let order = Order::decide_from(&mut self.shelf, design, folder, &stem, worker)?;
            self.order = Some((question.text.clone(), question.round, order));
        }
        match &self.order {
            Some((_, _, order)) => Ok(order),
            None => Err(DesignError::new("the design was not decided")),
        }
    }

    fn pixels(&mut self, dpi: Option<f64>, window: Option<[i64; 4]>, part: Option<Part>, worker: &Worker) -> Answer {
        let Some((_, _, order)) = &self.order else { return Err(DesignError::new("the design was not decided")) };
        let progress: &dyn Progress = worker;
        let plan = |repeat: &Repeat| {
            let _busy = progress.busy(Task::Planning);
            Copies::plan(repeat, &order.motifs)
        };
        let key = dpi.map(f64::to_bits);
        if !self.plans.contains_key(&key) {
            let repeat = gridded(order, dpi)?;
            let copies = plan(&repeat);
            // A few steps of zoom; each is small, but there is no end to them.
            if self.plans.len() > 24 {
                self.plans.clear();
            }
            self.plans.insert(key, (repeat, copies));
        }
        let Some((repeat, whole)) = self.plans.get(&key) else { return Err(DesignError::new("no plan")) };
        let only;
        let copies = match part {
            None => whole,
            Some(part) => {
                only = plan(&parted(order, repeat, part)?);
                &only
            }
        };
        let (tile, lattice) = (copies.tile(), copies.lattice());
        let window = window.unwrap_or([0, 0, tile.width, tile.height]);
        raster::hold(copies, &order.motifs, order.limits.painted).map_err(DesignError::new)?;
        let pixels = raster::window(copies, &order.motifs, window, order.limits.tile, worker);
        let pixels = pixels.map_err(DesignError::new)?;
        let row = [lattice.across(), lattice.shift(), lattice.down()];
        Ok((json!({ "tile": [tile.width, tile.height], "row": row, "window": window }), pixels))
    }
}

/// The design on the delivery's grid, or on another.
pub(super) fn gridded(order: &Order, dpi: Option<f64>) -> Result<Repeat, DesignError> {
    match dpi {
        None => Ok(order.deliveries[0].repeat.clone()),
        Some(dpi) => {
            let resolution: Resolution = format!("{dpi:.4}").parse().map_err(DesignError::new)?;
            order.shown_at(resolution)
        }
    }
}

fn parted(order: &Order, repeat: &Repeat, part: Part) -> Result<Repeat, DesignError> {
    let (Part::Under(entry) | Part::Over(entry)) = part;
    let of = order.entries();
    let own = of.iter().position(|of| *of == entry).ok_or_else(|| DesignError::new("there is no such motif"))?;
    let at = (repeat.placements[own].layer, entry);
    let kept = |(index, placement): &(usize, &Placement)| match part {
        Part::Under(_) => (placement.layer, of[*index]) < at,
        Part::Over(_) => (placement.layer, of[*index]) > at,
    };
    let placements = repeat.placements.iter().enumerate().filter(kept).map(|(_, placement)| *placement).collect();
    let ground = if matches!(part, Part::Under(_)) { repeat.ground } else { None };
    Ok(Repeat { placements, ground, ..repeat.clone() })
}

/// Why a dropped file is not taken, by its own name; it is not kept, so no path leads to it. What could be allowed in
/// a design file is no advice here.
fn refused(error: &ArtworkError, name: &Path) -> DesignError {
    use ArtworkError as E;
    let ending = name.extension().unwrap_or_default().to_string_lossy().to_uppercase();
    let called = name.display();
    match error {
        E::NotXml { .. } | E::NotUtf8 { .. } | E::NotSvgRoot { .. } | E::NotSvg { .. }
            if !ending.starts_with("SVG") =>
        {
            DesignError::new(format!("{called}: this is no {ending}; its bytes are something else"))
                .with_hint("save or export the picture again")
        }
        E::Losses { losses, .. } => {
            let codes: BTreeSet<&str> = losses.iter().map(Loss::code).collect();
            let remedies = codes.into_iter().filter_map(|code| Some(loss_kind(code)?.remedy));
            DesignError::new(error).with_hint(remedies.collect::<Vec<_>>().join("\n"))
        }
        _ => DesignError::new(error).with_hint(error.hint()),
    }
}

/// How large a drawing is, before it is in the design.
fn measured(design: &Design, folder: &Path, name: &Path, worker: &Worker) -> Answer {
    let path = folder.join(name);
    let progress: &dyn Progress = worker;
    let _busy = progress.busy(Task::Reading(&path));
    let intake = Intake::new().with_limits(design.limits()?);
    let motif = Motif::read(&path, &intake).map_err(|e| refused(&e, name))?;
    let size = motif.size().map(|size| [size.width, size.height].map(|side| side.to(Unit::In)));
    Ok((json!({ "in": size, "px": [motif.page_px().width, motif.page_px().height] }), Vec::new()))
}
