//! The shipped motifs: how much more of the cloth they cover than blind throwing does, by the same silhouettes and the
//! same gap, and how even their gaps are. Coverage is of silhouettes, holes filled, without the gap.

use seamfast::toss::{Dart, Grain, Turns, darts, toss};

use crate::common::{Cloth, coverage, disc, harbour, kinds, wishes};

#[test]
fn a_toss_covers_more_than_darts_by_outlines_and_far_more_than_by_circles() {
    let cloth = Cloth { steps: [[6.0, 4.0], [0.0, 8.0]], ..Cloth::square(1.0) };
    let wishes = wishes(kinds(harbour(), [1.0, 1.0]), 0.12, 3);
    let torus = cloth.torus();
    let tossed = toss(&torus, &wishes, &|_| false).unwrap();
    let of = |laid: &[seamfast::toss::Laid]| coverage(&wishes.kinds, laid, cloth.area());
    let ours = of(&tossed.laid);
    let outlines = of(&darts(&torus, &wishes, Dart::Outlines { patience: 10_000 }).unwrap());
    let circles = of(&darts(&torus, &wishes, Dart::Circles).unwrap());
    assert!(ours >= 1.1 * outlines, "{ours} to {outlines}");
    assert!(ours >= 1.25 * circles, "{ours} to {circles}");
    let [least, _, spread] = cloth.gaps(&wishes, &tossed.laid);
    assert!(least >= 0.12 && spread <= 0.35, "{least}, {spread}");
    // The shares are even, to one motif.
    let counts: Vec<usize> = (0..10).map(|kind| tossed.laid.iter().filter(|laid| laid.kind == kind).count()).collect();
    assert!(counts.iter().max().unwrap() - counts.iter().min().unwrap() <= 3, "{counts:?}");
}

#[test]
fn a_count_is_met_and_spread_over_the_whole_ground() {
    let cloth = Cloth::square(8.0);
    let mut wishes = wishes(kinds(harbour(), [0.8, 1.2]), 0.1, 5);
    wishes.count = Some(20);
    let tossed = toss(&cloth.torus(), &wishes, &|_| false).unwrap();
    assert_eq!(tossed.laid.len(), 20);
    let [least, mean, spread] = cloth.gaps(&wishes, &tossed.laid);
    // Half of what darts of the same count reach by luck would do for the gap that is asked.
    assert!(least > 0.3 && mean > 0.4 && spread <= 0.35, "{least} {mean} {spread}");
}

#[test]
fn places_turns_and_sizes_are_whole_multiples_of_the_grain() {
    let cloth = Cloth::square(6.0);
    let mut wishes = wishes(kinds(harbour(), [0.7, 1.3]), 0.1, 5);
    wishes.grain = Grain { length: 0.01, turn: 0.5 };
    wishes.kinds.push(seamfast::toss::Kind { filler: true, family: 99, ..kinds(vec![disc(30)], [0.1, 0.3]).remove(0) });
    let tossed = toss(&cloth.torus(), &wishes, &|_| false).unwrap();
    let whole = |n: f64, grain: f64| ((n / grain).round() * grain - n).abs() < 1e-9;
    for laid in &tossed.laid {
        let lengths = [laid.at[0], laid.at[1], laid.size];
        assert!(lengths.into_iter().all(|n| whole(n, 0.01)) && whole(laid.turn, 0.5), "{laid:?}");
    }
    let fillers = tossed.laid.iter().filter(|laid| laid.kind == 10).count();
    assert!(fillers == tossed.fillers && fillers > 2, "{fillers} fillers");
    assert!(cloth.gaps(&wishes, &tossed.laid)[0] >= 0.1);
}

#[test]
fn turns_are_those_that_are_asked() {
    for (turns, step) in [(Turns::OneWay, 360.0), (Turns::TwoWay, 180.0), (Turns::FourWay, 90.0)] {
        let cloth = Cloth::square(5.0);
        let mut wishes = wishes(kinds(harbour(), [1.0, 1.0]), 0.1, 2);
        wishes.turns = turns;
        let tossed = toss(&cloth.torus(), &wishes, &|_| false).unwrap();
        let mut found: Vec<f64> = tossed.laid.iter().map(|laid| laid.turn).collect();
        assert!(found.iter().all(|turn| turn % step == 0.0), "{turns:?}: {found:?}");
        found.sort_by(f64::total_cmp);
        found.dedup();
        assert_eq!(found.len(), (360.0 / step) as usize, "{turns:?}: {found:?}");
    }
}
