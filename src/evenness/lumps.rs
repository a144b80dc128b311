//! Lumps: places where ink lies thick, and where it lies thin, in windows that hold some motifs each.
//!
//! The window is a quarter of the block, or room for four motifs if the block has few; with fewer than nine
//! motifs a window says more of a motif than of how motifs lie.

use super::field::{Field, Steps};

/// How the coverage of windows differs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lumps {
    /// The side of a window.
    pub window: f64,
    /// The share of ink on the whole cloth.
    pub mean: f64,
    /// The barest window.
    pub least: Spread,
    /// The densest.
    pub most: Spread,
    /// Standard deviation over mean.
    pub spread: f64,
}

/// A window's share of ink.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// Its middle.
    pub middle: [f64; 2],
    /// The share.
    pub coverage: f64,
}

/// Motifs in a block below which nothing is said.
const FEWEST: f64 = 9.0;
/// Cells below which ink is a speck and no motif.
const SPECK: usize = 4;

/// The windows of a field; `None` with too few motifs.
pub(super) fn lumps(field: &Field, steps: Steps) -> Option<Lumps> {
    let (across, down) = (field.across(), field.down());
    let [w, h] = field.cell();
    let blocks = across as f64 * w * down as f64 * h / steps.area();
    let motifs = field.pieces().iter().filter(|size| **size >= SPECK).count() as f64 / blocks;
    if motifs < FEWEST {
        return None;
    }
    let window = (steps.area() * (4.0 / motifs).max(0.25)).sqrt();
    let cells = [(window / w).round() as usize, (window / h).round() as usize];
    if cells[0] >= across || cells[1] >= down || cells.contains(&0) {
        return None;
    }
    let sums = sums(field);
    let ink = |x: usize, y: usize| {
        let (right, bottom) = (x + cells[0], y + cells[1]);
        // In this order no sum is below zero on the way.
        sums.get(right, bottom) + sums.get(x, y) - sums.get(x, bottom) - sums.get(right, y)
    };
    let area = (cells[0] * cells[1]) as f64;
    let (mut least, mut most) = ((f64::INFINITY, 0), (f64::NEG_INFINITY, 0));
    let (mut sum, mut squares) = (0.0, 0.0);
    for at in 0..across * down {
        let coverage = ink(at % across, at / across) as f64 / area;
        sum += coverage;
        squares += coverage * coverage;
        if coverage < least.0 {
            least = (coverage, at);
        }
        if coverage > most.0 {
            most = (coverage, at);
        }
    }
    let count = (across * down) as f64;
    let mean = sum / count;
    let spread = (squares / count - mean * mean).max(0.0).sqrt() / mean;
    let place = |(coverage, at): (f64, usize)| {
        let corner = [(at % across) as f64 * w, (at / across) as f64 * h];
        let middle = [corner[0] + cells[0] as f64 * w / 2.0, corner[1] + cells[1] as f64 * h / 2.0];
        Spread { middle, coverage }
    };
    Some(Lumps { window, mean, least: place(least), most: place(most), spread })
}

/// Sums of ink from the upper left, over two turns of the torus each way.
struct Sums {
    side: usize,
    sums: Vec<u32>,
}

impl Sums {
    fn get(&self, x: usize, y: usize) -> u32 {
        self.sums[y * self.side + x]
    }
}

fn sums(field: &Field) -> Sums {
    let (across, down) = (field.across(), field.down());
    let side = 2 * across + 1;
    let mut sums = vec![0u32; side * (2 * down + 1)];
    for y in 0..2 * down {
        let mut row = 0;
        for x in 0..2 * across {
            row += u32::from(field.ink()[y % down * across + x % across]);
            sums[(y + 1) * side + x + 1] = sums[y * side + x + 1] + row;
        }
    }
    Sums { side, sums }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 36 squares of 8 × 8 in 120 × 120 cells; one may be taken away, one may be doubled.
    fn field(change: impl Fn(usize) -> usize) -> Field {
        let mut ink = vec![false; 120 * 120];
        for n in 0..36 {
            let [x, y] = [n % 6 * 20, n / 6 * 20];
            for cell in 0..change(n) * 64 {
                ink[(y + cell / 8 % 20) * 120 + x + cell % 8] = true;
            }
        }
        Field::new([120, 120], [1.0, 1.0], ink, vec![0.0; 120 * 120])
    }

    const STEPS: Steps = Steps { across: 120.0, shift: 0.0, down: 120.0 };

    #[test]
    fn even_motifs_have_no_lumps() {
        let found = lumps(&field(|_| 1), STEPS).unwrap();
        assert_eq!(found.window, 60.0);
        assert!((found.mean - 0.16).abs() < 1e-9 && found.spread < 1e-6, "{found:?}");
    }

    #[test]
    fn the_densest_and_the_barest_window_are_found() {
        let found = lumps(&field(|n| if n == 7 { 2 } else { usize::from(n != 28) }), STEPS).unwrap();
        // A window holds nine squares of 64 in 3 600 cells; one more, one fewer.
        assert!((found.most.coverage - 640.0 / 3600.0).abs() < 1e-9, "{found:?}");
        assert!((found.least.coverage - 512.0 / 3600.0).abs() < 1e-9, "{found:?}");
        assert!(found.spread > 0.01);
        let holds = |spread: Spread, point: [f64; 2]| {
            (0..2).all(|axis| (spread.middle[axis] - point[axis] + 60.0).rem_euclid(120.0) - 60.0 < 30.0)
        };
        assert!(holds(found.most, [24.0, 28.0]), "{found:?}");
    }

    #[test]
    fn few_motifs_say_nothing() {
        assert_eq!(lumps(&field(|n| usize::from(n < 8)), STEPS), None);
    }
}
