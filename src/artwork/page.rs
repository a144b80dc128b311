//! The page of a drawing: its true size, read digit by digit from the root element.
//!
//! What draws the file later knows the page only in `f32` pixels. The true size is kept
//! apart from that, exact.

use usvg::roxmltree::Node;

use super::error::ArtworkError;
use super::source::Source;
use crate::length::{Decimal, LONGEST, Length, Size, div_round};

/// The page of a drawing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Page {
    /// In pixels of the tree: the page is (0,0)–(width, height).
    pub px: kurbo::Size,
    /// The true size; `None` if the file gives no absolute size.
    pub size: Option<Size>,
}

/// One side as it is written.
enum Side {
    Fixed(Length),
    /// In percent, `em` and the like: depends on where the drawing is shown.
    Relative,
    Missing,
}

/// Reads the true size from the root. A side that is missing follows from the viewBox.
pub(crate) fn true_size(source: &Source, root: &Node) -> Result<Option<Size>, ArtworkError> {
    let view_box = view_box(source, root)?;
    let width = side(source, root, "width")?;
    let height = side(source, root, "height")?;
    let size = match (width, height, view_box) {
        (Side::Fixed(width), Side::Fixed(height), _) => Some(Size { width, height }),
        (Side::Fixed(width), Side::Missing, Some([_, _, w, h])) => {
            scale(width, h, w).map(|height| Size { width, height })
        }
        (Side::Missing, Side::Fixed(height), Some([_, _, w, h])) => {
            scale(height, w, h).map(|width| Size { width, height })
        }
        _ => None,
    };
    if size.is_none() && view_box.is_none() {
        return Err(ArtworkError::NoSize { name: source.name.clone(), line: source.line(root.range().start) });
    }
    Ok(size)
}

/// `length × a / b`, rounded once.
fn scale(length: Length, a: Decimal, b: Decimal) -> Option<Length> {
    let ((an, ad), (bn, bd)) = (a.ratio(), b.ratio());
    let exact = || {
        let num = i128::from(length.emu()).checked_mul(an)?.checked_mul(bd)?;
        i64::try_from(div_round(num, ad.checked_mul(bn)?)).ok()
    };
    exact().filter(|emu| (1..=LONGEST.emu()).contains(emu)).map(Length::from_emu)
}

fn bad(source: &Source, root: &Node, attribute: &'static str, value: &str, problem: &'static str) -> ArtworkError {
    let at = root.attribute_node(attribute).map_or(0, |a| a.range().start);
    let (name, value) = (source.name.clone(), value.to_owned());
    ArtworkError::BadSize { name, line: source.line(at), attribute, value, problem }
}

fn side(source: &Source, root: &Node, attribute: &'static str) -> Result<Side, ArtworkError> {
    let Some(value) = root.attribute(attribute) else { return Ok(Side::Missing) };
    let text = value.trim();
    if text.is_empty() || text == "auto" {
        return Ok(Side::Missing);
    }
    let bad = |problem| Err(bad(source, root, attribute, value, problem));
    let (number, unit) = split_unit(text);
    let Some(number) = svg_number(number) else { return bad("is not a length") };
    let emu: i64 = match unit.to_ascii_lowercase().as_str() {
        "" | "px" => 9_525,
        "mm" => 36_000,
        "cm" => 360_000,
        "q" => 9_000,
        "in" => 914_400,
        "pt" => 12_700,
        "pc" => 152_400,
        "%" | "em" | "ex" | "ch" | "rem" | "vw" | "vh" | "vmin" | "vmax" => {
            return if number.ratio().0 > 0 { Ok(Side::Relative) } else { bad("is not more than zero") };
        }
        _ => return bad("has no unit that is known here"),
    };
    match number.times_rounded(emu) {
        Some(emu) if emu <= 0 => bad("is not more than zero"),
        Some(emu) if emu <= LONGEST.emu() => Ok(Side::Fixed(Length::from_emu(emu))),
        _ => bad("is too long; a length is at most 10 km"),
    }
}

fn view_box(source: &Source, root: &Node) -> Result<Option<[Decimal; 4]>, ArtworkError> {
    let Some(value) = root.attribute("viewBox") else { return Ok(None) };
    let bad = |problem| Err(bad(source, root, "viewBox", value, problem));
    let parts = value.split([' ', ',', '\t', '\n', '\r']).filter(|p| !p.is_empty());
    let numbers: Option<Vec<Decimal>> = parts.map(svg_number).collect();
    match numbers.as_deref() {
        Some(&[x, y, w, h]) if w.ratio().0 > 0 && h.ratio().0 > 0 => Ok(Some([x, y, w, h])),
        Some(&[_, _, _, _]) => bad("has a width or height that is not more than zero"),
        _ => bad("is not four numbers"),
    }
}

/// Splits behind the number; the `e` of an exponent belongs to it, the `e` of `em` does not.
fn split_unit(text: &str) -> (&str, &str) {
    let bytes = text.as_bytes();
    let part_of_number = |i: usize| match bytes[i] {
        b'0'..=b'9' | b'.' | b'+' | b'-' => true,
        b'e' | b'E' => bytes.get(i + 1).is_some_and(|b| b.is_ascii_digit() || matches!(b, b'+' | b'-')),
        _ => false,
    };
    let end = (0..bytes.len()).find(|i| !part_of_number(*i)).unwrap_or(bytes.len());
    (&text[..end], text[end..].trim_start())
}

/// A number as SVG writes it, exponents included, as an exact fraction. What stands behind
/// the 15th decimal is dropped: it is less than a millionth of a nanometre.
fn svg_number(text: &str) -> Option<Decimal> {
    let (mantissa, exponent) = match text.split_once(['e', 'E']) {
        Some((mantissa, exponent)) => (mantissa, exponent.parse::<i32>().ok()?),
        None => (text, 0),
    };
    let (sign, digits) = match mantissa.as_bytes().first()? {
        b'-' => ("-", &mantissa[1..]),
        b'+' => ("", &mantissa[1..]),
        _ => ("", mantissa),
    };
    let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
    let plain = whole.bytes().chain(part.bytes()).all(|b| b.is_ascii_digit());
    if !plain || whole.len() + part.len() == 0 || !(-40..=40).contains(&exponent) || whole.len() + part.len() > 400 {
        return None;
    }
    let point = i32::try_from(whole.len()).ok()? + exponent;
    let all = format!("{whole}{part}");
    let (whole, part) = match usize::try_from(point) {
        Ok(point) if point <= all.len() => (all[..point].to_owned(), all[point..].to_owned()),
        Ok(point) => (format!("{all:0<point$}"), String::new()),
        Err(_) => (String::new(), format!("{}{all}", "0".repeat(usize::try_from(-point).ok()?))),
    };
    let whole = whole.trim_start_matches('0');
    let part = &part[..part.len().min(15)];
    if whole.len() > 15 {
        return Decimal::parse(&format!("{sign}999999999999999")); // longer than any length, and said so
    }
    Decimal::parse(&format!("{sign}{}.{part}", if whole.is_empty() { "0" } else { whole }))
}

#[cfg(test)]
mod tests;
