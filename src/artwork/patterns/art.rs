//! What is painted once patterns are laid out: flat outlines, layers around them, and what
//! can only be repeated whole.
//!
//! Content that is one flat color becomes *one* outline with a copy in every cell: copies
//! that abut are painted together, so no hairline shows between them. Since each copy is cut to
//! its cell, painting all copies of the first thing before all copies of the second is the
//! same as painting cell after cell. Gradients, images, masks and filters stay what they are, and are
//! laid cell by cell.

use kurbo::{Affine, BezPath, Rect};
use usvg::{BlendMode, Color};

use super::super::error::ArtworkError;
use super::super::ink::Rule;
use super::super::limits::Budget;
use super::cut::to_cell;
use super::lattice::{Lattice, spend};

/// Something painted.
pub(super) enum Art<'a> {
    Flat(Flat),
    Layer(Layer<'a>),
    Leaf(Leaf<'a>),
}

/// An outline filled with one color.
pub(super) struct Flat {
    pub(super) area: Area,
    pub(super) color: Color,
    pub(super) opacity: f32,
}

/// A filled outline; every contour is closed.
#[derive(Clone)]
pub(super) struct Area {
    pub(super) path: BezPath,
    pub(super) rule: Rule,
    /// Painted without soft edges.
    pub(super) crisp: bool,
}

/// A group.
pub(super) struct Layer<'a> {
    pub(super) opacity: f32,
    pub(super) blend: BlendMode,
    pub(super) isolate: bool,
    /// What is seen lies in one area of each.
    pub(super) clips: Vec<Vec<Area>>,
    pub(super) children: Vec<Art<'a>>,
}

/// Something that is repeated as it is.
pub(super) struct Leaf<'a> {
    pub(super) what: What<'a>,
    /// In its own space.
    pub(super) bounds: Rect,
    /// How much it is to read and paint.
    pub(super) cost: usize,
    pub(super) places: Vec<Place>,
}

/// What is repeated.
#[derive(Clone, Copy)]
pub(super) enum What<'a> {
    Group(&'a usvg::Group),
    Image(&'a usvg::Image),
    Fill(&'a usvg::Path),
    Stroke(&'a usvg::Path),
}

/// Where it lies, and the cells it is seen through.
pub(super) struct Place {
    pub(super) to: Affine,
    pub(super) within: Vec<BezPath>,
}

/// What laying needs besides the lattice.
#[derive(Clone, Copy)]
pub(super) struct Means<'a> {
    pub(super) name: &'a str,
    pub(super) budget: &'a Budget,
}

impl<'a> Art<'a> {
    /// Content of a pattern laid in every cell; `None` if nothing of it lies in a cell.
    pub(super) fn laid(self, lattice: &Lattice, means: Means) -> Result<Option<Art<'a>>, ArtworkError> {
        Ok(match self {
            Art::Flat(flat) => flat.area.laid(lattice, means)?.map(|area| Art::Flat(Flat { area, ..flat })),
            Art::Layer(layer) => layer.laid(lattice, means)?.map(Art::Layer),
            Art::Leaf(leaf) => leaf.laid(lattice, means)?.map(Art::Leaf),
        })
    }
}

impl Area {
    fn laid(&self, lattice: &Lattice, means: Means) -> Result<Option<Area>, ArtworkError> {
        let cell = lattice.cell;
        let Some(cut) = to_cell(&self.path, cell.width(), cell.height()) else { return Ok(None) };
        let path = lattice.copies(&cut, means.name, means.budget)?;
        Ok(Some(Area { path, ..*self }))
    }
}

impl<'a> Layer<'a> {
    fn laid(self, lattice: &Lattice, means: Means) -> Result<Option<Layer<'a>>, ArtworkError> {
        let mut clips = Vec::new();
        for clip in &self.clips {
            let mut areas = Vec::new();
            for area in clip {
                areas.extend(area.laid(lattice, means)?);
            }
            if areas.is_empty() {
                return Ok(None);
            }
            clips.push(areas);
        }
        let mut children = Vec::new();
        for child in self.children {
            children.extend(child.laid(lattice, means)?);
        }
        Ok((!children.is_empty()).then_some(Layer { clips, children, ..self }))
    }
}

impl<'a> Leaf<'a> {
    fn laid(self, lattice: &Lattice, means: Means) -> Result<Option<Leaf<'a>>, ArtworkError> {
        let cell = lattice.cell.with_origin((0.0, 0.0));
        let slack = 1e-5 * cell.width().min(cell.height());
        let mut kept = Vec::new();
        for place in self.places {
            let bounds = place.to.transform_rect_bbox(self.bounds);
            let outside = bounds.x1 <= 0.0 || bounds.y1 <= 0.0 || bounds.x0 >= cell.x1 || bounds.y0 >= cell.y1;
            let grown = cell.inflate(slack, slack);
            if !outside {
                kept.push((grown.union(bounds) == grown, place));
            }
        }
        spend(means.name, means.budget, self.cost.saturating_mul(kept.len()).saturating_mul(lattice.len()))?;
        let mut places = Vec::new();
        for (column, row) in lattice.cells() {
            let to = lattice.transform(column, row);
            for (whole, place) in &kept {
                let mut within: Vec<BezPath> = place.within.iter().map(|w| to * w.clone()).collect();
                if !whole {
                    within.push(lattice.outline(column, row));
                }
                places.push(Place { to: to * place.to, within });
            }
        }
        Ok((!places.is_empty()).then_some(Leaf { places, ..self }))
    }
}
