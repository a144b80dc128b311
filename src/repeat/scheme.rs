//! A layout in shares of the block: lattice, symmetry and kinds of place, before there are units.

use super::groups::Cell;
use super::laid::{CENTERED, HEXAGONAL};
use super::share::{ONE, Share, Step, ZERO, lcm, plus, share, times, units, upright};
use super::symmetry::Symmetry;
use super::{Alternate, Lattice, Layout, Operator, Turn};

/// What the block's sides must be to each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shape {
    /// Anything.
    Any,
    /// The same.
    Square,
    /// The height √3 times the width, as nearly as pixels allow.
    Hexagonal,
}

/// Why layout, symmetry and alternation don't go together.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SchemeError {
    /// The group has a lattice of its own.
    #[error("{symmetry} brings its own steps and can't be laid out as {layout}; leave the layout out")]
    OwnSteps {
        /// The group.
        symmetry: String,
        /// The layout.
        layout: String,
    },
    /// The layout mirrors or turns already.
    #[error("{layout} mirrors or turns already and takes no {symmetry} besides; leave one of them out")]
    Twice {
        /// The group.
        symmetry: String,
        /// The layout.
        layout: String,
    },
    /// A border has a frieze group.
    #[error("a border can't have {0}; write one of the seven that it can: p1, p211, p1m1, p11m, p11g, p2mm or p2mg")]
    NoFrieze(String),
    /// A border with rows.
    #[error("a border has one row, and motifs can't alternate by {0}; write columns")]
    NoRows(Alternate),
    /// Kinds of place where places are mirrored or turned.
    #[error("motifs alternate where blocks only step; {0} mirrors or turns them: give each motif its place by hand")]
    NoPlaces(String),
}

/// A layout in shares of the block, before there are units.
#[derive(Clone, Debug)]
pub struct Scheme {
    pub(super) steps: [Step; 2],
    pub(super) operators: Vec<Share>,
    pub(super) thirds: bool,
    pub(super) places: Vec<Step>,
    pub(super) shape: Shape,
    pub(super) one_way: bool,
}

impl Scheme {
    /// What a layout, a symmetry and an alternation come to.
    ///
    /// # Errors
    /// Where they exclude each other.
    pub fn new(
        layout: Option<Layout>,
        symmetry: Option<Symmetry>,
        alternate: Option<Alternate>,
    ) -> Result<Scheme, SchemeError> {
        let mut scheme = match (layout, symmetry) {
            (layout, None) => layout.unwrap_or(Layout::Straight).scheme(),
            (None, Some(symmetry)) => Scheme::of_group(symmetry),
            (Some(layout), Some(symmetry)) => Scheme::of_both(layout, symmetry)?,
        };
        if let Some(alternate) = alternate {
            if scheme.has_symmetry() || scheme.places.len() > 1 {
                let name = symmetry.map(|s| s.to_string()).or(layout.map(|l| l.to_string()));
                return Err(SchemeError::NoPlaces(name.unwrap_or_default()));
            }
            if scheme.one_way && !matches!(alternate, Alternate::Columns(_)) {
                return Err(SchemeError::NoRows(alternate));
            }
            scheme.alternate(alternate);
        }
        Ok(scheme)
    }

    pub(super) fn plain(steps: [Step; 2]) -> Scheme {
        let (operators, places) = (vec![Share::IDENTITY], vec![[ZERO, ZERO]]);
        Scheme { steps, operators, thirds: false, places, shape: Shape::Any, one_way: false }
    }

    /// A group's own lattice and operators on its conventional cell.
    fn of_group(symmetry: Symmetry) -> Scheme {
        let straight = [[ONE, ZERO], [ZERO, ONE]];
        let mut scheme = Scheme::plain(match symmetry.cell() {
            Cell::Oblique | Cell::Rectangular | Cell::Square => straight,
            Cell::Centered => CENTERED,
            Cell::Hexagonal => HEXAGONAL,
        });
        match symmetry.cell() {
            Cell::Square => scheme.shape = Shape::Square,
            Cell::Hexagonal => (scheme.shape, scheme.thirds) = (Shape::Hexagonal, true),
            _ => {}
        }
        scheme.operators = match symmetry.cell() {
            Cell::Hexagonal => symmetry.operators().filter_map(upright).collect(),
            _ => symmetry.operators().map(share).collect(),
        };
        scheme
    }

    /// A symmetry on the lattice of a layout, where that is left as it is by it.
    fn of_both(layout: Layout, symmetry: Symmetry) -> Result<Scheme, SchemeError> {
        let mut scheme = layout.scheme();
        let names = (symmetry.to_string(), layout.to_string());
        if scheme.operators.len() > 1 {
            return Err(SchemeError::Twice { symmetry: names.0, layout: names.1 });
        }
        if scheme.places.len() > 1 {
            return Err(SchemeError::NoPlaces(names.0));
        }
        let fits = match (layout, symmetry.cell()) {
            (Layout::Border, _) if symmetry.frieze().is_none() => return Err(SchemeError::NoFrieze(names.0)),
            (_, Cell::Oblique) | (Layout::Border | Layout::Straight, Cell::Rectangular | Cell::Square) => true,
            (Layout::Ogee | Layout::Diamond, Cell::Centered) | (Layout::Hexagonal, Cell::Hexagonal) => true,
            (_, _) => false,
        };
        if !fits {
            return Err(SchemeError::OwnSteps { symmetry: names.0, layout: names.1 });
        }
        let group = Scheme::of_group(symmetry);
        scheme.operators = group.operators;
        scheme.thirds = group.thirds;
        if group.shape != Shape::Any {
            scheme.shape = group.shape;
        }
        Ok(scheme)
    }

    /// Tells steps apart, so that only every so many are alike.
    pub(super) fn alternate(&mut self, alternate: Alternate) {
        let [u, v] = self.steps;
        let (n, steps, next) = match alternate {
            Alternate::Columns(n) => (n, [times(u, n), v], u),
            Alternate::Rows(n) => (n, [u, times(v, n)], v),
            Alternate::Checker(n) => (n, [plus(u, times(v, -1)), times(v, n)], v),
        };
        self.places = (0..n).map(|k| times(next, k)).collect();
        self.steps = steps;
    }

    /// Blocks across and down the smallest upright tile.
    pub fn tile_blocks(&self) -> [i64; 2] {
        // On a grid so fine that every step is whole.
        let fine = self.fine();
        let whole = self.steps.map(|step| [0, 1].map(|axis| step[axis].0 * (fine[axis] / step[axis].1)));
        let Some(lattice) = Lattice::from_steps(whole) else { return [1, 1] };
        let upright = [lattice.across(), lattice.straight_down()];
        [0, 1].map(|axis| lcm(upright[axis], fine[axis]) / fine[axis])
    }

    fn fine(&self) -> [i64; 2] {
        [0, 1].map(|axis| self.steps.iter().map(|step| step[axis].1).fold(1, lcm))
    }

    /// What a tile of so many blocks must be a multiple of, in units, so that every step,
    /// every place and every mirror line is whole.
    pub fn multiples(&self, blocks: [i64; 2]) -> [i64; 2] {
        let fine = self.fine();
        [0, 1].map(|axis| {
            let shifts = self.operators.iter().map(|operator| operator.t[axis].1);
            let places = self.places.iter().map(|place| place[axis].1);
            blocks[axis] * shifts.chain(places).fold(fine[axis], lcm)
        })
    }

    /// What the block's sides must be to each other.
    pub fn shape(&self) -> Shape {
        self.shape
    }

    /// Whether it is repeated across only.
    pub fn one_way(&self) -> bool {
        self.one_way
    }

    /// Whether one block printed straight is all of it.
    pub fn is_straight(&self) -> bool {
        self.tile_blocks() == [1, 1] && self.steps == [[ONE, ZERO], [ZERO, ONE]]
    }

    /// Whether anything is mirrored or turned.
    pub fn has_symmetry(&self) -> bool {
        self.operators.len() > 1 || self.thirds
    }

    /// How many kinds of place motifs alternate in; one where they don't.
    pub fn places(&self) -> usize {
        self.places.len()
    }

    /// The lattice of a block of whole units; `None` where a step would not be whole.
    pub fn lattice(&self, block: [i64; 2]) -> Option<Lattice> {
        let [u, v] = self.steps.map(|step| units(step, block));
        Lattice::from_steps([u?, v?])
    }

    /// The operators of a block of whole units; `None` where a shift would not be whole, or where a
    /// quarter turn would not carry the block onto itself.
    pub fn symmetry(&self, block: [i64; 2]) -> Option<Vec<Operator>> {
        if self.shape == Shape::Square && block[0] != block[1] {
            return None;
        }
        self.operators.iter().map(|s| Some(Operator { m: s.m, t: units(s.t, block)? })).collect()
    }

    /// The turns that come before the operators.
    pub fn turns(&self, block: [i64; 2]) -> Vec<Turn> {
        if self.thirds { Turn::thirds(block) } else { vec![Turn::NONE] }
    }

    /// Where each kind of place lies, from the first, on a block of whole units.
    pub fn offsets(&self, block: [i64; 2]) -> Option<Vec<[i64; 2]>> {
        self.places.iter().map(|place| units(*place, block)).collect()
    }
}
