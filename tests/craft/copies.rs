//! The plan against brute force: every copy with ink on the tile, and no other, in an order
//! that overlaps the same way at every join.

use std::collections::BTreeSet;

use crate::common::{cases, designs, motifs, painted, tile};
use proptest::prelude::*;
use seamfast::repeat::{Lattice, Operator, PARTS, Repeat, Spot, Turn};
use seamfast::wrap::{Copies, Mark};

/// Far more than a motif of 180 px reaches from a tile of 200 px.
const FAR: i64 = 640;

/// The strongest alpha that a mark, painted alone and a step on, has on the tile grown by `grown`.
fn alpha_on_tile(repeat: &Repeat, mark: &Mark, step: [i64; 2], grown: i64) -> u8 {
    let (w, h) = (repeat.tile.width + 2 * grown, repeat.tile.height + 2 * grown);
    let mut alone = repeat.clone();
    alone.ground = None;
    alone.tile = tile(w + 2 * FAR, h + 2 * FAR);
    alone.lattice = Lattice::from_steps([[w + 2 * FAR, 0], [0, h + 2 * FAR]]).expect("upright");
    (alone.turns, alone.symmetry) = (vec![Turn::NONE], vec![mark.by]);
    let mut placement = repeat.placements[mark.placement];
    // The step is taken before the operator: undo its turn first.
    let back = Operator { m: transposed(mark.by.m), t: [0, 0] }.carry([step[0] + grown, step[1] + grown]);
    (placement.at, placement.linear) = (mark.at.moved(back), mark.linear);
    alone.placements = vec![placement];
    let picture = painted(&alone, motifs());
    let mut strongest = 0;
    for y in 0..h {
        for x in 0..w {
            strongest = strongest.max(picture.pixel(x, y)[3]);
        }
    }
    strongest
}

fn transposed(m: [[i64; 2]; 2]) -> [[i64; 2]; 2] {
    [[m[0][0], m[1][0]], [m[0][1], m[1][1]]]
}

/// Every lattice step whose mark could come near the tile, by trying all of them.
fn near(repeat: &Repeat, mark: &Mark) -> Vec<[i64; 2]> {
    let middle = mark.by.carry_spot(mark.at).units();
    let reach = 220.0;
    let mut steps = Vec::new();
    let (w, h) = (repeat.tile.width, repeat.tile.height);
    for y in -4 * h - 700..=4 * h + 700 {
        let at = middle[1] + y as f64;
        if at < -reach || at > h as f64 + reach {
            continue;
        }
        for x in -4 * w - 700..=4 * w + 700 {
            let at = middle[0] + x as f64;
            if at >= -reach && at <= w as f64 + reach && repeat.lattice.contains([x, y]) {
                steps.push([x, y]);
            }
        }
    }
    steps
}

proptest! {
    #![proptest_config(cases(60))]

    /// A window of tiles holds what each of them holds, moved, and nothing else.
    #[test]
    fn goods_hold_the_copies_of_each_of_their_tiles(repeat in designs(120..200, 1.5), from in [-2i64..1, -1i64..1]) {
        let (w, h) = (repeat.tile.width, repeat.tile.height);
        let window = [from[0] * w, from[1] * h, 2 * w, 2 * h];
        let wide = Copies::plan_window(&repeat, motifs(), window);
        let tile = Copies::plan(&repeat, motifs());
        prop_assert_eq!((wide.window(), tile.window()), (window, [0, 0, w, h]));
        let mut each = BTreeSet::new();
        for (x, y) in (from[0]..2).flat_map(|x| (from[1]..2).map(move |y| (x * w, y * h))) {
            each.extend(tile.copies().iter().map(|copy| (copy.mark, [copy.step[0] + x, copy.step[1] + y])));
        }
        let found: Vec<_> = wide.copies().iter().map(|copy| (copy.mark, copy.step)).collect();
        prop_assert_eq!(found.len(), each.len());
        prop_assert_eq!(found.into_iter().collect::<BTreeSet<_>>(), each);
    }
}

proptest! {
    #![proptest_config(cases(24))]

    #[test]
    fn none_is_missing_and_none_is_idle(mut repeat in designs(120..200, 1.2)) {
        for placement in &mut repeat.placements {
            placement.at = Spot::from_parts(placement.at.x() % (300 * PARTS), placement.at.y() % (300 * PARTS));
        }
        let plan = Copies::plan(&repeat, motifs());
        let found: BTreeSet<(usize, [i64; 2])> = plan.copies().iter().map(|c| (c.mark, c.step)).collect();
        prop_assert_eq!(found.len(), plan.copies().len(), "a copy is emitted once");
        for (index, mark) in plan.marks().iter().enumerate() {
            let near = near(&repeat, mark);
            for step in found.iter().filter(|(m, _)| *m == index).map(|(_, step)| step) {
                prop_assert!(near.contains(step), "the plan's step {:?} is far away", step);
            }
            for step in near {
                if found.contains(&(index, step)) {
                    // A filter's reach is bounded, not followed: its copies may be idle.
                    if motifs()[mark.motif].look() != Some(0.0) {
                        continue;
                    }
                    // A tip that reaches in by a pixel or two may be too thin to leave a trace.
                    let alpha = alpha_on_tile(&repeat, mark, step, TIP);
                    prop_assert!(alpha > 0, "the copy of {:?} at {:?} has no ink on the tile", mark, step);
                } else {
                    let alpha = alpha_on_tile(&repeat, mark, step, 0);
                    prop_assert!(alpha <= FAINT, "the copy of {:?} at {:?} is missing: alpha {}", mark, step, alpha);
                }
            }
        }
    }
}

/// A pointed wing is this many pixels long before it covers 1/255 of one.
const TIP: i64 = 3;

/// Anti-aliasing may touch a pixel that the outline does not: this much, of 255.
const FAINT: u8 = 3;

/// Layer, placement, operator, then down and across: the same for each mark wherever it lies.
#[test]
fn copies_come_in_painting_order() {
    let mut repeat = crate::common::repeat("drop=1/3".parse().expect("a layout"), 300, 300);
    for (layer, x) in [(1, 40), (0, 90), (1, 10)] {
        let linear = [0.5, 0.0, 0.0, 0.5];
        let at = Spot::from_parts(x * PARTS, 0);
        repeat.placements.push(seamfast::repeat::Placement { motif: 0, at, linear, layer });
    }
    let plan = Copies::plan(&repeat, motifs());
    assert_eq!(plan.marks().iter().map(|m| m.placement).collect::<Vec<_>>(), [1, 0, 2]);
    let keys: Vec<_> = plan.copies().iter().map(|c| (c.mark, c.step[1], c.step[0])).collect();
    assert!(keys.is_sorted(), "{keys:?}");
    assert!(keys.len() > 6, "motifs on the edge have copies");
}
