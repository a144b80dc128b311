//! The page: a design as cloth in the browser, served on this machine to this machine only.
//!
//! ```text
//!   browser                 this process                          workers (guard)
//!   ┌──────────────┐ HTTP   ┌───────────────────────────┐ pipe   ┌──────────────────────────────┐
//!   │ web/*.js     │ ─────▶ │ server: gate, routes      │ ─────▶ │ bench: stays; reads drawings,│
//!   │ engine.js is │        │ desk: the design's text,  │        │ paints what is looked at     │
//!   │ all it knows │ ◀───── │ undo, the file on disk    │ ─────▶ │ errands: seamfast make, check│
//!   └──────────────┘        └───────────────────────────┘        │ proof, toss, each by itself  │
//!                                                                └──────────────────────────────┘
//! ```
//!
//! Nothing of a stranger's file is opened in the process that serves: what it does to a worker is
//! said on the page, and the next question goes to a new one. The page decides nothing: it sends changes
//! of the design's text, and is told what came of them.

mod bench;
mod desk;
mod disk;
mod errands;
mod gate;
mod hold;
mod house;
mod look;
mod parcels;
mod server;
mod shipped;
mod web;

use std::io;
use std::path::PathBuf;

pub(crate) use bench::serve as bench;
pub(crate) use server::Server;

use house::Trouble;

impl From<Trouble> for PageError {
    fn from(trouble: Trouble) -> PageError {
        PageError::Motif(trouble.to_string())
    }
}

/// What the page is opened with.
pub(crate) struct Opening {
    /// The design file; it may be missing as yet.
    pub(crate) file: PathBuf,
    /// What a new design is called.
    pub(crate) name: String,
    /// What is laid on a new design: files, by the way to them from the design's folder.
    pub(crate) motifs: Vec<String>,
    /// The port to listen on; 0 for any.
    pub(crate) port: u16,
}

/// The text of a design that is begun on the page.
fn begun(name: &str) -> String {
    let name = toml::Value::String(name.into());
    format!(
        "# A Seamfast design, begun on the page. Make its files with: seamfast make\n\
         \n\
         name   = {name}\n\
         ground = \"#f3eee3\"\n\
         \n\
         [repeat]\n\
         layout = \"half-drop\"\n\
         block  = \"4in x 8in\"\n\
         \n\
         [[deliver]]\n\
         as  = [\"svg\", \"png\", \"tiff\"]\n\
         dpi = 150\n"
    )
}

/// Why the page is not opened.
#[derive(Debug, thiserror::Error)]
pub(crate) enum PageError {
    /// The design file can't be read.
    #[error("{}: {error}", file.display())]
    Unreadable { file: PathBuf, error: io::Error },
    /// No door can be opened.
    #[error("no page can be served on 127.0.0.1, port {port}: {error}")]
    NoDoor { port: u16, error: io::Error },
    /// A motif that is named can't be laid.
    #[error("{0}")]
    Motif(String),
    /// No chance for the secret.
    #[error("the system gives no random numbers: {0}")]
    NoChance(String),
}
