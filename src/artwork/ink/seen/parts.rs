//! What is seen of a drawing, taken apart: shapes, their inks and clips, and what is no shape.

use std::sync::Arc;

use kurbo::{BezPath, Rect};

use super::super::Rule;

/// One shape of one ink.
#[derive(Clone, Debug)]
pub struct Painted {
    /// Closed contours, in pixels of the tree.
    pub path: BezPath,
    /// How they are filled.
    pub rule: Rule,
    /// What it is painted with.
    pub ink: InkName,
    /// It is seen only where all of these let it through.
    pub clips: Vec<Arc<Clip>>,
    /// Something under it shines through.
    pub translucent: bool,
}

/// What a shape is painted with.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum InkName {
    /// A color, sRGB.
    Color([u8; 3]),
    /// A gradient or a pattern, taken as one ink.
    Named(String),
}

/// What patterns are taken for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Patterns {
    /// One ink each, all over the area that is painted with it.
    Ink,
    /// The shapes that they show.
    Shapes,
}

/// An area that lets shapes through.
#[derive(Clone, Debug, Default)]
pub struct Clip {
    /// Laid one over another, in this order.
    pub parts: Vec<ClipPart>,
}

/// One shape of a clip.
#[derive(Clone, Debug)]
pub struct ClipPart {
    /// Closed contours, in pixels of the tree.
    pub path: BezPath,
    /// How they are filled.
    pub rule: Rule,
    /// It counts only within these.
    pub clips: Vec<Arc<Clip>>,
    /// Whether it lets through, or hides again what those before it let through.
    pub opens: bool,
}

/// Why something of a drawing is no shape.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum HindranceKind {
    /// A picture made of pixels.
    Picture,
    /// A blur, a shadow or another filter.
    Filter,
    /// A mask that lets things half through.
    SoftMask,
    /// More dashes than are worked out.
    Dashes,
}

/// Something of a drawing that is no shape.
#[derive(Clone, Debug, PartialEq)]
pub struct Hindrance {
    /// What it is.
    pub kind: HindranceKind,
    /// Its id in the drawing, if it has one.
    pub id: Option<String>,
    /// Where it lies, in pixels of the tree.
    pub at: Rect,
}

/// All that a drawing shows.
#[derive(Clone, Debug, Default)]
pub struct Seen {
    /// In painting order.
    pub shapes: Vec<Painted>,
    /// What is left out.
    pub hindrances: Vec<Hindrance>,
}
