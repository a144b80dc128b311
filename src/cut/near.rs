//! Which boxes meet, without looking at all pairs: by the cells of one grid that they touch.

use std::collections::HashMap;

use kurbo::Rect;

/// A box over more cells is looked at by all.
const MOST_CELLS: i64 = 64;

/// Boxes by the cells that they touch.
pub(super) struct Near<'a> {
    boxes: &'a [Rect],
    cell: f64,
    cells: HashMap<[i64; 2], Vec<usize>>,
    wide: Vec<usize>,
}

impl<'a> Near<'a> {
    /// Cells are as large as boxes are in the mean.
    pub fn of(boxes: &'a [Rect]) -> Near<'a> {
        let sides: f64 = boxes.iter().map(|b| b.width().max(b.height())).sum();
        let cell = (sides / boxes.len().max(1) as f64).max(1.0);
        let mut near = Near { boxes, cell, cells: HashMap::new(), wide: Vec::new() };
        for (number, one) in boxes.iter().enumerate() {
            match near.touched(one) {
                Some(cells) => cells.for_each(|cell| near.cells.entry(cell).or_default().push(number)),
                None => near.wide.push(number),
            }
        }
        near
    }

    /// The boxes behind one of them that touch it, in order.
    pub fn behind(&self, number: usize) -> Vec<usize> {
        let here = &self.boxes[number];
        let meets = |other: &usize| {
            let other = &self.boxes[*other];
            here.x0 <= other.x1 && other.x0 <= here.x1 && here.y0 <= other.y1 && other.y0 <= here.y1
        };
        let Some(cells) = self.touched(here) else { return (number + 1..self.boxes.len()).filter(meets).collect() };
        let after = |all: &[usize]| all.partition_point(|other| *other <= number);
        let mut found: Vec<usize> = self.wide[after(&self.wide)..].to_vec();
        for all in cells.filter_map(|cell| self.cells.get(&cell)) {
            found.extend_from_slice(&all[after(all)..]);
        }
        found.retain(meets);
        found.sort_unstable();
        found.dedup();
        found
    }

    #[allow(clippy::cast_possible_truncation, reason = "cells of the goods, far below 2^63")]
    fn touched(&self, one: &Rect) -> Option<impl Iterator<Item = [i64; 2]> + use<>> {
        let [x0, y0, x1, y1] = [one.x0, one.y0, one.x1, one.y1].map(|n| (n / self.cell).floor() as i64);
        let few = (x1 - x0 + 1).saturating_mul(y1 - y0 + 1) <= MOST_CELLS;
        few.then(|| (x0..=x1).flat_map(move |x| (y0..=y1).map(move |y| [x, y])))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_as_looking_at_all_pairs() {
        let mut seed = 11_u64;
        let mut below = |most: f64| {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (seed >> 40) as f64 / (1_u64 << 24) as f64 * most
        };
        let boxes: Vec<Rect> = (0..300)
            .map(|n| {
                let far = if n % 50 == 0 { 3_000.0 } else { 90.0 };
                let (x, y) = (below(2_000.0).round() - 700.0, below(2_000.0).round() - 700.0);
                Rect::new(x, y, x + below(far).round(), y + below(far).round())
            })
            .collect();
        let near = Near::of(&boxes);
        let mut pairs = 0;
        for (number, one) in boxes.iter().enumerate() {
            let meets =
                |other: &Rect| one.x0 <= other.x1 && other.x0 <= one.x1 && one.y0 <= other.y1 && other.y0 <= one.y1;
            let want: Vec<usize> = (number + 1..boxes.len()).filter(|other| meets(&boxes[*other])).collect();
            pairs += want.len();
            assert_eq!(near.behind(number), want, "box {number}");
        }
        assert!(pairs > 300, "{pairs}");
    }
}
