//! The ways to cut one cloth: which areas become pieces of film, card or cloth.

use super::bridges::{self, Bridging};
use super::error::CutError;
use super::grow::Corner;
use super::laid::Laid;
use super::region::Region;
use crate::artwork::InkName;

/// What is smaller both ways is what crossing edges left, and nothing that is cut, in EMU: a hundredth of a millimetre.
pub(super) const SPECK: f64 = 360.0;

/// What is cut.
#[derive(Clone, Debug, PartialEq)]
pub enum Mode {
    /// All ink welded to one shape.
    Silhouette,
    /// Each ink whole, for films that are laid one over another.
    Stacked,
    /// Each ink as far as it is seen; under what lies on it by this much, in EMU.
    Inlay {
        /// How far a piece reaches under what lies on it.
        overlap: f64,
    },
    /// The welded silhouette grown by a distance.
    Outline {
        /// The distance in EMU.
        distance: f64,
        /// How corners turn out.
        corner: Corner,
        /// Holes that are nowhere wider than this are filled, in EMU.
        fill: f64,
    },
    /// A sheet with openings.
    Stencil {
        /// Whether the ink is cut out; else the ground, and the ink stays.
        ink_out: bool,
        /// The sheet around the cloth, in EMU.
        frame: f64,
        /// What becomes of parts that would fall out.
        islands: Islands,
    },
}

/// What becomes of parts of a stencil that hang on nothing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Islands {
    /// They are refused.
    Refuse,
    /// They are told, and fall out.
    List,
    /// They are held.
    Bridge(Bridging),
}

/// Pieces that are cut from one material.
#[derive(Clone, Debug, Default)]
pub struct Layer {
    /// What it is called in files.
    pub name: String,
    /// Its ink, if it has one.
    pub ink: Option<InkName>,
    /// What stays when the rest is weeded.
    pub region: Region,
}

/// A mode's layers, in painting order, and what is to be said of them.
#[derive(Clone, Debug, Default)]
pub struct Layers {
    /// At least one with something to cut.
    pub layers: Vec<Layer>,
    /// Bounds of parts that fall out, in EMU.
    pub islands: Vec<kurbo::Rect>,
    /// Inks that lie now over one another and now under: no order of films shows that.
    pub no_order: Vec<[String; 2]>,
    /// Bridges that were laid: from and to, in EMU.
    pub bridges: Vec<[kurbo::Point; 2]>,
}

impl Mode {
    /// Its name in flags and designs.
    pub fn name(&self) -> &'static str {
        match self {
            Mode::Silhouette => "silhouette",
            Mode::Stacked => "stacked",
            Mode::Inlay { .. } => "inlay",
            Mode::Outline { .. } => "outline",
            Mode::Stencil { .. } => "stencil",
        }
    }

    /// Works out the layers. What lies outside the window, a rectangle in EMU, is cut off.
    ///
    /// # Errors
    /// Nothing to cut; islands that are refused.
    pub fn layers(&self, laid: &mut Laid, window: [i64; 4]) -> Result<Layers, CutError> {
        let rectangle = laid.rectangle(window);
        let mut out = Layers::default();
        match self {
            Mode::Silhouette => {
                let region = silhouette(laid).within(&rectangle);
                out.layers.push(Layer { name: "silhouette".into(), ink: None, region });
            }
            Mode::Stacked => {
                let seen = laid.visible();
                let shown = |index: usize| !seen[index].is_empty();
                let mut layers = by_ink(laid, |index| shown(index).then(|| laid.shapes[index].region.clone()));
                let (order, both) = laid.films();
                out.layers = order.into_iter().map(|ink| std::mem::take(&mut layers[ink])).collect();
                out.no_order = both.into_iter().map(|pair| pair.map(|ink| name(&laid.inks[ink]))).collect();
                cut_to(&mut out.layers, &rectangle);
            }
            Mode::Inlay { overlap } => {
                let seen = laid.visible();
                out.layers = by_ink(laid, |index| Some(seen[index].clone()));
                if *overlap > 0.0 {
                    let whole = by_ink(laid, |index| Some(laid.shapes[index].region.clone()));
                    for (layer, under) in out.layers.iter_mut().zip(&whole) {
                        let wider = laid.plane.grown(&layer.region, *overlap, Corner::Round).within(&under.region);
                        layer.region = Region::union([&layer.region, &wider]);
                    }
                }
                cut_to(&mut out.layers, &rectangle);
            }
            Mode::Outline { distance, corner, fill } => {
                let ink = silhouette(laid);
                let grown = laid.plane.grown(&ink, *distance, *corner);
                if grown.is_empty() && !ink.is_empty() {
                    return Err(CutError::Vanished);
                }
                let region = laid.plane.filled(&grown, *fill).within(&rectangle);
                out.layers.push(Layer { name: "outline".into(), ink: None, region });
            }
            Mode::Stencil { ink_out, frame, islands } => {
                let silhouette = silhouette(laid).within(&rectangle);
                let sheet = laid.plane.grown(&rectangle, *frame, Corner::Mitre(2.0));
                let opening = if *ink_out { silhouette } else { rectangle.without(&silhouette) };
                if opening.is_empty() {
                    return Err(if *ink_out { CutError::Nothing } else { CutError::NoGround });
                }
                let whole = sheet;
                let sheet = whole.without(&opening).without_specks(SPECK);
                if sheet.is_empty() {
                    return Err(CutError::NoStencil);
                }
                // A bridge at the edge ends there.
                let region = bridges::hold(&mut laid.plane, sheet, *islands, &mut out)?.within(&whole);
                out.layers.push(Layer { name: "stencil".into(), ink: None, region });
            }
        }
        for layer in &mut out.layers {
            layer.region = std::mem::take(&mut layer.region).without_specks(SPECK);
        }
        out.layers.retain(|layer| !layer.region.is_empty());
        if out.layers.is_empty() { Err(CutError::Nothing) } else { Ok(out) }
    }
}

fn silhouette(laid: &Laid) -> Region {
    Region::union(laid.shapes.iter().map(|shape| &shape.region))
}

/// One layer an ink, the inks in the order in which they first appear.
fn by_ink(laid: &Laid, region: impl Fn(usize) -> Option<Region>) -> Vec<Layer> {
    let mut parts: Vec<Vec<Region>> = vec![Vec::new(); laid.inks.len()];
    for (index, shape) in laid.shapes.iter().enumerate() {
        parts[shape.ink].extend(region(index));
    }
    let layer = |(ink, parts): (&InkName, Vec<Region>)| Layer {
        name: name(ink),
        ink: Some(ink.clone()),
        region: Region::union(&parts),
    };
    laid.inks.iter().zip(parts).map(layer).collect()
}

fn cut_to(layers: &mut [Layer], window: &Region) {
    for layer in layers {
        layer.region = layer.region.within(window);
    }
}

/// An ink's name, as files show it: `d94f30`, or its own.
fn name(ink: &InkName) -> String {
    match ink {
        InkName::Color([r, g, b]) => format!("{r:02x}{g:02x}{b:02x}"),
        InkName::Named(name) => name.clone(),
    }
}
