//! What is wrong with a design: what, where, the value, and what to write instead.

use std::fmt;
use std::ops::Range;
use std::path::{Path, PathBuf};

use toml::Spanned;

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
///
/// An error about a field that has no [`place`](DesignError::place) is about a value that stood
/// in no file: it was typed, so the counter names the flag instead of the field.
#[derive(Clone, Debug)]
pub struct DesignError {
    field: Option<&'static str>,
    what: String,
    hint: Option<String>,
    span: Option<Range<usize>>,
    place: Option<Box<SourcePlace>>,
}

impl DesignError {
    /// From its sentence.
    pub fn new(what: impl fmt::Display) -> DesignError {
        DesignError { field: None, what: what.to_string(), hint: None, span: None, place: None }
    }

    /// About the value of a field.
    pub fn about<T>(field: &'static str, value: &Spanned<T>, what: impl fmt::Display) -> DesignError {
        DesignError { field: Some(field), ..DesignError::new(what) }.at(value.span())
    }

    /// With what to write instead.
    #[must_use]
    pub fn with_hint(mut self, hint: impl fmt::Display) -> DesignError {
        self.hint = Some(hint.to_string());
        self
    }

    /// With the known word that was meant, if one is near.
    #[must_use]
    pub fn or_meant<'a>(self, typed: &str, known: impl IntoIterator<Item = &'a str>) -> DesignError {
        match nearest(typed, known) {
            Some(word) => self.with_hint(format!("did you mean {word}?")),
            None => self,
        }
    }

    /// About these bytes of the design file; an empty range is no place.
    #[must_use]
    pub fn at(mut self, span: Range<usize>) -> DesignError {
        self.span = Some(span).filter(|s| !s.is_empty());
        self
    }

    /// In this file: at its place there, or about the file as a whole. What was typed stays as
    /// it is.
    #[must_use]
    pub fn in_file(mut self, path: &Path, text: &str) -> DesignError {
        match (self.span.clone(), self.field) {
            (Some(span), _) => self.place = Some(Box::new(SourcePlace { path: path.into(), text: text.into(), span })),
            (None, None) => self.what = format!("{}: {}", path.display(), self.what),
            (None, Some(_)) => {}
        }
        self
    }

    /// The field whose value is wrong, where it is one.
    pub fn field(&self) -> Option<&'static str> {
        self.field
    }

    /// The sentence, without the field.
    pub fn what(&self) -> &str {
        &self.what
    }

    /// What to write instead, if it is not in the sentence.
    pub fn hint(&self) -> Option<&str> {
        self.hint.as_deref()
    }

    /// Where in the design file.
    pub fn place(&self) -> Option<&SourcePlace> {
        self.place.as_deref()
    }
}

impl fmt::Display for DesignError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.field {
            Some(field) => write!(f, "{field}: {}", self.what),
            None => f.write_str(&self.what),
        }
    }
}

impl std::error::Error for DesignError {}

/// The known word with the fewest typing slips (Damerau–Levenshtein), if it is near at all and
/// not what was typed.
fn nearest<'a>(typed: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let plain = typed.trim().to_lowercase().replace([' ', '_'], "-");
    let slips = known.into_iter().map(|word| (strsim::osa_distance(&plain, word), word));
    let (slips, word) = slips.min_by_key(|(slips, _)| *slips)?;
    (slips < word.len().div_ceil(2) && word != typed).then_some(word)
}
