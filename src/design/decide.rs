//! Design → Order: every text read, every default filled in, every drawing taken in.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use toml::Spanned;

use super::arrangement::Arrangement;
use super::checked::accepted;
use super::edges::cut;
use super::error::DesignError;
use super::idle::idle;
use super::order::{Drawn, Order};
use super::place::{self, Place};
use super::shelf::{Key, Shelf};
use super::slips::{and, any_of};
use super::written::{Deliver, Design};
use super::{measure, size};
use crate::artwork::{ArtworkError, Croquis, Intake, LOSSES, Motif};
use crate::progress::{Progress, Task};

impl Order {
    /// Makes every choice. Files are looked for from `folder`; `file_name` names a design
    /// that has no name of its own.
    ///
    /// # Errors
    /// The first thing that can't be done, with its place in the design.
    pub fn decide(design: &Design, folder: &Path, file_name: &str) -> Result<Order, DesignError> {
        Order::decide_told(design, folder, file_name, &())
    }

    /// As [`decide`](Order::decide), telling which file is being read.
    ///
    /// # Errors
    /// As there.
    pub fn decide_told(
        design: &Design,
        folder: &Path,
        file_name: &str,
        progress: &dyn Progress,
    ) -> Result<Order, DesignError> {
        Order::decide_from(&mut Shelf::default(), design, folder, file_name, progress)
    }

    /// As [`decide_told`](Order::decide_told), with the drawings that lie on the shelf and have not changed since.
    ///
    /// # Errors
    /// As there; what was read then lies on the shelf.
    pub fn decide_from(
        shelf: &mut Shelf,
        design: &Design,
        folder: &Path,
        file_name: &str,
        progress: &dyn Progress,
    ) -> Result<Order, DesignError> {
        let mut order = Order {
            name: String::new(),
            arrangement: Arrangement::read(design)?,
            motifs: Vec::new(),
            deliveries: Vec::new(),
            warnings: Vec::new(),
            sources: Vec::new(),
            limits: design.limits()?,
            fitness: design.check.decide()?,
            accepted: accepted(&design.accepts)?,
            drawn: Drawn::Places(Vec::new()),
            keys: Vec::new(),
        };
        match order.settle(shelf, design, folder, file_name, progress) {
            Ok(()) => Ok(order),
            Err(error) => {
                shelf.keep_too(order);
                Err(error)
            }
        }
    }

    /// Takes the drawings in and decides all deliveries.
    fn settle(
        &mut self,
        shelf: &mut Shelf,
        design: &Design,
        folder: &Path,
        file_name: &str,
        progress: &dyn Progress,
    ) -> Result<(), DesignError> {
        let intake = intake(design)?;
        let mut ground = design.ground.as_ref().map(measure::ground).transpose()?;
        let mut alike = Vec::new();
        self.drawn = match &design.croquis {
            Some(file) => {
                let croquis = self.take_page(design, file, folder, &intake, progress)?;
                ground = ground.or(croquis.ground.map(Some));
                self.motifs = croquis.pieces;
                alike = croquis.alike;
                Drawn::Page(croquis.page)
            }
            None => Drawn::Places(self.take_motifs(shelf, design, folder, &intake, progress)?),
        };
        self.name = match &design.name {
            Some(name) => measure::stem(name)?,
            None => measure::stem(&unwritten(file_name))?,
        };
        let default = [Deliver::default()];
        let wanted = if design.deliveries.is_empty() { &default[..] } else { &design.deliveries[..] };
        let first_dpi = size::resolution(&wanted[0])?;
        if let Drawn::Page(page) = self.drawn {
            let (_, _, repeat) = self.planned(design, &wanted[0], first_dpi)?;
            self.drop_twins(&alike, page, &repeat);
        }
        for deliver in wanted {
            let delivery = self.delivery(design, deliver, first_dpi, ground.flatten())?;
            self.deliveries.push(delivery);
        }
        self.refuse_clashes(wanted)?;
        self.warnings.extend(idle(&self.deliveries, wanted));
        self.warn();
        Ok(())
    }

    fn take_page(
        &mut self,
        design: &Design,
        file: &Spanned<String>,
        folder: &Path,
        intake: &Intake,
        progress: &dyn Progress,
    ) -> Result<Croquis, DesignError> {
        if let Some(entry) = design.motifs.first() {
            let e = DesignError::new("a croquis is the whole block; a design has a croquis or motifs, not both");
            return Err(e.with_hint("take the motifs out, or draw them on the page").at(entry.file.span()));
        }
        let path = folder.join(file.get_ref());
        let _busy = progress.busy(Task::Reading(&path));
        let croquis = Croquis::read(&path, intake).map_err(|e| artwork(&e, file))?;
        self.sources.push(path.clone());
        if croquis.page.size.is_none() && design.repeat.tile.is_none() && design.repeat.block.is_none() {
            return Err(place::no_size("drawing", file, "block = \"6in\" under [repeat]", "--block 6in"));
        }
        Ok(croquis)
    }

    /// Reads each file once, however often it is placed.
    fn take_motifs(
        &mut self,
        shelf: &mut Shelf,
        design: &Design,
        folder: &Path,
        intake: &Intake,
        progress: &dyn Progress,
    ) -> Result<Vec<Place>, DesignError> {
        let limit = design.limits()?.placements;
        if let Some(entry) = design.motifs.get(limit.size()) {
            let e = format!("places of motifs: {}; the most is {limit}", design.motifs.len());
            return Err(DesignError::new(e).with_hint(limit.raise()).at(entry.file.span()));
        }
        if design.motifs.is_empty() {
            let e = DesignError::new("the design has no motif");
            if let Some(toss) = &design.toss {
                let e = DesignError::new("the design's motifs are not strewn yet").at(toss.gap.span());
                return Err(e.with_hint("strew them first, with seamfast toss"));
            }
            return Err(e.with_hint("add [[motif]] with file = \"limpet.svg\", or croquis = \"page.svg\""));
        }
        let mut known: BTreeMap<(PathBuf, bool), usize> = BTreeMap::new();
        let mut places = Vec::new();
        for entry in &design.motifs {
            let path = folder.join(entry.file.get_ref());
            let motif = match known.get(&(path.clone(), entry.trim)) {
                Some(motif) => *motif,
                None => {
                    let key = Key::of(&path, entry.trim, design);
                    let motif = match shelf.take(&key) {
                        Some(motif) => motif,
                        None => {
                            let _busy = progress.busy(Task::Reading(&path));
                            let motif = Motif::read(&path, intake).map_err(|e| artwork(&e, &entry.file))?;
                            if entry.trim { motif.trimmed() } else { motif }
                        }
                    };
                    self.motifs.push(motif);
                    self.keys.push(key);
                    self.sources.push(path.clone());
                    known.insert((path, entry.trim), self.motifs.len() - 1);
                    self.motifs.len() - 1
                }
            };
            places.push(Place::read(entry, motif, &self.motifs[motif], self.arrangement.scheme().places())?);
        }
        Ok(places)
    }

    fn warn(&mut self) {
        let mut warnings = Vec::new();
        let placements = &self.deliveries[0].repeat.placements;
        for (i, one) in placements.iter().enumerate() {
            if placements[..i]
                .iter()
                .any(|other| (other.motif, other.at, other.linear) == (one.motif, one.at, one.linear))
            {
                let name = self.motifs[one.motif].name();
                warnings.push(format!(
                    "{name} lies twice in one place, turn and size, and prints over itself: take one away"
                ));
            }
        }
        warnings.extend(self.bare_places());
        if let Drawn::Places(places) = &self.drawn {
            warnings.extend(self.on_themselves(places));
        }
        warnings.extend(cut(&self.deliveries[0].repeat, &self.motifs, self.deliveries[0].grid.resolution()));
        for motif in &self.motifs {
            if motif.ink().is_empty() {
                warnings.push(format!("{}: has no ink; nothing of it will be seen", motif.name()));
            }
            warnings.extend(motif.losses().iter().map(|loss| {
                let what = if loss.is_replaced() { "another font, as asked" } else { "left out as allowed" };
                format!("{}: {what}: {loss}", motif.name())
            }));
        }
        self.warnings.extend(warnings);
    }
}

impl Order {
    /// Kinds of place that no motif lies on.
    fn bare_places(&self) -> Option<String> {
        let (Drawn::Places(places), kinds) = (&self.drawn, self.arrangement.scheme().places()) else { return None };
        let bare: Vec<String> = (0..kinds)
            .filter(|kind| !places.iter().any(|place| place.lies_on(*kind)))
            .map(|k| (k + 1).to_string())
            .collect();
        let words: Vec<&str> = bare.iter().map(String::as_str).collect();
        match &words[..] {
            [] => None,
            [one] => Some(format!("place {one} holds no motif, and stays bare")),
            many => Some(format!("places {} hold no motif, and stay bare", and(many))),
        }
    }
}

fn intake(design: &Design) -> Result<Intake, DesignError> {
    let fonts = design.fonts.iter();
    let intake = fonts
        .fold(Intake::new().with_limits(design.limits()?), |intake, (font, by)| intake.substitute(font, by.get_ref()));
    design.allow.iter().try_fold(intake, |intake, code| {
        intake.allow(code.get_ref().trim()).map_err(|_| {
            let known: Vec<&str> = LOSSES.iter().map(|kind| kind.code).collect();
            let e = format!("{:?} is not the code of a loss; write {}", code.get_ref(), any_of(&known));
            DesignError::about("allow", code, e).or_meant(code.get_ref(), known)
        })
    })
}

fn artwork(error: &ArtworkError, place: &Spanned<String>) -> DesignError {
    DesignError::new(error).with_hint(error.hint()).at(place.span())
}

/// A text that stands in no file.
fn unwritten(text: &str) -> Spanned<String> {
    Spanned::new(0..0, text.into())
}
