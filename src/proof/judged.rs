//! What is said of one tile.

use super::findings::Finding;
use super::subject::Subject;
use crate::join::{self, Inner, Join, Verdict};

/// A tile that was judged.
#[derive(Debug)]
pub struct Judged {
    /// Its file.
    pub name: String,
    /// `design`, `SVG`, `PNG` …
    pub kind: &'static str,
    /// Pixels across.
    pub width: usize,
    /// Pixels down.
    pub height: usize,
    /// Pixels an inch, where they are known.
    pub dpi: Option<[f64; 2]>,
    /// Left-right, top-bottom.
    pub joins: Vec<Join>,
    /// The repeat inside it.
    pub inner: Inner,
    /// What else is to be said.
    pub findings: Vec<Finding>,
}

impl Judged {
    /// Judges a tile.
    pub fn new(subject: Subject) -> Judged {
        let Subject { name, kind, dpi, image, findings } = subject;
        let (steps, inner) = join::inner(&image);
        let joins = join::judge(&image, steps);
        Judged { name, kind, width: image.width(), height: image.height(), dpi, joins, inner, findings }
    }

    /// The worst of its joins.
    pub fn verdict(&self) -> Verdict {
        self.joins.iter().map(|join| join.verdict).max().unwrap_or(Verdict::Unsure)
    }
}
