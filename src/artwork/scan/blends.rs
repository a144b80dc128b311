//! Blends that would reach what lies under the motif: each motif is painted alone, so there is
//! nothing yet to blend with.

use usvg::{BlendMode, Group, Tree};

use super::super::losses::Loss;
use super::Places;

/// Blends that reach what lies under the motif: groups that are in no layer of their own.
pub(crate) fn blends(places: &Places, tree: &Tree) -> Vec<Loss> {
    let mut losses = Vec::new();
    each_blend(tree.root(), &mut |group| {
        let line = places.line(group.id()).or(places.blend);
        losses.push(Loss::new(
            "blend-to-ground",
            line,
            Some(group.id()),
            format!("mix-blend-mode: {}", group.blend_mode()),
        ));
    });
    losses
}

fn each_blend(group: &Group, f: &mut dyn FnMut(&Group)) {
    if group.blend_mode() != BlendMode::Normal {
        f(group);
    }
    if !group.should_isolate() {
        for child in group.children() {
            if let usvg::Node::Group(g) = child {
                each_blend(g, f);
            }
        }
    }
}
