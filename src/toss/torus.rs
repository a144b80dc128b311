//! The ground that motifs are strewn on: a block whose edges meet as the layout steps and mirrors them.

use kurbo::Affine;

use super::{TossError, Vector, cross, dot};
use crate::repeat::shortest_steps;

/// A lattice's steps, and what else carries the cloth onto itself.
#[derive(Clone, Debug)]
pub struct Torus {
    /// Short steps, nearly square to each other.
    steps: [Vector; 2],
    area: f64,
    operators: Vec<Affine>,
    /// The steps as they were given, and the block that places are to lie in.
    block: Option<([Vector; 2], Vector)>,
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
        Ok(Torus { steps: shortest_steps(steps), area: area.abs(), operators, block: None })
    }

    /// With places written so that they lie in a block from 0 across and down, where the steps allow it.
    #[must_use]
    pub fn with_block(self, steps: [Vector; 2], block: Vector) -> Torus {
        Torus { block: Some((steps, block)), ..self }
    }

    /// The same point of the cloth in the block, if it has one there.
    pub(super) fn in_block(&self, p: Vector) -> Vector {
        let Some(([u, v], [width, height])) = self.block else { return p };
        let area = cross(u, v);
        let near = [(cross(p, v) / area).floor(), (cross(u, p) / area).floor()];
        for i in -3..=3 {
            for j in -3..=3 {
                let [a, b] = [near[0] + f64::from(i), near[1] + f64::from(j)];
                let q = [p[0] - a * u[0] - b * v[0], p[1] - a * u[1] - b * v[1]];
                if (0.0..width).contains(&q[0]) && (0.0..height).contains(&q[1]) {
                    return q;
                }
            }
        }
        [p[0] - near[0] * u[0] - near[1] * v[0], p[1] - near[0] * u[1] - near[1] * v[1]]
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
}
