//! Looking through a drawing's source for what cannot be kept, before usvg drops it in silence.

use std::collections::HashMap;

use data_url::DataUrl;
use usvg::roxmltree::{Document, Node, NodeType};

use super::css::{self, Sheet};
use super::losses::Loss;
use super::source::{Source, is_svg};

mod blends;
mod elements;
mod filters;
mod geometry;
mod places;
mod properties;
mod selectors;
pub(crate) mod values;

pub(crate) use blends::blends;
pub(crate) use elements::hidden;
use elements::{has_stand_in, lost_element};
pub(crate) use places::Places;
pub(crate) use selectors::sibling_rules;
use values::{is_event, short};

/// Everything in the source that cannot be kept, in the order of the file.
pub(crate) fn scan(source: &Source, doc: &Document) -> (Vec<Loss>, Places) {
    let mut scan =
        Scan { source, places: Places::default(), by_id: HashMap::new(), marks_middles: false, losses: Vec::new() };
    for node in doc.descendants() {
        if let Some(id) = node.attribute("id") {
            scan.places.add_id(id, source.line(node.range().start));
            scan.by_id.entry(id).or_insert(node);
        }
        if is_svg(&node) && node.tag_name().name() == "text" {
            let words: String = node.descendants().filter(Node::is_text).filter_map(|n| n.text()).collect();
            scan.places.add_text(&words, source.line(node.range().start));
        }
    }
    // A rule may reach any element; those that say otherwise are nearer to it.
    scan.marks_middles = sheets(doc).any(|sheet| {
        let marks = |name: &str, value: &str| matches!(name, "marker" | "marker-mid") && value != "none";
        sheet.rules().any(|rule| css::declarations(rule.body).iter().any(|(name, value)| marks(name, value)))
    });
    for node in doc.root().children() {
        match node.node_type() {
            NodeType::PI if node.pi().is_some_and(|pi| pi.target == "xml-stylesheet") => {
                scan.lose("outside-style", &node, "<?xml-stylesheet?>")
            }
            NodeType::Element => scan.element(&node),
            _ => {}
        }
    }
    (scan.losses, scan.places)
}

/// The style sheets inside the drawing.
fn sheets<'a>(doc: &'a Document) -> impl Iterator<Item = Sheet> + 'a {
    let styles = doc.descendants().filter(|n| is_svg(n) && n.tag_name().name() == "style");
    styles.filter_map(|n| n.first_child()?.text()).map(Sheet::new)
}

struct Scan<'a, 'input> {
    source: &'a Source,
    places: Places,
    by_id: HashMap<&'a str, Node<'a, 'input>>,
    /// Whether the middle points of paths get markers where the scan is now.
    marks_middles: bool,
    losses: Vec<Loss>,
}

impl Scan<'_, '_> {
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
        if name == "filter" {
            for (step, what) in filters::misread(node, &self.by_id) {
                self.lose("filter-value", &step, what);
            }
        }
        let outer = self.marks_middles;
        self.marks_middles = geometry::marks_middles(node).unwrap_or(outer);
        if self.marks_middles && geometry::has_arcs(node) {
            self.lose("arc-marker", node, "marker-mid on a path with arcs");
        }
        self.attributes(node);
        for child in node.children().filter(Node::is_element) {
            self.element(&child);
        }
        self.marks_middles = outer;
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
                "in" | "in2"
                    if matches!(value, "BackgroundImage" | "BackgroundAlpha" | "FillPaint" | "StrokePaint") =>
                {
                    self.lose("filter-input", node, format!("{name}=\"{value}\""));
                }
                "points" if geometry::broken_points(value) => {
                    self.lose("broken-points", node, format!("points=\"{}\"", short(value)));
                }
                "gradientTransform" | "patternTransform" if geometry::flattens(value) => {
                    self.lose("flat-transform", node, format!("{name}=\"{}\"", short(value)));
                }
                "systemLanguage" if geometry::for_others(node, value) => {
                    self.lose("other-language", node, format!("systemLanguage=\"{}\"", short(value)));
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
        if name == "a" || value.is_empty() {
            return;
        }
        if image && value.starts_with("data:") {
            // The reader passes over an address that it can't read, in silence.
            match DataUrl::process(value).ok().and_then(|url| url.decode_to_vec().ok()) {
                Some((data, _)) => self.places.add_image(&data, self.source.line(node.range().start)),
                None => self.lose("broken-image", node, what()),
            }
            return;
        }
        match value.strip_prefix('#') {
            Some(id) if name != "image" => {
                if self.places.line(id).is_none() {
                    self.lose("missing-reference", node, what());
                }
            }
            _ => self.lose(if image { "outside-image" } else { "outside-reference" }, node, what()),
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
            if selectors::cannot_follow(rule.selector) {
                self.lose_at("css-selector", line, None, short(rule.selector));
            }
            for (name, value) in css::declarations(rule.body) {
                // The drawing's own size is read elsewhere.
                if matches!(&name[..], "width" | "height") && selectors::only_root(rule.selector) {
                    continue;
                }
                self.declaration(&name, value, line, None);
            }
        }
    }
}
