//! Tiles and motifs that are too small to say much, or nothing at all.

use seamfast::join::{FaultKind, Image, Join, Verdict, inner, judge};

use crate::Discs;

fn judged(image: &Image) -> Vec<Join> {
    let (steps, inner) = inner(image);
    judge(image, steps, &inner)
}

#[test]
fn any_size_is_judged() {
    for channels in [3, 4] {
        for width in [1, 2, 3, 5, 8, 13, 31, 32, 33, 64] {
            for height in [1, 2, 7, 16, 33, 50] {
                for flat in [true, false] {
                    let level = |i: usize| if flat { 200 } else { (i * 7919 % 251) as u8 };
                    let bytes = (0..width * height * channels).map(level).collect();
                    let image = Image::new(width, height, channels, bytes);
                    let (steps, inner) = inner(&image);
                    assert!(width % steps.across == 0 && height % steps.down == 0 && inner.blocks >= 1);
                    let joins = judge(&image, steps, &inner);
                    assert!(!flat || joins.iter().all(|join| join.verdict == Verdict::Seamless), "{width} × {height}");
                }
            }
        }
    }
}

/// Round motifs whose middle lies on a join hardly change beside it: their lines there are nearly alike, and none
/// stands twice. Six on each join, at any part of a pixel; in a sample of them one column does stand twice.
#[test]
fn round_motifs_on_the_join_are_no_doubled_line() {
    let dots = |radius: f64, part: f64| {
        let along = (0..6).map(|n| 25.0 + 50.0 * f64::from(n));
        let discs = along.flat_map(|at| [([part, at], radius, [60, 80, 120]), ([at, part], radius, [60, 80, 120])]);
        Discs { width: 300, height: 300, discs: discs.collect() }.rows([0.0, 0.0])
    };
    for radius in [3.0, 5.0, 6.0, 7.0, 8.0, 10.0, 15.0] {
        for part in [0.0, 0.25, 0.5, 0.9] {
            for join in judged(&dots(radius, part).image()) {
                assert!(join.faults.is_empty(), "radius {radius}, {part} px past the join: {:?}", join.faults);
            }
        }
    }
    // Far from their middles a line that stands twice is still seen.
    let doubled = dots(15.0, 9.0).change_columns(|row| {
        let first = row[0];
        row.insert(0, first);
    });
    assert!(judged(&doubled.image())[0].faults.iter().any(|fault| fault.kind == FaultKind::Doubled));
}

/// Dots of a few pixels, or a few levels from the ground: nothing of them can be followed, and where they don't lie as
/// they should that is said.
#[test]
fn what_cannot_be_followed_is_not_called_seamless() {
    let tile = |radius: f64, color: [u8; 3], off: f64| {
        let discs = (0..6).map(|n| ([0.0, 25.0 + 50.0 * f64::from(n)], radius, color));
        Discs { width: 300, height: 300, discs: discs.collect() }.rows([0.0, off])
    };
    for (radius, color) in [(2.0, [60, 80, 120]), (20.0, [231, 225, 213])] {
        assert_eq!(judged(&tile(radius, color, 0.0).image())[0].verdict, Verdict::Seamless);
        let join = &judged(&tile(radius, color, 2.0).image())[0];
        assert_ne!(join.verdict, Verdict::Seamless, "{join:?}");
        let followed = "too small or too faint to be followed";
        assert!(
            !join.faults.is_empty() || join.doubt.as_ref().is_some_and(|doubt| doubt.contains(followed)),
            "{join:?}"
        );
    }
}
