//! No place of the torus is better than another: 20 seeds, counted by where motifs lie, and with the origin moved.

use kurbo::Affine;
use seamfast::toss::{Fixed, Silhouette, toss};

use crate::common::{Cloth, disc, kinds, wishes};

const SEEDS: u64 = 20;

/// Motifs in each of 4 × 4 parts of the block; χ² with 15 degrees of freedom is below 37.7 in 999 of 1 000 cases for
/// places that know nothing of each other, and lower for places that keep apart.
#[test]
fn all_parts_of_the_block_get_as_many() {
    let cloth = Cloth::square(6.0);
    let mut counts = [0.0; 16];
    for seed in 0..SEEDS {
        let mut wishes = wishes(kinds(vec![disc(24)], [0.6, 1.2]), 0.1, seed);
        wishes.count = Some(14);
        for laid in toss(&cloth.torus(), &wishes, &|_| false).unwrap().laid {
            let part = laid.at.map(|n| ((n.rem_euclid(6.0) / 1.5) as usize).min(3));
            counts[part[1] * 4 + part[0]] += 1.0;
        }
    }
    let mean = counts.iter().sum::<f64>() / 16.0;
    assert!(mean > 10.0, "{mean} in a part");
    let chi = counts.iter().map(|n| (n - mean) * (n - mean) / mean).sum::<f64>();
    assert!(chi < 37.7, "{chi}: {counts:?}");
}

/// The same cloth about another origin, its mirror lines and what lies fixed moved alike: mean coverage and gaps differ
/// by less than three standard errors.
#[test]
fn a_moved_origin_changes_no_figure() {
    let side = 6.0;
    let figures = |by: f64| -> Vec<[f64; 2]> {
        let mirror = Affine::translate((by, 0.0))
            * Affine::new([-1.0, 0.0, 0.0, 1.0, side, 0.0])
            * Affine::translate((-by, 0.0));
        let cloth = Cloth { operators: vec![Affine::IDENTITY, mirror], ..Cloth::square(side) };
        let one = |seed| {
            let mut wishes = wishes(kinds(vec![disc(24)], [0.5, 0.9]), 0.1, seed);
            let contours =
                vec![disc(24).contours[0].iter().map(|p| [p[0] + 1.5 + by, p[1] + 3.0 + by / 2.0]).collect()];
            wishes.fixed =
                vec![Fixed { silhouette: Silhouette { contours, slack: 0.0 }, family: 9, overlap: false, bare: false }];
            let tossed = toss(&cloth.torus(), &wishes, &|_| false).unwrap();
            [tossed.coverage, cloth.gaps(&wishes, &tossed.laid)[1]]
        };
        (0..SEEDS).map(one).collect()
    };
    let (here, there) = (figures(0.0), figures(2.3));
    for n in 0..2 {
        let of = |all: &[[f64; 2]]| {
            let mean = all.iter().map(|f| f[n]).sum::<f64>() / SEEDS as f64;
            (mean, all.iter().map(|f| (f[n] - mean).powi(2)).sum::<f64>() / (SEEDS * (SEEDS - 1)) as f64)
        };
        let ((a, spread_a), (b, spread_b)) = (of(&here), of(&there));
        assert!((a - b).abs() < 3.0 * (spread_a + spread_b).sqrt(), "figure {n}: {a} and {b}");
        assert!(a != b, "the origin was not moved");
    }
}
