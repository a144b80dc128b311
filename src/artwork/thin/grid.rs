//! The sides of contours in square cells, so that a short ray asks only those near it.

#![allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "numbers of cells, cut to the grid")]

use std::cell::Cell;

use kurbo::{Point, Vec2};

use super::{Contours, sides, spend};

/// Cells across or down, at most.
const MOST_CELLS: f64 = 2_048.0;

/// Sides by the cells that they run through.
pub(super) struct Grid {
    corner: Point,
    cell: f64,
    across: usize,
    down: usize,
    /// Where each cell's sides begin in `members`.
    starts: Vec<u32>,
    members: Vec<u32>,
    sides: Vec<(Point, Point)>,
}

/// What a ray meets first.
#[derive(Clone, Copy, Debug)]
pub(super) struct Hit {
    pub(super) distance: f64,
    /// The direction of the side that is met, of length one.
    pub(super) along: Vec2,
}

impl Grid {
    /// Of all sides, for rays as long as `reach`; `None` if that is more than is left.
    pub(super) fn new(contours: &Contours, reach: f64, left: &Cell<u64>) -> Option<Grid> {
        let sides: Vec<(Point, Point)> = contours.iter().flat_map(|c| sides(c)).filter(|(a, b)| a != b).collect();
        let (mut low, mut high) = (Point::new(f64::MAX, f64::MAX), Point::new(f64::MIN, f64::MIN));
        for (a, _) in &sides {
            low = Point::new(low.x.min(a.x), low.y.min(a.y));
            high = Point::new(high.x.max(a.x), high.y.max(a.y));
        }
        let extent = if sides.is_empty() { Vec2::ZERO } else { high - low };
        // As many cells as sides, or fewer.
        let even = (extent.x * extent.y / sides.len().max(1) as f64).sqrt();
        let cell = even.max(reach).max(extent.x.max(extent.y) / MOST_CELLS);
        if !(cell.is_finite() && cell > 0.0) {
            return None;
        }
        let [across, down] = [extent.x, extent.y].map(|length| (length / cell) as usize + 1);
        let mut grid =
            Grid { corner: low, cell, across, down, starts: vec![0; across * down + 1], members: vec![], sides };
        let mut places: Vec<(u32, u32)> = Vec::new();
        for (index, (a, b)) in grid.sides.iter().enumerate() {
            let index = u32::try_from(index).ok()?;
            spend(left, 1 + grid.cells(*a, *b, |cell| places.push((cell, index))))?;
        }
        for (cell, _) in &places {
            grid.starts[*cell as usize + 1] += 1;
        }
        for n in 1..grid.starts.len() {
            grid.starts[n] += grid.starts[n - 1];
        }
        let mut next = grid.starts.clone();
        grid.members = vec![0; places.len()];
        for (cell, index) in places {
            let place = &mut next[cell as usize];
            grid.members[*place as usize] = index;
            *place += 1;
        }
        Some(grid)
    }

    /// The cells that a line runs through, row by row; how many.
    fn cells(&self, a: Point, b: Point, mut take: impl FnMut(u32)) -> u64 {
        let (top, bottom) = if a.y <= b.y { (a, b) } else { (b, a) };
        let [first, last] = [top.y, bottom.y].map(|y| self.index(y - self.corner.y, self.down));
        let at = |y: f64| top.x + (bottom.x - top.x) * ((y - top.y) / (bottom.y - top.y));
        let mut count = 0;
        for row in first..=last {
            let edge = self.corner.y + row as f64 * self.cell;
            let enters = if row == first { top.x } else { at(edge) };
            let leaves = if row == last { bottom.x } else { at(edge + self.cell) };
            let [from, to] =
                [enters.min(leaves), enters.max(leaves)].map(|x| self.index(x - self.corner.x, self.across));
            for column in from..=to {
                take(u32::try_from(row * self.across + column).unwrap_or(u32::MAX));
                count += 1;
            }
        }
        count
    }

    fn index(&self, along: f64, count: usize) -> usize {
        ((along / self.cell).max(0.0) as usize).min(count - 1)
    }

    /// The first side that a ray meets within `reach`, but for the one that it begins on; `None` outside if
    /// that is more to look at than is left.
    pub(super) fn hit(&self, from: Point, towards: Vec2, reach: f64, left: &Cell<u64>) -> Option<Option<Hit>> {
        let to = from + towards * reach;
        let [x0, x1] = [from.x.min(to.x), from.x.max(to.x)].map(|x| self.index(x - self.corner.x, self.across));
        let [y0, y1] = [from.y.min(to.y), from.y.max(to.y)].map(|y| self.index(y - self.corner.y, self.down));
        let mut nearest: Option<Hit> = None;
        for row in y0..=y1 {
            let cells = row * self.across;
            let members = self.starts[cells + x0] as usize..self.starts[cells + x1 + 1] as usize;
            spend(left, 1 + members.len() as u64)?;
            for side in &self.members[members] {
                let (a, b) = self.sides[*side as usize];
                let along = b - a;
                let turn = towards.cross(along);
                if turn == 0.0 {
                    continue;
                }
                let distance = (a - from).cross(along) / turn;
                let share = (a - from).cross(towards) / turn;
                let meets = (0.0..=1.0).contains(&share) && distance > 1e-9 * reach && distance <= reach;
                if meets && nearest.is_none_or(|hit| distance < hit.distance) {
                    nearest = Some(Hit { distance, along: along / along.hypot() });
                }
            }
        }
        Some(nearest)
    }
}
