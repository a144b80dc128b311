//! Wishes that can't be met, or only in part; stops; seeds.

use std::cell::Cell;

use seamfast::toss::{Fixed, Silhouette, TossError, Wishes, toss};

use crate::common::{Cloth, disc, kinds, wishes};

fn refused(change: impl FnOnce(&mut Wishes)) -> TossError {
    let mut wishes = wishes(kinds(vec![disc(24), disc(24)], [1.0, 2.0]), 0.1, 1);
    change(&mut wishes);
    toss(&Cloth::square(6.0).torus(), &wishes, &|_| false).unwrap_err()
}

#[test]
fn contradictions_are_refused() {
    assert_eq!(refused(|w| w.kinds.clear()), TossError::NoKind);
    assert_eq!(refused(|w| w.kinds.iter_mut().for_each(|k| k.filler = true)), TossError::OnlyFillers);
    assert_eq!(refused(|w| w.gap = 6.0), TossError::Gap { gap: 6.0, step: 6.0 });
    assert_eq!(refused(|w| w.gap = -0.1), TossError::Gap { gap: -0.1, step: 6.0 });
    assert!(matches!(refused(|w| w.gap = f64::NAN), TossError::Gap { .. }));
    assert_eq!(refused(|w| w.kinds[1].sizes = [2.0, 1.0]), TossError::Sizes { kind: 1, sizes: [2.0, 1.0] });
    assert_eq!(refused(|w| w.kinds[0].sizes = [0.0, 1.0]), TossError::Sizes { kind: 0, sizes: [0.0, 1.0] });
    assert_eq!(refused(|w| w.kinds.iter_mut().for_each(|k| k.share = 0.0)), TossError::Shares);
    assert_eq!(refused(|w| w.kinds[0].share = -1.0), TossError::Shares);
    assert_eq!(refused(|w| w.kinds[1].silhouette.contours.clear()), TossError::NoInk { kind: 1 });
    let alone = refused(|w| {
        w.apart = Some(1.0);
        w.kinds[1].family = 0;
    });
    assert_eq!(alone, TossError::Alone);
    assert_eq!(refused(|w| w.apart = Some(6.0)), TossError::Apart { apart: 6.0, step: 6.0 });
    let TossError::TooLarge { kind: 1, near } = refused(|w| w.kinds[1].sizes = [5.95, 7.0]) else {
        panic!("too large")
    };
    // A 24-gon is as wide as its circle at some turns, and 0.9914 of that at others.
    assert!((0.05..0.1).contains(&near), "{near}");
}

#[test]
fn fixed_motifs_too_near_each_other_are_refused() {
    let at = |x: f64| {
        let contours = vec![disc(24).contours[0].iter().map(|p| [p[0] + x, p[1]]).collect()];
        Fixed { silhouette: Silhouette { contours, slack: 0.0 }, family: 9, overlap: false, bare: false }
    };
    // The second comes near to the first over the edge.
    let TossError::FixedTooNear { fixed, near, .. } = refused(|w| w.fixed = vec![at(0.5), at(5.45)]) else {
        panic!("too near")
    };
    assert_eq!(fixed, [0, 1]);
    assert!((near - 0.05).abs() < 1e-9, "{near}");
    // A disc of 5.95 on a block of 6 comes as near to its own copies; mirrored images are no copies.
    let wide = |overlap: bool| {
        let contours = vec![disc(24).contours[0].iter().map(|p| [5.95 * p[0] + 3.0, 0.5 * p[1] + 3.0]).collect()];
        Fixed { silhouette: Silhouette { contours, slack: 0.0 }, family: 9, overlap, bare: false }
    };
    let TossError::FixedTooNear { fixed, near, .. } = refused(|w| w.fixed = vec![wide(false)]) else {
        panic!("too near")
    };
    assert_eq!(fixed, [0, 0]);
    assert!((near - 0.05).abs() < 1e-9, "{near}");
    let cloth = Cloth::square(6.0);
    let mut wishes = wishes(kinds(vec![disc(24)], [0.6, 0.8]), 0.1, 1);
    wishes.fixed = vec![wide(true), wide(true)];
    let tossed = toss(&cloth.torus(), &wishes, &|_| false).unwrap();
    assert!(tossed.laid.len() > 20 && cloth.gaps(&wishes, &tossed.laid)[0] >= 0.1, "{}", tossed.laid.len());
}

#[test]
fn what_does_not_go_in_is_left_out() {
    let mut wishes = wishes(kinds(vec![disc(24)], [1.0, 1.0]), 0.1, 1);
    wishes.count = Some(100);
    let cloth = Cloth::square(5.0);
    let tossed = toss(&cloth.torus(), &wishes, &|_| false).unwrap();
    // π/√12 of the ground, each with half the gap around it, are 23.8.
    assert!((18..24).contains(&tossed.laid.len()), "{}", tossed.laid.len());
    assert_eq!(tossed.asked, Some(100));
    assert!(cloth.gaps(&wishes, &tossed.laid)[0] >= 0.1);
}

/// It once widened the gap around what lies fixed without end.
#[test]
fn where_all_is_fixed_nothing_is_laid_and_it_ends() {
    let contours = vec![disc(24).contours[0].iter().map(|p| [5.5 * p[0] + 3.0, 5.5 * p[1] + 3.0]).collect()];
    let mut wishes = wishes(kinds(vec![disc(24)], [3.2, 3.2]), 0.1, 1);
    wishes.fixed =
        vec![Fixed { silhouette: Silhouette { contours, slack: 0.0 }, family: 9, overlap: false, bare: false }];
    let tossed = toss(&Cloth::square(6.0).torus(), &wishes, &|_| false).unwrap();
    assert!(tossed.laid.is_empty() && (tossed.coverage - 0.65).abs() < 0.02, "{}", tossed.coverage);
}

#[test]
fn a_seed_is_a_toss_and_another_seed_another() {
    let cloth = Cloth::square(5.0);
    let laid = |seed| {
        toss(&cloth.torus(), &wishes(kinds(vec![disc(24), disc(7)], [0.6, 1.0]), 0.1, seed), &|_| false).unwrap().laid
    };
    assert_eq!(laid(3), laid(3));
    assert_ne!(laid(3), laid(4));
}

#[test]
fn a_stop_keeps_the_best_so_far() {
    let cloth = Cloth::square(8.0);
    let wishes = wishes(kinds(vec![disc(24), disc(7)], [0.6, 1.0]), 0.1, 3);
    let asked = Cell::new(0);
    let whole = toss(&cloth.torus(), &wishes, &|done| {
        asked.set(asked.get() + 1);
        assert!((0.0..=1.0).contains(&done));
        false
    });
    assert!(!whole.unwrap().stopped && asked.get() > 100);
    let mut most = 0;
    for share in [0, 2, 5, 9] {
        let left: Cell<u32> = Cell::new(asked.get() * share / 10);
        let tossed = toss(&cloth.torus(), &wishes, &|_| {
            left.set(left.get().saturating_sub(1));
            left.get() == 0
        });
        let tossed = tossed.unwrap();
        assert!(tossed.stopped);
        assert!(tossed.laid.is_empty() || cloth.gaps(&wishes, &tossed.laid)[0] >= 0.1, "after {share} of 10");
        most = most.max(tossed.laid.len());
    }
    assert!(most > 40, "{most}");
}
