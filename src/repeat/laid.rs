//! Each layout as a scheme: its steps, operators and kinds of place.

use super::scheme::{Scheme, Shape};
use super::share::{HALF, ONE, Share, Step, TWO, ZERO};
use super::{Alternate, Layout};

/// Once at the corners, once in the middle.
pub(super) const CENTERED: [Step; 2] = [[HALF, HALF], [ZERO, ONE]];
/// The same places, by rows: (a, 0) and (a/2, a√3/2).
pub(super) const HEXAGONAL: [Step; 2] = [[ONE, ZERO], [HALF, HALF]];

impl Layout {
    /// The layout as lattice, symmetry and kinds of place.
    pub fn scheme(self) -> Scheme {
        let plain = Scheme::plain;
        let with = |steps, more: &[Share]| {
            let operators = [&[Share::IDENTITY], more].concat();
            Scheme { operators, ..plain(steps) }
        };
        let alternate = |alternate| {
            let mut scheme = Layout::Straight.scheme();
            scheme.alternate(alternate);
            scheme
        };
        let (half_turn, mirror) = ([[-1, 0], [0, -1]], [[-1, 0], [0, 1]]);
        let pairs = [[TWO, ZERO], [ZERO, ONE]];
        match self {
            Layout::Straight => plain([[ONE, ZERO], [ZERO, ONE]]),
            Layout::Drop(f) => plain([[ONE, (f.num, f.den)], [ZERO, ONE]]),
            Layout::Brick(f) => plain([[ONE, ZERO], [(f.num, f.den), ONE]]),
            Layout::Mirror { across, down } => {
                let mut more = Vec::new();
                if across {
                    more.push(Share { m: mirror, t: [TWO, ZERO] });
                }
                if down {
                    more.push(Share { m: [[1, 0], [0, -1]], t: [ZERO, TWO] });
                }
                if across && down {
                    more.push(Share { m: half_turn, t: [TWO, TWO] });
                }
                let side = |doubled| if doubled { TWO } else { ONE };
                with([[side(across), ZERO], [ZERO, side(down)]], &more)
            }
            Layout::MirrorDrop => with(pairs, &[Share { m: mirror, t: [TWO, HALF] }]),
            Layout::Turn { drop } => with(pairs, &[Share { m: half_turn, t: [TWO, if drop { (3, 2) } else { ONE }] }]),
            Layout::Pinwheel => {
                let quarters = [
                    Share { m: [[0, -1], [1, 0]], t: [TWO, ZERO] },
                    Share { m: half_turn, t: [TWO, TWO] },
                    Share { m: [[0, 1], [-1, 0]], t: [ZERO, TWO] },
                ];
                Scheme { shape: Shape::Square, ..with([[TWO, ZERO], [ZERO, TWO]], &quarters) }
            }
            Layout::Ogee | Layout::Diamond => plain(CENTERED),
            Layout::Hexagonal => Scheme { shape: Shape::Hexagonal, ..plain(HEXAGONAL) },
            Layout::Satin { ends, step } => plain([[(1, ends), (step, ends)], [ZERO, ONE]]),
            Layout::Stripes(n) => alternate(Alternate::Columns(n)),
            Layout::Rows(n) => alternate(Alternate::Rows(n)),
            Layout::Checker(n) => alternate(Alternate::Checker(n)),
            Layout::Border => Scheme { one_way: true, ..Layout::Straight.scheme() },
        }
    }
}
