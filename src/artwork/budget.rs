//! What one file may still spend of the limits that add up over it, all its pieces together.
//!
//! Where a painter's budget ends the file is refused, so each of these is a limit with a name and a
//! setting. Where ink's budget ends the file is still taken, only more is taken for ink than is: a
//! copy that need not be there is laid, and no pixel changes. Such bounds are constants here.

use std::cell::Cell;

use crate::limits::Limits;

/// The stack a drawing is worked out on: 1 000 nested groups need 2 MiB.
pub(crate) const STACK_BYTES: usize = 32 << 20;
/// Pictures in a TIFF that are looked at for whether they are pages; with more, it has pages.
pub(crate) const TIFF_PAGES: usize = 16;
/// Pairs of elements of paths looked at to join the parts of a motif in a pattern; after that
/// parts stay as they are.
const TURNS: usize = 5_000_000;
/// Points that clips and masks are worked out with; a shape after that counts uncut.
const CUT_POINTS: usize = 20_000_000;
/// Sides of an outline that may cross; an outline with more is only bounded.
pub(crate) const CROSSINGS: u64 = 2_000_000;

/// The limits, and what is left.
pub(crate) struct Budget {
    pub(crate) limits: Limits,
    pub(crate) dashes: Cell<f64>,
    pub(crate) points: Cell<usize>,
    pub(crate) things: Cell<usize>,
    pub(crate) steps: Cell<usize>,
    pub(crate) excerpts: Cell<usize>,
    pub(crate) cells: Cell<usize>,
    pub(crate) elements: Cell<usize>,
    pub(crate) turns: Cell<usize>,
}

impl Budget {
    pub(crate) fn new(limits: Limits) -> Budget {
        Budget {
            limits,
            dashes: Cell::new(limits.dashes.most as f64),
            points: Cell::new(CUT_POINTS),
            things: Cell::new(limits.things.size()),
            steps: Cell::new(limits.all_steps.size()),
            excerpts: Cell::new(limits.excerpts.size()),
            cells: Cell::new(limits.pattern_cells.size()),
            elements: Cell::new(limits.pattern_elements.size()),
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
