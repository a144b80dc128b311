use proptest::prelude::*;

use super::*;
use crate::length::Length;

fn tile(width: i64, height: i64) -> Tile {
    let size = Size { width: Length::from_emu(width), height: Length::from_emu(height) };
    Tile { width, height, size }
}

fn repeat(layout: &str, width: i64, height: i64) -> Repeat {
    let layout: Layout = layout.parse().expect(layout);
    Repeat::new(&layout.scheme(), tile(width, height), layout.scheme().tile_blocks()).expect("a repeat")
}

/// Lattice algebra of drops and bricks: basis, smallest straight cell, determinant = w × h
/// (derived from the definition of the layouts; half-drop moves columns, brick moves rows).
#[test]
fn layouts_have_the_steps_of_the_trade() {
    for (layout, size, steps, rows) in [
        ("straight", (60, 80), [[60, 0], [0, 80]], (60, 0, 80)),
        ("half-drop", (120, 80), [[60, 40], [0, 80]], (120, 60, 40)),
        ("drop=1/3", (180, 90), [[60, 30], [0, 90]], (180, 60, 30)),
        ("drop=2/3", (180, 90), [[60, 60], [0, 90]], (180, 120, 30)),
        ("brick", (100, 80), [[100, 0], [50, 40]], (100, 50, 40)),
        ("brick=1/3", (90, 120), [[90, 0], [30, 40]], (90, 30, 40)),
        ("mirror", (100, 80), [[100, 0], [0, 80]], (100, 0, 80)),
        ("mirror-across", (100, 80), [[100, 0], [0, 80]], (100, 0, 80)),
    ] {
        let r = repeat(layout, size.0, size.1);
        assert_eq!(r.lattice.steps(), steps, "{layout}");
        assert_eq!((r.lattice.across(), r.lattice.shift(), r.lattice.down()), rows, "{layout}");
        let area = r.lattice.across() * r.lattice.down();
        assert_eq!(area, r.block[0] * r.block[1] * r.symmetry.len() as i64, "{layout}");
    }
}

#[test]
fn a_tile_the_lattice_cannot_divide_is_no_repeat() {
    let half_drop: Layout = "half-drop".parse().expect("a layout");
    let half_drop = half_drop.scheme();
    assert!(Repeat::new(&half_drop, tile(120, 81), [2, 1]).is_none());
    assert!(Repeat::new(&half_drop, tile(121, 80), [2, 1]).is_none());
    assert!(Repeat::new(&half_drop, tile(60, 80), [1, 1]).is_none(), "one block is no half-drop tile");
    assert_eq!(half_drop.multiples([2, 1]), [2, 2]);
    assert_eq!("drop=3/7".parse::<Layout>().expect("a layout").scheme().multiples([7, 1]), [7, 7]);
    assert_eq!("mirror".parse::<Layout>().expect("a layout").scheme().multiples([2, 2]), [2, 2]);
}

#[test]
fn names_are_read_back_as_written() {
    for name in [
        "straight",
        "half-drop",
        "brick",
        "drop=1/3",
        "brick=3/4",
        "mirror",
        "mirror-across",
        "mirror-down",
        "mirror-drop",
        "turn-drop",
        "pinwheel",
        "ogee",
        "satin=8/3",
        "checker=3",
        "border",
    ] {
        assert_eq!(name.parse::<Layout>().expect(name).to_string(), name);
    }
    assert_eq!("drop=2/4".parse::<Layout>().expect("a layout").to_string(), "half-drop");
}

#[test]
fn errors_say_what_to_write() {
    let error = |text: &str| text.parse::<Layout>().expect_err(text).to_string();
    assert_eq!(
        error("halfdrop"),
        "\"halfdrop\" is not a layout; write straight, half-drop, brick, drop=1/3, brick=1/3, mirror, mirror-across, \
         mirror-down, mirror-drop, turn, turn-drop, pinwheel, ogee, diamond, hexagonal, satin=5, stripes, rows, checker or border"
    );
    assert_eq!(
        error("satin=6"),
        "\"satin=6\" is no satin: no step passes through all 6 rows without a twill line; write for example satin=5, satin=8 or satin=8/3"
    );
    assert_eq!(error("stripes=1"), "\"stripes=1\" needs a whole number from 2 to 64; write for example stripes=3");
    for text in ["drop=3/0", "drop=0/3", "drop=3/3", "drop=-1/3", "drop=1/65", "drop=nan", "drop="] {
        assert_eq!(
            error(text),
            format!(
                "{text:?} needs a fraction between 0 and 1 with a denominator up to 64; write for example drop=1/3"
            )
        );
    }
}

fn any_lattice() -> impl Strategy<Value = Lattice> {
    let step = || [-40i64..40, -40i64..40];
    (step(), step()).prop_filter_map("on one line", |(u, v)| Lattice::from_steps([u, v]))
}

proptest! {
    /// Row form spans the same lattice: each given step is in it, and its cell has the same area.
    #[test]
    fn row_form_is_the_same_lattice(lattice in any_lattice()) {
        let [u, v] = lattice.steps();
        prop_assert!(lattice.contains(u) && lattice.contains(v));
        prop_assert_eq!((u[0] * v[1] - u[1] * v[0]).abs(), lattice.across() * lattice.down());
    }

    /// The steps into a window are all of those and only those, in order, by brute force.
    #[test]
    fn steps_into_a_window(lattice in any_lattice(), l in -90i64..90, t in -90i64..90, w in 0i64..50, h in 0i64..50) {
        let window = [0, 0, 30, 20];
        let found = lattice.steps_into([l, t, l + w, t + h].map(|n| n as f64), window);
        let mut want = Vec::new();
        for y in -200i64..=200 {
            for x in -200i64..=200 {
                let meets = l + x <= 30 && l + w + x >= 0 && t + y <= 20 && t + h + y >= 0;
                if meets && lattice.contains([x, y]) {
                    want.push([x, y]);
                }
            }
        }
        prop_assert_eq!(found, want);
    }

    /// An operator moved with the cloth carries moved points to moved points.
    #[test]
    fn operators_move_with_the_cloth(x in -50i64..50, y in -50i64..50, by in [-50i64..50, -50i64..50]) {
        for operator in repeat("mirror", 40, 60).symmetry {
            let there = operator.carry([x, y]);
            let moved = operator.about(by).carry([x + by[0], y + by[1]]);
            prop_assert_eq!(moved, [there[0] + by[0], there[1] + by[1]]);
        }
    }
}
