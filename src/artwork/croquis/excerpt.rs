//! A page cut down to one object, as text: the root, what the object is wrapped in, the
//! object itself, and what it refers to. Everything else is left out.
//!
//! ```text
//!   <svg …>                        <svg …>
//!     <defs> A B C </defs>           <style> rules that could apply </style>
//!     <g transform…>          ─▶     <defs> B </defs>
//!       one  two  three              <g transform…> two </g>
//!     </g>                         </svg>
//!   </svg>
//! ```
//!
//! Bytes are copied as they stand, so styles, namespaces and ids go on working. What is kept
//! only because it is referred to is put into `defs`, so that it isn't drawn by itself.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use usvg::roxmltree::{Document, Node, NodeId};

use super::super::budget::Budget;
use super::super::css;
use super::super::error::ArtworkError;
use super::super::source::{SVG, Source};
use super::styles::Styles;

/// The background of a page is its ground, not part of every object: there it gets another name.
const BACKGROUND: (&str, &str) = ("background-color", "x-background");

/// The page that excerpts are made of.
pub(super) struct Excerpts<'a, 'i> {
    source: &'a Source,
    doc: &'a Document<'i>,
    ids: HashMap<&'a str, Vec<Node<'a, 'i>>>,
    styles: Styles,
    budget: &'a Budget,
}

impl<'a, 'i> Excerpts<'a, 'i> {
    pub(super) fn new(source: &'a Source, doc: &'a Document<'i>, budget: &'a Budget) -> Self {
        let mut ids: HashMap<&str, Vec<Node>> = HashMap::new();
        for node in doc.descendants() {
            if let Some(id) = node.attribute("id") {
                ids.entry(id).or_default().push(node);
            }
        }
        Excerpts { source, doc, ids, styles: Styles::of(doc), budget }
    }

    pub(super) fn root(&self) -> Node<'a, 'i> {
        self.doc.root_element()
    }

    pub(super) fn styles(&self) -> &Styles {
        &self.styles
    }

    /// The page with nothing on it but a background of its own.
    pub(super) fn bare_page(&self) -> String {
        let tag = self.start_tag(&self.root());
        let tag = tag.trim_end_matches('>').trim_end_matches('/');
        let style = self.styles.write(&self.styles.all());
        format!("{}{tag}><style xmlns=\"{SVG}\">{style}</style></{}>", self.prolog(), qualified(tag))
    }

    /// The page with one object.
    pub(super) fn of(&self, object: Node<'a, 'i>) -> Result<String, ArtworkError> {
        let mut kept = Kept::new(self, object);
        kept.follow();
        let mut out = String::from(self.prolog());
        if kept.whole.contains(&self.root().id().get()) {
            out.push_str(&self.source.text[self.root().range()]);
        } else {
            kept.write(&self.root(), true, &mut out);
        }
        if !Budget::spend(&self.budget.excerpts, out.len()) {
            return Err(self.source.too_much(
                "bytes of the page's objects taken one by one",
                format!("more than {}", self.budget.limits.excerpts),
                self.budget.limits.excerpts,
            ));
        }
        Ok(out)
    }

    /// What stands before the root: it may define entities.
    fn prolog(&self) -> &'a str {
        &self.source.text[..self.root().range().start]
    }

    fn start_tag(&self, node: &Node) -> &'a str {
        let text = &self.source.text[node.range()];
        let mut quote = None;
        for (i, b) in text.bytes().enumerate() {
            match (quote, b) {
                (None, b'>') => return &text[..=i],
                (None, b'"' | b'\'') => quote = Some(b),
                (Some(q), _) if q == b => quote = None,
                _ => {}
            }
        }
        text
    }
}

/// The name in a start tag, with its prefix.
fn qualified(start_tag: &str) -> &str {
    let name = start_tag.trim_start_matches('<');
    name.split(|c: char| c.is_whitespace() || c == '/' || c == '>').next().unwrap_or(name)
}

/// What of the page is kept for one object.
struct Kept<'p, 'a, 'i> {
    page: &'p Excerpts<'a, 'i>,
    object: Node<'a, 'i>,
    /// Elements kept with all that is in them.
    whole: BTreeSet<u32>,
    /// Kept children of elements that are kept only as wrappers.
    children: BTreeMap<u32, BTreeSet<u32>>,
    rules: BTreeSet<usize>,
    classes: BTreeSet<&'a str>,
    waiting: Vec<Node<'a, 'i>>,
}

impl<'p, 'a, 'i> Kept<'p, 'a, 'i> {
    fn new(page: &'p Excerpts<'a, 'i>, object: Node<'a, 'i>) -> Self {
        Kept {
            page,
            object,
            whole: BTreeSet::new(),
            children: BTreeMap::new(),
            rules: BTreeSet::new(),
            classes: BTreeSet::new(),
            waiting: vec![object],
        }
    }

    /// Keeps everything that is referred to, until nothing new turns up.
    fn follow(&mut self) {
        for rule in self.page.styles.always() {
            self.rule(*rule);
        }
        while let Some(node) = self.waiting.pop() {
            let known = node.ancestors().any(|a| self.whole.contains(&a.id().get()));
            let around = node != self.object && self.object.ancestors().any(|a| a == node);
            if known || around {
                continue;
            }
            self.whole.insert(node.id().get());
            let mut child = node;
            while let Some(parent) = child.parent_element() {
                let new = !self.children.contains_key(&parent.id().get());
                self.children.entry(parent.id().get()).or_default().insert(child.id().get());
                if new {
                    self.element(&parent);
                }
                child = parent;
            }
            for inner in node.descendants().filter(Node::is_element) {
                self.element(&inner);
            }
        }
    }

    fn element(&mut self, node: &Node<'a, 'i>) {
        for attribute in node.attributes() {
            match (attribute.name(), attribute.value()) {
                ("href", value) => self.reference(value.trim()),
                ("class", value) => {
                    for class in value.split_whitespace() {
                        if self.classes.insert(class) {
                            let page = self.page;
                            page.styles.of_class(class).iter().for_each(|rule| self.rule(*rule));
                        }
                    }
                }
                (_, value) if value.contains("url(") => {
                    css::urls(value).iter().for_each(|(named, _)| self.reference(named))
                }
                _ => {}
            }
        }
    }

    fn rule(&mut self, rule: usize) {
        if self.rules.insert(rule) {
            let page = self.page;
            css::urls(page.styles.body(rule)).iter().for_each(|(named, _)| self.reference(named));
        }
    }

    fn reference(&mut self, named: &str) {
        let nodes = named.strip_prefix('#').and_then(|id| self.page.ids.get(id));
        self.waiting.extend(nodes.into_iter().flatten().copied());
    }

    /// Writes a wrapper and what is kept of it. `drawn` is false inside what is only referred to.
    fn write(&self, node: &Node<'a, 'i>, drawn: bool, out: &mut String) {
        let start = self.page.start_tag(node);
        if node.parent_element().is_none() {
            out.push_str(&start.replace(BACKGROUND.0, BACKGROUND.1));
            out.push_str(&format!(
                "<style xmlns=\"{SVG}\">{}</style>",
                self.page.styles.write(&self.rules).replace(BACKGROUND.0, BACKGROUND.1)
            ));
        } else {
            out.push_str(start);
        }
        let children = self.children.get(&node.id().get()).into_iter().flatten();
        let mut children: Vec<Node> = children.filter_map(|id| self.page.doc.get_node(NodeId::new(*id))).collect();
        let leads = |child: &Node| self.object.ancestors().any(|a| a == *child);
        if node.tag_name().name() == "switch" {
            children.sort_by_key(|child| !leads(child)); // it draws the first
        }
        for child in children {
            let to_object = leads(&child);
            let hide = drawn && !to_object && child.tag_name().name() != "defs";
            if hide {
                out.push_str(&format!("<defs xmlns=\"{SVG}\">"));
            }
            if self.whole.contains(&child.id().get()) {
                out.push_str(&self.page.source.text[child.range()]);
            } else {
                self.write(&child, drawn && to_object, out);
            }
            if hide {
                out.push_str("</defs>");
            }
        }
        out.push_str(&format!("</{}>", qualified(start)));
    }
}
