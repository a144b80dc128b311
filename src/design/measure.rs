//! The design's texts turned into values, each error with its place and its field.

use std::fmt::Display;

use toml::Spanned;

use super::error::DesignError;
use super::order::{ColorMode, Kind};
use super::slips::any_of;
use super::written::Amount;
use crate::fitness::Goods;
use crate::length::{Length, LengthError, Size, Unit, div_round, number_and_unit};
use crate::pixels::{Resolution, Side};
use crate::raster::TiffPacking;
use crate::repeat::{Alternate, Layout, Symmetry};
use crate::toss::Turns;

/// A coordinate in the block: a share of it, or a length from its left or top edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Coordinate {
    Share(i128, i128),
    Length(Length),
}

impl Coordinate {
    /// In 1/256 of a unit, for a block side of so many units and a tile side asked as a
    /// length that came to so many units.
    pub(super) fn parts(self, block_units: i64, tile_units: i64, tile_asked: Length) -> i64 {
        let parts = i128::from(crate::repeat::PARTS);
        let exact = match self {
            Coordinate::Share(num, den) => div_round(num * i128::from(block_units) * parts, den),
            Coordinate::Length(length) => {
                div_round(i128::from(length.emu()) * i128::from(tile_units) * parts, i128::from(tile_asked.emu()))
            }
        };
        i64::try_from(exact).unwrap_or(i64::MAX / 1024)
    }
}

/// Puts field and place to an error that knows neither.
fn about<T, E: Display>(field: &'static str, text: &Spanned<String>, result: Result<T, E>) -> Result<T, DesignError> {
    result.map_err(|e| DesignError::about(field, text, e))
}

pub(super) fn layout(text: &Spanned<String>) -> Result<Layout, DesignError> {
    let typed = text.get_ref();
    about("layout", text, typed.parse()).map_err(|e| match typed.split_once('=') {
        Some((_, share)) => e.or_meant(typed, [&*format!("drop={share}"), &format!("brick={share}")]),
        None => e.or_meant(typed, Layout::NAMES.split([',', ' ']).filter(|name| !name.is_empty() && *name != "or")),
    })
}

pub(super) fn symmetry(text: &Spanned<String>) -> Result<Symmetry, DesignError> {
    let typed = text.get_ref();
    about("symmetry", text, typed.parse()).map_err(|e| e.or_meant(typed, Symmetry::words()))
}

pub(super) fn alternate(text: &Spanned<String>) -> Result<Alternate, DesignError> {
    about("alternate", text, text.get_ref().parse())
}

pub(super) fn sides(field: &'static str, text: &Spanned<String>) -> Result<[Side; 2], DesignError> {
    about(field, text, Side::parse_both(text.get_ref()))
}

pub(super) fn length(field: &'static str, text: &Spanned<String>) -> Result<Length, DesignError> {
    let typed = text.get_ref().trim();
    if typed.to_ascii_lowercase().ends_with("px") {
        let e = DesignError::about(field, text, format!("{typed:?} is in pixels, which have no true size"));
        return Err(e.with_hint("write a length, for example 2.5in or 60mm"));
    }
    about(field, text, Length::parse_positive(typed))
}

pub(super) fn coordinate(text: &Spanned<String>) -> Result<Coordinate, DesignError> {
    let typed = text.get_ref().trim();
    let hint = "write a share of the block such as 50%, or a length from its left or top edge such as 2in";
    let wrong = |what: String| DesignError::about("at", text, what).with_hint(hint);
    let (number, unit) = number_and_unit(typed).map_err(|e| match e {
        LengthError::Comma { .. } => DesignError::about("at", text, e),
        _ => wrong(format!("{typed:?} is not a place")),
    })?;
    if unit == "%" {
        let (num, den) = number.ratio();
        if num.abs() > den * 10_000 {
            return Err(wrong(format!("{typed:?} is more than a hundred blocks away")));
        }
        return Ok(Coordinate::Share(num, den * 100));
    }
    if unit.eq_ignore_ascii_case("px") {
        return Err(wrong(format!("{typed:?} is in pixels, which have no true size")));
    }
    if unit.is_empty() {
        return Err(wrong(format!("{typed:?} has no unit")));
    }
    let length: Length = typed.parse().map_err(|e: LengthError| wrong(e.to_string()))?;
    if length > Length::of(100, Unit::M) || length < Length::of(-100, Unit::M) {
        return Err(wrong(format!("{typed:?} is more than 100 m away")));
    }
    Ok(Coordinate::Length(length))
}

pub(super) fn resolution(field: &'static str, amount: &Spanned<Amount>) -> Result<Resolution, DesignError> {
    amount.get_ref().to_string().parse().map_err(|e| DesignError::about(field, amount, e))
}

/// One of the words that a field takes.
fn word<T>(field: &'static str, text: &Spanned<String>, known: &[(&str, T)]) -> Result<T, DesignError>
where
    T: Copy,
{
    let typed = text.get_ref().trim();
    let found = known.iter().find(|(word, _)| typed.eq_ignore_ascii_case(word));
    found.map(|(_, value)| *value).ok_or_else(|| {
        let words: Vec<&str> = known.iter().map(|(word, _)| *word).collect();
        let e = DesignError::about(field, text, format!("{typed:?} is not known; write {}", any_of(&words)));
        e.or_meant(typed, words)
    })
}

pub(super) fn goods(text: &Spanned<String>) -> Result<Goods, DesignError> {
    word("goods", text, &Goods::ALL.map(|goods| (goods.name(), goods)))
}

/// Mirrored left to right, top to bottom.
pub(super) fn flip(text: &Spanned<String>) -> Result<[bool; 2], DesignError> {
    let known = [("across", [true, false]), ("down", [false, true]), ("both", [true, true]), ("none", [false, false])];
    word("flip", text, &known)
}

/// Which way up motifs may lie.
pub(super) fn turns(text: &Spanned<String>) -> Result<Turns, DesignError> {
    let known =
        [("one-way", Turns::OneWay), ("two-way", Turns::TwoWay), ("four-way", Turns::FourWay), ("any", Turns::Any)];
    word("turns", text, &known)
}

pub(super) fn packing(text: &Spanned<String>) -> Result<TiffPacking, DesignError> {
    word("packing", text, &[("deflate", TiffPacking::Deflate), ("lzw", TiffPacking::Lzw), ("none", TiffPacking::None)])
}

pub(super) fn colors(text: &Spanned<String>) -> Result<ColorMode, DesignError> {
    word("colors", text, &[("full", ColorMode::Full), ("grey", ColorMode::Grey), ("palette", ColorMode::Palette)])
}

/// Whether flat colors are separations.
pub(super) fn inks(text: &Spanned<String>) -> Result<bool, DesignError> {
    word("inks", text, &[("srgb", false), ("separation", true)])
}

/// A piece of goods.
pub(super) fn goods_size(text: &Spanned<String>) -> Result<Size, DesignError> {
    match sides("cloth", text)? {
        [Side::Length(width), Side::Length(height)] => Ok(Size { width, height }),
        _ => {
            let what = format!("{:?} is in pixels; write for example 54inx1yd", text.get_ref().trim());
            Err(DesignError::about("cloth", text, what))
        }
    }
}

pub(super) fn quality(value: &Spanned<i64>) -> Result<u8, DesignError> {
    let n = *value.get_ref();
    let fits = u8::try_from(n).ok().filter(|n| (1..=100).contains(n));
    fits.ok_or_else(|| {
        DesignError::about("quality", value, format!("{n} is out of range; write a number from 1 to 100"))
    })
}

/// `25MB`, `800 kB`, `1000000`: decimal, as file sizes are said by those who limit them.
///
/// # Errors
/// What is none, or zero.
pub fn bytes(amount: &Spanned<Amount>) -> Result<u64, DesignError> {
    let typed = amount.get_ref().to_string();
    let wrong = || {
        let what = format!("{typed:?} is not a file size; write for example 25MB or 800kB");
        DesignError::about("max_bytes", amount, what)
    };
    let (number, unit) = number_and_unit(&typed).map_err(|_| wrong())?;
    let unit = match unit.to_ascii_lowercase().as_str() {
        "" | "b" | "bytes" => 1,
        "kb" => 1_000,
        "mb" => 1_000_000,
        "gb" => 1_000_000_000,
        _ => return Err(wrong()),
    };
    let bytes = number.times_rounded(unit).and_then(|n| u64::try_from(n).ok());
    bytes.filter(|n| *n > 0).ok_or_else(wrong)
}

pub(super) fn kind(text: &Spanned<String>) -> Result<Kind, DesignError> {
    Kind::from_name(text.get_ref()).map_or_else(|| word("as", text, &Kind::ALL.map(|kind| (kind.name(), kind))), Ok)
}

pub(super) fn number(field: &'static str, value: &Spanned<f64>, most: f64) -> Result<f64, DesignError> {
    let n = *value.get_ref();
    if n.is_finite() && n.abs() <= most {
        return Ok(n);
    }
    Err(DesignError::about(field, value, format!("{n} is not usable; write a number from -{most} to {most}")))
}

/// A CSS color that hides what is under it; `None` for "none".
pub(super) fn ground(text: &Spanned<String>) -> Result<Option<[u8; 3]>, DesignError> {
    let typed = text.get_ref().trim();
    if typed.eq_ignore_ascii_case("none") {
        return Ok(None);
    }
    let wrong = |why: &str| {
        DesignError::about("ground", text, format!("{typed:?} {why}; write a color such as #f3eee3 or linen, or none"))
    };
    match typed.parse::<svgtypes::Color>() {
        Ok(c) if c.alpha == 255 => Ok(Some([c.red, c.green, c.blue])),
        Ok(_) => Err(wrong("lets through what is under it")),
        Err(_) => {
            let sharp = format!("#{typed}");
            let e = wrong("is not a color");
            Err(if sharp.parse::<svgtypes::Color>().is_ok() { e.with_hint(format!("write {sharp:?}")) } else { e })
        }
    }
}

/// A file name without folders, that every file system takes.
pub fn stem(text: &Spanned<String>) -> Result<String, DesignError> {
    let name = text.get_ref().trim();
    let wrong = |why: &str| {
        let e = DesignError::about("name", text, format!("{name:?} {why}"));
        e.with_hint("write a plain name without a folder, for example limpets")
    };
    if name.is_empty() {
        return Err(wrong("is empty"));
    }
    if name.len() > 200 {
        return Err(wrong("is longer than 200 bytes"));
    }
    if name.starts_with('.') || name.chars().any(|c| c.is_control() || "/\\:*?\"<>|".contains(c)) {
        return Err(wrong("can't be the name of a file"));
    }
    Ok(name.into())
}
