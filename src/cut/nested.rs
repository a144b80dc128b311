//! Which closed path lies closest around each path, without looking at all for each.
//!
//! Paths lie in grids, one for each doubling of size: each in the grid whose cells are just larger than it, so in four
//! cells at most. What lies around a point is in the one cell of each grid that holds the point. A path of many
//! segments is asked in slabs: only those at a point's height say whether it lies inside.

use std::cell::OnceCell;
use std::collections::{BTreeSet, HashMap};

use kurbo::{BezPath, PathSeg, Point, Rect, Shape as _};

use super::job::CutPath;
use super::route::start;

/// Paths of more segments are asked in slabs.
const MANY: usize = 32;

/// The least path around each, by the area of its bounds; of equal ones the first.
pub(super) fn around(paths: &[CutPath], bounds: &[Rect]) -> Vec<Option<usize>> {
    let mut by_size: Vec<usize> = (0..paths.len()).collect();
    by_size.sort_by(|a, b| bounds[*a].area().total_cmp(&bounds[*b].area()).then(a.cmp(b)));
    let mut grids = Grids::default();
    for (rank, index) in by_size.iter().enumerate().filter(|(_, index)| paths[**index].closed) {
        grids.add(rank, bounds[*index]);
    }
    let slabs: Vec<OnceCell<Slabs>> = paths.iter().map(|_| OnceCell::new()).collect();
    let mut around = vec![None; paths.len()];
    for (rank, &inner) in by_size.iter().enumerate() {
        let Some(at) = start(&paths[inner].path) else { continue };
        let holds = |rank: usize| {
            let outer = by_size[rank];
            let fits = bounds[outer].contains_rect(bounds[inner]);
            fits && slabs[outer].get_or_init(|| Slabs::of(&paths[outer].path, bounds[outer])).wind(at)
        };
        around[inner] = grids.first_after(rank, at, holds).map(|rank| by_size[rank]);
    }
    around
}

/// Paths by their size and place; in each cell in the order of size.
#[derive(Default)]
struct Grids {
    sizes: BTreeSet<i32>,
    cells: HashMap<(i32, [i64; 2]), Vec<usize>>,
}

impl Grids {
    #[allow(clippy::cast_possible_truncation, reason = "logarithms of lengths on the goods")]
    fn add(&mut self, rank: usize, bounds: Rect) {
        let size = bounds.width().max(bounds.height()).max(1.0).log2().ceil() as i32;
        self.sizes.insert(size);
        let [[x0, y0], [x1, y1]] = [bounds.origin(), Point::new(bounds.x1, bounds.y1)].map(|p| cell(size, p));
        for cell in (x0..=x1).flat_map(|x| (y0..=y1).map(move |y| [x, y])) {
            self.cells.entry((size, cell)).or_default().push(rank);
        }
    }

    /// The first path behind a rank whose cell holds a point and that `holds` says yes to.
    fn first_after(&self, rank: usize, at: Point, holds: impl Fn(usize) -> bool) -> Option<usize> {
        let mut best = usize::MAX;
        for size in &self.sizes {
            let Some(here) = self.cells.get(&(*size, cell(*size, at))) else { continue };
            let behind = here[here.partition_point(|other| *other <= rank)..].iter().copied();
            best = behind.take_while(|other| *other < best).find(|other| holds(*other)).unwrap_or(best);
        }
        (best < usize::MAX).then_some(best)
    }
}

#[allow(clippy::cast_possible_truncation, reason = "cells of the goods, far below 2^63")]
fn cell(size: i32, at: Point) -> [i64; 2] {
    [at.x, at.y].map(|n| (n / 2.0_f64.powi(size)).floor() as i64)
}

/// A path's segments by their height.
struct Slabs {
    top: f64,
    high: f64,
    slabs: Vec<BezPath>,
}

impl Slabs {
    fn of(path: &BezPath, bounds: Rect) -> Slabs {
        let segments: Vec<(PathSeg, Rect)> =
            path.segments().map(|s| (s, kurbo::ParamCurveExtrema::bounding_box(&s))).collect();
        let count = segments.len() as f64;
        if segments.len() <= MANY || bounds.height() <= 0.0 {
            return Slabs { top: bounds.y0, high: f64::INFINITY, slabs: vec![path.clone()] };
        }
        // So high that a segment lies in four of them on average, at most.
        let heights: f64 = segments.iter().map(|(_, at)| at.height()).sum();
        let high = (heights / (2.0 * count)).max(bounds.height() / count);
        let mut slabs = Slabs { top: bounds.y0, high, slabs: Vec::new() };
        slabs.slabs.resize(slabs.number(bounds.y1) + 1, BezPath::new());
        for (segment, at) in segments {
            for slab in slabs.number(at.y0)..=slabs.number(at.y1).min(slabs.slabs.len() - 1) {
                slabs.slabs[slab].extend(BezPath::from_path_segments(std::iter::once(segment)));
            }
        }
        slabs
    }

    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "from zero to the count of segments")]
    fn number(&self, y: f64) -> usize {
        ((y - self.top) / self.high).floor().max(0.0) as usize
    }

    /// Whether the path winds around a point within its bounds.
    fn wind(&self, at: Point) -> bool {
        self.slabs.get(self.number(at.y)).is_some_and(|slab| slab.winding(at) != 0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// As it was first written: all for each.
    fn by_looking_at_all(paths: &[CutPath], bounds: &[Rect]) -> Vec<Option<usize>> {
        let mut by_size: Vec<usize> = (0..paths.len()).collect();
        by_size.sort_by(|a, b| bounds[*a].area().total_cmp(&bounds[*b].area()).then(a.cmp(b)));
        let mut around = vec![None; paths.len()];
        for (rank, &inner) in by_size.iter().enumerate() {
            let Some(at) = start(&paths[inner].path) else { continue };
            around[inner] = by_size[rank + 1..].iter().copied().find(|&outer| {
                let fits = bounds[outer].contains_rect(bounds[inner]) && paths[outer].closed;
                fits && paths[outer].path.winding(at) != 0
            });
        }
        around
    }

    /// Stars of 6 to 300 points, open and closed, of sizes from 1 to 1 000, over and in one another.
    #[test]
    fn the_same_as_looking_at_all() {
        let mut seed = 7_u64;
        let mut below = |most: f64| {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (seed >> 40) as f64 / (1_u64 << 24) as f64 * most
        };
        let mut paths = Vec::new();
        for number in 0..400 {
            let (x, y, far) = (below(2000.0) - 500.0, below(2000.0) - 500.0, 1000.0_f64.powf(below(1.0)));
            let points = if number % 3 == 0 { 150 } else { 3 };
            let mut path = BezPath::new();
            for point in 0..2 * points {
                let (far, turn) =
                    (far * (0.4 + below(0.6)), f64::from(point) * std::f64::consts::PI / f64::from(points));
                let at = Point::new(x + far * turn.cos(), y + far * turn.sin());
                match point {
                    0 => path.move_to(at),
                    _ if point % 2 == 0 => path.quad_to(Point::new(x, y).lerp(at, 1.1), at),
                    _ => path.line_to(at),
                }
            }
            let closed = number % 7 > 0;
            if closed {
                path.close_path();
            }
            paths.push(CutPath { path, closed });
        }
        let bounds: Vec<Rect> = paths.iter().map(|path| path.path.bounding_box()).collect();
        let found = around(&paths, &bounds);
        assert_eq!(found, by_looking_at_all(&paths, &bounds));
        assert!(found.iter().flatten().count() > 200, "{found:?}");
    }
}
