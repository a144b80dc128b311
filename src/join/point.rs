//! Points of a tile that can be found again elsewhere in it: corners, each with the pixels around it.

use super::image::{Image, Side};
use super::witness::OFF;

/// Pixels around a point that are compared.
pub(super) const PATCH: i64 = 3;
/// Points that are taken on each side.
const POINTS: usize = 400;
/// The least that a point must differ by in every direction: squared levels of all channels.
const TELLING: f64 = 300.0;
/// The same of a picture that was packed with loss.
const TELLING_PACKED: f64 = 1000.0;
/// The least change in the one direction, as a share of the change in the other.
const EDGE: f64 = 0.08;
/// What may differ of a patch's contrast.
const UNLIKE: f64 = 0.01;
/// The same of a picture that was packed with loss.
const UNLIKE_PACKED: f64 = 0.06;

/// A view of the tile with the join's lines counted by `across`; beyond the last line the first
/// one follows.
pub(super) struct View<'a> {
    pub(super) image: &'a Image,
    pub(super) side: Side,
}

impl View<'_> {
    /// What may differ of a patch's contrast.
    pub(super) fn most(&self) -> f64 {
        if self.image.is_lossy() { UNLIKE_PACKED } else { UNLIKE }
    }

    pub(super) fn pixel(&self, across: i64, along: i64) -> &[u8] {
        let across = across.rem_euclid(self.image.lines(self.side) as i64) as usize;
        match self.side {
            Side::LeftRight => self.image.pixel(across, along as usize),
            Side::TopBottom => self.image.pixel(along as usize, across),
        }
    }
}

/// A point where the picture changes in both directions.
pub(super) struct Point {
    pub(super) at: [i64; 2],
    /// The pixels around it, row by row.
    patch: Vec<u8>,
    /// How much they differ from its own, squared.
    contrast: f64,
}

/// Pixels a side of a patch.
const SIDE: usize = 2 * PATCH as usize + 1;

impl Point {
    fn new(view: &View, at: [i64; 2]) -> Point {
        let mut patch = Vec::with_capacity(SIDE * SIDE * view.image.channels());
        for j in -PATCH..=PATCH {
            for i in -PATCH..=PATCH {
                let [across, along] = if view.side == Side::LeftRight { [i, j] } else { [j, i] };
                patch.extend_from_slice(view.pixel(at[0] + across, at[1] + along));
            }
        }
        let middle = view.pixel(at[0], at[1]);
        let squares = patch.chunks_exact(middle.len()).flat_map(|pixel| pixel.iter().zip(middle));
        let contrast: u32 = squares.map(|(a, b)| u32::from(a.abs_diff(*b)).pow(2)).sum();
        Point { at, patch, contrast: f64::from(contrast).max(1.0) }
    }

    /// Whether the like lies a few pixels off, as in a weave: then it says nothing of its place.
    fn is_woven(&self, view: &View) -> bool {
        // Behind the join the lines are counted on.
        let lines = view.image.lines(view.side) as i64;
        let home = if self.at[0] >= lines { -lines } else { 0 };
        let mut steps = (-2 * OFF..=2 * OFF).flat_map(|a| (-2 * OFF..=2 * OFF).map(move |b| [a, b]));
        steps.any(|[a, b]| [a, b] != [0, 0] && self.unlike(view, [home + a, b], view.most()).is_some())
    }

    /// What differs around it a step further, inside the tile, as a share of its contrast; `None` if that
    /// is not less than `most`.
    pub(super) fn unlike(&self, view: &View, step: [i64; 2], most: f64) -> Option<f64> {
        let (lines, length) = (view.image.lines(view.side) as i64, view.image.length(view.side) as i64);
        let [there, over] = [self.at[0] + step[0], self.at[1] + step[1]];
        if there < PATCH || there >= lines - PATCH || over < PATCH || over >= length - PATCH {
            return None;
        }
        let [x, y] = if view.side == Side::LeftRight { [there, over] } else { [over, there] };
        let (first, channels) = ((x - PATCH) as usize, view.image.channels());
        let mut off = 0u32;
        for (j, own) in self.patch.chunks_exact(SIDE * channels).enumerate() {
            let other = &view.image.row((y - PATCH) as usize + j)[first * channels..];
            off += own.iter().zip(other).map(|(a, b)| u32::from(a.abs_diff(*b)).pow(2)).sum::<u32>();
            if f64::from(off) >= most * self.contrast {
                return None;
            }
        }
        Some(f64::from(off) / self.contrast)
    }
}

/// Points of a band that can't be mistaken for their neighbours, the best of each small field.
pub(super) fn points(view: &View, [first, end]: [i64; 2], length: i64) -> Vec<Point> {
    const FIELD: usize = 8;
    let levels = Levels::new(view, [first, end], length);
    let least = if view.image.is_lossy() { TELLING_PACKED } else { TELLING };
    let mut best = Vec::new();
    for across in (first..end).step_by(FIELD) {
        for along in (PATCH + 1..length - PATCH - 1).step_by(FIELD) {
            let field = (across..(across + FIELD as i64).min(end))
                .flat_map(|a| (along..(along + FIELD as i64).min(length - PATCH - 1)).map(move |b| [a, b]));
            let strongest = field.map(|p| (levels.telling(p), p)).max_by(|(a, _), (b, _)| a.total_cmp(b));
            best.extend(strongest.filter(|(strength, _)| *strength > least));
        }
    }
    best.sort_unstable_by(|(a, _), (b, _)| b.total_cmp(a));
    best.truncate(POINTS);
    best.into_iter().map(|(_, at)| Point::new(view, at)).filter(|point| !point.is_woven(view)).collect()
}

/// A band's pixels, and two lines more on both of its sides.
struct Levels {
    first: i64,
    length: i64,
    channels: usize,
    levels: Vec<u8>,
}

impl Levels {
    fn new(view: &View, [first, end]: [i64; 2], length: i64) -> Levels {
        let lines = (first - 2)..(end + 2);
        let places = lines.flat_map(|a| (0..length).map(move |b| [a, b]));
        let levels = places.flat_map(|[a, b]| view.pixel(a, b)).copied().collect();
        Levels { first: first - 2, length, channels: view.image.channels(), levels }
    }

    /// The smaller eigenvalue of the gradients around a point (J. Shi, C. Tomasi, "Good features to
    /// track", 1994).
    fn telling(&self, [across, along]: [i64; 2]) -> f64 {
        let (mut aa, mut ab, mut bb) = (0, 0, 0);
        let at = |i: i64, j: i64| {
            let at = ((across + i - self.first) * self.length + along + j) as usize * self.channels;
            &self.levels[at..at + self.channels]
        };
        for (i, j) in (-1..=1).flat_map(|i| (-1..=1).map(move |j| (i, j))) {
            let (above, below, left, right) = (at(i - 1, j), at(i + 1, j), at(i, j - 1), at(i, j + 1));
            for c in 0..self.channels {
                let difference = |to: &[u8], from: &[u8]| i32::from(to[c]) - i32::from(from[c]);
                let (a, b) = (difference(below, above), difference(right, left));
                (aa, ab, bb) = (aa + a * a, ab + a * b, bb + b * b);
            }
        }
        let (half, difference, ab) = (f64::from(aa + bb) / 2.0, f64::from(aa - bb) / 2.0, f64::from(ab));
        let spread = (difference * difference + ab * ab).sqrt();
        // Along an edge, straight or in stairs, one place is like the next.
        if half - spread < EDGE * (half + spread) { 0.0 } else { (half - spread) / 9.0 }
    }
}
