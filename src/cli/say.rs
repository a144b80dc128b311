//! How results and failures are said: words on standard output, failures on standard error.

use std::io::{self, ErrorKind, IsTerminal, Write};
use std::sync::OnceLock;

use annotate_snippets::{AnnotationKind, Level, Message, Renderer, Snippet};
use seamfast::design::{DeliverError, DesignError};
use seamfast::raster::RasterError;

/// Why a command did not do its work.
pub(super) enum Failure {
    /// Whoever read our output has gone; that is no error.
    ClosedPipe,
    /// In one sentence, and what to do; in a design perhaps with its place.
    Said(Box<DesignError>),
}

/// What a command comes to.
pub(super) type Outcome = Result<(), Failure>;

impl From<DesignError> for Failure {
    fn from(error: DesignError) -> Failure {
        Failure::Said(Box::new(error))
    }
}

impl From<DeliverError> for Failure {
    fn from(error: DeliverError) -> Failure {
        match (&error, remedy(&error)) {
            (DeliverError::Raster(RasterError::TooMuch { limit, .. }), _) => {
                let hint = format!("write a lower resolution, or simplify the drawing; or {}", limit.raise());
                failure_with(error, hint)
            }
            (_, Some(hint)) => failure_with(error, hint),
            (_, None) => failure(error),
        }
    }
}

/// A failure in one sentence.
pub(super) fn failure(what: impl std::fmt::Display) -> Failure {
    DesignError::new(what).into()
}

/// A failure, and what to do about it.
pub(super) fn failure_with(what: impl std::fmt::Display, hint: impl std::fmt::Display) -> Failure {
    DesignError::new(what).with_hint(hint).into()
}

/// What to do when files could not be written.
fn remedy(error: &DeliverError) -> Option<&'static str> {
    use ErrorKind as K;
    match error {
        DeliverError::Disk { error, .. } | DeliverError::Half { error, .. } => match error.kind() {
            K::NotFound | K::PermissionDenied | K::ReadOnlyFilesystem => {
                Some("choose a folder that you may write to, with --out")
            }
            K::StorageFull | K::QuotaExceeded | K::FileTooLarge => Some("make room, or choose another disk with --out"),
            K::NotADirectory | K::AlreadyExists => {
                Some("a file has the folder's name; choose another folder with --out")
            }
            K::IsADirectory => {
                Some("a folder has the file's name; choose another name with --name, or another folder with --out")
            }
            K::InvalidFilename => Some("choose a shorter name with --name, or another folder with --out"),
            _ => None,
        },
        DeliverError::Unsettled { .. } => Some("make them again, or choose another disk with --out"),
        DeliverError::Unfit { .. } => {
            Some("move it away, or choose another folder with --out, or another name with --name")
        }
        DeliverError::Busy { .. } => {
            Some("wait until that is done, or choose another folder with --out, or another name with --name")
        }
        DeliverError::OverSource { .. } => Some("choose another folder with --out, or another name with --name"),
        DeliverError::Pixels { .. } | DeliverError::Vector { .. } | DeliverError::Cut { .. } => {
            Some("try again; if it stays so it is a fault of Seamfast's: please report it with the design")
        }
        _ => None,
    }
}

/// What the system says of a file that is to be read or written, in plain words.
pub(super) fn reason(error: &io::Error) -> String {
    match error.kind() {
        ErrorKind::NotFound => "there is no such file".into(),
        ErrorKind::PermissionDenied => "you may not open it".into(),
        ErrorKind::IsADirectory => "is a folder".into(),
        ErrorKind::InvalidData => "is not UTF-8 text".into(),
        _ => error.to_string(),
    }
}

/// A line on standard output.
pub(super) fn line(text: &str) -> Outcome {
    bytes(format!("{text}\n").as_bytes())
}

/// Bytes on standard output, as they are.
pub(super) fn bytes(bytes: &[u8]) -> Outcome {
    let mut out = io::stdout().lock();
    match out.write_all(bytes).and_then(|()| out.flush()) {
        Err(e) if e.kind() == ErrorKind::BrokenPipe => Err(Failure::ClosedPipe),
        Err(e) => Err(failure(format!("can't write the answer: {e}"))),
        Ok(()) => Ok(()),
    }
}

/// Color on standard error, decided once.
static COLORED: OnceLock<bool> = OnceLock::new();

/// Color on standard error: only on a terminal, and not under `NO_COLOR`. A worker's words are seen
/// where its watcher says.
pub(super) fn colored() -> bool {
    *COLORED.get_or_init(|| io::stderr().is_terminal() && std::env::var_os("NO_COLOR").is_none_or(|v| v.is_empty()))
}

/// As a watcher says.
pub(super) fn color(colored: bool) {
    let _ = COLORED.set(colored);
}

fn renderer() -> Renderer {
    if colored() { Renderer::styled() } else { Renderer::plain() }
}

/// A value that stood in no file was typed: its flag is named.
fn title(error: &DesignError) -> String {
    match (error.field(), error.place()) {
        (Some("width"), None) => format!("--motif-width: {}", error.what()),
        (Some(field), None) => format!("--{}: {}", field.replace('_', "-"), error.what()),
        (_, _) => error.to_string(),
    }
}

impl Failure {
    /// Says it on standard error.
    pub(super) fn print(&self) {
        let Failure::Said(error) = self else { return };
        let what = title(error);
        // The first line is the title; lines below it are a list, which stays one.
        let (what, list) =
            what.split_once('\n').map_or((&*what, None), |(first, rest)| (first, Some(rest.replace("\n  ", "\n"))));
        let mut group = Level::ERROR.primary_title(what).elements(Vec::<Message>::new());
        let path = error.place().map(|p| p.path.display().to_string()).unwrap_or_default();
        if let Some(place) = error.place() {
            let snippet = Snippet::source(&place.text).path(&path);
            group = group.element(snippet.annotation(AnnotationKind::Primary.span(place.span.clone())));
        }
        if let Some(list) = &list {
            group = group.element(Level::NOTE.no_name().message(list.trim_start()));
        }
        if let Some(hint) = error.hint() {
            group = group.element(Level::HELP.message(hint));
        }
        let _ = writeln!(io::stderr(), "{}", renderer().render(&[group]));
    }
}

/// Something to know that stops nothing.
pub(super) fn warn(text: &str) {
    let group = Level::WARNING.primary_title(text).elements(Vec::<Message>::new());
    let _ = writeln!(io::stderr(), "{}", renderer().render(&[group]));
}
