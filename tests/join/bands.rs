//! Some lines along an edge, or along both: frames that were left in the file, edges that fade or are blurred.

use seamfast::join::{FaultKind, Verdict};

use crate::{Discs, GROUND, Rows, joins, tile};

/// Discs so large that their contours go on for a while.
fn large(seed: u64) -> Rows {
    let mut discs = Discs::strewn(400, 360, 70, seed);
    discs.discs.iter_mut().for_each(|disc| disc.1 *= 3.0);
    discs.rows([0.0; 2])
}

/// A tile that holds its motifs twice.
fn twice(seed: u64) -> Rows {
    let mut half = Discs::strewn(200, 360, 20, seed);
    half.width = 400;
    half.stepped(&[[0, 0], [200, 180]]).rows([0.0; 2])
}

/// The same with so many columns at both edges, or at the right one alone, laid over with a color, each by its share.
fn covered(rows: Rows, shares: &[f64], color: [u8; 3], both: bool) -> Rows {
    rows.change_columns(|row| {
        let last = row.len() - 1;
        for (depth, share) in shares.iter().enumerate() {
            let mix = |level: u8, with: u8| (f64::from(level) * (1.0 - share) + f64::from(with) * share).round() as u8;
            for at in if both { vec![depth, last - depth] } else { vec![last - depth] } {
                row[at] = std::array::from_fn(|c| mix(row[at][c], color[c]));
            }
        }
    })
}

/// The same, blurred, about as by a Gaussian of 1.7 px, on a torus.
fn blurred(rows: &Rows) -> Rows {
    let along = |rows: &Rows| {
        let mut soft = rows.clone();
        for line in &mut soft.rows {
            for _ in 0..6 {
                let sharp = line.clone();
                let near = |at: usize, c: usize| u16::from(sharp[at % sharp.len()][c]);
                for (at, pixel) in line.iter_mut().enumerate() {
                    let [before, own, behind] = [at + sharp.len() - 1, at, at + 1];
                    *pixel = [0, 1, 2].map(|c| ((near(before, c) + 2 * near(own, c) + near(behind, c) + 2) / 4) as u8);
                }
            }
        }
        soft.turned()
    };
    along(&along(rows))
}

/// The same with so many columns at the right edge blurred.
fn blurred_at_the_edge(rows: &Rows, deep: usize) -> Rows {
    let (mut own, soft) = (rows.clone(), blurred(rows));
    for (row, soft) in own.rows.iter_mut().zip(soft.rows) {
        let from = row.len() - deep;
        row[from..].copy_from_slice(&soft[from..]);
    }
    own
}

#[test]
fn a_frame_is_a_fault_where_it_lies_over_the_motifs() {
    let mut found = 0;
    for (seed, deep) in (1..4).flat_map(|seed| [1, 2, 3].map(|deep| (seed, deep))) {
        for whole in [tile(seed), twice(seed)] {
            let framed = covered(whole, &vec![1.0; deep], [250, 60, 30], true);
            for (image, join) in [(framed.turned().image(), 1), (framed.image(), 0)] {
                let joins = joins(&image);
                assert_ne!(joins[join].verdict, Verdict::Seamless, "seed {seed}, {deep}: {joins:?}");
                found += usize::from(joins[join].faults.iter().any(|fault| fault.kind == FaultKind::Hairline));
                assert_ne!(joins[1 - join].verdict, Verdict::Fault, "seed {seed}, {deep}: {joins:?}");
            }
        }
    }
    // What is of the frame's own color, it can't be seen to lie over.
    assert!(found >= 33, "{found} of 36 are faults");
}

#[test]
fn a_frame_of_the_grounds_color_is_told_by_the_motifs_that_it_cuts() {
    for seed in 1..7 {
        let [across, _] = joins(&covered(tile(seed), &[1.0; 2], GROUND, true).image());
        assert_ne!(across.verdict, Verdict::Seamless, "seed {seed}: {across:?}");
    }
}

#[test]
fn one_line_of_the_design_on_the_join_may_be_a_frame_and_one_of_many_is_none() {
    // A windowpane: lines of four pixels, one of them with its middle on the join.
    let pane = |every: usize| {
        let is_line = |x: usize| (x + 2) % every < 4;
        let row: Vec<[u8; 3]> = (0..400).map(|x| if is_line(x) { [20, 60, 110] } else { GROUND }).collect();
        joins(&Rows { width: 400, rows: vec![row; 360] }.image())
    };
    let [one, _] = pane(400);
    assert_eq!((one.verdict, one.faults.len()), (Verdict::Unsure, 0), "{one:?}");
    let [many, _] = pane(80);
    assert_eq!(many.verdict, Verdict::Seamless, "{many:?}");
}

#[test]
fn an_edge_that_fades_is_not_called_seamless() {
    for (seed, deep) in (1..4).flat_map(|seed| [2, 4, 8].map(|deep| (seed, deep))) {
        let shares: Vec<f64> = (0..deep).map(|depth| 1.0 - (depth as f64 + 0.5) / deep as f64).collect();
        for (color, both) in [(GROUND, true), (GROUND, false), ([255; 3], true)] {
            for whole in [tile(seed), twice(seed)] {
                let [across, _] = joins(&covered(whole, &shares, color, both).image());
                assert_ne!(across.verdict, Verdict::Seamless, "seed {seed}, {deep}, {color:?}, {both}: {across:?}");
            }
        }
    }
}

#[test]
fn a_blurred_edge_is_washed_out() {
    let (mut told, mut found) = (0, 0);
    for (seed, deep) in (1..7).flat_map(|seed| [4, 8, 12].map(|deep| (seed, deep))) {
        for whole in [large(seed), twice(seed)] {
            let [across, down] = joins(&blurred_at_the_edge(&whole, deep).image());
            assert_ne!(down.verdict, Verdict::Fault, "seed {seed}, {deep}: {down:?}");
            told += usize::from(across.verdict != Verdict::Seamless);
            found += usize::from(across.faults.iter().any(|fault| fault.kind == FaultKind::SoftEdge));
        }
    }
    // Where few contours reach the edge, or end soon, they say nothing.
    assert!(told >= 26 && found >= 15, "{told} of 36 are told, {found} are called washed out");
}

#[test]
fn whole_tiles_fade_nowhere() {
    for seed in 1..12 {
        for whole in [tile(seed), large(seed), twice(seed)] {
            for join in joins(&whole.image()) {
                assert_ne!(join.verdict, Verdict::Fault, "seed {seed}: {join:?}");
                let told = join.doubt.iter().any(|doubt| doubt.contains("strength") || doubt.contains("color"));
                assert!(!told, "seed {seed}: {join:?}");
            }
        }
    }
}
