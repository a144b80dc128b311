//! Sides that do not belong together: what was cut off, left bare, or slipped too far to be followed.

use seamfast::join::{FaultKind, Verdict};

use crate::{Discs, GROUND, joins, tile};

#[test]
fn columns_that_were_cut_off_are_missed() {
    let mut faults = 0;
    for seed in 1..9 {
        for columns in [6, 12, 30, 90] {
            let [across, down] = joins(&tile(seed).change_columns(|row| row.truncate(400 - columns)).image());
            assert_ne!(across.verdict, Verdict::Seamless, "seed {seed}, {columns} columns: {across:?}");
            faults += usize::from(across.verdict == Verdict::Fault);
            assert_ne!(down.verdict, Verdict::Fault, "seed {seed}, {columns} columns: {down:?}");
        }
    }
    // Of few motifs, few contours end.
    assert!(faults >= 24, "{faults} of 32 are faults");
}

#[test]
fn a_page_that_is_too_large_is_not_called_seamless() {
    for (seed, color) in (1..9).flat_map(|seed| [GROUND, [255; 3], [0; 3]].map(|color| (seed, color))) {
        for columns in [5, 10, 20] {
            let padded = tile(seed).change_columns(|row| row.extend(vec![color; columns]));
            let [across, _] = joins(&padded.image());
            assert_ne!(across.verdict, Verdict::Seamless, "seed {seed}, {columns} columns of {color:?}: {across:?}");
            let [_, down] = joins(&padded.turned().image());
            assert_ne!(
                down.verdict,
                Verdict::Seamless,
                "turned: seed {seed}, {columns} columns of {color:?}: {down:?}"
            );
        }
    }
}

#[test]
fn motifs_that_leave_and_do_not_come_in_again_are_not_called_seamless() {
    for seed in 1..9 {
        for columns in [20, 60] {
            // Also where the tile holds its motifs twice, and they are whole inside.
            let half_drop = Discs::strewn(400, 360, 30, seed).stepped(&[[0, 0], [200, 180]]).rows([0.0; 2]);
            for whole in [tile(seed), half_drop] {
                let [across, _] = joins(&whole.change_columns(|row| row[..columns].fill(GROUND)).image());
                assert_ne!(across.verdict, Verdict::Seamless, "seed {seed}, {columns} columns: {across:?}");
                assert!(!across.proven, "seed {seed}, {columns} columns: {across:?}");
            }
        }
    }
}

#[test]
fn a_slip_too_far_to_be_followed_is_a_fault() {
    for off in [20.0, 33.0] {
        let [across, _] = joins(&Discs::strewn(400, 360, 60, 3).rows([0.0, off]).image());
        assert_eq!(across.faults.first().map(|fault| fault.kind), Some(FaultKind::Broken), "{off}: {across:?}");
    }
}
