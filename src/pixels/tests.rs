use super::*;

fn grid(tile: &str, dpi: &str, multiples: [i64; 2]) -> PixelGrid {
    let asked = Side::parse_both(tile).expect("a size");
    PixelGrid::fit(asked, dpi.parse().expect("a resolution"), multiples).expect("a grid")
}

/// 640 mm at 254 dpi is exactly 6 400 px, at 150 dpi 3779.5276 px (computed from the exact
/// inch of 25.4 mm).
#[test]
fn the_nearest_grid_is_adopted_and_the_rest_is_said() {
    let exact = grid("640mm", "254", [2, 2]);
    assert_eq!((exact.width(), exact.remainder().map(Remainder::is_zero)), (6400, [true, true]));
    let near = grid("640mm", "150", [2, 2]);
    assert_eq!(near.width(), 3780);
    assert_eq!(near.size().width.show(Unit::Mm, 4), "640.08mm");
    assert!((near.remainder()[0].um_per_tile() - 80.0).abs() < 1e-9);
    assert!((near.remainder()[0].mm_per_10_m() - 1.25).abs() < 1e-9);
}

/// "About seven inches": 2048 px at 300 dpi (common practice, no source).
#[test]
fn pixels_have_a_length_at_a_resolution() {
    let tile = grid("2048px", "300", [2, 2]);
    assert_eq!(tile.size().width.show(Unit::In, 3), "6.827in");
    assert!(tile.remainder()[0].is_zero());
}

/// PNG specification 11.3.5.3 stores whole px per metre; figures computed from 0.0254 m.
#[test]
fn px_per_metre_as_png_stores_it() {
    for (dpi, want) in [(72, 2835), (96, 3780), (100, 3937), (150, 5906), (254, 10_000), (300, 11_811), (600, 23_622)] {
        assert_eq!(Resolution::dpi(dpi).expect("in range").px_per_metre(), want, "{dpi} dpi");
    }
}

#[test]
fn resolutions_are_read_in_every_usual_unit() {
    for (text, want) in
        [("300", (300, 1)), ("299.5dpi", (599, 2)), ("10px/mm", (254, 1)), ("118.11 px/cm", (2_999_994, 10_000))]
    {
        let read: Resolution = text.parse().expect(text);
        assert_eq!(read, Resolution::ratio(want.0, want.1).expect("in range"), "{text}");
    }
    for text in ["", "nan", "0", "-3", "1e9", "300 lpi", "20000", "1/0"] {
        assert!(text.parse::<Resolution>().is_err(), "{text:?} was read");
    }
}

#[test]
fn the_grid_is_a_multiple_of_what_the_lattice_needs() {
    let seventh = grid("8in", "150", [7, 7]);
    assert_eq!((seventh.width(), seventh.height()), (1197, 1197));
    assert_eq!(grid("0.001mm", "72", [6, 1]).width(), 6);
    let odd = PixelGrid::fit([Side::Pixels(2047); 2], Resolution::dpi(300).expect("in range"), [2, 2]);
    assert_eq!(
        odd.expect_err("odd").to_string(),
        "2047 px can't be divided by 2 as the layout needs; write 2046px or 2048px"
    );
}

#[test]
fn exact_refuses_and_says_what_would_do() {
    let asked = Side::parse_both("640mm").expect("a size");
    let refused = PixelGrid::fit_exactly(asked, Resolution::dpi(150).expect("in range"), [2, 2]);
    assert_eq!(
        refused.expect_err("not exact").to_string(),
        "640mm at 150 dpi is not a whole number of pixels for this layout: 3779.528 px; the nearest that is: 25.2in = 3780 px"
    );
    assert!(PixelGrid::fit_exactly(asked, Resolution::dpi(254).expect("in range"), [2, 2]).is_ok());
}

#[test]
fn a_million_inches_is_refused() {
    let asked = Side::parse_both("1000000in").expect_err("too long for a length").to_string();
    assert_eq!(asked, "\"1000000in\" is too long; a length is at most 10 km");
    let asked = Side::parse_both("100000in").expect("a size");
    let error = PixelGrid::fit(asked, Resolution::dpi(150).expect("in range"), [1, 1]).expect_err("too large");
    assert_eq!(
        error.to_string(),
        "100000in is 15000000 px at 150 dpi; a side has at most 200000 px: write a smaller size or a lower resolution"
    );
}

#[test]
fn nearest_exact_sizes_and_resolutions() {
    let res = Resolution::dpi(150).expect("in range");
    let [below, above] = exact_sizes(Length::of(640, Unit::Mm), res, 2);
    assert_eq!((below.pixels, above.pixels), (3778, 3780));
    let same = exact_sizes(Length::of(8, Unit::In), res, 2);
    assert_eq!(same.map(|s| s.pixels), [1200, 1202]);
    let found = exact_resolutions(Length::of(640, Unit::Mm), res, 2, 3);
    assert_eq!(found.iter().map(ToString::to_string).collect::<Vec<_>>(), ["127", "254", "381"]);
    for r in found {
        assert!(PixelGrid::fit_exactly([Side::Length(Length::of(640, Unit::Mm)); 2], r, [2, 2]).is_ok());
    }
    let odd = Length::from_emu(914_399);
    let one = exact_resolutions(odd, res, 2, 3);
    assert_eq!(one.len(), 1);
    assert!(PixelGrid::fit_exactly([Side::Length(odd); 2], one[0], [2, 2]).is_ok());
}
