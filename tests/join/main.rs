//! Joins of tiles that are painted here, without any painter of ours: discs with soft edges.

#![allow(missing_docs, clippy::expect_used, reason = "a test")]
#![allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "small numbers, made here")]

mod bands;
mod broken;
mod lattices;
mod small;
mod spoiled;

use seamfast::join::{Image, Join, inner, judge};

/// The color of bare paper on the painted tiles.
pub const GROUND: [u8; 3] = [238, 232, 220];

/// Both joins of a picture, judged.
pub fn joins(image: &Image) -> [Join; 2] {
    let (steps, inner) = inner(image);
    judge(image, steps, &inner).try_into().expect("two joins")
}

/// A tile of many small discs.
pub fn tile(seed: u64) -> Rows {
    Discs::strewn(400, 360, 60, seed).rows([0.0; 2])
}

/// Middle, radius and color.
type Disc = ([f64; 2], f64, [u8; 3]);

/// Discs on a torus, laid one over the other.
pub struct Discs {
    pub width: usize,
    pub height: usize,
    pub discs: Vec<Disc>,
}

/// Numbers that only look random (a linear congruential generator, D. Knuth's MMIX, from memory).
pub struct Dice(pub u64);

impl Dice {
    pub fn roll(&mut self, most: f64) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1u64 << 53) as f64 * most
    }
}

impl Discs {
    /// Some discs anywhere.
    pub fn strewn(width: usize, height: usize, count: usize, seed: u64) -> Discs {
        let mut dice = Dice(seed);
        let discs = (0..count).map(|_| {
            let at = [dice.roll(width as f64), dice.roll(height as f64)];
            let radius = 6.0 + dice.roll(14.0);
            (at, radius, [dice.roll(200.0) as u8, dice.roll(200.0) as u8, dice.roll(200.0) as u8])
        });
        Discs { width, height, discs: discs.collect() }
    }

    /// The same, stepped by a lattice; each disc's copies lie in one layer.
    pub fn stepped(mut self, steps: &[[usize; 2]]) -> Discs {
        let copies = |(at, r, color): &Disc| {
            let (at, r, color) = (*at, *r, *color);
            steps.iter().map(move |[x, y]| ([at[0] + *x as f64, at[1] + *y as f64], r, color)).collect::<Vec<_>>()
        };
        self.discs = self.discs.iter().flat_map(copies).collect();
        self
    }

    /// Paints the tile; what comes in at the left edge is laid `off` further.
    pub fn rows(&self, off: [f64; 2]) -> Rows {
        let size = [self.width as f64, self.height as f64];
        let mut rows = vec![vec![GROUND.map(f64::from); self.width]; self.height];
        for (middle, radius, color) in &self.discs {
            let mut home = [middle[0].rem_euclid(size[0]), middle[1].rem_euclid(size[1])];
            if home[0] < radius + 1.0 {
                home[0] += size[0];
            }
            for (i, j) in (-1..=1).flat_map(|i| (-1..=1).map(move |j| (i, j))) {
                let off = if i == -1 { off } else { [0.0; 2] };
                let at = [home[0] + f64::from(i) * size[0] + off[0], home[1] + f64::from(j) * size[1] + off[1]];
                disc(&mut rows, at, *radius, *color);
            }
        }
        let rows = rows.into_iter().map(|row| row.into_iter().map(|p: [f64; 3]| p.map(|n| n.round() as u8)).collect());
        Rows { width: self.width, rows: rows.collect() }
    }
}

/// Lays one disc on the rows, with soft edges.
fn disc(rows: &mut [Vec<[f64; 3]>], at: [f64; 2], radius: f64, color: [u8; 3]) {
    let range = |middle: f64, most: usize| {
        let low = (middle - radius - 2.0).max(0.0) as usize;
        low..((middle + radius + 2.0).max(0.0) as usize).min(most)
    };
    for y in range(at[1], rows.len()) {
        for x in range(at[0], rows[y].len()) {
            let far = (at[0] - x as f64 - 0.5).hypot(at[1] - y as f64 - 0.5);
            let cover = (radius + 0.5 - far).clamp(0.0, 1.0);
            for (level, own) in rows[y][x].iter_mut().zip(color) {
                *level += cover * (f64::from(own) - *level);
            }
        }
    }
}

/// Pixels that can be spoiled.
#[derive(Clone)]
pub struct Rows {
    pub width: usize,
    pub rows: Vec<Vec<[u8; 3]>>,
}

impl Rows {
    pub fn image(&self) -> Image {
        let bytes = self.rows.iter().flatten().flatten().copied().collect();
        Image::new(self.width, self.rows.len(), 3, bytes)
    }

    pub fn change_columns(mut self, change: impl Fn(&mut Vec<[u8; 3]>)) -> Rows {
        self.rows.iter_mut().for_each(&change);
        self.width = self.rows[0].len();
        self
    }

    /// Columns for rows.
    pub fn turned(&self) -> Rows {
        let rows = (0..self.width).map(|x| self.rows.iter().map(|row| row[x]).collect()).collect();
        Rows { width: self.rows.len(), rows }
    }
}
