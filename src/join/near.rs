//! The repeat inside a tile whose pixels are not quite what they were: packed with loss, sampled
//! again, or painted at positions between pixels.
//!
//! Every lattice of `m·n` blocks that holds the tile's own periods has the steps `(W/m, 0)` and
//! `(j·W/(m·n), H/n)` with `0 ≤ j < n`, so all that are not too fine are tried. A step is held
//! against the picture in windows: what differs is compared with what a shift of a pixel would
//! make it differ by, so one motif that lies a pixel off is no repeat, and noise is.

use rayon::prelude::*;

use super::image::Image;

/// The most blocks in a tile that are looked for.
const BLOCKS: usize = 64;
/// Pixels a side of a window.
const WINDOW: usize = 16;
/// How much a repeat may differ from itself.
struct Tolerance {
    /// The share of the squared gradients: a shift by a pixel makes about 0.5, by half of one 0.12.
    share: f64,
    /// Mean squared gradient of a window that says anything.
    telling: f64,
    /// Of so many windows one may differ by more.
    one_in: usize,
    /// Windows side by side that may.
    touching: usize,
}

/// Of a picture that was packed with loss.
const PACKED: Tolerance = Tolerance { share: 0.3, telling: 12.0, one_in: 70, touching: 3 };
/// Of one that was only painted at positions between pixels.
const PAINTED: Tolerance = Tolerance { share: 0.06, telling: 0.05, one_in: usize::MAX, touching: 0 };
/// Windows that are tried first.
const FIRST: usize = 60;

/// A lattice whose steps need not be whole pixels, as parts of the tile: `m` blocks across, `n`
/// down, each row of blocks moved across by `j/n` of a block.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Parts {
    /// Blocks across.
    pub across: usize,
    /// Blocks down.
    pub down: usize,
    /// Parts of a block, of which there are as many as blocks down.
    pub shift: usize,
}

impl Parts {
    /// How many blocks the tile holds.
    pub fn blocks(&self) -> usize {
        self.across * self.down
    }

    /// The two steps in pixels.
    pub fn steps(&self, width: usize, height: usize) -> [[f64; 2]; 2] {
        let across = width as f64 / self.across as f64;
        let shift = across * self.shift as f64 / self.down as f64;
        [[across, 0.0], [shift, height as f64 / self.down as f64]]
    }
}

/// A picture whose windows are compared by brightness; beyond the last lines the first follow.
struct Grey<'a> {
    image: &'a Image,
    /// So many lines at each edge don't count: they may be spoiled on their own.
    edge: usize,
    tolerance: Tolerance,
}

/// So many times its brightness is what [`weigh`] makes of a pixel.
const WEIGHT: f64 = 4.0;

/// A pixel's brightness, and its opacity.
#[inline]
fn weigh(pixel: &[u8]) -> i32 {
    match *pixel {
        [r, g, b, a] => i32::from(r) + 2 * i32::from(g) + i32::from(b) + 2 * i32::from(a),
        [r, g, b] => i32::from(r) + 2 * i32::from(g) + i32::from(b),
        _ => pixel.iter().map(|level| 4 * i32::from(*level)).sum(),
    }
}

/// A row's pixels of so many channels.
fn weighed<const CHANNELS: usize>(row: &[u8]) -> [i32; WINDOW + 1] {
    let (pixels, _) = row.as_chunks::<CHANNELS>();
    std::array::from_fn(|i| weigh(&pixels[i]))
}

/// The mean of so many squares over a window.
fn mean(sum: i32) -> f64 {
    f64::from(sum) / (WEIGHT * WEIGHT * (WINDOW * WINDOW) as f64)
}

impl Grey<'_> {
    fn new(image: &Image, edge: usize) -> Grey<'_> {
        Grey { image, edge, tolerance: if image.is_lossy() { PACKED } else { PAINTED } }
    }

    /// A row of a window, and one pixel more.
    fn part(&self, x: usize, y: usize) -> [i32; WINDOW + 1] {
        let (width, channels) = (self.image.width(), self.image.channels());
        let row = self.image.row(y % self.image.height());
        if x + WINDOW < width {
            let pixels = &row[x * channels..][..(WINDOW + 1) * channels];
            return match channels {
                3 => weighed::<3>(pixels),
                4 => weighed::<4>(pixels),
                _ => weighed::<1>(pixels),
            };
        }
        std::array::from_fn(|i| weigh(self.image.pixel((x + i) % width, y % self.image.height())))
    }

    /// The mean squared gradient in a window.
    fn gradient(&self, [x, y]: [usize; 2]) -> f64 {
        let (mut sum, mut own) = (0, self.part(x, y));
        for j in 1..=WINDOW {
            let below = self.part(x, y + j);
            sum += (0..WINDOW).map(|i| (own[i + 1] - own[i]).pow(2) + (below[i] - own[i]).pow(2)).sum::<i32>();
            own = below;
        }
        mean(sum)
    }

    /// Whether a window is the same a step further, without what lies at an edge here or there.
    fn same(&self, window: &Window, step: [f64; 2]) -> bool {
        let (width, height) = (self.image.width(), self.image.height());
        let by = |step: f64, side: usize| (step.round() as i64).rem_euclid(side as i64) as usize;
        let [x, y] = window.at;
        let (there, over) = ((x + by(step[0], width)) % width, (y + by(step[1], height)) % height);
        let counts = |a: usize, b: usize, side: usize| {
            let inside = self.edge..side - self.edge;
            inside.contains(&a) && inside.contains(&(b % side))
        };
        let counted: [bool; WINDOW] = std::array::from_fn(|i| counts(x + i, there + i, width));
        let mut sum = 0;
        for j in (0..WINDOW).filter(|j| counts(y + j, over + j, height)) {
            let (own, other) = (self.part(x, y + j), self.part(there, over + j));
            sum += (0..WINDOW).filter(|i| counted[*i]).map(|i| (own[i] - other[i]).pow(2)).sum::<i32>();
            // Most are out after a few rows.
            if mean(sum) > self.tolerance.share * window.gradient {
                return false;
            }
        }
        true
    }
}

/// A window that says something.
struct Window {
    at: [usize; 2],
    gradient: f64,
}

/// The lattice with the most blocks that nearly maps an image onto itself, but for so many lines at its edges; `None`
/// if the tile is one block.
pub fn near(image: &Image, edge: usize) -> Option<Parts> {
    let least = (2 * WINDOW).max(8 * edge);
    if image.width() < least || image.height() < least {
        return None;
    }
    let grey = Grey::new(image, edge);
    let (columns, rows) = (image.width() / WINDOW, image.height() / WINDOW);
    let row = |y: usize| {
        let windows = (0..columns).map(move |x| [x * WINDOW, y * WINDOW]);
        let windows = windows.map(|at| Window { at, gradient: grey.gradient(at) });
        windows.filter(|window| window.gradient >= grey.tolerance.telling).collect::<Vec<Window>>()
    };
    let windows: Vec<Window> = (0..rows).into_par_iter().flat_map_iter(row).collect();
    if windows.is_empty() {
        return None;
    }
    let first: Vec<&Window> = windows.iter().step_by(windows.len().div_ceil(FIRST)).collect();
    let mut all = Vec::new();
    for across in 1..=BLOCKS {
        for down in 1..=BLOCKS / across {
            all.extend((0..down).map(|shift| Parts { across, down, shift }));
        }
    }
    all.sort_by_key(|parts| std::cmp::Reverse(parts.blocks()));
    all.into_iter().filter(|parts| parts.blocks() > 1).find(|parts| {
        let steps = parts.steps(image.width(), image.height());
        // The tile's own period maps everything onto itself.
        let steps = || steps.into_iter().skip(usize::from(parts.across == 1));
        // Most candidates are out after a few windows.
        let mostly = |step: [f64; 2]| {
            let off = first.iter().filter(|window| !grey.same(window, step));
            off.take(first.len() / 20 + 1).count() * 20 <= first.len()
        };
        steps().all(mostly) && steps().all(|step| holds(&grey, &windows, step))
    })
}

/// Whether a step maps the whole picture onto itself: hardly any window differs, and no more than
/// a few that touch. A motif that lies elsewhere is many windows.
fn holds(grey: &Grey, windows: &[Window], step: [f64; 2]) -> bool {
    let (columns, rows) = (grey.image.width() / WINDOW, grey.image.height() / WINDOW);
    let mut off = vec![false; rows * columns];
    for window in windows.iter().filter(|window| !grey.same(window, step)) {
        off[window.at[1] / WINDOW * columns + window.at[0] / WINDOW] = true;
    }
    if off.iter().filter(|off| **off).count().saturating_mul(grey.tolerance.one_in) > windows.len() {
        return false;
    }
    (0..off.len()).all(|at| taken(&mut off, columns, at) <= grey.tolerance.touching)
}

/// Takes away the windows that touch one, and those that touch them; how many they were.
fn taken(off: &mut [bool], columns: usize, at: usize) -> usize {
    let rows = off.len() / columns;
    let (mut next, mut count) = (vec![at], 0);
    while let Some(at) = next.pop() {
        if std::mem::take(&mut off[at]) {
            count += 1;
            let (x, y) = (at % columns, at / columns);
            let beside = [
                ((x + 1) % columns, y),
                ((x + columns - 1) % columns, y),
                (x, (y + 1) % rows),
                (x, (y + rows - 1) % rows),
            ];
            next.extend(beside.map(|(x, y)| y * columns + x));
        }
    }
    count
}
