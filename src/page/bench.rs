//! The worker's side: answers one question after another about a design, and keeps what it has taken in.
//!
//! A question is one line of JSON. An answer is one line of JSON, and behind it pixels where they were asked for.

use std::collections::BTreeMap;
use std::io::BufRead;
use std::path::{Path, PathBuf};

use kurbo::Rect;
use seamfast::artwork::{ArtworkError, Intake, Motif};
use seamfast::design::{Design, DesignError, Order, Shelf};
use seamfast::length::{Length, Size, Unit};
use seamfast::pixels::Resolution;
use seamfast::progress::{Progress, Task};
use seamfast::raster;
use seamfast::repeat::{Layout, Placement, Repeat, Spot, Tile};
use seamfast::wrap::Copies;
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};

use super::look::{ink_about_middle, look};
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
    plans: BTreeMap<Option<u64>, (Resolution, Repeat, Copies)>,
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
        let (head, mut pixels) = match answered {
            Ok((head, pixels)) => (json!({ "ok": head }), pixels),
            Err(error) => (json!({ "error": said(&error) }), Vec::new()),
        };
        let mut bytes = format!("{head}\n").into_bytes();
        bytes.append(&mut pixels);
        if worker.answer(&bytes).is_err() {
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

type Answer = Result<(Value, Vec<u8>), DesignError>;

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
        let progress: &dyn Progress = worker;
        match question.ask.clone() {
            Ask::Look => {
                let copies = {
                    let _busy = progress.busy(Task::Planning);
                    Copies::plan(&order.deliveries[0].repeat, &order.motifs)
                };
                Ok((look(&design, order, &copies), Vec::new()))
            }
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
            let (resolution, repeat) = gridded(order, dpi)?;
            let copies = plan(&repeat);
            // A few steps of zoom; each is small, but there is no end to them.
            if self.plans.len() > 24 {
                self.plans.clear();
            }
            self.plans.insert(key, (resolution, repeat, copies));
        }
        let Some((_, repeat, whole)) = self.plans.get(&key) else { return Err(DesignError::new("no plan")) };
        let only;
        let copies = match part {
            None => whole,
            Some(part) => {
                only = plan(&parted(order, repeat, part)?);
                &only
            }
        };
        let tile = copies.tile();
        let window = window.unwrap_or([0, 0, tile.width, tile.height]);
        raster::hold(copies, &order.motifs, order.limits.painted).map_err(DesignError::new)?;
        let pixels = raster::window(copies, &order.motifs, window, order.limits.tile, worker);
        let pixels = pixels.map_err(DesignError::new)?;
        Ok((json!({ "tile": [tile.width, tile.height], "window": window }), pixels))
    }
}

/// The design on the delivery's grid, or on another.
fn gridded(order: &Order, dpi: Option<f64>) -> Result<(Resolution, Repeat), DesignError> {
    let delivery = &order.deliveries[0];
    match dpi {
        None => Ok((delivery.grid.resolution(), delivery.repeat.clone())),
        Some(dpi) => {
            let resolution: Resolution = format!("{dpi:.4}").parse().map_err(DesignError::new)?;
            order.shown_at(resolution).map(|(grid, repeat)| (grid.resolution(), repeat))
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

/// The topmost motif whose ink comes within `reach` of a place: which, by which of its marks, and where that copy
/// has its middle.
fn pick(order: &Order, [x, y]: [f64; 2], reach: f64) -> Value {
    let repeat = &order.deliveries[0].repeat;
    let (w, h) = (repeat.tile.width as f64, repeat.tile.height as f64);
    let home = [x.rem_euclid(w), y.rem_euclid(h)];
    let copies = Copies::plan(repeat, &order.motifs);
    let side = 2.0 * reach.clamp(0.01, 64.0);
    let rect = Rect::from_center_size((home[0], home[1]), kurbo::Size::new(side, side));
    let hit = copies.copies().iter().rev().find(|copy| {
        let mark = &copies.marks()[copy.mark];
        let motif = &order.motifs[mark.motif];
        motif.ink().touches(mark.to_units(motif, copy.step), rect)
    });
    let Some(hit) = hit else { return Value::Null };
    let mark = &copies.marks()[hit.mark];
    let [cx, cy] = mark.spot().moved(hit.step).units();
    let own: Vec<usize> =
        (0..copies.marks().len()).filter(|n| copies.marks()[*n].placement == mark.placement).collect();
    let entry = order.entries().get(mark.placement).copied();
    let placed = order.entries().iter().take(mark.placement).filter(|of| Some(**of) == entry).count();
    json!({
        "entry": entry,
        "place": placed,
        "mark": own.iter().position(|n| *n == hit.mark),
        "middle": [cx + x - home[0], cy + y - home[1]],
    })
}

/// A motif painted alone, with room for all its ink: its picture, and where its spot lies on it.
fn sprite(order: &Order, entry: usize, dpi: f64, worker: &Worker) -> Answer {
    let no = || DesignError::new("there is no such motif");
    let (_, repeat) = gridded(order, Some(dpi))?;
    let index = order.entries().iter().position(|of| *of == entry).ok_or_else(no)?;
    let placement = repeat.placements[index];
    let motif = &order.motifs[placement.motif];
    let Some(ink) = ink_about_middle(motif, placement.linear) else { return Ok((Value::Null, Vec::new())) };
    let [left, top] = [ink.x0, ink.y0].map(|n| whole(n.floor()) - 2);
    let [width, height] = [whole(ink.x1.ceil()) + 2 - left, whole(ink.y1.ceil()) + 2 - top];
    let inch = Length::of(1, Unit::In);
    let tile = Tile { width, height, size: Size { width: inch, height: inch } };
    let mut alone = Repeat::new(&Layout::Straight.scheme(), tile, [1, 1]).ok_or_else(no)?;
    alone.placements = vec![Placement { at: Spot::from_parts(0, 0).moved([-left, -top]), ..placement }];
    let copies = Copies::plan(&alone, &order.motifs);
    raster::hold(&copies, &order.motifs, order.limits.painted).map_err(DesignError::new)?;
    let pixels = raster::window(&copies, &order.motifs, [0, 0, width, height], order.limits.tile, worker);
    Ok((json!({ "size": [width, height], "spot": [-left, -top] }), pixels.map_err(DesignError::new)?))
}

#[allow(
    clippy::cast_possible_truncation,
    reason = "whole already; the cast saturates, and a tile that large is refused"
)]
fn whole(n: f64) -> i64 {
    n as i64
}

/// How large a drawing is, before it is in the design.
fn measured(design: &Design, folder: &Path, name: &Path, worker: &Worker) -> Answer {
    let path = folder.join(name);
    let progress: &dyn Progress = worker;
    let _busy = progress.busy(Task::Reading(&path));
    let intake = Intake::new().with_limits(design.limits()?);
    let artwork = |e: ArtworkError| DesignError::new(&e).with_hint(e.hint());
    let motif = Motif::read(&path, &intake).map_err(artwork)?;
    let size = motif.size().map(|size| [size.width, size.height].map(|side| side.to(Unit::In)));
    Ok((json!({ "in": size, "px": [motif.page_px().width, motif.page_px().height] }), Vec::new()))
}
