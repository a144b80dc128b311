//! Evenness as `check` measures it: as many motifs of the same sizes, strewn and thrown blindly.

use seamfast::evenness::{Evenness, Field, Steps};
use seamfast::toss::{Dart, Laid, darts, toss};

use crate::common::{Cloth, harbour, kinds, outlines, wishes};

const CELLS: usize = 180;

/// The cells of a square block whose middles lie in ink.
fn measured(kinds: &[seamfast::toss::Kind], laid: &[Laid], side: f64) -> Evenness {
    let cell = side / CELLS as f64;
    let mut ink = vec![false; CELLS * CELLS];
    for outline in outlines(kinds, laid) {
        let points = || outline.contours.iter().flatten();
        let range = |axis: usize| {
            let low = points().map(|p| p[axis]).fold(f64::MAX, f64::min) / cell;
            let high = points().map(|p| p[axis]).fold(f64::MIN, f64::max) / cell;
            low.floor() as i64..=high.ceil() as i64
        };
        for y in range(1) {
            for x in range(0) {
                let p = [(x as f64 + 0.5) * cell, (y as f64 + 0.5) * cell];
                let crossed = |ring: &Vec<[f64; 2]>| {
                    let sides = ring.iter().zip(ring.iter().cycle().skip(1));
                    let hit = |(a, b): &(&[f64; 2], &[f64; 2])| {
                        (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0] + (p[1] - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
                    };
                    sides.filter(hit).count() % 2 == 1
                };
                if outline.contours.iter().any(crossed) {
                    let [x, y] = [x, y].map(|n| n.rem_euclid(CELLS as i64) as usize);
                    ink[y * CELLS + x] = true;
                }
            }
        }
    }
    let light = ink.iter().map(|ink| if *ink { 0.0 } else { 1.0 }).collect();
    let field = Field::new([CELLS, CELLS], [1.0, 1.0], ink, light);
    Evenness::of(&field, Steps { across: CELLS as f64, shift: 0.0, down: CELLS as f64 })
}

/// Means of five seeds: a smaller largest bald spot, and less thick and thin.
#[test]
fn a_toss_is_more_even_than_darts() {
    let cloth = Cloth::square(8.0);
    let [mut spots, mut lumps] = [[0.0; 2]; 2];
    for seed in 0..5 {
        let mut wishes = wishes(kinds(harbour(), [1.0, 1.0]), 0.12, seed);
        wishes.count = Some(40);
        let ours = toss(&cloth.torus(), &wishes, &|_| false).unwrap().laid;
        let blind = darts(&cloth.torus(), &wishes, Dart::Outlines { patience: 10_000 }).unwrap();
        for (n, laid) in [ours, blind].iter().enumerate() {
            assert!(laid.len() >= 38, "seed {seed}: {}", laid.len());
            let found = measured(&wishes.kinds, laid, 8.0);
            spots[n] += found.pockets.unwrap().largest[0].diameter / 5.0;
            lumps[n] += found.lumps.unwrap().spread / 5.0;
            let widest = found.alleys.first().map_or(0.0, |alley| alley.width);
            assert!(n == 1 || widest < 0.12 / 8.0 * CELLS as f64, "seed {seed}: an alley of {widest} cells");
        }
    }
    assert!(spots[0] < 0.9 * spots[1], "bald spots {spots:?}");
    assert!(lumps[0] < 0.9 * lumps[1], "lumps {lumps:?}");
}
