//! Points of a tile that can be found again elsewhere in it: corners, each with the pixels around it.

use super::image::{Image, Side, weight};
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
    pub(super) patch: Vec<u8>,
    /// How much they differ from its own, squared.
    pub(super) contrast: f64,
}

/// Pixels a side of a patch.
pub(super) const SIDE: usize = 2 * PATCH as usize + 1;

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
    let gradients = Gradients::new(view, [first, end], length);
    let least = if view.image.is_lossy() { TELLING_PACKED } else { TELLING } / f64::from(weight(view.image.channels()));
    let mut best = Vec::new();
    for across in (first..end).step_by(FIELD) {
        for along in (PATCH + 1..length - PATCH - 1).step_by(FIELD) {
            let field = (across..(across + FIELD as i64).min(end))
                .flat_map(|a| (along..(along + FIELD as i64).min(length - PATCH - 1)).map(move |b| [a, b]));
            let strongest = field.map(|p| (gradients.telling(p), p)).max_by(|(a, _), (b, _)| a.total_cmp(b));
            best.extend(strongest.filter(|(strength, _)| *strength > least));
        }
    }
    best.sort_unstable_by(|(a, _), (b, _)| b.total_cmp(a));
    best.truncate(POINTS);
    best.into_iter().map(|(_, at)| Point::new(view, at)).filter(|point| !point.is_woven(view)).collect()
}

/// What changes around each place of a band: sums, over a patch, of the products of its gradients.
struct Gradients {
    first: i64,
    length: i64,
    sums: Vec<[f32; 3]>,
}

impl Gradients {
    fn new(view: &View, [first, end]: [i64; 2], length: i64) -> Gradients {
        let products = |across: i64, along: i64| {
            let along = along.clamp(1, length - 2);
            let pairs = [[(across - 1, along), (across + 1, along)], [(across, along - 1), (across, along + 1)]];
            let [down, over] = pairs.map(|[from, to]| {
                let [from, to] = [from, to].map(|(across, along)| view.pixel(across, along));
                from.iter().zip(to).map(|(a, b)| f32::from(*b) - f32::from(*a))
            });
            let add = |[aa, ab, bb]: [f32; 3], (a, b): (f32, f32)| [aa + a * a, ab + a * b, bb + b * b];
            down.zip(over).fold([0.0; 3], add)
        };
        let sum = |parts: &mut dyn Iterator<Item = [f32; 3]>| {
            parts.fold([0.0; 3], |sum, part| std::array::from_fn(|i| sum[i] + part[i]))
        };
        let lines: Vec<Vec<[f32; 3]>> = ((first - PATCH)..(end + PATCH))
            .map(|across| {
                let line: Vec<_> = (0..length).map(|along| products(across, along)).collect();
                let patch = |at: i64| (at - PATCH).max(0) as usize..(at + PATCH + 1).min(length) as usize;
                (0..length).map(|at| sum(&mut line[patch(at)].iter().copied())).collect()
            })
            .collect();
        let summed = |across: usize, along: usize| sum(&mut lines[across..across + SIDE].iter().map(|l| l[along]));
        let places = (0..(end - first) as usize).flat_map(|a| (0..length as usize).map(move |b| (a, b)));
        Gradients { first, length, sums: places.map(|(a, b)| summed(a, b)).collect() }
    }

    /// The smaller eigenvalue of the gradients around a point (J. Shi, C. Tomasi, "Good features to
    /// track", 1994).
    fn telling(&self, [across, along]: [i64; 2]) -> f64 {
        let [aa, ab, bb] = self.sums[((across - self.first) * self.length + along) as usize].map(f64::from);
        let (half, difference) = ((aa + bb) / 2.0, (aa - bb) / 2.0);
        let spread = difference.hypot(ab);
        // Along an edge, straight or in stairs, one place is like the next.
        if half - spread < EDGE * (half + spread) { 0.0 } else { (half - spread) / (SIDE * SIDE) as f64 }
    }
}
