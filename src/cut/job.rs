//! One cut, from the plan to paths in the order in which they are followed.

use kurbo::{BezPath, Point, Rect};

use super::checks::{self, Checks, Found};
use super::error::CutError;
use super::finish::finish;
use super::grow::Corner;
use super::laid::Laid;
use super::mode::{Layer, Mode};
use super::outline::Outline;
use super::region::{Region, Ring};
use super::route::Route;
use super::sheets::{self, Sheets};
use crate::artwork::{Hindrance, HindranceKind, InkName, Motif, Patterns};
use crate::length::{Length, Size};
use crate::limits::Limits;
use crate::wrap::Copies;

/// What is to be cut and how. Lengths are true sizes on the goods.
#[derive(Clone, Debug)]
pub struct Settings {
    /// The pieces.
    pub mode: Mode,
    /// Whether a pattern is one ink, or the shapes it shows.
    pub patterns: Patterns,
    /// Tiles across and down, or a piece of cloth.
    pub goods: Goods,
    /// Whether the cloth goes on below: lines end at its upper and lower edge instead of running along it.
    pub roll: bool,
    /// How much the beam or blade takes away; each piece grows by half of it.
    pub kerf: Length,
    /// How far curves may move to become fewer; nothing keeps them as they are.
    pub simplify: Length,
    /// What is too small.
    pub checks: Checks,
    /// Sheets that pieces are laid on; else all stay where they lie on the cloth.
    pub sheets: Option<Sheets>,
    /// A frame around all pieces, so far from them, by which the waste comes off.
    pub weed_border: Option<Length>,
    /// Lines through the waste, so far apart.
    pub weed_lines: Option<Length>,
    /// Crosses at the corners, by which layers are laid over one another.
    pub marks: bool,
    /// Along the cut, and between cuts, a second.
    pub speeds: [Length; 2],
    /// What is left out, since it is no shape; all else that is none is refused.
    pub skip: Vec<HindranceKind>,
}

/// How much of the cloth.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Goods {
    /// So many tiles.
    Tiles([i64; 2]),
    /// So large.
    Cloth(Size),
}

/// A path to follow, in EMU from the sheet's upper left corner.
#[derive(Clone, Debug)]
pub struct CutPath {
    /// Lines and curves.
    pub path: BezPath,
    /// Whether it ends where it begins.
    pub closed: bool,
}

/// Paths of one material on one sheet.
#[derive(Clone, Debug)]
pub struct CutLayer {
    /// What it is called in files.
    pub name: String,
    /// Its ink, if it has one.
    pub ink: Option<InkName>,
    /// In the order in which they are cut.
    pub paths: Vec<CutPath>,
    /// What following them takes.
    pub route: Route,
    /// Pieces of it.
    pub pieces: usize,
    /// Their area in square mm, of the polygons.
    pub area_mm2: f64,
}

/// One sheet.
#[derive(Clone, Debug)]
pub struct CutSheet {
    /// Added to a file's name; empty if there is one sheet.
    pub name: String,
    /// Its true size.
    pub size: Size,
    /// In painting order.
    pub layers: Vec<CutLayer>,
}

/// Everything that is cut, and what is to be said of it.
#[derive(Clone, Debug)]
pub struct Cut {
    /// At least one.
    pub sheets: Vec<CutSheet>,
    /// What is too small, and where.
    pub found: Vec<Found>,
    /// Whether there were more narrow parts and gaps to look at than is looked at.
    pub not_measured: bool,
    /// Parts of a stencil that fall out.
    pub islands: Vec<Rect>,
    /// Inks of which now one lies on top and now the other: stacked films can't show that.
    pub no_order: Vec<[String; 2]>,
    /// Bridges of a stencil.
    pub bridges: Vec<[Point; 2]>,
    /// What is no shape and was left out, and the motif it belongs to.
    pub left_out: Vec<(usize, Hindrance)>,
    /// Motifs of which something shines through; it is cut as if it covered.
    pub translucent: Vec<usize>,
    /// Outlines that stand as polygons, since their curves would have crossed.
    pub polygons: usize,
}

impl Cut {
    /// Works out a cut. `copies` are planned on whole EMU.
    ///
    /// # Errors
    /// Nothing to cut, islands that are refused, a piece that no sheet holds.
    #[allow(clippy::cast_possible_truncation, reason = "sizes of the goods")]
    pub fn of(copies: &Copies, motifs: &[Motif], settings: &Settings, limits: &Limits) -> Result<Cut, CutError> {
        let tile = copies.tile();
        let [width, height] = match settings.goods {
            Goods::Tiles([across, down]) => [tile.width * across, tile.height * down],
            Goods::Cloth(size) => [size.width.emu(), size.height.emu()],
        };
        // The lines of a roll go on, so they are worked out a little beyond its ends.
        let ends = if settings.roll { settings.kerf.emu() } else { 0 };
        let window = [0, -ends, width, height + ends];
        // What lies outside may still reach in once it has grown.
        let beyond = settings.mode.reach() + ends;
        let around = [-beyond, -beyond, width + beyond, height + beyond];
        let laid = &mut Laid::of(copies, motifs, around, settings.patterns, limits)?;
        let left_out = std::mem::take(&mut laid.left_out);
        if left_out.iter().any(|(_, one)| !settings.skip.contains(&one.kind)) {
            return Err(CutError::NoShape(
                left_out.into_iter().filter(|(_, one)| !settings.skip.contains(&one.kind)).collect(),
            ));
        }
        let made = settings.mode.layers(laid, window)?;
        let mut layers = made.layers;
        let (found, not_measured) = checks::look(&layers, &settings.checks);
        let kerf = settings.kerf.emu() as f64 / 2.0;
        for layer in &mut layers {
            layer.region = laid.plane.grown(&layer.region, kerf, Corner::Round);
        }
        let frame = settings.mode.frame();
        let mut goods = Rect::new(-frame, -frame, width as f64 + frame, height as f64 + frame);
        if settings.roll {
            (goods.y0, goods.y1) = (0.0, height as f64);
            let beside = goods.width().ceil() as i64;
            let rows = laid.rectangle([-beside, 0, width + beside, height]);
            layers.iter_mut().for_each(|layer| layer.region = layer.region.within(&rows));
            layers.retain(|layer| !layer.region.is_empty());
        }
        // A kerf may reach over the edge: the page holds it.
        goods = layers.iter().filter_map(|layer| layer.region.bounds()).fold(goods, |all, one| all.union(one));
        let mut polygons = 0;
        let mut drawn = |layer: &Layer| {
            let exact = if settings.mode.abuts() { 0.0 } else { settings.simplify.emu() as f64 };
            // Where the next length of a roll takes a line up, it must be found at the very place.
            let at_end = |piece: &Vec<Ring>| {
                let mut rows = piece.iter().flatten().map(|edge| edge.from.y as f64);
                settings.roll && rows.any(|y| y == goods.y0 || y == goods.y1)
            };
            let (ends, free) = layer.region.pieces.iter().cloned().partition::<Vec<_>, _>(at_end);
            let before = ends.len();
            let mut outlines = laid.plane.outlines(&Region { pieces: ends }, 0.0);
            let free = laid.plane.outlines(&Region { pieces: free }, exact);
            outlines.extend(free.into_iter().map(|outline| Outline { piece: outline.piece + before, ..outline }));
            polygons += outlines.iter().filter(|outline| outline.chords).count();
            outlines
        };
        let drawn = layers.iter().map(|layer| (layer, drawn(layer)));
        // Of a layer that is nothing but slivers nothing is drawn.
        let drawn: Vec<_> = drawn.filter(|(_, outlines)| !outlines.is_empty()).collect();
        if drawn.is_empty() {
            return Err(CutError::Nothing);
        }
        let placed = match &settings.sheets {
            Some(sheets) => {
                // Marks and the weed border lie on the sheet too.
                let margin = sheets.margin.max(settings.beside());
                sheets::fit(&drawn, goods, &Sheets { margin, ..*sheets }, settings.roll)?
            }
            None => vec![sheets::whole(&drawn, goods)],
        };
        let sheets = placed.into_iter().map(|sheet| finish(sheet, settings)).collect();
        let translucent = laid.translucent.iter().copied().collect();
        Ok(Cut {
            sheets,
            found,
            not_measured,
            islands: made.islands,
            no_order: made.no_order,
            bridges: made.bridges,
            left_out,
            translucent,
            polygons,
        })
    }
}

impl Mode {
    /// How far something outside the window may reach into it, in whole EMU.
    #[allow(clippy::cast_possible_truncation, reason = "a distance on the goods")]
    fn reach(&self) -> i64 {
        match self {
            Mode::Outline { distance, fill, .. } => ((distance.abs() + fill) * 2.0).ceil() as i64,
            _ => 0,
        }
    }

    /// Whether pieces of several layers share their edges.
    fn abuts(&self) -> bool {
        matches!(self, Mode::Inlay { .. })
    }

    fn frame(&self) -> f64 {
        match self {
            Mode::Stencil { frame, .. } => *frame,
            _ => 0.0,
        }
    }
}
