//! Lists of numbers that are not drawn as they are written, and art that is left out for its reader.

use svgtypes::{NumberListParser, Transform};
use usvg::roxmltree::Node;

use super::super::css;

/// Points with something among them that is no number: the shape would end there.
pub(super) fn broken_points(points: &str) -> bool {
    NumberListParser::from(points).any(|n| n.is_err())
}

/// A transform that leaves no area: what has it would be painted as if it had none.
pub(super) fn flattens(transform: &str) -> bool {
    transform.parse::<Transform>().is_ok_and(|t| t.a * t.d - t.b * t.c == 0.0)
}

/// Art for readers of other languages than the renderer's, and nothing in its place.
pub(super) fn for_others(node: &Node, languages: &str) -> bool {
    let in_switch = node.parent().is_some_and(|p| p.tag_name().name() == "switch");
    let drawn = !matches!(node.tag_name().name(), "clipPath" | "defs" | "linearGradient" | "radialGradient");
    drawn && !in_switch && !languages.split(',').any(|l| l.trim() == "en" || l.trim().starts_with("en-"))
}

/// Whether an element says that middle points get markers, or that they get none.
pub(super) fn marks_middles(node: &Node) -> Option<bool> {
    let style = node.attribute("style").unwrap_or_default();
    let styled = css::property(style, "marker-mid").or(css::property(style, "marker"));
    styled.or(node.attribute("marker-mid")).map(|value| value != "none")
}

/// A path with arcs; the renderer cuts them, and marks the cuts too.
pub(super) fn has_arcs(node: &Node) -> bool {
    node.tag_name().name() == "path" && node.attribute("d").is_some_and(|d| d.contains(['a', 'A']))
}

/// A gradient with no colors at all.
pub(super) fn colorless(node: &Node) -> bool {
    let gradient = matches!(node.tag_name().name(), "linearGradient" | "radialGradient");
    gradient
        && !node.attributes().any(|a| a.name() == "href")
        && !node.children().any(|n| n.tag_name().name() == "stop")
}

/// Elements that a style gives a width and a height.
pub(super) fn sized_by_style(node: &Node) -> bool {
    matches!(node.tag_name().name(), "rect" | "image" | "use" | "svg") && node.parent_element().is_some()
}
