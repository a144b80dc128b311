//! How results and failures are said: words on standard output, failures on standard error.

use std::io::{self, IsTerminal, Write};

use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet};
use seamfast::design::DesignError;

/// Why a command did not do its work.
pub(super) enum Failure {
    /// Whoever read our output has gone; that is no error.
    ClosedPipe,
    /// In the design, perhaps with a place in its file.
    Design(DesignError),
    /// Anything else, in one sentence, and what to do.
    Other(String, Option<String>),
}

/// What a command comes to.
pub(super) type Outcome = Result<(), Failure>;

impl From<DesignError> for Failure {
    fn from(error: DesignError) -> Failure {
        Failure::Design(error)
    }
}

/// A failure in one sentence.
pub(super) fn failure(what: impl std::fmt::Display) -> Failure {
    Failure::Other(what.to_string(), None)
}

/// A line on standard output.
pub(super) fn line(text: &str) -> Outcome {
    let mut out = io::stdout().lock();
    match writeln!(out, "{text}").and_then(|()| out.flush()) {
        Err(e) if e.kind() == io::ErrorKind::BrokenPipe => Err(Failure::ClosedPipe),
        Err(e) => Err(failure(format!("can't write the answer: {e}"))),
        Ok(()) => Ok(()),
    }
}

/// Color on standard error: only on a terminal, and not under `NO_COLOR`.
fn colored() -> bool {
    io::stderr().is_terminal() && std::env::var_os("NO_COLOR").is_none_or(|v| v.is_empty())
}

impl Failure {
    /// Says it on standard error.
    pub(super) fn print(&self) {
        let renderer = if colored() { Renderer::styled() } else { Renderer::plain() };
        let (what, hint, place) = match self {
            Failure::ClosedPipe => return,
            Failure::Design(e) => (e.to_string(), e.hint().map(String::from), e.place()),
            Failure::Other(what, hint) => (what.clone(), hint.clone(), None),
        };
        let mut group = Level::ERROR.primary_title(&what).elements(Vec::<annotate_snippets::Message>::new());
        let path = place.map(|p| p.path.display().to_string()).unwrap_or_default();
        if let Some(place) = place {
            let snippet = Snippet::source(&place.text).path(&path);
            group = group.element(snippet.annotation(AnnotationKind::Primary.span(place.span.clone())));
        }
        if let Some(hint) = &hint {
            group = group.element(Level::HELP.message(hint));
        }
        let _ = writeln!(io::stderr(), "{}", renderer.render(&[group]));
    }
}

/// Something to know that stops nothing.
pub(super) fn warn(text: &str) {
    let renderer = if colored() { Renderer::styled() } else { Renderer::plain() };
    let group = Level::WARNING.primary_title(text).elements(Vec::<annotate_snippets::Message>::new());
    let _ = writeln!(io::stderr(), "{}", renderer.render(&[group]));
}
