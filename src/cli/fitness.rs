//! What `seamfast check` is told of the goods, and how it says what it found of a tile's fitness.

use std::fmt::Write;

use seamfast::design::{Amount, CheckEntry, file_bytes};
use seamfast::fitness::Severity;
use seamfast::join::Area;
use seamfast::length::Unit;
use seamfast::pixels::{Resolution, Side};
use seamfast::proof::{Finding, PrintSize, Wanted, area_words};
use serde_json::{Map, Value, json};
use toml::Spanned;

use super::args::CheckArgs;
use super::say::{Failure, failure, failure_with};

/// What a drawing is painted at, if nothing is said.
pub(super) const DPI: f64 = 150.0;

/// The flags, as far as they say what tiles are judged for.
pub(super) fn wanted(args: &CheckArgs) -> Result<Wanted, Failure> {
    let dpi = args.dpi.as_ref().map(|text| text.parse::<Resolution>().map_err(|e| failure(format!("--dpi: {e}"))));
    let text = |text: &Option<String>| text.clone().map(|text| Spanned::new(0..0, text));
    let amount = |text: &Option<String>| text.clone().map(|text| Spanned::new(0..0, Amount::Text(text)));
    let check = CheckEntry {
        goods: text(&args.goods),
        ppi: amount(&args.ppi),
        line: text(&args.line),
        gap: text(&args.gap),
        opaque: args.opaque.then_some(true),
    };
    // What was typed wrong is said before any file is read.
    check.decide()?;
    let size = args.size.as_deref().map(size).transpose()?;
    let is_design = |file: &&std::path::PathBuf| file.extension().is_some_and(|e| e.eq_ignore_ascii_case("toml"));
    if let (Some(_), Some(design)) = (size, args.files.iter().find(is_design)) {
        let what = "--size: goes with tiles; a design says itself how large it is";
        return Err(failure_with(what, format!("judge {} by itself, without --size", design.display())));
    }
    if let (true, Some(design)) = (args.border, args.files.iter().find(is_design)) {
        let what = "--border: goes with tiles; a design says itself that it is a border";
        return Err(failure_with(what, format!("write layout = \"border\" in {}", design.display())));
    }
    let max_bytes = amount(&args.max_bytes).as_ref().map(file_bytes).transpose()?;
    Ok(Wanted { dpi: dpi.transpose()?.map_or(DPI, Resolution::value), check, size, max_bytes, border: args.border })
}

/// One length is the width; the height follows.
fn size(text: &str) -> Result<PrintSize, Failure> {
    let wrong = |e: &dyn std::fmt::Display| failure(format!("--size: {e}"));
    let length = |side: Side| match side {
        Side::Length(length) => Ok(length),
        Side::Pixels(_) => {
            let what = format!("--size: {text:?} is in pixels; the size is wanted that they are printed at");
            Err(failure_with(what, "write for example --size 8in"))
        }
    };
    if let Ok(side) = text.parse::<Side>() {
        return Ok(PrintSize { width: length(side)?, height: None });
    }
    let [width, height] = Side::parse_both(text).map_err(|e| wrong(&e))?;
    Ok(PrintSize { width: length(width)?, height: Some(length(height)?) })
}

/// A box on the tile: in pixels, and on the goods where their size is known.
pub(super) fn boxed(area: Area, dpi: Option<[f64; 2]>) -> Map<String, Value> {
    let Area { x, y, width, height } = area;
    let mut found = Map::new();
    let all = [("x", x, 0), ("y", y, 1), ("width", width, 0), ("height", height, 1)];
    for (name, pixels, _) in all {
        found.insert(name.into(), json!(pixels));
    }
    let Some(dpi) = dpi else { return found };
    for unit in [Unit::In, Unit::Mm] {
        let times = Unit::In.emu() as f64 / unit.emu() as f64;
        let sides = all.map(|(name, pixels, axis)| (name.to_string(), json!(fine(pixels as f64 / dpi[axis] * times))));
        found.insert(unit.name().into(), Value::Object(sides.into_iter().collect()));
    }
    found
}

/// To a ten-thousandth.
fn fine(value: f64) -> f64 {
    (value * 10_000.0).round() / 10_000.0
}

/// A finding as JSON.
pub(super) fn report(finding: &Finding, dpi: Option<[f64; 2]>) -> Value {
    let mut found = Map::new();
    found.insert("code".into(), finding.code.into());
    found.insert("severity".into(), finding.severity.name().into());
    found.insert("message".into(), finding.what.clone().into());
    found.insert("remedy".into(), finding.remedy.clone().into());
    let said = [("accepted", &finding.accepted), ("motif", &finding.motif)];
    found.extend(said.into_iter().filter_map(|(name, text)| Some((name.to_string(), json!(text.as_ref()?)))));
    found.extend(finding.line.map(|line| ("line".to_string(), json!(line))));
    found.extend(finding.area.into_iter().flat_map(|area| boxed(area, dpi)));
    Value::Object(found)
}

/// A finding in words.
pub(super) fn words(finding: &Finding, dpi: Option<[f64; 2]>) -> String {
    let mut out = String::new();
    let word = if finding.accepted.is_some() { "accepted" } else { finding.severity.name() };
    let _ = writeln!(out, "  {word:10}  {} ({})", finding.what, finding.code);
    let line = finding.line.map(|line| format!("line {line} of the file"));
    let area = finding.area.map(|area| area_words(area, dpi));
    let places: Vec<String> = line.into_iter().chain(area).collect();
    if !places.is_empty() {
        let _ = writeln!(out, "{:14}{}", "", places.join("; "));
    }
    match &finding.accepted {
        Some(why) => {
            let _ = writeln!(out, "{:14}accepted: {why}", "");
        }
        None => {
            let _ = writeln!(out, "{:14}→ {}", "", finding.remedy);
        }
    }
    out
}

/// Findings that are neither notes nor accepted.
pub(super) fn warnings(findings: &[Finding]) -> usize {
    findings.iter().filter(|f| f.severity == Severity::Warning && f.accepted.is_none()).count()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn boxes_are_said_in_inches_and_millimetres() {
        let area = Area { x: 300, y: 0, width: 1, height: 127 };
        let found = Value::Object(boxed(area, Some([300.0, 127.0])));
        assert_eq!(found["in"], json!({ "x": 1.0, "y": 0.0, "width": 0.0033, "height": 1.0 }));
        assert_eq!(found["mm"], json!({ "x": 25.4, "y": 0.0, "width": 0.0847, "height": 25.4 }));
        assert_eq!(boxed(area, None).len(), 4);
    }
}
