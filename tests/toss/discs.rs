//! Equal discs, of which most is known.

use seamfast::toss::{Dart, darts, toss};

use crate::common::{coverage, disc, gaps, kinds, square, wishes};

/// Saturated: no cell of the ground is left where another disc could lie.
#[test]
fn darts_of_discs_cover_what_the_literature_says() {
    let side = 60.0;
    let wishes = wishes(kinds(vec![disc(720)], [1.0, 1.0]), 0.0, 1);
    let laid = darts(&square(side), &wishes, Dart::Circles).expect("darts");
    let coverage = coverage(&wishes.kinds, &laid, side * side);
    println!("{} discs cover {coverage:.4}", laid.len());
    assert!((coverage - 0.547).abs() < 0.005, "{coverage}");
}

#[test]
fn a_toss_of_equal_discs_is_dense_and_below_the_densest() {
    let side = 20.0;
    for gap in [0.0, 0.1] {
        let wishes = wishes(kinds(vec![disc(100)], [1.0, 1.0]), gap, 7);
        let begun = std::time::Instant::now();
        let tossed = toss(&square(side), &wishes, &|_| false).expect("a toss");
        let whole = coverage(&wishes.kinds, &tossed.laid, side * side);
        // With half the gap around each, as the packings of the literature are counted.
        let counted = whole * (1.0 + gap) * (1.0 + gap);
        let [least, mean, spread] = gaps([[side, 0.0], [0.0, side]], &[kurbo::Affine::IDENTITY], &wishes.kinds, &tossed.laid);
        println!("gap {gap}: {} discs cover {whole:.4}, {counted:.4} with the gap, {:.1} s; gaps {least:.4} {mean:.4} {spread:.3}", tossed.laid.len(), begun.elapsed().as_secs_f64());
        assert!(least >= gap);
    }
}
