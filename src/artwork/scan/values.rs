//! What single attributes and style values are.

pub(super) fn is_event(name: &str) -> bool {
    name.len() > 4 && name.starts_with("on") && name.bytes().all(|b| b.is_ascii_lowercase())
}

pub(super) fn has_units(value: &str) -> bool {
    ["px", "deg", "rad", "turn", "mm", "em", "%", "calc("].iter().any(|unit| value.contains(unit))
}

/// The beginning of a long value, on one line.
pub(crate) fn short(text: &str) -> String {
    let line: String = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if line.chars().count() <= 60 { line } else { line.chars().take(57).chain("...".chars()).collect() }
}

/// A color or paint as SVG and CSS Color 3 write it; what newer CSS adds is not read.
pub(super) fn is_paint(value: &str) -> bool {
    let value = value.trim().trim_end_matches("!important").trim();
    let word = matches!(value, "inherit" | "initial" | "unset" | "revert" | "context-fill" | "context-stroke" | "");
    word || value.contains("var(") || svgtypes::Paint::from_str(value).is_ok()
}
