//! Drawings that were taken in, kept for the next order: while a design is worked on they seldom change.

use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use super::order::Order;
use super::written::Design;
use crate::artwork::Motif;

/// Motifs by file and by how they were taken in.
#[derive(Debug, Default)]
pub struct Shelf {
    kept: HashMap<Key, Motif>,
}

/// Which file in which state, and how it is taken in. Where any of it differs, the motif does.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub(super) struct Key {
    path: PathBuf,
    trim: bool,
    changed: Option<(u64, SystemTime)>,
    intake: String,
}

impl Key {
    pub(super) fn of(path: &Path, trim: bool, design: &Design) -> Key {
        let changed = std::fs::metadata(path).ok().and_then(|about| Some((about.len(), about.modified().ok()?)));
        let values = |text: &dyn std::fmt::Display| text.to_string();
        let allow: Vec<&String> = design.allow.iter().map(|code| code.get_ref()).collect();
        let limits: Vec<_> = design.limits.iter().map(|(name, most)| (name, values(most.get_ref()))).collect();
        let fonts: Vec<_> = design.fonts.iter().map(|(font, by)| (font, by.get_ref())).collect();
        Key { path: path.into(), trim, changed, intake: format!("{allow:?} {limits:?} {fonts:?}") }
    }
}

impl Shelf {
    /// Takes a motif down, if it lies here as its file is now.
    pub(super) fn take(&mut self, key: &Key) -> Option<Motif> {
        key.changed.and_then(|_| self.kept.remove(key))
    }

    /// Keeps an order's motifs, and forgets all others.
    pub fn keep(&mut self, order: Order) {
        self.kept = order.keys.into_iter().zip(order.motifs).collect();
    }

    /// Keeps an order's motifs beside the others: what came of a design that could not be decided.
    pub(super) fn keep_too(&mut self, order: Order) {
        self.kept.extend(order.keys.into_iter().zip(order.motifs));
    }
}
