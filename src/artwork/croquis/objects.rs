//! What on a page is an object of its own.
//!
//! Drawing programs wrap what is drawn: in a layer, in layers of layers, in one group around
//! everything. Such wrappers are opened, the others are objects:
//!
//! - a layer is opened: `groupmode="layer"`, or an id or label that begins with "layer";
//! - a wrapper that is all there is on its level is opened if there are groups in it: those
//!   are the motifs. If it holds bare shapes only, it is taken for one motif and kept;
//! - whatever lies around the ground is opened, or the ground would cover what is wrapped;
//! - a group that reaches from edge to edge is opened: it may hold a motif and the copies of it
//!   that a person laid at the other edge;
//! - nothing is opened that has an effect as a whole: opacity, filter, clip, mask, blend.
//!
//! Opening one group too many is never wrong for the picture, it only counts more pieces.

use usvg::roxmltree::Node;

use super::super::scan::hidden;
use super::super::source::is_svg;
use super::excerpt::Excerpts;

/// The object at the very bottom, if it is one shape: the page's ground, if it turns out to cover it.
pub(super) fn bottom<'a, 'i>(page: &Excerpts<'a, 'i>) -> Option<Node<'a, 'i>> {
    let mut node = page.root();
    while is_container(&node) {
        if page.styles().needs_whole(&node) {
            return None;
        }
        node = drawn(&node, None).into_iter().next()?;
    }
    matches!(node.tag_name().name(), "rect" | "path" | "polygon" | "polyline").then_some(node)
}

/// The objects of a page in painting order, without its ground.
pub(super) fn objects<'a, 'i>(page: &Excerpts<'a, 'i>, ground: Option<Node<'a, 'i>>) -> Vec<Node<'a, 'i>> {
    let mut out = Vec::new();
    let root = page.root();
    if page.styles().needs_whole(&root) {
        out.push(root);
    } else {
        open(page, &root, ground, &mut out);
    }
    out
}

/// The parts of an object that can be opened.
pub(super) fn parts<'a, 'i>(
    page: &Excerpts<'a, 'i>,
    object: &Node<'a, 'i>,
    ground: Option<Node<'a, 'i>>,
) -> Option<Vec<Node<'a, 'i>>> {
    let opens = is_container(object) && !page.styles().needs_whole(object);
    opens.then(|| drawn(object, ground)).filter(|parts| !parts.is_empty())
}

fn open<'a, 'i>(
    page: &Excerpts<'a, 'i>,
    parent: &Node<'a, 'i>,
    ground: Option<Node<'a, 'i>>,
    out: &mut Vec<Node<'a, 'i>>,
) {
    let children = drawn(parent, ground);
    let alone = children.len() == 1;
    for child in children {
        if opens(page, &child, alone, ground) { open(page, &child, ground, out) } else { out.push(child) }
    }
}

fn opens(page: &Excerpts, node: &Node, alone: bool, ground: Option<Node>) -> bool {
    let wraps_groups = || drawn(node, ground).iter().any(|c| is_container(c) || c.tag_name().name() == "use");
    let wraps_ground = || ground.is_some_and(|g| g.ancestors().any(|a| a == *node));
    is_container(node)
        && !page.styles().needs_whole(node)
        && (is_layer(node) || (alone && wraps_groups()) || wraps_ground())
}

/// A group, or what acts as one. An inner `svg` with a viewport of its own clips, so it is none.
fn is_container(node: &Node) -> bool {
    let viewport = || ["x", "y", "width", "height", "viewBox", "overflow"].iter().any(|a| node.has_attribute(*a));
    match node.tag_name().name() {
        "g" | "a" => true,
        "svg" => node.parent_element().is_none() || !viewport(),
        "switch" => node
            .children()
            .filter(is_svg)
            .all(|c| !c.has_attribute("systemLanguage") && !c.has_attribute("requiredFeatures")),
        _ => false,
    }
}

/// A layer by the mark or the name that drawing programs give it.
fn is_layer(node: &Node) -> bool {
    node.attributes().any(|a| match a.name() {
        "groupmode" => a.value() == "layer",
        "id" | "label" => a.value().get(..5).is_some_and(|start| start.eq_ignore_ascii_case("layer")),
        _ => false,
    })
}

/// The children that draw something. Of a `switch`, the one it chooses.
fn drawn<'a, 'i>(parent: &Node<'a, 'i>, ground: Option<Node<'a, 'i>>) -> Vec<Node<'a, 'i>> {
    let children = parent.children().filter(is_svg);
    if parent.tag_name().name() == "switch" {
        let chosen = children.filter(|c| !c.has_attribute("requiredExtensions")).take(1);
        return chosen.filter(|c| draws(c, ground)).collect();
    }
    children.filter(|c| draws(c, ground)).collect()
}

fn draws<'a, 'i>(node: &Node<'a, 'i>, ground: Option<Node<'a, 'i>>) -> bool {
    const SHAPES: &[&str] =
        &["path", "rect", "circle", "ellipse", "line", "polyline", "polygon", "image", "text", "use"];
    if hidden(node) || Some(*node) == ground || !is_svg(node) {
        return false;
    }
    let name = node.tag_name().name();
    let group = matches!(name, "g" | "a" | "svg" | "switch");
    SHAPES.contains(&name) || (group && (node.children().any(|c| draws(&c, ground)) || is_filtered(node)))
}

/// An empty group with a filter may still be painted.
fn is_filtered(node: &Node) -> bool {
    node.has_attribute("filter") || node.attribute("style").is_some_and(|s| s.contains("filter"))
}

/// What an object is called: by its label, its id, or its number.
pub(super) fn label(node: Node, index: usize) -> String {
    let label = node.attributes().find(|a| a.name() == "label").map(|a| a.value());
    label.or(node.attribute("id")).filter(|l| !l.is_empty()).map_or_else(|| (index + 1).to_string(), str::to_owned)
}
