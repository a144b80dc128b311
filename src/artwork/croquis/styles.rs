//! The style rules of a page, found by the classes they need.
//!
//! An excerpt carries only the rules that could apply to what is in it: a page of 2 000
//! objects may have 2 000 classes, and every object would carry all of them.

use std::collections::{BTreeSet, HashMap};

use usvg::roxmltree::{Document, Node};

use super::super::css::{self, Sheet};
use super::super::source::is_svg;

/// All rules of a page, in order.
pub(super) struct Styles {
    rules: Vec<Rule>,
    /// Rules that need no class.
    always: Vec<usize>,
    by_class: HashMap<String, Vec<usize>>,
}

struct Rule {
    selector: String,
    body: String,
    /// Whether it sets something that makes a group one whole.
    effect: bool,
}

impl Styles {
    pub(super) fn of(doc: &Document) -> Styles {
        let mut styles = Styles { rules: Vec::new(), always: Vec::new(), by_class: HashMap::new() };
        let sheets = doc.descendants().filter(|n| is_svg(n) && n.tag_name().name() == "style");
        for sheet in sheets.filter(|n| n.attribute("type").is_none_or(|t| t == "text/css")) {
            let sheet = Sheet::new(sheet.text().unwrap_or_default());
            for rule in sheet.rules() {
                styles.add(rule.selector, rule.body);
            }
        }
        styles
    }

    fn add(&mut self, selector: &str, body: &str) {
        let at = self.rules.len();
        for part in selector.split(',') {
            match last_class(part) {
                Some(class) => self.by_class.entry(class.to_owned()).or_default().push(at),
                None => self.always.push(at),
            }
        }
        let effect = css::declarations(body).iter().any(|(name, value)| is_effect(name, value));
        self.rules.push(Rule { selector: selector.to_owned(), body: body.to_owned(), effect });
    }

    /// The rules that need no class.
    pub(super) fn always(&self) -> &[usize] {
        &self.always
    }

    /// The rules that need a class.
    pub(super) fn of_class(&self, class: &str) -> &[usize] {
        self.by_class.get(class).map_or(&[], Vec::as_slice)
    }

    /// Every rule.
    pub(super) fn all(&self) -> BTreeSet<usize> {
        (0..self.rules.len()).collect()
    }

    pub(super) fn body(&self, rule: usize) -> &str {
        &self.rules[rule].body
    }

    /// Rules as the text of a style element, in their order.
    pub(super) fn write(&self, rules: &BTreeSet<usize>) -> String {
        let mut text = String::new();
        for rule in rules.iter().map(|i| &self.rules[*i]) {
            text.push_str(&format!("{}{{{}}}\n", rule.selector, rule.body));
        }
        text.replace('&', "&amp;").replace('<', "&lt;")
    }

    /// Whether an element has an effect that needs it whole, by its attributes or, as far as
    /// can be told without following selectors, by a rule.
    pub(super) fn needs_whole(&self, node: &Node) -> bool {
        let own = node.attributes().any(|a| a.namespace().is_none() && is_effect(a.name(), a.value()));
        let style = css::declarations(node.attribute("style").unwrap_or_default());
        let styled = style.iter().any(|(name, value)| is_effect(name, value));
        let classes = node.attribute("class").unwrap_or_default().split_whitespace();
        let by_class = classes.flat_map(|c| self.of_class(c)).any(|i| self.rules[*i].effect);
        let always = self.always.iter().map(|i| &self.rules[*i]);
        let by_name = always.filter(|r| r.effect).any(|r| r.selector.split(',').any(|part| may_name(part, node)));
        own || styled || by_class || by_name
    }
}

/// Whether the last compound of a selector without classes could mean an element.
fn may_name(part: &str, node: &Node) -> bool {
    let last = part.trim().rsplit([' ', '>', '+']).next().unwrap_or_default();
    let (name, id) = last.split_once('#').unwrap_or((last, ""));
    let name = name.split([':', '[']).next().unwrap_or_default();
    (name.is_empty() || name == "*" || name == node.tag_name().name())
        && (id.is_empty() || node.attribute("id") == Some(id))
}

fn is_effect(name: &str, value: &str) -> bool {
    match name {
        "opacity" => value.trim().parse::<f32>() != Ok(1.0),
        "filter" | "clip-path" | "mask" => value.trim() != "none",
        "mix-blend-mode" => value.trim() != "normal",
        "isolation" => value.trim() == "isolate",
        _ => false,
    }
}

/// The last class that a selector names.
fn last_class(selector: &str) -> Option<&str> {
    let end = |c: char| !(c.is_alphanumeric() || matches!(c, '-' | '_' | '\\'));
    let outside = selector.split('[').next().unwrap_or_default();
    let classes = outside.split('.').skip(1).map(|part| part.split(end).next().unwrap_or_default());
    classes.filter(|c| !c.is_empty()).last()
}
