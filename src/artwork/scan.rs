use super::losses::Loss; use super::source::Source; use usvg::{Tree, roxmltree::Document};
pub(crate) fn scan(_: &Source, _: &Document) -> Vec<Loss> { Vec::new() }
pub(crate) fn line_of(_: &Source, _: &Document, _: &str) -> Option<u32> { None }
pub(crate) fn blends(_: &Source, _: &Document, _: &Tree) -> Vec<Loss> { Vec::new() }
