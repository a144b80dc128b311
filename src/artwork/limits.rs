//! How much a stranger's file may ask for. Every bound has a name; the drawings people make
//! stay far below all of them. What adds up over a file is counted in its [`Budget`].

use std::cell::Cell;

/// Bytes of a file, and of what a compressed file unpacks to.
pub(crate) const FILE_BYTES: u64 = 64 << 20;
/// Bytes that the entities of a file may add to it.
pub(crate) const ENTITY_BYTES: usize = 4 << 20;
/// Elements and texts in a file.
pub(crate) const NODES: u32 = 1_000_000;
/// Elements inside one another in a file.
pub(crate) const DEPTH: usize = 256;
/// Groups inside one another once everything is resolved.
pub(crate) const TREE_DEPTH: usize = 512;
/// The stack a drawing is worked out on: 1 000 nested groups need 2 MiB.
pub(crate) const STACK_BYTES: usize = 32 << 20;
/// Pixels of an embedded image.
pub(crate) const IMAGE_PIXELS: u64 = 64_000_000;
/// Pixels of a picture that is a motif.
pub(crate) const PICTURE_PIXELS: u64 = 100_000_000;
/// Bytes of such a picture's file, and of its decoded samples.
pub(crate) const PICTURE_BYTES: u64 = 512 << 20;
/// Bytes of a color profile, or of any other field of a TIFF.
pub(crate) const PROFILE_BYTES: usize = 16 << 20;
/// Pictures in a TIFF that are looked at for whether they are pages.
pub(crate) const TIFF_PAGES: usize = 16;
/// Drawings embedded in drawings.
pub(crate) const NESTED_DRAWINGS: usize = 2;
/// Patterns inside patterns.
pub(crate) const PATTERN_DEPTH: usize = 3;
/// The side of a pattern's tile, in sides of the page.
pub(crate) const PATTERN_PAGES: f64 = 4.0;
/// Cells in which patterns are laid out.
pub(crate) const PATTERN_CELLS: usize = 250_000;
/// Elements of the paths that patterns are laid out as.
pub(crate) const PATTERN_ELEMENTS: usize = 1_000_000;
/// Pairs of elements of paths looked at to join the parts of a motif in a pattern; after that
/// parts stay as they are.
pub(crate) const TURNS: usize = 5_000_000;
/// Steps of one filter.
pub(crate) const FILTER_STEPS: usize = 64;
/// Steps of all filters of a drawing.
pub(crate) const ALL_FILTER_STEPS: usize = 2_000;
/// Octaves of a filter's noise.
pub(crate) const OCTAVES: u32 = 10;
/// The reach of a filter that thickens or thins, in sides of the page.
pub(crate) const MORPHOLOGY_PAGES: f64 = 0.05;
/// The side of a filter's matrix.
pub(crate) const MATRIX_SIDE: u32 = 15;
/// Dashes whose ink is followed; a line after that counts as whole.
pub(crate) const DASHES: f64 = 200_000.0;
/// Points that clips and masks are worked out with; a shape after that counts uncut.
pub(crate) const CUT_POINTS: usize = 20_000_000;
/// Sides of an outline that may cross; an outline with more is only bounded.
pub(crate) const CROSSINGS: u64 = 2_000_000;
/// Things painted, counted again each time a pattern, mask or clip is used.
pub(crate) const PAINTED: usize = 5_000_000;
/// Patterns, masks, clips and markers that lead to one another.
pub(crate) const LINKS: usize = 6;
/// A number that places or measures a filter, mask or pattern.
pub(crate) const EFFECT_NUMBER: f64 = 1e9;
/// Parts of markers, counted again at each point they may stand on.
pub(crate) const MARKER_PARTS: usize = 2_000_000;
/// Bytes of all objects of a page, each with what it refers to.
pub(crate) const EXCERPT_BYTES: usize = 256 << 20;

/// What one file may still spend, all its pieces together. Where ink's budget ends the file is
/// still taken, only more is taken for ink than is; where a painter's ends it is refused.
pub(crate) struct Budget {
    pub(crate) dashes: Cell<f64>,
    pub(crate) points: Cell<usize>,
    pub(crate) painted: Cell<usize>,
    pub(crate) steps: Cell<usize>,
    pub(crate) excerpts: Cell<usize>,
    pub(crate) cells: Cell<usize>,
    pub(crate) elements: Cell<usize>,
    pub(crate) turns: Cell<usize>,
}

impl Budget {
    pub(crate) fn new() -> Budget {
        Budget {
            dashes: Cell::new(DASHES),
            points: Cell::new(CUT_POINTS),
            painted: Cell::new(PAINTED),
            steps: Cell::new(ALL_FILTER_STEPS),
            excerpts: Cell::new(EXCERPT_BYTES),
            cells: Cell::new(PATTERN_CELLS),
            elements: Cell::new(PATTERN_ELEMENTS),
            turns: Cell::new(TURNS),
        }
    }

    /// Takes some of a budget; `false` if less is left.
    pub(crate) fn spend(from: &Cell<usize>, some: usize) -> bool {
        let left = from.get().checked_sub(some);
        from.set(left.unwrap_or(from.get()));
        left.is_some()
    }
}
