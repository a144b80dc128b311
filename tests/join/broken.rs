//! Sides that do not belong together: what was cut off, left bare, or slipped too far to be followed.

use seamfast::join::{FaultKind, Verdict};

use crate::{Discs, GROUND, Rows, joins, tile};

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

/// A bunch of discs, at three places on the join and at three inside.
fn bunches() -> Discs {
    let bunch = [
        ([0.0, 0.0], 20.0, [40, 70, 110]),
        ([12.0, -10.0], 8.0, [180, 60, 40]),
        ([-10.0, 8.0], 7.0, [220, 180, 60]),
        ([4.0, 14.0], 6.0, [90, 140, 90]),
        ([15.0, 6.0], 5.0, [30, 30, 30]),
        ([-14.0, -9.0], 6.0, [200, 120, 140]),
    ];
    let discs = Discs { width: 400, height: 360, discs: bunch.map(|(at, r, color)| (at, r, color)).to_vec() };
    discs.stepped(&[[0, 60], [0, 180], [0, 300], [130, 75], [200, 185], [265, 305]])
}

#[test]
fn one_copy_of_several_that_the_join_has_torn_is_a_fault() {
    let whole = bunches().rows([0.0; 2]);
    assert_eq!(joins(&whole.image())[0].verdict, Verdict::Seamless);
    for columns in [1, 4, 60] {
        let mut torn = whole.clone();
        torn.rows[30..90].iter_mut().for_each(|row| row[400 - columns..].fill(GROUND));
        let [across, down] = joins(&torn.image());
        let fault = across.faults.first().filter(|fault| fault.kind == FaultKind::Broken && fault.witnessed);
        let area = fault.map(|fault| fault.areas[0]).unwrap_or_else(|| panic!("{columns} columns: {across:?}"));
        assert!(area.y >= 30 && area.y + area.height <= 100, "{area:?}");
        assert_eq!(down.verdict, Verdict::Seamless, "{columns} columns: {down:?}");
    }
}

#[test]
fn an_upright_bar_on_the_join_is_no_doubled_line() {
    let mut mast = Rows { width: 300, rows: vec![vec![GROUND; 300]; 300] };
    for y in 100..200 {
        mast.rows[y][..1].fill([60, 50, 40]);
        mast.rows[y][299..].fill([60, 50, 40]);
        mast.rows[y][1..=1 + (y - 100) / 2].fill([180, 60, 40]);
    }
    let [across, _] = joins(&mast.image());
    assert_eq!(across.verdict, Verdict::Unsure, "{across:?}");
    assert!(across.doubt.as_ref().is_some_and(|doubt| doubt.contains("the same in every pixel")), "{across:?}");
}

/// The other side of a large disc is bare; of small ones none is.
#[test]
fn a_straight_cut_longer_than_any_inside_is_doubtful() {
    let mut whole = Discs::strewn(400, 360, 12, 5);
    whole.discs.push(([0.0, 180.0], 45.0, [60, 90, 120]));
    let cut = whole.rows([0.0; 2]).change_columns(|row| row[..45].fill(GROUND));
    let [across, _] = joins(&cut.image());
    assert_ne!(across.verdict, Verdict::Seamless, "{across:?}");
}
