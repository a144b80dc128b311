//! Looking through a drawing's source for what cannot be kept, before usvg drops it in silence.

use std::collections::HashMap;

use usvg::roxmltree::{Document, Node, NodeType};
use usvg::{BlendMode, Group, Tree};

use super::css::{self, Sheet};
use super::losses::Loss;
use super::source::{Source, is_svg};

/// Where things are in the file that was read, for losses that show only in the tree.
#[derive(Default)]
pub(crate) struct Places {
    ids: HashMap<String, u32>,
    blend: Option<u32>,
}

impl Places {
    /// The line of an element.
    pub(crate) fn line(&self, id: &str) -> Option<u32> {
        self.ids.get(id).copied()
    }
}

/// Everything in the source that cannot be kept, in the order of the file.
pub(crate) fn scan(source: &Source, doc: &Document) -> (Vec<Loss>, Places) {
    let mut scan = Scan { source, places: Places::default(), losses: Vec::new() };
    for node in doc.descendants() {
        if let Some(id) = node.attribute("id") {
            scan.places.ids.entry(id.to_owned()).or_insert_with(|| source.line(node.range().start));
        }
    }
    for node in doc.root().children() {
        match node.node_type() {
            NodeType::PI if node.pi().is_some_and(|pi| pi.target == "xml-stylesheet") => scan.lose("outside-style", &node, "<?xml-stylesheet?>"),
            NodeType::Element => scan.element(&node),
            _ => {}
        }
    }
    (scan.losses, scan.places)
}

struct Scan<'a> {
    source: &'a Source,
    places: Places,
    losses: Vec<Loss>,
}

impl Scan<'_> {
    fn lose(&mut self, code: &'static str, node: &Node, what: impl Into<String>) {
        self.lose_at(code, self.source.line(node.range().start), node.attribute("id"), what);
    }

    fn lose_at(&mut self, code: &'static str, line: u32, id: Option<&str>, what: impl Into<String>) {
        self.losses.push(Loss::new(code, Some(line), id, what));
    }

    /// Looks at an element and what is in it. What is hidden is nothing to lose.
    fn element(&mut self, node: &Node) {
        let name = node.tag_name().name();
        if hidden(node) {
            return;
        }
        if let Some(code) = lost_element(node) {
            if !has_stand_in(node) {
                self.lose(code, node, format!("<{name}>"));
            }
            return;
        }
        if !is_svg(node) || matches!(name, "metadata" | "title" | "desc") {
            return;
        }
        if name == "style" {
            self.style(node);
            return;
        }
        self.attributes(node);
        for child in node.children().filter(Node::is_element) {
            self.element(&child);
        }
    }

    fn attributes(&mut self, node: &Node) {
        for attribute in node.attributes() {
            let (name, value) = (attribute.name(), attribute.value());
            let plain = attribute.namespace().is_none();
            match name {
                "href" => self.href(node, value.trim()),
                "style" if plain => {
                    for (name, value) in css::declarations(value) {
                        self.declaration(&name, value, self.source.line(attribute.range().start), Some(node));
                    }
                }
                "in" | "in2" if matches!(value, "BackgroundImage" | "BackgroundAlpha" | "FillPaint" | "StrokePaint") => {
                    self.lose("filter-input", node, format!("{name}=\"{value}\""));
                }
                _ if plain && is_event(name) => self.lose("script", node, format!("{name}=\"{}\"", short(value))),
                "id" | "class" | "d" | "points" | "transform" => {}
                "x" | "y" | "cx" | "cy" | "r" | "rx" | "ry" | "width" | "height" if !value.contains("var(") => {}
                _ if plain => self.declaration(name, value, self.source.line(attribute.range().start), Some(node)),
                _ => {}
            }
        }
    }

    fn href(&mut self, node: &Node, value: &str) {
        let name = node.tag_name().name();
        let image = matches!(name, "image" | "feImage");
        let what = || format!("<{name} href=\"{}\">", short(value));
        if name == "a" || value.is_empty() || (image && value.starts_with("data:")) {
            return;
        }
        match value.strip_prefix('#') {
            Some(id) if name != "image" => {
                if !self.places.ids.contains_key(id) {
                    self.lose("missing-reference", node, what());
                }
            }
            _ => self.lose(if image { "outside-image" } else { "outside-reference" }, node, what()),
        }
    }

    /// A property, be it an attribute or a style.
    fn declaration(&mut self, name: &str, value: &str, line: u32, node: Option<&Node>) {
        let id = node.and_then(|n| n.attribute("id"));
        let what = || format!("{name}: {}", short(value));
        let in_style = node.is_none_or(|n| n.attribute(name) != Some(value));
        if value.contains("var(") {
            self.lose_at("css-variable", line, id, what());
        }
        match name {
            "vector-effect" if value.starts_with("non-scaling") => self.lose_at("non-scaling-stroke", line, id, what()),
            "mix-blend-mode" if value != "normal" => _ = self.places.blend.get_or_insert(line),
            "transform" | "transform-origin" if in_style && has_units(value) => self.lose_at("css-transform", line, id, what()),
            "d" | "x" | "y" | "cx" | "cy" | "r" | "rx" | "ry" if in_style && node.is_none_or(|n| n.attribute(name).is_none()) => {
                self.lose_at("css-geometry", line, id, what());
            }
            "animation" | "animation-name" if value != "none" => self.lose_at("animation", line, id, what()),
            "fill" | "stroke" | "clip-path" | "mask" | "filter" | "marker" | "marker-start" | "marker-mid" | "marker-end" => {
                for (named, rest) in css::urls(value) {
                    match named.strip_prefix('#') {
                        Some(known) if self.places.ids.contains_key(known) => {}
                        Some(_) if matches!(name, "fill" | "stroke") && !rest.trim().is_empty() => {}
                        Some(_) => self.lose_at("missing-reference", line, id, what()),
                        None => self.lose_at("outside-reference", line, id, what()),
                    }
                }
            }
            _ => {}
        }
    }

    fn style(&mut self, node: &Node) {
        let Some(text) = node.first_child().filter(Node::is_text) else { return };
        let first = self.source.line(text.range().start);
        if node.attribute("type").is_some_and(|t| !t.is_empty() && t != "text/css") {
            self.lose("css-selector", node, format!("<style type=\"{}\">", node.attribute("type").unwrap_or_default()));
            return;
        }
        let sheet = Sheet::new(text.text().unwrap_or_default());
        for (at, name) in sheet.at_rules() {
            let code = match name {
                "import" => "outside-style",
                "media" => "media-query",
                "font-face" => "font-face",
                "charset" | "namespace" | "keyframes" => continue,
                _ => "css-selector",
            };
            self.lose_at(code, first + sheet.lines_before(at), None, format!("@{name}"));
        }
        for rule in sheet.rules() {
            let line = first + sheet.lines_before(rule.at);
            if cannot_follow(rule.selector) {
                self.lose_at("css-selector", line, None, short(rule.selector));
            }
            for (name, value) in css::declarations(rule.body) {
                self.declaration(&name, value, line, None);
            }
        }
    }
}

/// Style rules that look at neighbours; a page that is taken apart can't keep them.
pub(crate) fn sibling_rules(source: &Source, doc: &Document) -> Vec<Loss> {
    let mut losses = Vec::new();
    for text in doc.descendants().filter(|n| is_svg(n) && n.tag_name().name() == "style").filter_map(|n| n.first_child()) {
        let sheet = Sheet::new(text.text().unwrap_or_default());
        let first = source.line(text.range().start);
        for rule in sheet.rules().filter(|r| bare(r.selector).contains(['+']) || r.selector.contains(":first-child")) {
            losses.push(Loss::new("sibling-selector", Some(first + sheet.lines_before(rule.at)), None, short(rule.selector)));
        }
    }
    losses
}

/// Blends that reach what lies under the motif: groups that are in no layer of their own.
pub(crate) fn blends(places: &Places, tree: &Tree) -> Vec<Loss> {
    let mut losses = Vec::new();
    each_blend(tree.root(), &mut |group| {
        let line = places.line(group.id()).or(places.blend);
        losses.push(Loss::new("blend-to-ground", line, Some(group.id()), format!("mix-blend-mode: {}", group.blend_mode())));
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

/// Whether an element is switched off by its own attributes.
pub(crate) fn hidden(node: &Node) -> bool {
    let style = node.attribute("style").and_then(|s| css::property(s, "display"));
    style.or(node.attribute("display")) == Some("none")
}

/// A `switch` offers something else in place of what needs an extension.
fn has_stand_in(node: &Node) -> bool {
    let in_switch = node.parent().is_some_and(|p| p.tag_name().name() == "switch");
    in_switch && node.has_attribute("requiredExtensions") && node.next_sibling_element().is_some()
}

/// The code of an element that is never drawn.
fn lost_element(node: &Node) -> Option<&'static str> {
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
    "a", "circle", "clipPath", "color-profile", "cursor", "defs", "desc", "ellipse", "filter", "g", "image", "line",
    "linearGradient", "marker", "mask", "metadata", "path", "pattern", "polygon", "polyline", "radialGradient", "rect",
    "stop", "style", "svg", "switch", "symbol", "text", "textPath", "title", "tref", "tspan", "use", "view",
];

fn is_event(name: &str) -> bool {
    name.len() > 4 && name.starts_with("on") && name.bytes().all(|b| b.is_ascii_lowercase())
}

fn has_units(value: &str) -> bool {
    ["px", "deg", "rad", "turn", "mm", "em", "%", "calc("].iter().any(|unit| value.contains(unit))
}

/// A selector without what stands in brackets and quotes.
fn bare(selector: &str) -> String {
    let mut depth = 0_i32;
    let keep = |c: &char| {
        depth += i32::from(*c == '[');
        let outside = depth <= 0;
        depth -= i32::from(*c == ']');
        outside
    };
    selector.chars().filter(keep).collect()
}

/// Selectors that are skipped though they would apply to a drawing at rest.
fn cannot_follow(selector: &str) -> bool {
    const AT_REST_NEVER: &[&str] = &["hover", "active", "focus", "visited", "target", "before", "after", "selection", "focus-within", "focus-visible"];
    let bare = bare(selector);
    let pseudo = bare.split(':').skip(1).map(|p| p.split(|c: char| !c.is_ascii_alphanumeric() && c != '-').next().unwrap_or(""));
    bare.contains(['~', '(']) || pseudo.filter(|p| !p.is_empty()).any(|p| p != "first-child" && !AT_REST_NEVER.contains(&p))
}

/// The beginning of a long value, on one line.
fn short(text: &str) -> String {
    let line: String = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if line.chars().count() <= 60 { line } else { line.chars().take(57).chain("...".chars()).collect() }
}
