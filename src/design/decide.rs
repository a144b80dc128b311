//! Design → Order: every text read, every default filled in, every drawing taken in.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use toml::Spanned;

use super::error::DesignError;
use super::measure::{self, Coordinate};
use super::order::{Delivery, Kind, Order};
use super::place::{linear, spread};
use super::written::{Deliver, Design, Entry};
use crate::artwork::{ArtworkError, Croquis, Intake, Motif, Page};
use crate::length::{Length, Unit};
use crate::pixels::{PixelGrid, Resolution, Side};
use crate::repeat::{Layout, Linear, Placement, Repeat, Spot, Tile};
use crate::vector::SvgOptions;

/// The tile when nothing is asked (8 in at 150 dpi: common practice for cloth, no source).
const DEFAULT_TILE: Length = Length::of(8, Unit::In);
const DEFAULT_DPI: i64 = 150;

/// A motif's place before there is a grid.
struct Place {
    motif: usize,
    at: [Coordinate; 2],
    size: [f64; 2],
    flip: [bool; 2],
    turn: f64,
    layer: i32,
}

/// What lies on the block.
enum Drawn {
    /// Motifs in their places.
    Places(Vec<Place>),
    /// A page by hand, laid onto the block; its pieces are the motifs.
    Page(Page),
}

impl Order {
    /// Makes every choice. Files are looked for from `folder`; `file_name` names a design
    /// that has no name of its own.
    ///
    /// # Errors
    /// The first thing that can't be done, with its place in the design.
    pub fn decide(design: &Design, folder: &Path, file_name: &str) -> Result<Order, DesignError> {
        let intake = intake(design)?;
        let mut order = Order {
            name: match &design.name {
                Some(name) => measure::stem(name)?,
                None => measure::stem(&Spanned::new(0..0, file_name.into()))?,
            },
            layout: layout(design)?,
            motifs: Vec::new(),
            deliveries: Vec::new(),
            warnings: Vec::new(),
            sources: Vec::new(),
        };
        let mut ground = design.ground.as_ref().map(measure::ground).transpose()?;
        let drawn = match &design.croquis {
            Some(file) => {
                let (page, page_ground) = order.take_page(design, file, folder, &intake)?;
                ground = ground.or(page_ground.map(Some));
                Drawn::Page(page)
            }
            None => Drawn::Places(order.take_motifs(design, folder, &intake)?),
        };
        let default = [Deliver::default()];
        let wanted = if design.deliveries.is_empty() { &default[..] } else { &design.deliveries[..] };
        let first_dpi = resolution(&wanted[0])?;
        for deliver in wanted {
            let delivery = order.delivery(design, deliver, &drawn, first_dpi, ground.flatten())?;
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
    ) -> Result<(Page, Option<[u8; 3]>), DesignError> {
        if let Some(entry) = design.motifs.first() {
            let e = DesignError::new("a croquis is the whole block; a design has a croquis or motifs, not both");
            return Err(e.with_hint("take the motifs out, or draw them on the page").at(entry.file.span()));
        }
        let path = folder.join(file.get_ref());
        let croquis = Croquis::read(&path, intake).map_err(|e| artwork(&e, file))?;
        self.sources.push(path);
        self.motifs = croquis.pieces;
        if croquis.page.size.is_none() && design.repeat.tile.is_none() && design.repeat.block.is_none() {
            return Err(no_size(file, "--block 6in, or width and height in its <svg> element"));
        }
        Ok((croquis.page, croquis.ground))
    }

    /// Reads each file once, however often it is placed.
    fn take_motifs(&mut self, design: &Design, folder: &Path, intake: &Intake) -> Result<Vec<Place>, DesignError> {
        if design.motifs.is_empty() {
            let e = DesignError::new("the design has no motif");
            return Err(e.with_hint("add [[motif]] with file = \"limpet.svg\", or croquis = \"page.svg\""));
        }
        let mut known: BTreeMap<PathBuf, usize> = BTreeMap::new();
        let mut places = Vec::new();
        for entry in &design.motifs {
            let path = folder.join(entry.file.get_ref());
            let motif = match known.get(&path) {
                Some(motif) => *motif,
                None => {
                    self.motifs.push(Motif::read(&path, intake).map_err(|e| artwork(&e, &entry.file))?);
                    self.sources.push(path.clone());
                    known.insert(path, self.motifs.len() - 1);
                    self.motifs.len() - 1
                }
            };
            places.push(place(entry, motif, &self.motifs[motif])?);
        }
        Ok(places)
    }

    fn delivery(
        &self,
        design: &Design,
        deliver: &Deliver,
        drawn: &Drawn,
        first_dpi: Resolution,
        ground: Option<[u8; 3]>,
    ) -> Result<Delivery, DesignError> {
        let resolution = resolution(deliver)?;
        let (asked, blocks) = asked(design, self.layout, drawn, first_dpi)?;
        // Pixels are counted at the first delivery's resolution; at another they are a length.
        let asked = if resolution == first_dpi { asked } else { asked.map(|s| Side::Length(s.length(first_dpi))) };
        let multiples = self.layout.scheme().multiples(blocks);
        let fit = if deliver.exact { PixelGrid::fit_exactly } else { PixelGrid::fit };
        let size_place = design.repeat.tile.as_ref().or(design.repeat.block.as_ref()).map(Spanned::span);
        let wrong = |e| DesignError::new(e).at(size_place.clone().unwrap_or_default());
        let grid = fit(asked, resolution, multiples).map_err(wrong)?;
        let tile = Tile { width: grid.width(), height: grid.height(), size: grid.size() };
        let mut repeat = Repeat::new(self.layout, tile, blocks)
            .ok_or_else(|| DesignError::new(format!("{} px can't carry the layout {}", grid.width(), self.layout)))?;
        repeat.ground = ground;
        repeat.placements = self.placements(drawn, &repeat, &grid);
        let kinds = match &deliver.kinds {
            Some(kinds) => kinds.iter().map(measure::kind).collect::<Result<Vec<_>, _>>()?,
            None => Kind::ALL.to_vec(),
        };
        let stem = deliver.name.as_ref().map(measure::stem).transpose()?.unwrap_or_else(|| self.name.clone());
        let packing = deliver.packing.as_ref().map(measure::packing).transpose()?.unwrap_or_default();
        Ok(Delivery { stem, kinds, grid, repeat, packing, svg: SvgOptions { clip: deliver.clip } })
    }

    fn placements(&self, drawn: &Drawn, repeat: &Repeat, grid: &PixelGrid) -> Vec<Placement> {
        match drawn {
            Drawn::Places(places) => places.iter().map(|place| set(place, repeat, grid)).collect(),
            Drawn::Page(_) => (0..self.motifs.len())
                .map(|motif| {
                    let page = self.motifs[motif].page_px();
                    let [w, h] = repeat.block.map(|n| n as f64);
                    let at = Spot::from_parts(repeat.block[0] * 128, repeat.block[1] * 128);
                    Placement { motif, at, linear: [w / page.width, 0.0, 0.0, h / page.height], layer: 0 }
                })
                .collect(),
        }
    }

    /// Two files of one place would overwrite each other; letters' case does not tell files apart.
    fn refuse_clashes(&self, wanted: &[Deliver]) -> Result<(), DesignError> {
        let mut seen = BTreeMap::new();
        for (delivery, deliver) in self.deliveries.iter().zip(wanted) {
            if delivery.kinds.is_empty() {
                return Err(DesignError::new("as: no kind of file is named; write for example as = [\"png\"]"));
            }
            for kind in &delivery.kinds {
                let file = format!("{}.{}", delivery.stem, kind.ending());
                if seen.insert(file.to_lowercase(), ()).is_some() {
                    let span = deliver.name.as_ref().map(Spanned::span);
                    let span = span.or(deliver.kinds.as_ref().and_then(|k| k.first()).map(Spanned::span));
                    let e = DesignError::new(format!("two deliveries would both write {file}"));
                    let e = e.with_hint(format!("give one of them a name, for example name = \"{}-large\"", delivery.stem));
                    return Err(e.at(span.unwrap_or_default()));
                }
            }
        }
        Ok(())
    }

    fn warn(&mut self) {
        let mut warnings = Vec::new();
        for motif in &self.motifs {
            if motif.ink().is_empty() {
                warnings.push(format!("{}: has no ink; nothing of it will be seen", motif.name()));
            }
            warnings.extend(motif.losses().iter().map(|loss| format!("{}: left out as allowed: {loss}", motif.name())));
        }
        self.warnings.extend(warnings);
    }
}

fn intake(design: &Design) -> Result<Intake, DesignError> {
    design.allow.iter().try_fold(Intake::new(), |intake, code| {
        intake.allow(code.get_ref()).map_err(|e| artwork(&e, code))
    })
}

/// A page by hand is repeated as it was drawn; motifs are dropped by half.
fn layout(design: &Design) -> Result<Layout, DesignError> {
    match &design.repeat.layout {
        Some(text) => measure::layout(text),
        None if design.croquis.is_some() => Ok(Layout::Straight),
        None => Ok(Layout::Drop(crate::repeat::Fraction::HALF)),
    }
}

fn resolution(deliver: &Deliver) -> Result<Resolution, DesignError> {
    match &deliver.dpi {
        Some(dpi) => measure::resolution(dpi),
        None => Resolution::dpi(DEFAULT_DPI).map_err(DesignError::new),
    }
}

/// The tile that is asked for, and its blocks across and down.
fn asked(design: &Design, layout: Layout, drawn: &Drawn, dpi: Resolution) -> Result<([Side; 2], [i64; 2]), DesignError> {
    let base = layout.scheme().tile_blocks();
    let times = |block: [Side; 2], blocks: [i64; 2]| match (block[0].times(blocks[0]), block[1].times(blocks[1])) {
        (Some(w), Some(h)) => Ok([w, h]),
        _ => Err(DesignError::new("the tile is too long; a length is at most 10 km")),
    };
    let block = design.repeat.block.as_ref().map(|text| measure::sides("block", text)).transpose()?;
    let tile = design.repeat.tile.as_ref().map(|text| measure::sides("tile", text)).transpose()?;
    let found = match (tile, block) {
        (Some(tile), None) => (tile, base),
        (None, Some(block)) => (times(block, base)?, base),
        (Some(tile), Some(block)) => {
            let blocks = [0, 1].map(|axis| {
                let (tile, block) = (tile[axis].length(dpi).emu(), block[axis].length(dpi).emu());
                let count = (tile as f64 / block as f64).round() as i64;
                // Each length may be rounded by half an EMU.
                ((count * block - tile).abs() <= count && count > 0 && count % base[axis] == 0).then_some(count)
            });
            let [Some(across), Some(down)] = blocks else {
                let e = format!("a {layout} tile is a whole multiple of {} × {} blocks, and this one is not", base[0], base[1]);
                let span = design.repeat.tile.as_ref().map(Spanned::span).unwrap_or_default();
                return Err(DesignError::new(e).with_hint("leave out tile or block; the other follows").at(span));
            };
            (tile, [across, down])
        }
        (None, None) => match drawn {
            Drawn::Page(Page { size: Some(size), .. }) => (times([size.width, size.height].map(Side::Length), base)?, base),
            Drawn::Page(_) | Drawn::Places(_) => ([Side::Length(DEFAULT_TILE); 2], base),
        },
    };
    match drawn {
        Drawn::Page(page) => same_shape(design, found, *page, dpi),
        Drawn::Places(_) => Ok(found),
    }
}

/// A page is never squeezed: its block must have its shape, to one part in a hundred.
fn same_shape(
    design: &Design,
    (tile, blocks): ([Side; 2], [i64; 2]),
    page: Page,
    dpi: Resolution,
) -> Result<([Side; 2], [i64; 2]), DesignError> {
    let [w, h] = [0, 1].map(|axis| tile[axis].length(dpi).emu() as f64 / blocks[axis] as f64);
    let shape = match page.size {
        Some(size) => size.width.emu() as f64 / size.height.emu() as f64,
        None => page.px.width / page.px.height,
    };
    if (w / h / shape - 1.0).abs() <= 0.01 {
        return Ok((tile, blocks));
    }
    let block_height = Length::from_emu((w / shape).round() as i64);
    let (name, text, across, down) = match (&design.repeat.tile, &design.repeat.block) {
        (Some(text), _) => ("tile", Some(text), tile[0].length(dpi), Length::from_emu(block_height.emu() * blocks[1])),
        (_, text) => ("block", text.as_ref(), Length::from_emu(w.round() as i64), block_height),
    };
    let e = format!("{name}: the page would be squeezed; its width is {shape:.3} of its height");
    let better = format!("write {}x{}", across.show(Unit::In, 3), down.show(Unit::In, 3));
    Err(DesignError::new(e).with_hint(better).at(text.map(Spanned::span).unwrap_or_default()))
}

fn place(entry: &Entry, motif: usize, drawing: &Motif) -> Result<Place, DesignError> {
    let page = drawing.page_px();
    let width = entry.width.as_ref().map(|text| measure::length("width", text)).transpose()?;
    let height = entry.height.as_ref().map(|text| measure::length("height", text)).transpose()?;
    let own = drawing.size().map(|s| [s.width.emu() as f64 / page.width, s.height.emu() as f64 / page.height]);
    let times = match &entry.scale {
        Some(scale) if width.is_some() || height.is_some() => {
            let e = DesignError::new("a motif has a scale, or a width and height, not both");
            return Err(e.at(scale.span()));
        }
        Some(scale) => match measure::number("scale", scale, 10_000.0)? {
            n if n > 0.0 => n,
            n => return Err(DesignError::new(format!("scale: {n} is not more than zero; write for example 1.5")).at(scale.span())),
        },
        None => 1.0,
    };
    let of = |length: Length, px: f64| length.emu() as f64 / px;
    let size = match (width, height, own) {
        (Some(w), Some(h), _) => [of(w, page.width), of(h, page.height)],
        (Some(w), None, Some([x, y])) => [of(w, page.width), of(w, page.width) * y / x],
        (Some(w), None, None) => [of(w, page.width); 2],
        (None, Some(h), Some([x, y])) => [of(h, page.height) * x / y, of(h, page.height)],
        (None, Some(h), None) => [of(h, page.height); 2],
        (None, None, Some([x, y])) => [x * times, y * times],
        (None, None, None) => return Err(no_size(&entry.file, "width = \"2.5in\" beside it, or --motif-width 2.5in")),
    };
    let at = match &entry.at {
        Some([x, y]) => [measure::coordinate(x)?, measure::coordinate(y)?],
        None => [Coordinate::Share(1, 2); 2],
    };
    let flip = entry.flip.as_ref().map(measure::flip).transpose()?.unwrap_or_default();
    let turn = entry.turn.as_ref().map(|turn| measure::number("turn", turn, 1e6)).transpose()?.unwrap_or(0.0);
    Ok(Place { motif, at, size, flip, turn, layer: entry.layer })
}

/// Puts a place on the grid.
fn set(place: &Place, repeat: &Repeat, grid: &PixelGrid) -> Placement {
    let linear: Linear = linear(place.size, place.flip, place.turn, grid.scale());
    let asked = grid.asked();
    let x = place.at[0].parts(repeat.block[0], repeat.tile.width, asked.width);
    let y = place.at[1].parts(repeat.block[1], repeat.tile.height, asked.height);
    Placement { motif: place.motif, at: Spot::from_parts(x, y), linear, layer: place.layer }
}

fn artwork(error: &ArtworkError, place: &Spanned<String>) -> DesignError {
    DesignError::new(error).with_hint(error.hint()).at(place.span())
}

fn no_size(file: &Spanned<String>, write: &str) -> DesignError {
    let e = DesignError::new(format!("{}: the drawing does not say how large it is", file.get_ref()));
    e.with_hint(format!("write {write}")).at(file.span())
}

impl Design {
    /// Spreads the motifs that have no place of their own evenly over the block.
    pub fn spread(&mut self) {
        let proportions = self.block_proportions();
        let places = spread(self.motifs.len(), proportions);
        for (entry, place) in self.motifs.iter_mut().zip(places) {
            entry.at.get_or_insert_with(|| place.map(|text| Spanned::new(0..0, text)));
        }
    }

    /// Width and height of the block, as far as they are known already.
    fn block_proportions(&self) -> [f64; 2] {
        let Ok(layout) = layout(self) else { return [1.0; 2] };
        let Ok(dpi) = Resolution::dpi(DEFAULT_DPI) else { return [1.0; 2] };
        match asked(self, layout, &Drawn::Places(Vec::new()), dpi) {
            Ok((tile, blocks)) => [0, 1].map(|a| tile[a].length(dpi).emu() as f64 / blocks[a] as f64),
            Err(_) => [1.0; 2],
        }
    }
}
