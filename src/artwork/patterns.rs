//! Patterns are laid out as plain shapes, so that every exporter shows the same.
//!
//! ```text
//!   fill="url(#dots)"            clip: the shape        one path: the dots
//!   ╭──────────╮                 ╭──────────╮           of all the cells
//!   │ · · · ·  │      ═▶         │          │     ×      · · · ·
//!   │  · · · · │                 │          │             · · · ·
//!   ╰──────────╯                 ╰──────────╯
//! ```
//!
//! A painter of pixels draws a pattern as a small picture of whole pixels, repeated: its
//! period is rounded, so it drifts along the shape, otherwise at each resolution, and it is
//! soft when turned. Laid out, a pattern keeps its exact period in every file.
//!
//! A resolved tree with patterns is written as SVG without any and read again; a tree
//! without patterns is handed back as it is. What would be too much is refused.

use usvg::{ImageHrefResolver, Options, Tree};

use super::budget::Budget;
use super::error::ArtworkError;
use super::inks::Inks;

mod art;
mod content;
mod cut;
mod defs;
mod join;
mod lattice;
mod plain;
mod show;
mod stroke;
mod text;
mod write;

/// The same drawing without patterns, and what its inks are called, as they were called before.
pub(crate) fn lay_out(name: &str, tree: Tree, inks: Inks, budget: &Budget) -> Result<(Tree, Inks), ArtworkError> {
    if tree.patterns().is_empty() {
        return Ok((tree, inks));
    }
    let write::Written { text, gradients, areas } = write::without_patterns(name, &tree, &inks, budget)?;
    let options = Options {
        image_href_resolver: ImageHrefResolver {
            resolve_data: ImageHrefResolver::default_data_resolver(),
            resolve_string: Box::new(|_, _| None),
        },
        ..Options::default()
    };
    let failed = |what: String| ArtworkError::Failed { name: name.into(), what };
    let laid = Tree::from_str(&text, &options).map_err(|e| failed(format!("its patterns, laid out: {e}")))?;
    if laid.size() != tree.size() || !laid.patterns().is_empty() {
        return Err(failed("its patterns cannot be laid out".into()));
    }
    let inks = Inks::rewritten(&laid, &gradients, areas);
    Ok((laid, inks))
}
