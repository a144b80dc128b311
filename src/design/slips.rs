//! Slips in a design file: what the TOML reader says, in a designer's words.
//!
//! The reader's messages are made for programmers ("invalid type: floating point, expected
//! i32"). The usual ones are said anew here; a message not known here is passed on as it is.

use std::ops::Range;

use super::error::DesignError;

/// Where each word of a design stands; the test holds it against the schema.
pub(super) const SECTIONS: [(&str, &[&str]); 8] = [
    (
        "at the top, before the first section",
        &[
            "name", "ground", "croquis", "allow", "limits", "fonts", "check", "accept", "repeat", "toss", "motif",
            "deliver",
        ],
    ),
    ("under [check]", &["goods", "ppi", "line", "gap", "opaque"]),
    ("under [[accept]]", &["code", "why"]),
    ("under [repeat]", &["layout", "symmetry", "alternate", "block", "tile"]),
    (
        "under [[motif]]",
        &["file", "width", "height", "scale", "trim", "at", "place", "turn", "flip", "layer", "overlap", "tossed"],
    ),
    ("under [toss]", &["gap", "count", "turns", "apart", "seed", "motif"]),
    ("under [[toss.motif]]", &["file", "width", "trim", "share", "filler"]),
    (
        "under [[deliver]]",
        &["as", "dpi", "name", "exact", "packing", "colors", "quality", "max_bytes", "clip", "bleed", "cloth", "inks"],
    ),
];

/// The error, with a place that can be seen.
pub(super) fn explain(error: &toml::de::Error, text: &str) -> DesignError {
    let message = error.message();
    let at = error.span().unwrap_or(0..0);
    let found = text.get(at.clone()).unwrap_or_default();
    let said = unknown(message)
        .or_else(|| misspelt(message, found, around(text, at.start)))
        .or_else(|| malformed(message, found))
        .or_else(|| mistyped(message, found));
    said.unwrap_or_else(|| DesignError::new(format!("this is no valid TOML: {message}"))).at(visible(at, text))
}

/// An empty span, as at the end of a line, is widened to the character before it.
fn visible(span: Range<usize>, text: &str) -> Range<usize> {
    if !span.is_empty() && text.get(span.clone()).is_some() {
        return span;
    }
    let end = (0..=span.start.min(text.len())).rev().find(|at| text.is_char_boundary(*at)).unwrap_or(0);
    let end = text[..end].trim_end().len();
    let start = text[..end].char_indices().next_back().map_or(0, |(at, _)| at);
    start..end
}

/// What stands on a place's line before it, and from it on.
fn around(text: &str, at: usize) -> (&str, &str) {
    let (before, rest) = text.split_at_checked(at).unwrap_or((text, ""));
    (before.rsplit('\n').next().unwrap_or_default(), rest.lines().next().unwrap_or_default())
}

/// What a person writes who doesn't know TOML, or whose editor means it well.
fn misspelt(message: &str, found: &str, (before, rest): (&str, &str)) -> Option<DesignError> {
    const CURLY: [char; 12] = ['“', '”', '„', '‟', '‘', '’', '‚', '‛', '″', '′', '«', '»'];
    let (what, hint) = match message.split(", expected").next().unwrap_or_default() {
        "string values must be quoted" if found.contains(CURLY) => {
            ("these are not the plain quotes", format!("write \"{}\"", found.replace(CURLY, "")))
        }
        "invalid unquoted key" | "key with no value" if [before, found].concat().contains(CURLY) => {
            ("these are not the plain quotes", "write the plain ones, \"".into())
        }
        "string values must be quoted" if found.is_empty() => {
            let color = rest.split_whitespace().next()?;
            let is_color = color.strip_prefix('#').is_some_and(|digits| digits.starts_with(char::is_alphanumeric));
            is_color.then(|| ("outside quotes, # begins a comment", format!("write \"{color}\"")))?
        }
        "key with no value" => {
            let line = [before, rest].concat();
            let (word, value) = line.split_once(':')?;
            (
                "a word and its value are joined by =, not by a colon",
                format!("write {} = {}", word.trim(), value.trim()),
            )
        }
        "unexpected key or value" => {
            let behind = rest.strip_prefix(',')?;
            let digits = |text: &str| text.chars().take_while(char::is_ascii_digit).count();
            let whole = &before[before.rfind(|c: char| !c.is_ascii_digit() && c != '-').map_or(0, |at| at + 1)..];
            match &behind[..digits(behind)] {
                part if !part.is_empty() && !whole.is_empty() => {
                    ("a number has a point, not a comma", format!("write {whole}.{part}"))
                }
                _ => ("this comma joins nothing", "take it out; lists stand in brackets".into()),
            }
        }
        _ => return None,
    };
    Some(DesignError::new(what).with_hint(hint))
}

/// "unknown field `grund`, expected one of `name`, `ground`" and "missing field `file`".
fn unknown(message: &str) -> Option<DesignError> {
    let mut ticked = message.split('`').skip(1).step_by(2);
    let word = ticked.next()?;
    if message.starts_with("missing field") {
        let e = DesignError::new(format!("{word} is missing under this heading"));
        let example = match word {
            "code" => "thin-line",
            "why" => "the rigging is meant to be faint",
            "gap" => "3mm",
            _ => "limpet.svg",
        };
        return Some(e.with_hint(format!("write for example {word} = \"{example}\"")));
    }
    message.starts_with("unknown field").then(|| {
        let known: Vec<&str> = ticked.collect();
        let e = DesignError::new(format!("{word} is not known here; write {}", any_of(&known)));
        let elsewhere = SECTIONS.iter().find(|(_, words)| words.contains(&word));
        match elsewhere {
            Some((place, _)) => e.with_hint(format!("{word} belongs {place}")),
            None => e.or_meant(word, known),
        }
    })
}

/// What is not TOML at all.
fn malformed(message: &str, found: &str) -> Option<DesignError> {
    if message == "duplicate key" {
        return Some(DesignError::new(format!("{found} is written twice")).with_hint("keep one of them"));
    }
    let (what, hint) = match message.split(", expected").next().unwrap_or_default() {
        "string values must be quoted" if !found.is_empty() => ("text stands in quotes", format!("write \"{found}\"")),
        "invalid basic string" | "invalid literal string" | "missing opening quote" => {
            ("a quote is missing", "text stands between two quotes on one line, for example \"8in\"".into())
        }
        "invalid multi-line basic string" | "invalid multi-line literal string" => {
            ("the text has no end", "end it with the three quotes that it began with".into())
        }
        "unclosed array" | "unclosed table" | "unclosed array table" => {
            ("a closing bracket is missing", "write for example [repeat], [[motif]] or [\"svg\", \"png\"]".into())
        }
        "missing comma between array elements" => ("a comma is missing", "write for example [\"svg\", \"png\"]".into()),
        "string values must be quoted" | "key with no value" | "missing value for key" | "missing value" => {
            ("a value is missing", "write one word, = and its value, for example layout = \"half-drop\"".into())
        }
        _ => return None,
    };
    Some(DesignError::new(what).with_hint(hint))
}

/// "invalid type: integer `5`, expected a string" and "invalid length 1, expected …".
fn mistyped(message: &str, found: &str) -> Option<DesignError> {
    let digits = found.trim_start_matches(['-', '+']).replace('_', "");
    let whole = ["i32", "i64", "any valid TOML value", "too large"].iter().any(|end| message.ends_with(end));
    // Shorter ones are of the right size.
    if whole && digits.len() > 9 && digits.bytes().all(|b| b.is_ascii_digit()) {
        let most = if message.ends_with("i32") { i64::from(i32::MAX) } else { i64::MAX };
        let what = format!("{found} is too large, or too far below zero");
        return Some(DesignError::new(what).with_hint(format!("the largest whole number here is {most}")));
    }
    let (found, wanted) = message.strip_prefix("invalid ")?.split_once(", expected ")?;
    let wanted = match wanted {
        "a string" => "text in quotes, for example \"8in\"",
        "i32" | "i64" => "a whole number, for example 2",
        "f64" => "a number without quotes, for example 1.5",
        "a boolean" => "true or false, without quotes",
        "a sequence" if found == "type: map" => "a section in double brackets, for example [[motif]]",
        "a sequence" => "a list in brackets, for example [\"svg\", \"png\"]",
        name if name.starts_with("struct") => "a section of its own, for example [repeat]",
        other => other,
    };
    Some(DesignError::new(format!("here must stand {wanted}")))
}

/// `a, b or c`.
pub(super) fn any_of(words: &[&str]) -> String {
    listed(words, "or")
}

/// `a, b and c`.
pub(super) fn and(words: &[&str]) -> String {
    listed(words, "and")
}

fn listed(words: &[&str], last_but: &str) -> String {
    match words {
        [] => "nothing".into(),
        [one] => (*one).into(),
        [head @ .., last] => format!("{} {last_but} {last}", head.join(", ")),
    }
}
