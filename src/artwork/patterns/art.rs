//! What is painted once patterns are laid out: flat outlines, layers around them, and what
//! can only be repeated whole.
//!
//! Content that is one flat color becomes *one* outline with a copy in every cell: copies
//! that abut are painted together, so no hairline shows between them. Since each copy is cut to
//! its cell, painting all copies of the first thing before all copies of the second is the
//! same as painting cell after cell. Gradients, images, masks and filters stay what they are, and are
//! laid cell by cell.

use kurbo::{Affine, BezPath, Rect, Shape as _};
use usvg::{BlendMode, Color};

use super::super::budget::Budget;
use super::super::error::ArtworkError;
use super::super::ink::Rule;
use super::cut::to_cell;
use super::join;
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
    /// A rectangle without anything see-through.
    pub(super) solid: bool,
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

/// Content of a pattern laid in every cell: cut to the cell, joined where it is one thing,
/// and copied.
pub(super) fn laid<'a>(content: Vec<Art<'a>>, lattice: &Lattice, means: Means) -> Result<Vec<Art<'a>>, ArtworkError> {
    let cell = lattice.cell.with_origin((0.0, 0.0));
    let cut = content.into_iter().filter_map(|art| art.cut(cell)).collect();
    join::joined(cut, means.budget).into_iter().map(|art| art.copied(lattice, means)).collect()
}

impl<'a> Art<'a> {
    /// The part in the cell, if there is any.
    fn cut(self, cell: Rect) -> Option<Art<'a>> {
        match self {
            Art::Flat(flat) => flat.area.cut(cell).map(|area| Art::Flat(Flat { area, ..flat })),
            Art::Layer(layer) => {
                let mut clips = Vec::new();
                for clip in &layer.clips {
                    let areas: Vec<Area> = clip.iter().filter_map(|area| area.cut(cell)).collect();
                    if areas.is_empty() {
                        return None;
                    }
                    clips.push(areas);
                }
                let children: Vec<_> = layer.children.into_iter().filter_map(|art| art.cut(cell)).collect();
                (!children.is_empty()).then_some(Art::Layer(Layer { clips, children, ..layer }))
            }
            Art::Leaf(leaf) => leaf.cut(cell).map(Art::Leaf),
        }
    }

    fn copied(self, lattice: &Lattice, means: Means) -> Result<Art<'a>, ArtworkError> {
        Ok(match self {
            Art::Flat(flat) => Art::Flat(Flat { area: flat.area.copied(lattice, means)?, ..flat }),
            Art::Layer(layer) => {
                let copied = |clip: &Vec<Area>| clip.iter().map(|area| area.copied(lattice, means)).collect();
                let clips = layer.clips.iter().map(copied).collect::<Result<_, _>>()?;
                let children = layer.children.into_iter().map(|art| art.copied(lattice, means));
                Art::Layer(Layer { clips, children: children.collect::<Result<_, _>>()?, ..layer })
            }
            Art::Leaf(leaf) => Art::Leaf(leaf.copied(lattice, means)?),
        })
    }
}

impl Area {
    fn cut(&self, cell: Rect) -> Option<Area> {
        to_cell(&self.path, cell.width(), cell.height()).map(|path| Area { path, ..*self })
    }

    fn copied(&self, lattice: &Lattice, means: Means) -> Result<Area, ArtworkError> {
        Ok(Area { path: lattice.copies(&self.path, means.name, means.budget)?, ..*self })
    }
}

impl<'a> Leaf<'a> {
    fn cut(self, cell: Rect) -> Option<Leaf<'a>> {
        let slack = 1e-5 * cell.width().min(cell.height());
        let mut places = Vec::new();
        for mut place in self.places {
            let bounds = place.to.transform_rect_bbox(self.bounds);
            if bounds.x1 <= 0.0 || bounds.y1 <= 0.0 || bounds.x0 >= cell.x1 || bounds.y0 >= cell.y1 {
                continue;
            }
            let grown = cell.inflate(slack, slack);
            let bleed = if self.solid { bleed(bounds, cell, slack) } else { None };
            if bleed.is_some() || grown.union(bounds) != grown {
                place.within.push(cell.to_path(0.1));
            }
            if let Some(bleed) = bleed {
                places.push(Place { to: bleed * place.to, within: place.within.clone() });
            }
            places.push(place);
        }
        (!places.is_empty()).then_some(Leaf { places, ..self })
    }

    fn copied(self, lattice: &Lattice, means: Means) -> Result<Leaf<'a>, ArtworkError> {
        let copies = self.places.len().saturating_mul(lattice.len());
        spend(means.name, means.budget, self.cost.saturating_mul(copies))?;
        let mut places = Vec::with_capacity(copies);
        for (column, row) in lattice.cells() {
            let to = lattice.transform(column, row);
            for place in &self.places {
                let within = place.within.iter().map(|w| lattice.copy(w, column, row)).collect();
                places.push(Place { to: to * place.to, within });
            }
        }
        Ok(Leaf { places, ..self })
    }
}

/// What ends exactly on the cell's edge would let the ground through there, where two soft
/// edges meet. A copy of it that is a little larger on those sides is laid under it, and both
/// are cut to the cell.
fn bleed(bounds: Rect, cell: Rect, slack: f64) -> Option<Affine> {
    const PART: f64 = 0.05;
    let touches = |a: f64, b: f64| (a - b).abs() <= slack;
    let over = |touches, side: f64| if touches { side * PART } else { 0.0 };
    let grown = Rect::new(
        bounds.x0 - over(touches(bounds.x0, cell.x0), cell.width()),
        bounds.y0 - over(touches(bounds.y0, cell.y0), cell.height()),
        bounds.x1 + over(touches(bounds.x1, cell.x1), cell.width()),
        bounds.y1 + over(touches(bounds.y1, cell.y1), cell.height()),
    );
    let scale = Affine::scale_non_uniform(grown.width() / bounds.width(), grown.height() / bounds.height());
    let to = Affine::translate(grown.origin().to_vec2()) * scale * Affine::translate(-bounds.origin().to_vec2());
    (grown != bounds && to.is_finite()).then_some(to)
}
