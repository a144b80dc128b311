use super::*;

fn emu(text: &str) -> i64 {
    text.parse::<Length>().map(Length::emu).unwrap_or_else(|e| panic!("{text}: {e}"))
}

fn error(text: &str) -> String {
    text.parse::<Length>().expect_err(text).to_string()
}

/// The EMU of ISO/IEC 29500, and the inch of 25.4 mm exactly (international yard of 1959).
#[test]
fn units_are_whole_emu() {
    for (text, want) in [
        ("1in", 914_400),
        ("25.4mm", 914_400),
        ("1mm", 36_000),
        ("0.1mm", 3_600),
        ("1cm", 360_000),
        ("1m", 36_000_000),
        ("1pt", 12_700),
        ("72pt", 914_400),
        ("96px", 914_400),
        ("1px", 9_525),
        ("1yd", 36 * 914_400),
        ("1ft", 12 * 914_400),
        ("7 1/2in", 6_858_000),
        ("7½ in", 6_858_000),
        ("1/3in", 304_800),
        (".5in", 457_200),
        ("5.in", 4_572_000),
        ("8\"", 7_315_200),
        ("-3mm", -108_000),
        (" 8 IN ", 7_315_200),
    ] {
        assert_eq!(emu(text), want, "{text}");
    }
}

#[test]
fn a_length_that_is_no_whole_emu_is_rounded_once() {
    assert_eq!(emu("1/7in"), 130_629); // 130 628.57
    assert_eq!(emu("0.00001mm"), 0); // 0.36 EMU
    assert_eq!(emu("-1/7in"), -130_629);
}

#[test]
fn splits_only_what_divides() {
    assert_eq!(Length::of(8, Unit::In).checked_split(2), Some(Length::of(4, Unit::In)));
    assert_eq!(Length::from_emu(7).checked_split(2), None);
    assert_eq!(Length::from_emu(7).checked_split(0), None);
}

#[test]
fn errors_say_what_to_write() {
    for (text, want) in [
        ("", "a length is missing; write for example 8in, 20cm or 200mm"),
        ("64", "\"64\" has no unit; write 64mm, 64cm or 64in"),
        ("8 inc", "\"inc\" in \"8 inc\" is not a unit; write in, mm, cm, m, pt, px, yd or ft"),
        ("7,5cm", "\"7,5cm\" has a decimal comma; write 7.5cm"),
        ("1,200mm", "\"1,200mm\" has a decimal comma; write 1.200mm or 1200mm, whichever is meant"),
        ("nan", "\"nan\" is not a length; write a number and a unit, for example 8in, 7 1/2in or 20.5cm"),
        ("inf in", "\"inf in\" is not a length; write a number and a unit, for example 8in, 7 1/2in or 20.5cm"),
        ("1e3mm", "\"1e3mm\" is not a length; write a number and a unit, for example 8in, 7 1/2in or 20.5cm"),
        ("1/0in", "\"1/0in\" divides by zero; write for example 7 1/2in"),
        ("99999999m", "\"99999999m\" is too long; a length is at most 10 km"),
        (
            "9999999999999999in",
            "\"9999999999999999in\" is not a length; write a number and a unit, for example 8in, 7 1/2in or 20.5cm",
        ),
    ] {
        assert_eq!(error(text), want);
    }
    let zero = Length::parse_positive("0in").expect_err("zero").to_string();
    assert_eq!(zero, "\"0in\" is not more than zero; write a length above zero, for example 8in");
}

#[test]
fn sides_take_the_unit_once_or_twice() {
    let two = |text: &str| sides(text).unwrap_or_else(|e| panic!("{text}: {e}"));
    assert_eq!(two("8in"), ["8in", "8in"]);
    assert_eq!(two("20x25cm"), ["20cm", "25cm"]);
    assert_eq!(two("7 1/2in x 8in"), ["7 1/2in", "8in"]);
    assert_eq!(two("640 × 320 mm"), ["640mm", "320 mm"]);
    assert_eq!(two("2048pxx1024px"), ["2048px", "1024px"]);
    assert_eq!(two("2048x1024px"), ["2048px", "1024px"]);
    assert!(sides("1x2x3in").is_err());
}

#[test]
fn shows_itself_as_it_is_said() {
    assert_eq!(Length::of(8, Unit::In).to_string(), "8in");
    assert_eq!("640.08mm".parse::<Length>().map(|l| l.to_string()), Ok("25.2in".into()));
    assert_eq!("200mm".parse::<Length>().map(|l| l.to_string()), Ok("200mm".into()));
}

/// Two sides are joined by an x; a comma may be a decimal one.
#[test]
fn two_sides_joined_by_something_else() {
    for (text, want) in [
        ("4in, 8in", "\"4in, 8in\" is two lengths; write 4in x 8in"),
        ("4in,8in", "\"4in,8in\" is two lengths; write 4in x 8in"),
        ("4, 8in", "\"4, 8in\" is two lengths; write 4 x 8in"),
        ("20 by 25.5cm", "\"20 by 25.5cm\" is two lengths; write 20 x 25.5cm"),
        ("20*25cm", "\"20*25cm\" is two lengths; write 20 x 25cm"),
    ] {
        assert_eq!(sides(text).expect_err(text).to_string(), want);
    }
    // One side with a decimal comma, which is refused where the side is read.
    assert_eq!(sides("4,8in"), Ok(["4,8in".into(), "4,8in".into()]));
}
