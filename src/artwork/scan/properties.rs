//! What a property loses, be it an attribute or in a style.

use super::values::{has_units, is_paint, short};
use super::{Scan, css, geometry};
use usvg::roxmltree::Node;

impl Scan<'_, '_> {
    /// A property, be it an attribute or a style.
    pub(super) fn declaration(&mut self, name: &str, value: &str, line: u32, node: Option<&Node>) {
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
                        Some(known) if self.places.line(known).is_some() => {
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
}
