//! The repeat inside a tile, exactly: the finest lattice that maps its pixels onto themselves.
//!
//! Every lattice that holds the tile's own periods `(W, 0)` and `(0, H)` has one basis `(a, 0)`,
//! `(b, d)` with `a` dividing `W`, `d` dividing `H` and `0 ≤ b < a` (Hermite's normal form), so it
//! is found without guessing. `a` is the period of all rows together; `d` is the first divisor of
//! `H` by which every row is a later one, moved across by one same `b`. A row is found in another by
//! the failure function of D. E. Knuth, J. H. Morris, V. R. Pratt, "Fast pattern matching in strings" (1977).

use rayon::prelude::*;

use super::image::{Image, Side};

/// A basis of a lattice in pixels: `(across, 0)` and `(shift, down)`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Steps {
    /// The step along a row.
    pub across: usize,
    /// How far the rows of the next block are moved across.
    pub shift: usize,
    /// The step down.
    pub down: usize,
}

impl Steps {
    /// Whether a vector is one of the lattice.
    pub fn hold(&self, x: i64, y: i64) -> bool {
        let [across, shift, down] = [self.across, self.shift, self.down].map(|n| n as i64);
        y % down == 0 && (x - y / down * shift).rem_euclid(across) == 0
    }

    /// Whether a join of an image with these steps lies inside it once more.
    pub(super) fn proves(&self, side: Side, image: &Image) -> bool {
        match side {
            Side::LeftRight => self.across < image.width() || self.shift > 0,
            Side::TopBottom => self.down < image.height(),
        }
    }
}

/// The finest lattice of an image, which is its own rectangle if nothing repeats.
pub fn exact(image: &Image) -> Steps {
    let (width, height) = (image.width(), image.height());
    let across = (0..height).into_par_iter().map(|y| period(image, y)).reduce(|| 1, lcm);
    let length = across * image.channels();
    // The row that repeats least inside itself leaves the fewest shifts to try; of those that don't, any will do.
    let own = |y: usize| match own_period(&pixels(&image.row(y)[..length], image.channels())) {
        period if period == across => Err((period, y)),
        period => Ok((period, y)),
    };
    let telling = (0..height).into_par_iter().map(own).try_reduce(|| (1, 0), |a, b| Ok(a.max(b)));
    let (Ok(telling) | Err(telling)) = telling;
    let rows = Rows { image, across, telling };
    for down in divisors(height) {
        if down == height {
            break;
        }
        if let Some(shift) = rows.shift(down) {
            return Steps { across, shift, down };
        }
    }
    debug_assert_eq!(width % across, 0);
    Steps { across, shift: 0, down: height }
}

/// The first `a` that divides the width and by which a row moved is itself.
fn period(image: &Image, y: usize) -> usize {
    let (row, channels) = (image.row(y), image.channels());
    let width = image.width();
    let fits = |a: &usize| row[a * channels..] == row[..(width - a) * channels];
    divisors(width).into_iter().find(fits).unwrap_or(width)
}

struct Rows<'a> {
    image: &'a Image,
    across: usize,
    /// A row and its own period.
    telling: (usize, usize),
}

impl Rows<'_> {
    /// One period of a row.
    fn part(&self, y: usize) -> &[u8] {
        &self.image.row(y % self.image.height())[..self.across * self.image.channels()]
    }

    /// Whether every row moved across by `shift` is the one `down` rows below.
    fn maps(&self, down: usize, shift: usize) -> bool {
        let split = (self.across - shift) * self.image.channels();
        (0..self.image.height()).all(|y| {
            let (upper, lower) = (self.part(y), self.part(y + down));
            lower[self.image.channels() * shift..] == upper[..split]
                && lower[..self.image.channels() * shift] == upper[split..]
        })
    }

    /// The shift that maps every row onto the one `down` below.
    fn shift(&self, down: usize) -> Option<usize> {
        let (own, telling) = self.telling;
        let row = |y| pixels(self.part(y), self.image.channels());
        let first = find_turned(&row(telling), &row(telling + down))?;
        (first % own..self.across).step_by(own).find(|shift| self.maps(down, *shift))
    }
}

/// A row's pixels as numbers.
fn pixels(row: &[u8], channels: usize) -> Vec<u32> {
    row.chunks_exact(channels).map(|pixel| pixel.iter().fold(0, |all, level| all << 8 | u32::from(*level))).collect()
}

/// The pixels after which a row turned on itself is the same.
fn own_period(row: &[u32]) -> usize {
    let count = row.len();
    let period = count - failures(row)[count];
    if count.is_multiple_of(period) { period } else { count }
}

/// For every length of a beginning, the longest shorter beginning that is also its end.
fn failures(row: &[u32]) -> Vec<usize> {
    let mut failure = vec![0; row.len() + 1];
    let mut matched = 0;
    for i in 1..row.len() {
        while matched > 0 && row[i] != row[matched] {
            matched = failure[matched];
        }
        if row[i] == row[matched] {
            matched += 1;
        }
        failure[i + 1] = matched;
    }
    failure
}

/// How far `row` is moved across, turning, to be `turned`.
fn find_turned(row: &[u32], turned: &[u32]) -> Option<usize> {
    let (count, failure) = (row.len(), failures(row));
    let mut matched = 0;
    for (i, pixel) in turned.iter().cycle().take(2 * count).enumerate() {
        while matched > 0 && (matched == count || *pixel != row[matched]) {
            matched = failure[matched];
        }
        if *pixel == row[matched] {
            matched += 1;
        }
        if matched == count {
            return Some((i + 1 - count) % count);
        }
    }
    None
}

fn divisors(n: usize) -> Vec<usize> {
    (1..=n).filter(|d| n.is_multiple_of(*d)).collect()
}

fn lcm(a: usize, b: usize) -> usize {
    a / gcd(a, b) * b
}

/// How often what lies at a join lies there again, further along it, by the steps `(across, 0)` and `(shift, down)` of a
/// repeat that is nearly one.
pub(super) fn along([across, shift, down]: [f64; 3], side: Side, image: &Image) -> usize {
    let [across, shift, down] = [across, shift, down].map(|step| step.round() as usize);
    let across = across.max(1);
    let again = match side {
        Side::LeftRight => image.height() / (down * across / gcd(across, shift)).max(1),
        Side::TopBottom => image.width() / across,
    };
    again.max(1)
}

/// The greatest common divisor.
pub(super) fn gcd(a: usize, b: usize) -> usize {
    if b == 0 { a } else { gcd(b, a % b) }
}
