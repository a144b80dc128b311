//! One fault after another on the same tiles: each is found, on its own join, and named.

use seamfast::join::{FaultKind, Side, Verdict};

use crate::{Dice, Discs, GROUND, Rows, joins};

fn kinds(rows: &Rows, side: Side) -> Vec<FaultKind> {
    let joins = joins(&rows.image());
    let join = joins.iter().find(|join| join.side == side).expect("both joins");
    join.faults.iter().map(|fault| fault.kind).collect()
}

fn tile() -> Discs {
    Discs::strewn(400, 360, 130, 3)
}

#[test]
fn a_whole_tile_has_no_fault() {
    for seed in 1..20 {
        let joins = joins(&Discs::strewn(400, 360, 130, seed).rows([0.0; 2]).image());
        assert!(joins.iter().all(|join| join.verdict != Verdict::Fault), "seed {seed}: {joins:?}");
    }
}

#[test]
fn a_slip_is_found_to_half_a_pixel() {
    for off in [-2.0, -1.0, -0.5, 0.5, 1.0, 2.0] {
        let rows = tile().rows([0.0, off]);
        let joins = joins(&rows.image());
        let [fault] = &joins[0].faults[..] else { panic!("{off}: {joins:?}") };
        assert_eq!(fault.kind, FaultKind::Slip, "{off}");
        assert!((fault.amount - off).abs() < 0.3, "{off}: {}", fault.amount);
        assert_eq!(kinds(&rows.turned(), Side::TopBottom), [FaultKind::Slip], "{off}, turned");
    }
}

#[test]
fn a_slip_is_found_where_a_shape_only_just_reaches_over() {
    // Its contour is too steep there to be followed; its chords are not.
    let discs = vec![([28.0, 100.0], 31.0, [20, 60, 110]), ([200.0, 200.0], 40.0, [120, 40, 30])];
    let disc = Discs { width: 400, height: 360, discs };
    for off in [-2.0, -1.0, 0.0, 1.0, 2.0] {
        let joins = joins(&disc.rows([0.0, off]).image());
        match &joins[0].faults[..] {
            [] => assert_eq!(off, 0.0, "{joins:?}"),
            [fault] => assert!(fault.kind == FaultKind::Slip && (fault.amount - off).abs() < 0.1, "{off}: {joins:?}"),
            _ => panic!("{off}: {joins:?}"),
        }
    }
}

#[test]
fn a_line_that_stands_twice_is_found() {
    let whole = tile().rows([0.0; 2]);
    let last = whole.clone().change_columns(|row| row.push(row[row.len() - 1]));
    let first = whole.change_columns(|row| row.push(row[0]));
    for rows in [last, first] {
        assert_eq!(kinds(&rows, Side::LeftRight), [FaultKind::Doubled]);
        assert_eq!(kinds(&rows.turned(), Side::TopBottom), [FaultKind::Doubled]);
    }
}

#[test]
fn a_missing_line_is_seen_by_the_motif_inside() {
    let mut discs = Discs::strewn(200, 360, 50, 5);
    discs.width = 400;
    let rows = discs.stepped(&[[0, 0], [200, 180]]).rows([0.0; 2]);
    assert_eq!(kinds(&rows, Side::LeftRight), []);
    let short = rows.change_columns(|row| _ = row.pop());
    let joins = joins(&short.image());
    let [fault] = &joins[0].faults[..] else { panic!("{joins:?}") };
    assert_eq!((fault.kind, fault.amount, fault.witnessed), (FaultKind::Missing, 1.0, true));
    assert!(fault.what(Side::LeftRight).contains("1 px too near"), "{}", fault.what(Side::LeftRight));
}

#[test]
fn half_a_pixel_is_seen_by_the_motif_inside_where_few_contours_cross() {
    let ring = |radius: f64, color| ([205.0, 100.0], radius, color);
    let discs = vec![ring(16.0, [20, 60, 110]), ring(12.0, [240, 200, 40]), ring(3.0, [200, 20, 60])];
    let halves = Discs { width: 400, height: 360, discs }.stepped(&[[0, 0], [200, 180]]);
    assert_eq!(kinds(&halves.rows([0.0; 2]), Side::LeftRight), []);
    for off in [-0.5, 0.5] {
        let joins = joins(&halves.rows([0.0, off]).image());
        let [fault] = &joins[0].faults[..] else { panic!("{off}: {joins:?}") };
        assert_eq!(fault.kind, FaultKind::Slip);
        assert!((fault.amount - off).abs() < 0.1 && joins[0].slip == Some(fault.amount), "{off}: {joins:?}");
    }
}

#[test]
fn a_line_that_is_a_little_paler_than_its_copy_inside_is_found() {
    // The motif just reaches over the edge: no two of its lines are alike.
    let discs = vec![([187.0, 100.0], 14.5, [20, 60, 110]), ([60.0, 70.0], 20.0, [120, 40, 30])];
    let whole = Discs { width: 400, height: 360, discs }.stepped(&[[0, 0], [200, 180]]).rows([0.0; 2]);
    assert_eq!(kinds(&whole, Side::LeftRight), []);
    let pale = |row: &mut Vec<[u8; 3]>| {
        let last = row.len() - 1;
        row[last] = std::array::from_fn(|c| ((3 * u16::from(row[last][c]) + u16::from(GROUND[c])) / 4) as u8);
    };
    let spoiled = whole.change_columns(pale);
    for (rows, join) in [(spoiled.turned(), 1), (spoiled, 0)] {
        let joins = joins(&rows.image());
        let [fault] = &joins[join].faults[..] else { panic!("{joins:?}") };
        assert_eq!((fault.kind, fault.witnessed), (FaultKind::SoftEdge, true));
        assert!((fault.amount - 0.75).abs() < 0.01, "{}", fault.amount);
    }
}

#[test]
fn a_darker_line_is_found_where_no_two_pixels_are_alike() {
    let mut dice = Dice(8);
    let row = |_| (0..300).map(|_| [22.0, 18.0, 14.0].map(|level| (level + dice.roll(12.0)) as u8)).collect();
    let grain = Rows { width: 300, rows: (0..280).map(row).collect() };
    assert_eq!(kinds(&grain, Side::LeftRight), []);
    let dark = grain.change_columns(|row| row[0] = row[0].map(|level| level / 10 * 8));
    assert_eq!(kinds(&dark, Side::LeftRight), [FaultKind::Hairline]);
    assert_eq!(kinds(&dark.turned(), Side::LeftRight), []);
}

#[test]
fn a_hairline_is_found_between_sides_that_are_unlike() {
    let mut tile = tile().rows([0.0; 2]);
    for (y, row) in tile.rows.iter_mut().enumerate() {
        let half = row.len() / 2;
        row[half..].iter_mut().flatten().for_each(|level| *level = level.saturating_sub(60 + (y % 7) as u8));
    }
    assert!(!kinds(&tile, Side::LeftRight).contains(&FaultKind::Hairline));
    let white = tile.change_columns(|row| row.iter_mut().next_back().into_iter().for_each(|last| *last = [255; 3]));
    assert!(kinds(&white, Side::LeftRight).contains(&FaultKind::Hairline));
}

#[test]
fn after_packing_two_colors_of_like_brightness_are_no_slight_step() {
    let bands = [[200, 60, 60], [240, 236, 225], [60, 108, 190]];
    let row: Vec<[u8; 3]> = (0..360).map(|x| bands[x / 120]).collect();
    let joins = joins(&Rows { width: 360, rows: vec![row; 300] }.image().lossy());
    assert!(joins.iter().all(|join| join.faults.is_empty()), "{joins:?}");
}

#[test]
fn soft_edges_and_hairlines_are_found() {
    let blend = |rows: Rows, share: f64, with: [u8; 3]| {
        rows.change_columns(|row| {
            let last = row.len() - 1;
            for (level, with) in row[last].iter_mut().zip(with) {
                *level = (f64::from(*level) * share + f64::from(with) * (1.0 - share)).round() as u8;
            }
        })
    };
    for share in [0.25, 0.5, 0.8] {
        assert_eq!(
            kinds(&blend(tile().rows([0.0; 2]), share, GROUND), Side::LeftRight),
            [FaultKind::SoftEdge],
            "{share}"
        );
    }
    // White on a ground that changes along the edge: no two samples are off by the same.
    let mut shaded = tile().rows([0.0; 2]);
    for (y, row) in shaded.rows.iter_mut().enumerate() {
        let dark = (0.5 - 0.3 * (y as f64 / 360.0 * std::f64::consts::TAU).cos()).clamp(0.0, 1.0);
        row.iter_mut().flatten().for_each(|level| *level = (f64::from(*level) * dark) as u8);
    }
    assert_eq!(kinds(&shaded, Side::LeftRight), []);
    assert_eq!(kinds(&blend(shaded, 0.7, [255; 3]), Side::LeftRight), [FaultKind::SoftEdge]);
    let line = blend(tile().rows([0.0; 2]), 0.0, [255, 0, 0]);
    assert_eq!(kinds(&line, Side::LeftRight).first(), Some(&FaultKind::Hairline));
}

#[test]
fn stripes_with_an_edge_on_the_join_are_no_fault() {
    for turned in [false, true] {
        let row: Vec<[u8; 3]> =
            (0..360).map(|x| if x / 45 % 2 == 0 { [20, 60, 110] } else { [240, 236, 225] }).collect();
        let rows = Rows { width: 360, rows: vec![row; 300] };
        let rows = if turned { rows.turned() } else { rows };
        let joins = joins(&rows.image());
        assert!(joins.iter().all(|join| join.verdict == Verdict::Seamless), "{joins:?}");
    }
}
