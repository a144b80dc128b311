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

/// What the page is opened with.
pub(crate) struct Opening {
    /// The design file; it may be missing as yet.
    pub(crate) file: PathBuf,
    /// What it is begun with, if it is missing.
    pub(crate) text: String,
    /// The motifs of that text that may have their own size, if it goes into so many inches across and down.
    pub(crate) motifs: Vec<String>,
    pub(crate) room: [f64; 2],
    /// The port to listen on; 0 for any.
    pub(crate) port: u16,
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
    /// No chance for the secret.
    #[error("the system gives no random numbers: {0}")]
    NoChance(String),
}
