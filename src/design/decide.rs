//! Design → Order: every text read, every default filled in, every drawing taken in.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use toml::Spanned;

use super::error::DesignError;
use super::order::{Delivery, Drawn, Kind, Order};
use super::place::{self, Place, spread};
use super::slips::any_of;
use super::slot::plain;
use super::written::{Deliver, Design};
use super::{measure, size};
use crate::artwork::{ArtworkError, Croquis, Intake, LOSSES, Motif};
use crate::pixels::{PixelGrid, Resolution, Side};
use crate::progress::{Progress, Task};
use crate::repeat::Repeat;
use crate::vector::SvgOptions;

/// A JPEG that no eye tells from the painting at arm's length (common practice, no source).
const DEFAULT_QUALITY: u8 = 92;

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
        let intake = intake(design)?;
        let mut order = Order {
            name: String::new(),
            layout: size::layout(design)?,
            motifs: Vec::new(),
            deliveries: Vec::new(),
            warnings: Vec::new(),
            sources: Vec::new(),
            limits: design.limits()?,
            drawn: Drawn::Places(Vec::new()),
        };
        let mut ground = design.ground.as_ref().map(measure::ground).transpose()?;
        let mut alike = Vec::new();
        order.drawn = match &design.croquis {
            Some(file) => {
                let croquis = order.take_page(design, file, folder, &intake, progress)?;
                ground = ground.or(croquis.ground.map(Some));
                order.motifs = croquis.pieces;
                alike = croquis.alike;
                Drawn::Page(croquis.page)
            }
            None => Drawn::Places(order.take_motifs(design, folder, &intake, progress)?),
        };
        order.name = match &design.name {
            Some(name) => measure::stem(name)?,
            None => measure::stem(&unwritten(file_name))?,
        };
        let default = [Deliver::default()];
        let wanted = if design.deliveries.is_empty() { &default[..] } else { &design.deliveries[..] };
        let first_dpi = size::resolution(&wanted[0])?;
        if let Drawn::Page(page) = order.drawn {
            let (_, _, repeat) = order.planned(design, &wanted[0], first_dpi)?;
            order.drop_twins(&alike, page, &repeat);
        }
        for deliver in wanted {
            let delivery = order.delivery(design, deliver, first_dpi, ground.flatten())?;
            order.deliveries.push(delivery);
        }
        order.refuse_clashes(wanted)?;
        order.warn();
        Ok(order)
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
            return Err(e.with_hint("add [[motif]] with file = \"limpet.svg\", or croquis = \"page.svg\""));
        }
        let mut known: BTreeMap<(PathBuf, bool), usize> = BTreeMap::new();
        let mut places = Vec::new();
        for entry in &design.motifs {
            let path = folder.join(entry.file.get_ref());
            let motif = match known.get(&(path.clone(), entry.trim)) {
                Some(motif) => *motif,
                None => {
                    let _busy = progress.busy(Task::Reading(&path));
                    let motif = Motif::read(&path, intake).map_err(|e| artwork(&e, &entry.file))?;
                    self.motifs.push(if entry.trim { motif.trimmed() } else { motif });
                    self.sources.push(path.clone());
                    known.insert((path, entry.trim), self.motifs.len() - 1);
                    self.motifs.len() - 1
                }
            };
            places.push(Place::read(entry, motif, &self.motifs[motif])?);
        }
        Ok(places)
    }

    /// The grid of a delivery, what was asked of it, and the design on it.
    fn planned(
        &self,
        design: &Design,
        deliver: &Deliver,
        first_dpi: Resolution,
    ) -> Result<(PixelGrid, size::Asked, Repeat), DesignError> {
        let resolution = size::resolution(deliver)?;
        let page = if let Drawn::Page(page) = &self.drawn { Some(*page) } else { None };
        let (asked, blocks) = size::asked(design, self.layout, page, first_dpi)?;
        // Pixels are counted at the first delivery's resolution; at another they are a length.
        let asked = if resolution == first_dpi { asked } else { asked.map(|s| Side::Length(s.length(first_dpi))) };
        let multiples = self.layout.scheme().multiples(blocks);
        let fit = if deliver.exact { PixelGrid::fit_exactly } else { PixelGrid::fit };
        let grid = fit(asked, resolution, multiples)
            .map_err(|e| size::unfit(e, design, deliver, (asked, blocks, multiples)))?;
        let repeat = self
            .on_grid(&grid, blocks, None)
            .ok_or_else(|| DesignError::new(format!("{} px can't carry the layout {}", grid.width(), self.layout)))?;
        place::refuse_giants(design, &repeat, &self.motifs)?;
        Ok((grid, (asked, blocks), repeat))
    }

    fn delivery(
        &self,
        design: &Design,
        deliver: &Deliver,
        first_dpi: Resolution,
        ground: Option<[u8; 3]>,
    ) -> Result<Delivery, DesignError> {
        let (grid, asked, mut repeat) = self.planned(design, deliver, first_dpi)?;
        repeat.ground = ground;
        let kinds = kinds(deliver)?;
        let stem = deliver.name.as_ref().map(measure::stem).transpose()?.unwrap_or_else(|| self.name.clone());
        let packing = deliver.packing.as_ref().map(measure::packing).transpose()?.unwrap_or_default();
        let colors = deliver.colors.as_ref().map(measure::colors).transpose()?.unwrap_or_default();
        let quality = deliver.quality.as_ref().map(measure::quality).transpose()?.unwrap_or(DEFAULT_QUALITY);
        let max_bytes = deliver.max_bytes.as_ref().map(measure::bytes).transpose()?;
        if kinds.contains(&Kind::Jpeg) && ground.is_none() {
            let e = DesignError::new("a JPEG has no transparency, and the design has no ground");
            let span = deliver.kinds.as_ref().and_then(|kinds| kinds.first()).map(Spanned::span);
            return Err(e
                .with_hint("write ground = \"linen\" in the design, or --ground linen")
                .at(span.unwrap_or_default()));
        }
        let svg = SvgOptions { clip: deliver.clip };
        Ok(Delivery { stem, kinds, grid, repeat, asked, packing, colors, quality, max_bytes, svg })
    }

    /// Two files of one place would overwrite each other; neither letters' case nor how an accent is
    /// written tells files apart on every disk.
    fn refuse_clashes(&self, wanted: &[Deliver]) -> Result<(), DesignError> {
        let mut seen = BTreeSet::new();
        for (delivery, deliver) in self.deliveries.iter().zip(wanted) {
            for kind in &delivery.kinds {
                let file = format!("{}.{}", delivery.stem, kind.ending());
                if !seen.insert(plain(&file)) {
                    let span = deliver.name.as_ref().map(Spanned::span);
                    let span = span.or(deliver.kinds.as_ref().and_then(|k| k.first()).map(Spanned::span));
                    let e = DesignError::new(format!("two deliveries would both write {file}"));
                    let e = e.with_hint(format!(
                        "give one of them a name of its own, for example name = \"{}-large\"",
                        delivery.stem
                    ));
                    return Err(e.at(span.unwrap_or_default()));
                }
            }
        }
        Ok(())
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

/// A kind named twice is made once.
fn kinds(deliver: &Deliver) -> Result<Vec<Kind>, DesignError> {
    let Some(texts) = &deliver.kinds else { return Ok(Kind::USUAL.to_vec()) };
    let mut kinds = Vec::new();
    for text in texts {
        let kind = measure::kind(text)?;
        if !kinds.contains(&kind) {
            kinds.push(kind);
        }
    }
    if kinds.is_empty() {
        return Err(DesignError::new("a delivery names no kind of file").with_hint("write for example as = [\"png\"]"));
    }
    Ok(kinds)
}

/// A text that stands in no file.
fn unwritten(text: &str) -> Spanned<String> {
    Spanned::new(0..0, text.into())
}

impl Design {
    /// Spreads the motifs that have no place of their own evenly over the block.
    pub fn spread(&mut self) {
        let places = spread(self.motifs.len(), size::block_proportions(self));
        for (entry, place) in self.motifs.iter_mut().zip(places) {
            entry.at.get_or_insert_with(|| Spanned::new(0..0, place.map(|text| unwritten(&text)).to_vec()));
        }
    }
}
