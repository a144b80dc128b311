//! Elements that are drawn, elements that are not, and elements that are switched off.

use usvg::roxmltree::Node;

use super::super::css;
use super::super::source::is_svg;

/// Whether an element is switched off by its own attributes.
pub(crate) fn hidden(node: &Node) -> bool {
    let style = node.attribute("style").and_then(|s| css::property(s, "display"));
    style.or(node.attribute("display")) == Some("none")
}

/// A `switch` offers something else in place of what needs an extension.
pub(super) fn has_stand_in(node: &Node) -> bool {
    let in_switch = node.parent().is_some_and(|p| p.tag_name().name() == "switch");
    in_switch && node.has_attribute("requiredExtensions") && node.next_sibling_element().is_some()
}

/// The code of an element that is never drawn.
pub(super) fn lost_element(node: &Node) -> Option<&'static str> {
    let name = node.tag_name().name();
    let html = node.tag_name().namespace() == Some("http://www.w3.org/1999/xhtml");
    if !is_svg(node) && !html {
        return None;
    }
    Some(match name {
        "script" => "script",
        "link" => "outside-style",
        "foreignObject" => "foreign-object",
        "animate" | "set" | "animateTransform" | "animateMotion" | "animateColor" | "discard" => "animation",
        "video" | "audio" | "iframe" | "canvas" | "object" | "embed" => "embedded-media",
        "mesh" | "meshgradient" | "meshGradient" | "hatch" | "solidcolor" | "solidColor" => "mesh-paint",
        "font-face" | "font" => "font-face",
        _ if html => return None,
        _ if KNOWN.contains(&name) || name.starts_with("fe") => return None,
        _ => "unknown-element",
    })
}

/// Elements that are drawn, or that draw nothing and so can't be missed.
const KNOWN: &[&str] = &[
    "a",
    "circle",
    "clipPath",
    "color-profile",
    "cursor",
    "defs",
    "desc",
    "ellipse",
    "filter",
    "g",
    "image",
    "line",
    "linearGradient",
    "marker",
    "mask",
    "metadata",
    "path",
    "pattern",
    "polygon",
    "polyline",
    "radialGradient",
    "rect",
    "stop",
    "style",
    "svg",
    "switch",
    "symbol",
    "text",
    "textPath",
    "title",
    "tref",
    "tspan",
    "use",
    "view",
];
