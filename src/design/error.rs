//! What is wrong with a design: what, where, the value, and what to write instead.

use std::fmt;
use std::ops::Range;
use std::path::{Path, PathBuf};

/// The part of a design file that an error is about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SourcePlace {
    /// The design file.
    pub path: PathBuf,
    /// Its whole text.
    pub text: String,
    /// The bytes at fault.
    pub span: Range<usize>,
}

/// Why a design can't become an order.
#[derive(Clone, Debug)]
pub struct DesignError {
    what: String,
    hint: Option<String>,
    span: Option<Range<usize>>,
    place: Option<Box<SourcePlace>>,
}

impl DesignError {
    /// From its sentence.
    pub fn new(what: impl fmt::Display) -> DesignError {
        DesignError { what: what.to_string(), hint: None, span: None, place: None }
    }

    /// With what to write instead.
    #[must_use]
    pub fn with_hint(mut self, hint: impl fmt::Display) -> DesignError {
        self.hint = Some(hint.to_string());
        self
    }

    /// About these bytes of the design file; an empty range is no place.
    #[must_use]
    pub fn at(mut self, span: Range<usize>) -> DesignError {
        self.span = Some(span).filter(|s| !s.is_empty());
        self
    }

    /// In this file, if it has a place.
    #[must_use]
    pub fn in_file(mut self, path: &Path, text: &str) -> DesignError {
        if let Some(span) = self.span.clone() {
            self.place = Some(Box::new(SourcePlace { path: path.into(), text: text.into(), span }));
        }
        self
    }

    /// What to write instead, if it is not in the sentence.
    pub fn hint(&self) -> Option<&str> {
        self.hint.as_deref()
    }

    /// Where in the design file.
    pub fn place(&self) -> Option<&SourcePlace> {
        self.place.as_deref()
    }

    pub(super) fn from_toml(error: &toml::de::Error) -> DesignError {
        let message = error.message();
        let made = DesignError::new(message).at(error.span().unwrap_or_default());
        // "unknown field `grund`, expected one of `name`, `ground`"
        let mut ticks = message.split('`').skip(1).step_by(2);
        match ticks.next() {
            Some(typed) if message.starts_with("unknown field") => match nearest(typed, ticks) {
                Some(word) => made.with_hint(format!("write {word}")),
                None => made,
            },
            _ => made,
        }
    }
}

impl fmt::Display for DesignError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.what)
    }
}

impl std::error::Error for DesignError {}

/// The known word with the fewest typing slips (Damerau–Levenshtein), if it is near at all.
pub fn nearest<'a>(typed: &str, known: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let slips = known.map(|word| (strsim::osa_distance(typed, word), word));
    slips.min_by_key(|(slips, _)| *slips).filter(|(slips, word)| *slips <= word.len().div_ceil(2)).map(|(_, w)| w)
}
