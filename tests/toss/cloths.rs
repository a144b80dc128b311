//! Half-drops, mirrors and turns: what lies beyond an edge is what the cloth brings there.

use kurbo::Affine;
use seamfast::toss::{Fixed, Outline, nearest, toss};

use crate::common::{Cloth, disc, harbour, kinds, outlines, wishes};

fn about(linear: [f64; 4], x: f64, y: f64) -> Affine {
    let [a, b, c, d] = linear;
    Affine::new([a, b, c, d, x, y])
}

/// A half-drop, mirrors both ways, fourfold turns, and thirds on a hexagonal lattice.
fn cloths() -> Vec<(&'static str, Cloth)> {
    let (s, id) = (7.0, Affine::IDENTITY);
    let half = Cloth { steps: [[5.0, 4.0], [0.0, 8.0]], operators: vec![id] };
    let mirrors = vec![
        id,
        about([-1.0, 0.0, 0.0, 1.0], s, 0.0),
        about([1.0, 0.0, 0.0, -1.0], 0.0, s),
        about([-1.0, 0.0, 0.0, -1.0], s, s),
    ];
    let quarters = vec![
        id,
        about([0.0, 1.0, -1.0, 0.0], s, 0.0),
        about([-1.0, 0.0, 0.0, -1.0], s, s),
        about([0.0, -1.0, 1.0, 0.0], 0.0, s),
    ];
    let third = |n: f64| {
        let (sin, cos) = (std::f64::consts::TAU / 3.0 * n).sin_cos();
        about([cos, sin, -sin, cos], 0.0, 0.0)
    };
    let hexagonal =
        Cloth { steps: [[s, 0.0], [s / 2.0, s * 3f64.sqrt() / 2.0]], operators: vec![id, third(1.0), third(2.0)] };
    vec![
        ("half-drop", half),
        ("mirrors", Cloth { operators: mirrors, ..Cloth::square(s) }),
        ("quarters", Cloth { operators: quarters, ..Cloth::square(s) }),
        ("thirds", hexagonal),
    ]
}

#[test]
fn the_gap_is_kept_to_all_images() {
    for (name, cloth) in cloths() {
        let wishes = wishes(kinds(harbour(), [0.7, 1.0]), 0.1, 4);
        let tossed = toss(&cloth.torus(), &wishes, &|_| false).unwrap();
        assert!(tossed.laid.len() as f64 > 0.6 * cloth.area(), "{name}: {} motifs", tossed.laid.len());
        // All images laid out on a patch of cloth, as a straight torus so large that nothing else can reach in.
        let mut all = Vec::new();
        for outline in outlines(&wishes.kinds, &tossed.laid) {
            for by in &cloth.operators {
                for (i, j) in (-2..=2).flat_map(|i| (-2..=2).map(move |j| (f64::from(i), f64::from(j)))) {
                    let [u, v] = cloth.steps;
                    let to = Affine::translate((i * u[0] + j * v[0], i * u[1] + j * v[1])) * *by;
                    let place = |p: &[f64; 2]| {
                        let q = to * kurbo::Point::new(p[0], p[1]);
                        [q.x, q.y]
                    };
                    let contours = outline.contours.iter().map(|c| c.iter().map(place).collect()).collect();
                    all.push(Outline { contours, slack: outline.slack });
                }
            }
        }
        let (_, close) = nearest([[1000.0, 0.0], [0.0, 1000.0]], &[Affine::IDENTITY], &all, 0.1);
        assert!(close.is_empty(), "{name}: {} too near, such as {:?}", close.len(), close.first());
        assert!(cloth.gaps(&wishes, &tossed.laid)[0] >= 0.1, "{name}");
    }
}

#[test]
fn what_is_fixed_stays_and_is_gone_around() {
    let cloth = Cloth::square(6.0);
    let mut wishes = wishes(kinds(harbour(), [0.7, 1.0]), 0.1, 4);
    // A disc four wide in the corner: most of it comes in by the other edges.
    let contours = disc(80).contours.iter().map(|c| c.iter().map(|p| [4.0 * p[0], 4.0 * p[1]]).collect()).collect();
    wishes.fixed = vec![Fixed {
        silhouette: seamfast::toss::Silhouette { contours, slack: 0.0 },
        family: 77,
        overlap: false,
        bare: false,
    }];
    let tossed = toss(&cloth.torus(), &wishes, &|_| false).unwrap();
    assert!(tossed.laid.len() > 8, "{}", tossed.laid.len());
    assert!(cloth.gaps(&wishes, &tossed.laid)[0] >= 0.1);
}

#[test]
fn own_kinds_are_kept_apart() {
    let cloth = Cloth::square(7.0);
    let mut wishes = wishes(kinds(harbour(), [0.8, 0.8]), 0.1, 4);
    wishes.apart = Some(0.9);
    let tossed = toss(&cloth.torus(), &wishes, &|_| false).unwrap();
    assert!(tossed.laid.len() > 30, "{}", tossed.laid.len());
    for kind in 0..wishes.kinds.len() {
        let own: Vec<_> = tossed.laid.iter().filter(|laid| laid.kind == kind).copied().collect();
        let (_, close) = nearest(cloth.steps, &cloth.operators, &outlines(&wishes.kinds, &own), 0.9);
        assert!(own.len() > 1 && close.is_empty(), "kind {kind}: {close:?}");
    }
}
