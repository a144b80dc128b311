//! The design's texts turned into values, each error with its place and its field.

use std::fmt::Display;

use toml::Spanned;

use super::error::{DesignError, nearest};
use super::order::Kind;
use super::written::Amount;
use crate::length::{Length, Unit, div_round, number_and_unit};
use crate::pixels::{Resolution, Side};
use crate::raster::TiffPacking;
use crate::repeat::Layout;

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
fn about<T, E: Display>(field: &str, text: &Spanned<String>, result: Result<T, E>) -> Result<T, DesignError> {
    result.map_err(|e| DesignError::new(format!("{field}: {e}")).at(text.span()))
}

pub(super) fn layout(text: &Spanned<String>) -> Result<Layout, DesignError> {
    let names = ["straight", "half-drop", "brick", "mirror", "mirror-across", "mirror-down", "drop=1/2", "brick=1/2"];
    about("layout", text, text.get_ref().parse()).map_err(|e| {
        match nearest(text.get_ref(), names.into_iter()) {
            Some(word) if !text.get_ref().contains('=') => e.with_hint(format!("did you mean {word}?")),
            _ => e,
        }
    })
}

pub(super) fn sides(field: &str, text: &Spanned<String>) -> Result<[Side; 2], DesignError> {
    about(field, text, Side::parse_both(text.get_ref()))
}

pub(super) fn length(field: &str, text: &Spanned<String>) -> Result<Length, DesignError> {
    if text.get_ref().trim().to_ascii_lowercase().ends_with("px") {
        let e = format!("{field}: {:?} is in pixels, which are no true size", text.get_ref().trim());
        return Err(DesignError::new(e).with_hint("write a length, for example 2.5in or 60mm").at(text.span()));
    }
    about(field, text, Length::parse_positive(text.get_ref()))
}

pub(super) fn coordinate(text: &Spanned<String>) -> Result<Coordinate, DesignError> {
    let typed = text.get_ref().trim();
    let hint = "write a share of the block such as 50%, or a length such as 2in";
    let wrong = |e: String| DesignError::new(format!("at: {e}")).with_hint(hint).at(text.span());
    let (number, unit) = number_and_unit(typed).map_err(|e| wrong(e.to_string()))?;
    if unit == "%" {
        let (num, den) = number.ratio();
        if num.abs() > den * 10_000 {
            return Err(wrong(format!("{typed:?} is more than a hundred blocks away")));
        }
        return Ok(Coordinate::Share(num, den * 100));
    }
    if unit.eq_ignore_ascii_case("px") {
        return Err(wrong(format!("{typed:?} is in pixels, which are no true place")));
    }
    let length: Length = typed.parse().map_err(|e: crate::length::LengthError| wrong(e.to_string()))?;
    if length > Length::of(100, Unit::M) || length < Length::of(-100, Unit::M) {
        return Err(wrong(format!("{typed:?} is more than 100 m away")));
    }
    Ok(Coordinate::Length(length))
}

pub(super) fn resolution(amount: &Spanned<Amount>) -> Result<Resolution, DesignError> {
    let typed = amount.get_ref().to_string();
    typed.parse().map_err(|e| DesignError::new(format!("dpi: {e}")).at(amount.span()))
}

/// Mirrored left to right, top to bottom.
pub(super) fn flip(text: &Spanned<String>) -> Result<[bool; 2], DesignError> {
    match text.get_ref().trim() {
        "none" => Ok([false, false]),
        "across" => Ok([true, false]),
        "down" => Ok([false, true]),
        "both" => Ok([true, true]),
        other => Err(DesignError::new(format!("flip: {other:?} is not a flip; write across, down, both or none")).at(text.span())),
    }
}

pub(super) fn number(field: &str, value: &Spanned<f64>, most: f64) -> Result<f64, DesignError> {
    let n = *value.get_ref();
    if n.is_finite() && n.abs() <= most {
        return Ok(n);
    }
    Err(DesignError::new(format!("{field}: {n} is not a usable number; write one up to {most}")).at(value.span()))
}

pub(super) fn kind(text: &Spanned<String>) -> Result<Kind, DesignError> {
    Kind::from_name(text.get_ref()).ok_or_else(|| {
        let known = Kind::ALL.map(Kind::name).join(", ");
        let e = DesignError::new(format!("as: {:?} is not a kind of file; write {known}", text.get_ref())).at(text.span());
        match nearest(text.get_ref(), Kind::ALL.map(Kind::name).into_iter()) {
            Some(word) => e.with_hint(format!("did you mean {word}?")),
            None => e,
        }
    })
}

pub(super) fn packing(text: &Spanned<String>) -> Result<TiffPacking, DesignError> {
    match text.get_ref().trim() {
        "deflate" => Ok(TiffPacking::Deflate),
        "lzw" => Ok(TiffPacking::Lzw),
        "none" => Ok(TiffPacking::None),
        other => Err(DesignError::new(format!("packing: {other:?} is not known; write deflate, lzw or none")).at(text.span())),
    }
}

/// A CSS color that hides what is under it; `None` for "none".
pub(super) fn ground(text: &Spanned<String>) -> Result<Option<[u8; 3]>, DesignError> {
    let typed = text.get_ref().trim();
    if typed.eq_ignore_ascii_case("none") {
        return Ok(None);
    }
    let wrong = |why: &str| {
        DesignError::new(format!("ground: {typed:?} {why}; write a color such as #f3eee3 or linen, or none")).at(text.span())
    };
    match typed.parse::<svgtypes::Color>() {
        Ok(c) if c.alpha == 255 => Ok(Some([c.red, c.green, c.blue])),
        Ok(_) => Err(wrong("is part-transparent")),
        Err(_) => Err(wrong("is not a color")),
    }
}

/// A file name without folders, that every file system takes.
pub(super) fn stem(text: &Spanned<String>) -> Result<String, DesignError> {
    let name = text.get_ref().trim();
    let wrong = |why: &str| DesignError::new(format!("name: {name:?} {why}")).with_hint("write a plain name, for example limpets").at(text.span());
    if name.is_empty() {
        return Err(wrong("is empty"));
    }
    if name.len() > 200 {
        return Err(wrong("is longer than 200 bytes"));
    }
    if name.starts_with('.') || name.chars().any(|c| c.is_control() || "/\\:*?\"<>|".contains(c)) {
        return Err(wrong("can't be a file's name"));
    }
    Ok(name.into())
}
