//! The ground that motifs are strewn on: a block whose edges meet as the layout steps and mirrors them.

use kurbo::Affine;

use super::{TossError, Vector, cross, dot, minus};
use crate::repeat::shortest_steps;

/// A lattice's steps, and what else carries the cloth onto itself.
#[derive(Clone, Debug)]
pub struct Torus {
    /// Short steps, nearly square to each other.
    steps: [Vector; 2],
    area: f64,
    operators: Vec<Affine>,
    blocks: Option<Blocks>,
}

/// The blocks that places are written in.
#[derive(Clone, Debug)]
struct Blocks {
    /// The steps as they were given.
    steps: [Vector; 2],
    /// One block's width and height.
    size: Vector,
    /// Where the block of each kind of place lies; one at nothing where motifs don't alternate.
    kinds: Vec<Vector>,
}

impl Torus {
    /// From two steps and all operators, the identity among them. Operators keep lengths.
    ///
    /// # Errors
    /// Steps that lie on one line.
    pub fn new(steps: [Vector; 2], operators: &[Affine]) -> Result<Torus, TossError> {
        let area = cross(steps[0], steps[1]);
        if !(area.abs() > 0.0 && area.is_finite()) {
            return Err(TossError::NoBlock);
        }
        let rest = operators.iter().filter(|by| **by != Affine::IDENTITY).copied();
        let operators: Vec<Affine> = std::iter::once(Affine::IDENTITY).chain(rest).collect();
        Ok(Torus { steps: shortest_steps(steps), area: area.abs(), operators, blocks: None })
    }

    /// With places written so that they lie in a block from 0 across and down, where the steps allow it. Where motifs
    /// alternate, `kinds` says where the block of each kind of place lies.
    #[must_use]
    pub fn with_blocks(self, steps: [Vector; 2], size: Vector, kinds: Vec<Vector>) -> Torus {
        Torus { blocks: Some(Blocks { steps, size, kinds }), ..self }
    }

    /// The same point of the cloth in a block, if it has one there: which kind of place that is of, and where in it.
    pub(super) fn in_block(&self, p: Vector) -> (usize, Vector) {
        let Some(Blocks { steps: [u, v], size, kinds }) = &self.blocks else { return (0, p) };
        let area = cross(*u, *v);
        let mut first = None;
        for (kind, corner) in kinds.iter().enumerate() {
            let p = minus(p, *corner);
            let near = [(cross(p, *v) / area).floor(), (cross(*u, p) / area).floor()];
            let moved = |i: f64, j: f64| {
                let [a, b] = [near[0] + i, near[1] + j];
                [p[0] - a * u[0] - b * v[0], p[1] - a * u[1] - b * v[1]]
            };
            for (i, j) in (-3..=3).flat_map(|i| (-3..=3).map(move |j| (i, j))) {
                let q = moved(f64::from(i), f64::from(j));
                if (0.0..size[0]).contains(&q[0]) && (0.0..size[1]).contains(&q[1]) {
                    return (kind, q);
                }
            }
            first.get_or_insert((kind, moved(0.0, 0.0)));
        }
        first.unwrap_or((0, p))
    }

    /// Where the block of a kind of place lies.
    pub fn corner(&self, kind: usize) -> Vector {
        self.blocks.as_ref().and_then(|blocks| blocks.kinds.get(kind)).copied().unwrap_or_default()
    }

    /// The area that repeats by the steps alone.
    pub fn area(&self) -> f64 {
        self.area
    }

    /// The identity first.
    pub fn operators(&self) -> &[Affine] {
        &self.operators
    }

    /// Two short steps.
    pub(super) fn steps(&self) -> [Vector; 2] {
        self.steps
    }

    /// A point in shares of the steps.
    pub(super) fn shares(&self, p: Vector) -> Vector {
        let [u, v] = self.steps;
        let area = cross(u, v);
        [cross(p, v) / area, cross(u, p) / area]
    }

    /// The point with these shares of the steps.
    pub(super) fn point(&self, [a, b]: Vector) -> Vector {
        let [u, v] = self.steps;
        [a * u[0] + b * v[0], a * u[1] + b * v[1]]
    }

    /// How far around a point, in shares of the steps, a circle reaches.
    pub(super) fn reach(&self, radius: f64) -> Vector {
        let [u, v] = self.steps;
        [radius * dot(v, v).sqrt() / self.area, radius * dot(u, u).sqrt() / self.area]
    }

    /// The same point of the cloth between the steps' own edges.
    pub(super) fn home(&self, p: Vector) -> Vector {
        let [a, b] = self.shares(p);
        let [x, y] = self.point([a.floor(), b.floor()]);
        [p[0] - x, p[1] - y]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_reduced_and_shares_lead_back() {
        // A half-drop of 4 × 8, by its rows.
        let torus = Torus::new([[8.0, 0.0], [4.0, 4.0]], &[Affine::IDENTITY]).expect("a torus");
        assert_eq!(torus.area(), 32.0);
        let [u, v] = torus.steps();
        assert_eq!([dot(u, u), dot(v, v)], [32.0, 32.0]);
        let p = [13.0, -7.5];
        let back = torus.point(torus.shares(p));
        assert!((back[0] - p[0]).abs() < 1e-12 && (back[1] - p[1]).abs() < 1e-12);
        let shares = torus.shares(torus.home(p));
        assert!(shares.iter().all(|s| (0.0..1.0).contains(s)));
        assert!(Torus::new([[1.0, 2.0], [2.0, 4.0]], &[]).is_err());
    }

    /// Blocks of 4 × 8, every second column dropped by half and of another kind.
    #[test]
    fn points_come_into_the_block_of_their_kind_of_place() {
        let steps = [[8.0, 8.0], [0.0, 8.0]];
        let torus = Torus::new(steps, &[]).expect("a torus").with_blocks(steps, [4.0, 8.0], vec![[0.0; 2], [4.0, 4.0]]);
        for (p, kind, at) in [
            ([1.0, 2.0], 0, [1.0, 2.0]),
            ([9.0, 2.0], 0, [1.0, 2.0]),
            ([5.0, 5.0], 1, [1.0, 1.0]),
            ([5.0, 2.0], 1, [1.0, 6.0]),
            ([-1.0, -1.0], 1, [3.0, 3.0]),
        ] {
            assert_eq!(torus.in_block(p), (kind, at), "{p:?}");
        }
        assert_eq!([torus.corner(0), torus.corner(1)], [[0.0; 2], [4.0, 4.0]]);
    }
}
