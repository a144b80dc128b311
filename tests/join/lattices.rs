//! The repeat inside a tile, on the eight tiles of the seam study that this project was given: there
//! the lattices were found by autocorrelation and verified pixel by pixel.

use seamfast::join::inner;

use crate::{Discs, Rows};

struct Case {
    tile: [usize; 2],
    block: [usize; 2],
    steps: &'static [[usize; 2]],
    found: [usize; 3],
    layout: &'static str,
}

const CASES: [Case; 7] = [
    Case {
        tile: [120, 150],
        block: [60, 50],
        steps: &[[0, 0], [60, 0], [0, 50], [60, 50], [0, 100], [60, 100]],
        found: [60, 0, 50],
        layout: "straight",
    },
    Case { tile: [120, 100], block: [60, 100], steps: &[[0, 0], [60, 50]], found: [120, 60, 50], layout: "half-drop" },
    Case {
        tile: [180, 90],
        block: [60, 90],
        steps: &[[0, 0], [60, 30], [120, 60]],
        found: [180, 60, 30],
        layout: "drop=1/3",
    },
    Case { tile: [100, 80], block: [100, 40], steps: &[[0, 0], [50, 40]], found: [100, 50, 40], layout: "half-drop" },
    Case {
        tile: [150, 150],
        block: [30, 150],
        steps: &[[0, 0], [90, 30], [30, 60], [120, 90], [60, 120]],
        found: [150, 90, 30],
        layout: "drop=2/5",
    },
    Case {
        tile: [192, 192],
        block: [24, 192],
        steps: &[[0, 0], [72, 24], [144, 48], [24, 72], [96, 96], [168, 120], [48, 144], [120, 168]],
        found: [192, 72, 24],
        layout: "drop=3/8",
    },
    Case { tile: [97, 101], block: [97, 101], steps: &[[0, 0]], found: [97, 0, 101], layout: "straight" },
];

fn painted(case: &Case) -> Rows {
    let mut discs = Discs::strewn(case.block[0], case.block[1], 3, 7);
    [discs.width, discs.height] = case.tile;
    discs.stepped(case.steps).rows([0.0; 2])
}

#[test]
fn the_lattice_inside_is_found_wherever_the_tile_begins() {
    for case in &CASES {
        for [x, y] in [[0, 0], [17, 31], [case.tile[0] - 1, 5]] {
            let mut rows = painted(case).change_columns(|row| row.rotate_left(x));
            rows.rows.rotate_left(y);
            let (steps, inner) = inner(&rows.image());
            assert_eq!([steps.across, steps.shift, steps.down], case.found, "{:?} rolled by {x}, {y}", case.tile);
            assert_eq!((&inner.layout[..], inner.exact || inner.blocks == 1), (case.layout, true));
        }
    }
}

#[test]
fn a_copy_that_lies_a_pixel_off_is_no_repeat() {
    let case = &CASES[0];
    let mut discs = Discs::strewn(60, 50, 3, 7);
    [discs.width, discs.height] = case.tile;
    let mut discs = discs.stepped(case.steps);
    // The second copy of each.
    for disc in discs.discs.iter_mut().skip(1).step_by(case.steps.len()) {
        disc.0[0] += 1.0;
    }
    let (steps, inner) = inner(&discs.rows([0.0; 2]).image());
    assert_eq!([steps.across, steps.shift, steps.down], [120, 0, 150]);
    assert_eq!(inner.blocks, 1, "{inner:?}");
}
