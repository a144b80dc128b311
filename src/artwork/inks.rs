//! What inks that are no color are called: gradients and patterns, by the ids they have in the drawing's file.
//!
//! The reader gives all but one of the shapes that share a gradient a copy of it with another id, if its numbers are
//! shares of each shape; and laying patterns out gives new ids to all. Here they get their own back.

use std::collections::HashMap;
use std::sync::Arc;

use usvg::{BaseGradient, Group, ImageKind, Node, Paint, Tree};

use super::scan::Places;

/// Names of the gradients and patterns of one tree.
#[derive(Clone, Debug, Default)]
pub(crate) struct Inks {
    /// By the paint's place in memory.
    paints: HashMap<usize, String>,
    /// By the id of the group that a pattern was laid out as, whose clip is its area.
    areas: HashMap<String, String>,
}

impl Inks {
    /// Of a tree as it was read from a file with these ids.
    pub(crate) fn of(tree: &Tree, places: &Places) -> Inks {
        let linear = tree.linear_gradients().iter().map(|g| {
            let line = format!("linear {} {} {} {}", g.x1(), g.y1(), g.x2(), g.y2());
            (Arc::as_ptr(g) as usize, looks(&line, g), g.id())
        });
        let radial = tree.radial_gradients().iter().map(|g| {
            let circles = format!("radial {} {} {} {} {} {}", g.cx(), g.cy(), g.r(), g.fx(), g.fy(), g.fr());
            (Arc::as_ptr(g) as usize, looks(&circles, g), g.id())
        });
        let patterns = tree.patterns().iter().map(|p| {
            let key = Arc::as_ptr(p) as usize;
            // Copies share what they paint.
            (key, first(p.root()).map_or_else(|| format!("empty {key}"), |thing| format!("pattern {thing}")), p.id())
        });
        let all: Vec<_> = linear.chain(radial).chain(patterns).collect();
        let mut own: HashMap<&str, &str> = HashMap::new();
        for (_, looks, id) in all.iter().filter(|(_, _, id)| places.line(id).is_some() || !is_made(id)) {
            own.entry(looks).or_insert(id);
        }
        let mut alike: HashMap<&str, &str> = HashMap::new();
        let paints = all.iter().map(|(key, looks, id)| {
            let made = places.line(id).is_none() && is_made(id);
            let name =
                if made { own.get(&**looks).copied().unwrap_or_else(|| alike.entry(looks).or_insert(id)) } else { id };
            (*key, name.to_owned())
        });
        Inks { paints: paints.collect(), areas: HashMap::new() }
    }

    /// Of a tree that was written anew: gradients by their new ids, and the groups that patterns became.
    pub(super) fn rewritten(tree: &Tree, gradients: &HashMap<String, String>, areas: HashMap<String, String>) -> Inks {
        let linear = tree.linear_gradients().iter().map(|g| (Arc::as_ptr(g) as usize, g.id()));
        let radial = tree.radial_gradients().iter().map(|g| (Arc::as_ptr(g) as usize, g.id()));
        let named = linear.chain(radial).filter_map(|(key, id)| Some((key, gradients.get(id)?.clone())));
        Inks { paints: named.collect(), areas }
    }

    /// The name of a gradient or pattern.
    pub(super) fn name<'a>(&'a self, paint: &'a Paint) -> &'a str {
        let (key, id) = match paint {
            Paint::Color(_) => return "",
            Paint::LinearGradient(g) => (Arc::as_ptr(g) as usize, g.id()),
            Paint::RadialGradient(g) => (Arc::as_ptr(g) as usize, g.id()),
            Paint::Pattern(p) => (Arc::as_ptr(p) as usize, p.id()),
        };
        self.paints.get(&key).map_or(id, |name| name)
    }

    /// The name of the pattern that a group was laid out for.
    pub(super) fn area(&self, group: &str) -> Option<&str> {
        if self.areas.is_empty() { None } else { self.areas.get(group).map(|name| &**name) }
    }
}

/// Whether the reader may have made it up.
fn is_made(id: &str) -> bool {
    let number = ["linearGradient", "radialGradient", "pattern"].iter().find_map(|kind| id.strip_prefix(kind));
    number.is_some_and(|number| number.bytes().all(|b| b.is_ascii_digit()))
}

/// All that a copy has of its gradient, but for where it lies.
fn looks(shape: &str, gradient: &BaseGradient) -> String {
    format!("{shape} {:?} {:?}", gradient.spread_method(), gradient.stops())
}

/// The place in memory of the first thing that is painted.
fn first(group: &Group) -> Option<usize> {
    group.children().iter().find_map(|node| match node {
        Node::Group(inner) => first(inner),
        Node::Text(text) => first(text.flattened()),
        Node::Path(path) => Some(std::ptr::from_ref(path.data()) as usize),
        Node::Image(image) => Some(match image.kind() {
            ImageKind::JPEG(data) | ImageKind::PNG(data) | ImageKind::GIF(data) | ImageKind::WEBP(data) => {
                Arc::as_ptr(data) as usize
            }
            ImageKind::SVG(tree) => return first(tree.root()),
        }),
    })
}
