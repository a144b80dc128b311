//! The plan that every exporter reads: which copies lie on the tile, and exactly where.
//!
//! ```text
//!        ┌──────────────┐
//!     (A)│)           (A│)      one placement that hangs over the edge
//!        │              │       is one mark and two copies: the second
//!        │      B       │       is a whole lattice step away
//!        └──────────────┘
//! ```
//!
//! A [`Mark`] is a placement under one operator of the symmetry; a [`Copy`] is a mark and a
//! lattice step. Copies come in painting order: layer, placement, operator, then lattice
//! order. That order is the same wherever the window lies, so two overlapping copies
//! overlap the same way at every join.

use kurbo::{Affine, Rect, Vec2};

use crate::artwork::Motif;
use crate::repeat::{Lattice, Linear, Operator, Repeat, Spot, Tile};

/// How far inside the tile ink must reach to count, in units: less would cover under half
/// a level of one pixel's 255.
const SLACK: f64 = 1.0 / 512.0;

/// A placement carried by one operator; its copies are lattice steps away.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mark {
    /// Which placement of the repeat.
    pub placement: usize,
    /// Which motif of the design.
    pub motif: usize,
    /// From motif coordinates about the page's middle to units, before `by`.
    pub linear: Linear,
    /// Where the page's middle lies, before `by`.
    pub at: Spot,
    /// The operator that then carries it.
    pub by: Operator,
}

impl Mark {
    /// Where the page's middle comes to lie.
    pub fn spot(&self) -> Spot {
        self.by.carry_spot(self.at)
    }

    /// From the motif's own coordinates to units, a lattice step on.
    pub fn to_units(&self, motif: &Motif, step: [i64; 2]) -> Affine {
        let middle = motif.middle();
        let [xx, yx, xy, yy] = self.by.after(self.linear);
        let [x, y] = self.spot().moved(step).units();
        Affine::translate(Vec2::new(x, y)) * Affine::new([xx, yx, xy, yy, 0.0, 0.0]) * Affine::translate(-middle)
    }
}

/// One motif on the tile.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Copy {
    /// Which mark.
    pub mark: usize,
    /// The exact lattice step from it, in units.
    pub step: [i64; 2],
}

/// Every whole copy whose ink reaches the tile.
#[derive(Clone, Debug)]
pub struct Copies {
    tile: Tile,
    lattice: Lattice,
    one_way: bool,
    ground: Option<[u8; 3]>,
    window: [i64; 4],
    marks: Vec<Mark>,
    copies: Vec<Copy>,
}

impl Copies {
    /// Decides the copies of a repeat. `motifs` are those that its placements count.
    pub fn plan(repeat: &Repeat, motifs: &[Motif]) -> Copies {
        Copies::plan_window(repeat, motifs, [0, 0, repeat.tile.width, repeat.tile.height])
    }

    /// The same for another window on the cloth than the tile: left, top, right and bottom in units. A tile with its
    /// bleed, or a piece of goods.
    pub fn plan_window(repeat: &Repeat, motifs: &[Motif], window: [i64; 4]) -> Copies {
        let mut order: Vec<usize> = (0..repeat.placements.len()).collect();
        order.sort_by_key(|&i| (repeat.placements[i].layer, i));
        let mut marks = Vec::new();
        let mut copies = Vec::new();
        for placement in order {
            let p = &repeat.placements[placement];
            for turn in &repeat.turns {
                for &by in &repeat.symmetry {
                    let (linear, at) = (turn.after(p.linear), turn.carry(p.at));
                    let mark = Mark { placement, motif: p.motif, linear, at, by };
                    let steps = reach(&mark, &motifs[p.motif], repeat, window);
                    copies.extend(steps.into_iter().map(|step| Copy { mark: marks.len(), step }));
                    marks.push(mark);
                }
            }
        }
        let Repeat { tile, lattice, one_way, ground, .. } = *repeat;
        Copies { tile, lattice, one_way, ground, window, marks, copies }
    }

    /// The tile they lie on.
    pub fn tile(&self) -> Tile {
        self.tile
    }

    /// What the copies reach: the tile, or the window that was asked for.
    pub fn window(&self) -> [i64; 4] {
        self.window
    }

    /// The steps between copies of one mark.
    pub fn lattice(&self) -> Lattice {
        self.lattice
    }

    /// All steps that bring a box into touch with a window, in lattice order; a border's lie across.
    pub fn steps_into(&self, bounds: [f64; 4], window: [i64; 4]) -> Vec<[i64; 2]> {
        steps_into(self.lattice, self.one_way, bounds, window)
    }

    /// Whether it is a border, which has no neighbor above or below.
    pub fn is_border(&self) -> bool {
        self.one_way
    }

    /// The background, sRGB.
    pub fn ground(&self) -> Option<[u8; 3]> {
        self.ground
    }

    /// One for each placement and operator, in painting order.
    pub fn marks(&self) -> &[Mark] {
        &self.marks
    }

    /// In painting order.
    pub fn copies(&self) -> &[Copy] {
        &self.copies
    }
}

/// The steps that bring a mark's ink into the window, in lattice order.
fn reach(mark: &Mark, motif: &Motif, repeat: &Repeat, window: [i64; 4]) -> Vec<[i64; 2]> {
    let home = mark.to_units(motif, [0, 0]);
    let Some(ink) = motif.ink().bounds(home) else { return Vec::new() };
    let [left, top, right, bottom] = window.map(|n| n as f64);
    let seen = Rect::new(left, top, right, bottom).inset(-SLACK);
    let mut steps = steps_into(repeat.lattice, repeat.one_way, [ink.x0, ink.y0, ink.x1, ink.y1], window);
    steps.retain(|&[x, y]| {
        let by = Vec2::new(x as f64, y as f64);
        let there = ink + by;
        seen.contains_rect(there) || motif.ink().touches(home, seen - by)
    });
    steps
}

fn steps_into(lattice: Lattice, one_way: bool, bounds: [f64; 4], window: [i64; 4]) -> Vec<[i64; 2]> {
    let mut steps = lattice.steps_into(bounds, window);
    steps.retain(|step| !one_way || step[1] == 0);
    steps
}
