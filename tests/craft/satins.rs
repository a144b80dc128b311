//! Satins against a published table, and motifs that alternate: no place of the layout is left out or taken twice.

use std::collections::BTreeSet;

use seamfast::repeat::{Layout, Scheme, satin_step};

use crate::common::{list, on_tile, reference};

#[test]
fn satins_have_the_steps_of_the_table() {
    let table = reference("satin_orders.json");
    assert!(list(&table, "table").len() >= 28);
    for row in list(&table, "table") {
        let ends = row["ends"].as_i64().expect("ends");
        assert_eq!(satin_step(ends), row["most_even_move"].as_i64(), "{ends} ends");
        let all: BTreeSet<i64> = list(row, "all_moves").iter().map(|m| m.as_i64().expect("a step")).collect();
        for step in 0..=ends {
            let written: Result<Layout, _> = format!("satin={ends}/{step}").parse();
            assert_eq!(written.is_ok(), all.contains(&step), "satin={ends}/{step}");
            let Ok(layout) = written else { continue };
            let repeat = on_tile(&layout.scheme(), ends * 10, ends * 10);
            let cell = repeat.block[0] / ends;
            let points: BTreeSet<i64> = (0..ends).map(|i| i * step % ends).collect();
            assert_eq!(points.len() as i64, ends, "one place in each row");
            for i in 0..ends {
                assert!(repeat.lattice.contains([i * cell, i * step % ends * cell]), "{layout}: column {i}");
            }
        }
    }
    assert_eq!("satin=8".parse::<Layout>().expect("a satin").to_string(), "satin=8/3");
}

/// Motifs alternate: as many kinds of place as asked, together all places of the layout they are laid on.
#[test]
fn places_alternate_and_leave_none_out() {
    for (layout, along, count) in [
        ("straight", "columns", 2),
        ("straight", "checker=3", 3),
        ("half-drop", "rows=2", 2),
        ("half-drop", "columns=3", 3),
        ("brick", "checker", 2),
        ("hexagonal", "checker=3", 3),
        ("satin=5", "columns=5", 5),
    ] {
        let base: Layout = layout.parse().expect(layout);
        let scheme = Scheme::new(Some(base), None, Some(along.parse().expect(along))).expect(along);
        let repeat = on_tile(&scheme, 900, 900);
        let fine = base.scheme().lattice(repeat.block).expect("whole steps");
        assert_eq!(repeat.places.len(), count, "{layout} {along}");
        for [x, y] in fine.steps_into([0.0; 4], [-2000, -2000, 2000, 2000]) {
            let kinds = repeat.places.iter().filter(|place| repeat.lattice.contains([x - place[0], y - place[1]]));
            assert_eq!(kinds.count(), 1, "{layout} {along}: {x} {y}");
        }
    }
    let refused = Scheme::new(Some(Layout::Pinwheel), None, Some("rows".parse().expect("rows"))).expect_err("turns");
    assert!(refused.to_string().contains("give each motif its place by hand"), "{refused}");
}
