//! What in a source would multiply while usvg resolves it, found before it does.
//!
//! Patterns that paint with patterns, masks within masks and the like are worked out anew for
//! every use, and a marker is copied to every point of a line: a small file can stand for a
//! thousand million things.

use std::collections::HashMap;

use usvg::roxmltree::{Document, Node};

use super::error::ArtworkError;
use super::source::Source;
use super::{css, scan};

/// Refuses a source whose links are too deep, whose markers are too many or whose effects reach
/// beyond all numbers.
pub(crate) fn check(source: &Source, doc: &Document) -> Result<(), ArtworkError> {
    numbers(source, doc)?;
    let mut links = Links { ids: HashMap::new(), known: HashMap::new(), deepest: source.limits.depth.size() };
    for node in doc.descendants() {
        if let Some(id) = node.attribute("id") {
            links.ids.entry(id).or_insert(node);
        }
    }
    let containers: Vec<Node> = doc.descendants().filter(is_container).collect();
    for container in &containers {
        let depth = links.depth(*container, 0);
        if depth > source.limits.links.size() {
            return Err(source.too_much(
                "patterns, masks, clips and markers that lead to one another",
                depth,
                source.limits.links,
            ));
        }
    }
    let marker = containers.iter().filter(|n| n.tag_name().name() == "marker").map(|n| n.descendants().count()).max();
    if let Some(parts) = marker {
        let in_rules =
            doc.descendants().any(|n| n.tag_name().name() == "style" && n.text().is_some_and(|t| t.contains("marker")));
        let points = points(&doc.root_element(), in_rules);
        if parts.saturating_mul(points) > source.limits.marker_parts.size() {
            return Err(source.too_much(
                "parts of markers, at every point",
                parts.saturating_mul(points),
                source.limits.marker_parts,
            ));
        }
    }
    Ok(())
}

/// The reader multiplies what a filter, mask or pattern asks for with the box of what it is for.
fn numbers(source: &Source, doc: &Document) -> Result<(), ArtworkError> {
    let effect = |n: &Node| {
        matches!(n.tag_name().name(), "filter" | "mask" | "pattern") || n.tag_name().name().starts_with("fe")
    };
    for attribute in doc.descendants().filter(effect).flat_map(|n| n.attributes().collect::<Vec<_>>()) {
        let words = attribute.value().split([' ', ',', '\n', '\t', '\r']);
        let number =
            |word: &str| word.trim_end_matches(|c: char| c.is_ascii_alphabetic() || c == '%').parse::<f64>().ok();
        if words.filter_map(number).any(|n| n.abs() > source.limits.effect_number.most as f64) {
            return Err(source.too_much(
                "the size of a number of a filter, mask or pattern",
                format!(
                    "{}=\"{}\" in line {}",
                    attribute.name(),
                    scan::values::short(attribute.value()),
                    source.line(attribute.range().start)
                ),
                source.limits.effect_number,
            ));
        }
    }
    Ok(())
}

fn is_container(node: &Node) -> bool {
    matches!(node.tag_name().name(), "pattern" | "mask" | "clipPath" | "marker")
}

struct Links<'a, 'i> {
    ids: HashMap<&'a str, Node<'a, 'i>>,
    /// Depths worked out; nothing while it is being worked out, so that a ring ends.
    known: HashMap<u32, usize>,
    deepest: usize,
}

impl<'a, 'i> Links<'a, 'i> {
    /// How many containers lead to one another from here.
    fn depth(&mut self, node: Node<'a, 'i>, steps: usize) -> usize {
        if let Some(known) = self.known.get(&node.id().get()) {
            return *known;
        }
        if steps > self.deepest {
            return steps;
        }
        self.known.insert(node.id().get(), 0);
        let mut deepest = 0;
        for inner in node.descendants().filter(Node::is_element) {
            for target in self.targets(inner) {
                deepest = deepest.max(self.depth(target, steps + 1));
            }
        }
        let depth = deepest + usize::from(is_container(&node));
        self.known.insert(node.id().get(), depth);
        depth
    }

    fn targets(&self, node: Node<'a, 'i>) -> Vec<Node<'a, 'i>> {
        let mut out = Vec::new();
        for attribute in node.attributes() {
            let value = attribute.value();
            let href = (attribute.name() == "href").then_some(value.trim());
            let urls = if value.contains("url(") { css::urls(value) } else { Vec::new() };
            let names = href.into_iter().chain(urls.into_iter().map(|(named, _)| named));
            out.extend(names.filter_map(|n| self.ids.get(n.strip_prefix('#')?)).copied());
        }
        out
    }
}

/// Points of lines that may carry markers: their own, or taken over from around.
fn points(node: &Node, marked: bool) -> usize {
    let marked = marked
        || node
            .attributes()
            .any(|a| a.name().starts_with("marker") || (a.name() == "style" && a.value().contains("marker")));
    let own = || {
        let letters = node.attribute("d").map_or(0, |d| d.bytes().filter(u8::is_ascii_alphabetic).count());
        let numbers = |text: &str| text.split([' ', ',', '\n', '\t', '-']).filter(|n| !n.is_empty()).count();
        letters.max(node.attribute("d").map_or(0, |d| numbers(d) / 2))
            + node.attribute("points").map_or(0, |p| numbers(p) / 2)
    };
    let here = if marked && !is_container(node) { own() } else { 0 };
    node.children().filter(Node::is_element).fold(here, |sum, child| sum.saturating_add(points(&child, marked)))
}
