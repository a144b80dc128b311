//! Text → lengths, sizes, resolutions, layouts, grids; held against a reader of the plainest making.

use seamfast::length::{LONGEST, Length, Unit};
use seamfast::pixels::{MOST_PIXELS, PixelGrid, Resolution, Side};
use seamfast::repeat::Layout;

/// Lengths and sizes are what the plain reader says; what is shown reads back; grids are whole.
pub fn length(data: &[u8]) {
    let Ok(text) = std::str::from_utf8(data) else { return };
    let read = text.parse::<Length>();
    assert_eq!(read.as_ref().ok().map(|l| l.emu()), plain(text), "{text:?} is read as {read:?}");
    if let Ok(length) = read {
        round_trips(length);
    }
    if let Ok(layout) = text.trim().parse::<Layout>() {
        assert_eq!(layout.to_string().parse::<Layout>().ok(), Some(layout), "{text:?} is shown as {layout}");
    }
    let resolution = text.parse::<Resolution>();
    if let Ok(resolution) = &resolution {
        let (num, den) = resolution.fraction();
        assert!(den > 0 && num >= den && i128::from(num) <= i128::from(den) * 10_000, "{text:?}: {num}/{den}");
        assert!(u64::from(resolution.px_per_metre()) <= 393_701, "{text:?}");
    }
    if let Ok(sides) = Side::parse_both(text) {
        let dpi = resolution.or(Resolution::dpi(150)).expect("in range");
        for multiples in [[1, 1], [2, 1], [7, 12]] {
            grid(text, sides, dpi, multiples);
        }
    }
}

/// An exact fraction of an inch reads back as it was, and what people are shown to a hair.
fn round_trips(length: Length) {
    assert!(length.emu().abs() <= LONGEST.emu(), "{length:?}");
    let exact = format!("{}/914400in", length.emu());
    assert_eq!(exact.parse::<Length>(), Ok(length));
    let shown: Length = length.to_string().parse().unwrap_or_else(|e| panic!("{length} is shown: {e}"));
    // Four decimals of a millimetre are 3.6 EMU, half of them is the most that is rounded; a float
    // carries 15 digits of the longest.
    assert!((shown - length).emu().abs() <= 2, "{length:?} is shown as {length}");
    for parts in [1, 2, 3, 7] {
        if let Some(part) = length.checked_split(parts) {
            assert_eq!(part.checked_times(parts), Some(length));
        }
    }
}

/// The multiple nearest to what was asked, and the remainder is what is between.
fn grid(text: &str, sides: [Side; 2], dpi: Resolution, multiples: [i64; 2]) {
    let Ok(grid) = PixelGrid::fit(sides, dpi, multiples) else { return };
    for (pixels, multiple) in [(grid.width(), multiples[0]), (grid.height(), multiples[1])] {
        assert!((1..=MOST_PIXELS).contains(&pixels) && pixels % multiple == 0, "{text:?}: {pixels}");
    }
    let (asked, size) = (grid.asked(), grid.size());
    for (asked, got, pixels, multiple) in [
        (asked.width, size.width, grid.width(), multiples[0]),
        (asked.height, size.height, grid.height(), multiples[1]),
    ] {
        let off = (got - asked).emu().abs();
        let half = dpi.length_of(multiple).emu() / 2 + 1;
        assert!(off <= half || pixels == multiple, "{text:?} at {dpi}: {asked:?} became {got:?}");
    }
    assert!(grid.scale().iter().all(|s| s.is_finite() && *s > 0.0), "{text:?}");
    let exact = PixelGrid::fit_exactly(sides, dpi, multiples).is_ok();
    let rest = grid.remainder().iter().any(|r| !r.is_zero());
    assert!(!(exact && rest), "{text:?} at {dpi} is exact, and something is left over");
}

/// The plainest reader: one pass over the characters, all in 128-bit fractions. Grammar:
/// `[sign] (digits | digits.digits | digits/digits | [digits space] digits/digits | [digits] ½)` and
/// a unit, at most 15 digits in one place.
fn plain(text: &str) -> Option<i64> {
    let text = text.trim();
    let last = text.char_indices().rev().find(|(_, c)| c.is_ascii_digit() || "½¼¾".contains(*c))?;
    let mut end = last.0 + last.1.len_utf8();
    end += usize::from(text[end..].starts_with('.'));
    let unit = Unit::from_name(text[end..].trim())?.emu();
    let number = text[..end].trim();
    let bare = number.trim_start_matches(['-', '−', '+']);
    let sign = number.strip_suffix(bare)?;
    if sign.chars().count() > 1 {
        return None;
    }
    let (num, den) = magnitude(bare)?;
    let twice = num.checked_mul(i128::from(unit))?.checked_mul(2)?.checked_add(den)?;
    let emu = i64::try_from(twice.div_euclid(den.checked_mul(2)?)).ok().filter(|n| *n <= LONGEST.emu())?;
    Some(if matches!(sign, "-" | "−") { -emu } else { emu })
}

fn magnitude(text: &str) -> Option<(i128, i128)> {
    let mut spread = String::new();
    for c in text.chars() {
        match c {
            '½' => spread.push_str(" 1/2"),
            '¼' => spread.push_str(" 1/4"),
            '¾' => spread.push_str(" 3/4"),
            c => spread.push(c),
        }
    }
    let mut words = spread.split_whitespace();
    let (first, second) = (words.next()?, words.next());
    if words.next().is_some() {
        return None;
    }
    match (second, first.split_once('/'), first.split_once('.')) {
        (Some(part), None, None) => {
            let (num, den) = part.split_once('/')?;
            let (whole, num, den) = (count(first)?, count(num)?, count(den).filter(|d| *d > 0)?);
            Some((whole * den + num, den))
        }
        (None, Some((num, den)), _) => Some((count(num)?, count(den).filter(|d| *d > 0)?)),
        (None, None, Some((whole, part))) if !(whole.is_empty() && part.is_empty()) => {
            let whole = if whole.is_empty() { 0 } else { count(whole)? };
            let tenths = if part.is_empty() { 0 } else { count(part)? };
            let den = (0..part.len()).fold(1, |den: i128, _| den * 10);
            Some((whole * den + tenths, den))
        }
        (None, None, None) => Some((count(first)?, 1)),
        _ => None,
    }
}

fn count(digits: &str) -> Option<i128> {
    if digits.is_empty() || digits.len() > 15 {
        return None;
    }
    digits.chars().try_fold(0, |n: i128, c| Some(n * 10 + i128::from(c.to_digit(10)?)))
}
