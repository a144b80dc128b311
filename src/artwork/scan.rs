//! Looking through a drawing's source for what cannot be kept, before usvg drops it in silence.

use std::collections::HashMap;
use std::hash::{DefaultHasher, Hash, Hasher};

use data_url::DataUrl;
use usvg::roxmltree::{Document, Node, NodeType};

use super::css::{self, Sheet};
use super::losses::Loss;
use super::source::{Source, is_svg};

mod blends;
mod elements;
mod filters;
mod geometry;
mod selectors;
pub(crate) mod values;

pub(crate) use blends::blends;
pub(crate) use elements::hidden;
use elements::{has_stand_in, lost_element};
pub(crate) use selectors::sibling_rules;
use values::{has_units, is_event, is_paint, short};

/// Where things are in the file that was read, for losses that show only in the tree.
#[derive(Default)]
pub(crate) struct Places {
    ids: HashMap<String, u32>,
    /// By what they say, without blanks.
    texts: HashMap<String, Vec<u32>>,
    /// By what they hold.
    images: HashMap<u64, u32>,
    blend: Option<u32>,
}

impl Places {
    /// The line of an element.
    pub(crate) fn line(&self, id: &str) -> Option<u32> {
        self.ids.get(id).copied()
    }

    /// The line of the text that says these words the `nth` time, counted from 0.
    pub(crate) fn text_line(&self, words: &str, nth: usize) -> Option<u32> {
        let lines = self.texts.get(&solid(words))?;
        lines.get(nth).or(lines.last()).copied()
    }

    /// The line of the image that holds these bytes.
    pub(crate) fn image_line(&self, data: &[u8]) -> Option<u32> {
        self.images.get(&fingerprint(data)).copied()
    }
}

/// Everything in the source that cannot be kept, in the order of the file.
pub(crate) fn scan(source: &Source, doc: &Document) -> (Vec<Loss>, Places) {
    let mut scan =
        Scan { source, places: Places::default(), by_id: HashMap::new(), marks_middles: false, losses: Vec::new() };
    for node in doc.descendants() {
        if let Some(id) = node.attribute("id") {
            scan.places.ids.entry(id.to_owned()).or_insert_with(|| source.line(node.range().start));
            scan.by_id.entry(id).or_insert(node);
        }
        if is_svg(&node) && node.tag_name().name() == "text" {
            let words: String = node.descendants().filter(Node::is_text).filter_map(|n| n.text()).collect();
            scan.places.texts.entry(solid(&words)).or_default().push(source.line(node.range().start));
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
                Some((data, _)) => {
                    let line = self.source.line(node.range().start);
                    self.places.images.entry(fingerprint(&data)).or_insert(line);
                }
                None => self.lose("broken-image", node, what()),
            }
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
            "transform" if in_style && has_units(value) => {
                self.lose_at("css-transform", line, id, what());
            }
            "transform-box" if value != "view-box" => self.lose_at("css-transform", line, id, what()),
            "d" | "x" | "y" | "cx" | "cy" | "r" | "rx" | "ry"
                if in_style && node.is_none_or(|n| n.attribute(name).is_none()) =>
            {
                self.lose_at("css-geometry", line, id, what());
            }
            "width" | "height"
                if in_style && node.is_none_or(|n| n.attribute(name).is_none() && geometry::sized_by_style(n)) =>
            {
                self.lose_at("css-geometry", line, id, what());
            }
            "font-size" if value.starts_with('-') => self.lose_at("text-size", line, id, what()),
            "fill" | "stroke" | "stop-color" | "flood-color" | "lighting-color" | "color" if !is_paint(value) => {
                self.lose_at("unknown-paint", line, id, what());
            }
            "clip-path" if css::urls(value).is_empty() && value.contains('(') => {
                self.lose_at("basic-shape", line, id, what());
            }
            "scale" if node.is_some_and(|n| n.tag_name().name() == "feDisplacementMap") && value != "0" => {
                self.lose_at("displacement", line, id, format!("<feDisplacementMap {name}=\"{}\">", short(value)));
            }
            // The renderer keeps a plain background-color.
            "background"
                if node.is_some_and(|n| n.parent_element().is_none()) && !matches!(value, "none" | "transparent") =>
            {
                self.lose_at("page-background", line, id, what());
            }
            "animation" | "animation-name" if value != "none" => self.lose_at("animation", line, id, what()),
            "fill" | "stroke" | "clip-path" | "mask" | "filter" | "marker" | "marker-start" | "marker-mid"
            | "marker-end" => {
                for (named, rest) in css::urls(value) {
                    match named.strip_prefix('#') {
                        Some(known) if self.places.ids.contains_key(known) => {
                            // A fallback is for what is missing; it would be painted here too.
                            if !matches!(rest.trim(), "" | "none")
                                && self.by_id.get(known).is_some_and(geometry::colorless)
                            {
                                self.lose_at("unknown-paint", line, id, what());
                            }
                        }
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

/// Without blanks, which are kept or not as styles say.
fn solid(text: &str) -> String {
    text.split_whitespace().collect()
}

fn fingerprint(data: &[u8]) -> u64 {
    let mut hasher = DefaultHasher::new();
    data.hash(&mut hasher);
    hasher.finish()
}
