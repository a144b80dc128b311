//! The repeat inside a tile whose pixels are not quite what they were: packed with loss, sampled
//! again, or painted at positions between pixels.
//!
//! Every lattice of `m·n` blocks that holds the tile's own periods has the steps `(W/m, 0)` and
//! `(j·W/(m·n), H/n)` with `0 ≤ j < n`, so all that are not too fine are tried. A step is held
//! against the picture in windows: what differs is compared with what a shift of a pixel would
//! make it differ by, so one motif that lies a pixel off is no repeat, and noise is.

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

/// Brightness, with the torus's first lines once more behind its last, so that windows lie anywhere.
struct Grey {
    width: usize,
    height: usize,
    stride: usize,
    levels: Vec<f32>,
    tolerance: Tolerance,
}

impl Grey {
    fn new(image: &Image) -> Grey {
        let weigh = |p: &[u8]| match p {
            [r, g, b] => f32::from(*r) + 2.0 * f32::from(*g) + f32::from(*b),
            [r, g, b, a] => f32::from(*r) + 2.0 * f32::from(*g) + f32::from(*b) + 2.0 * f32::from(*a),
            _ => p.iter().map(|n| f32::from(*n)).sum(),
        };
        let (width, height) = (image.width(), image.height());
        let stride = width + WINDOW + 1;
        let mut levels = Vec::with_capacity(stride * (height + WINDOW + 1));
        for y in 0..height + WINDOW + 1 {
            let row = image.row(y % height);
            levels.extend(row.chunks_exact(image.channels()).cycle().take(stride).map(|p| weigh(p) / 4.0));
        }
        Grey { width, height, stride, levels, tolerance: if image.is_lossy() { PACKED } else { PAINTED } }
    }

    /// A row of a window, and one pixel more.
    fn part(&self, x: usize, y: usize) -> &[f32] {
        let at = y * self.stride + x;
        &self.levels[at..=at + WINDOW]
    }

    /// The mean squared gradient in a window.
    fn gradient(&self, [x, y]: [usize; 2]) -> f64 {
        let mut sum = 0.0;
        for j in 0..WINDOW {
            let (own, below) = (self.part(x, y + j), self.part(x, y + j + 1));
            sum += (0..WINDOW).map(|i| (own[i + 1] - own[i]).powi(2) + (below[i] - own[i]).powi(2)).sum::<f32>();
        }
        f64::from(sum) / (WINDOW * WINDOW) as f64
    }

    /// Whether a window is the same a step further. The first and the last line each way, here or there, don't count:
    /// they may be spoiled on their own.
    fn same(&self, window: &Window, step: [f64; 2]) -> bool {
        let by = |step: f64, side: usize| (step.round() as i64).rem_euclid(side as i64) as usize;
        let [x, y] = window.at;
        let (there, over) = ((x + by(step[0], self.width)) % self.width, (y + by(step[1], self.height)) % self.height);
        let counts =
            |a: usize, b: usize, side: usize| (1..side - 1).contains(&a) && (1..side - 1).contains(&(b % side));
        let all_across = (0..WINDOW).all(|i| counts(x + i, there + i, self.width));
        let mut sum = 0.0;
        for j in (0..WINDOW).filter(|j| counts(y + j, over + j, self.height)) {
            let (own, other) = (self.part(x, y + j), self.part(there, over + j));
            let squared = |i: usize| (own[i] - other[i]) * (own[i] - other[i]);
            sum += if all_across {
                (0..WINDOW).map(squared).sum::<f32>()
            } else {
                (0..WINDOW).filter(|i| counts(x + i, there + i, self.width)).map(squared).sum()
            };
        }
        f64::from(sum) / (WINDOW * WINDOW) as f64 <= self.tolerance.share * window.gradient
    }
}

/// A window that says something.
struct Window {
    at: [usize; 2],
    gradient: f64,
}

/// The lattice with the most blocks that nearly maps an image onto itself; `None` if the tile is
/// one block.
pub fn near(image: &Image) -> Option<Parts> {
    if image.width() < 2 * WINDOW || image.height() < 2 * WINDOW {
        return None;
    }
    let grey = Grey::new(image);
    let at = (0..grey.height / WINDOW).flat_map(|y| (0..grey.width / WINDOW).map(move |x| [x * WINDOW, y * WINDOW]));
    let windows = at.map(|at| Window { at, gradient: grey.gradient(at) });
    let windows: Vec<Window> = windows.filter(|window| window.gradient >= grey.tolerance.telling).collect();
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
        let steps = parts.steps(grey.width, grey.height);
        // Most candidates are out after a few windows.
        let mostly = |step: [f64; 2]| {
            let off = first.iter().filter(|window| !grey.same(window, step));
            off.take(first.len() / 20 + 1).count() * 20 <= first.len()
        };
        steps.into_iter().all(mostly) && steps.into_iter().all(|step| holds(&grey, &windows, step))
    })
}

/// Whether a step maps the whole picture onto itself: hardly any window differs, and no more than
/// a few that touch. A motif that lies elsewhere is many windows.
fn holds(grey: &Grey, windows: &[Window], step: [f64; 2]) -> bool {
    let (columns, rows) = (grey.width / WINDOW, grey.height / WINDOW);
    let mut off = vec![false; rows * columns];
    for window in windows.iter().filter(|window| !grey.same(window, step)) {
        off[window.at[1] / WINDOW * columns + window.at[0] / WINDOW] = true;
    }
    if off.iter().filter(|off| **off).count().saturating_mul(grey.tolerance.one_in) > windows.len() {
        return false;
    }
    (0..off.len()).all(|at| taken(&mut off, columns, at) <= grey.tolerance.touching)
}

/// Takes away the windows that touch one; how many they were.
fn taken(off: &mut [bool], columns: usize, at: usize) -> usize {
    if !std::mem::take(&mut off[at]) {
        return 0;
    }
    let (x, y, rows) = (at % columns, at / columns, off.len() / columns);
    let beside =
        [[(x + 1) % columns, y], [(x + columns - 1) % columns, y], [x, (y + 1) % rows], [x, (y + rows - 1) % rows]];
    1 + beside.into_iter().map(|[x, y]| taken(off, columns, y * columns + x)).sum::<usize>()
}
