//! Values of filters that the renderer takes otherwise than they are written, or that renderers
//! read in different ways.
//!
//! Ranges and default regions are those of SVG 1.1, chapter 15.

use std::collections::HashMap;

use svgtypes::NumberListParser;
use usvg::roxmltree::Node;

use super::super::css;

/// Steps that lay ink where their input has none, so that it shows where they end.
const SPREADING: &[&str] = &[
    "feOffset",
    "feGaussianBlur",
    "feMorphology",
    "feConvolveMatrix",
    "feDropShadow",
    "feDiffuseLighting",
    "feSpecularLighting",
    "feDisplacementMap",
];

/// The steps of a filter with such a value, each with what it is.
pub(super) fn misread<'a, 'input>(
    filter: &Node<'a, 'input>,
    by_id: &HashMap<&str, Node<'a, 'input>>,
) -> Vec<(Node<'a, 'input>, String)> {
    let by_box = filter.attribute("primitiveUnits") == Some("objectBoundingBox");
    let mut found = Vec::new();
    let mut steps = Steps::default();
    for step in filter.children().filter(Node::is_element) {
        let inherits = steps.inherits_region(&step);
        if let Some(value) = value(&step) {
            found.push((step, format!("<{} {value}>", step.tag_name().name())));
        }
        for light in step.children().filter(Node::is_element) {
            if let Some(value) = light_value(&light, by_box) {
                found.push((light, format!("<{} {value}>", light.tag_name().name())));
            }
        }
        if by_box && misplaced(&step) {
            let name = step.tag_name().name();
            found.push((step, format!("<{name}> in primitiveUnits=\"objectBoundingBox\"")));
        }
        if unbounded(&step, inherits) {
            found.push((step, format!("<{}> that ends where its region does", step.tag_name().name())));
        }
        if leads_to_itself(filter, &step, by_id) {
            found.push((step, "<feImage> of what has this filter".into()));
        }
    }
    found
}

/// A value of the step itself.
fn value(step: &Node) -> Option<String> {
    let number = |name| step.attribute(name).and_then(|v| v.trim().parse::<f64>().ok());
    let written = |name| format!("{name}=\"{}\"", super::short(step.attribute(name).unwrap_or_default()));
    match step.tag_name().name() {
        "feColorMatrix" if step.attribute("type") == Some("saturate") => {
            number("values").filter(|v| !(0.0..=1.0).contains(v)).map(|_| written("values"))
        }
        "feConvolveMatrix" => number("divisor")
            .filter(|v| *v == 0.0)
            .map(|_| written("divisor"))
            .or(number("bias").filter(|v| *v != 0.0).map(|_| written("bias"))),
        "feMorphology" => {
            let radii: Vec<f64> =
                NumberListParser::from(step.attribute("radius").unwrap_or("0")).map_while(Result::ok).collect();
            let sound = matches!(radii.len(), 1 | 2) && radii.iter().all(|r| *r > 0.0);
            (!sound).then(|| written("radius"))
        }
        "feSpecularLighting" => {
            number("specularExponent").filter(|v| !(1.0..=128.0).contains(v)).map(|_| written("specularExponent"))
        }
        _ => None,
    }
}

/// A value of a light.
fn light_value(light: &Node, by_box: bool) -> Option<String> {
    let number = |name| light.attribute(name).and_then(|v| v.trim().parse::<f64>().ok());
    let name = light.tag_name().name();
    if by_box && matches!(name, "fePointLight" | "feSpotLight") {
        return Some("primitiveUnits=\"objectBoundingBox\"".into());
    }
    if name != "feSpotLight" {
        return None;
    }
    let exponent = number("specularExponent").filter(|v| !(1.0..=128.0).contains(v));
    let angle = number("limitingConeAngle").filter(|v| *v == 0.0);
    exponent.map(|v| format!("specularExponent=\"{v}\"")).or(angle.map(|v| format!("limitingConeAngle=\"{v}\"")))
}

/// A region in shares of the object's box: a flood needs all four sides, and no other step but an
/// image may have one.
fn misplaced(step: &Node) -> bool {
    let sides = SIDES.iter().filter(|side| step.has_attribute(**side)).count();
    match step.tag_name().name() {
        "feFlood" => sides < SIDES.len(),
        "feImage" => false,
        _ => sides > 0,
    }
}

/// A step whose ink the renderer does not cut off at its region: an offset's own, or any that comes
/// from its input. A tile behind it cuts it off after all.
fn unbounded(step: &Node, inherits: bool) -> bool {
    let name = step.tag_name().name();
    let own = name == "feOffset" && SIDES.iter().any(|side| step.has_attribute(*side));
    let tiled = step.next_sibling_element().is_some_and(|next| {
        let input = next.attribute("in");
        next.tag_name().name() == "feTile" && (input.is_none() || input == step.attribute("result"))
    });
    (own || inherits && SPREADING.contains(&name)) && !tiled
}

const SIDES: [&str; 4] = ["x", "y", "width", "height"];

/// Which results end at a region of their own.
#[derive(Default)]
struct Steps<'a> {
    results: HashMap<&'a str, bool>,
    before: Option<bool>,
}

impl<'a> Steps<'a> {
    /// Without a region a step has the one of its inputs, if none of them is the drawing itself.
    fn inherits_region(&mut self, step: &Node<'a, '_>) -> bool {
        let nodes: Vec<Node> = step.children().filter(|n| n.tag_name().name() == "feMergeNode").collect();
        let one = |node: &Node, name| match node.attribute(name) {
            None => self.before,
            Some(name) => self.results.get(name).copied(),
        };
        let name = step.tag_name().name();
        let inputs: Vec<Option<bool>> = match name {
            "feFlood" | "feImage" | "feTurbulence" | "feTile" => vec![None],
            "feMerge" => nodes.iter().map(|n| one(n, "in")).collect(),
            "feBlend" | "feComposite" | "feDisplacementMap" => vec![one(step, "in"), one(step, "in2")],
            _ => vec![one(step, "in")],
        };
        let own = SIDES.iter().any(|side| step.has_attribute(*side));
        let inherits = !own && inputs.iter().all(Option::is_some) && inputs.contains(&Some(true));
        self.before = Some(own || inherits);
        if let Some(result) = step.attribute("result") {
            self.results.insert(result, own || inherits);
        }
        inherits
    }
}

/// An image of an element that is painted with the very filter.
fn leads_to_itself(filter: &Node, step: &Node, by_id: &HashMap<&str, Node>) -> bool {
    let href = step.attributes().find(|a| a.name() == "href").and_then(|a| a.value().trim().strip_prefix('#'));
    let shown = href.filter(|_| step.tag_name().name() == "feImage").and_then(|id| by_id.get(id));
    shown.is_some_and(|shown| {
        let style = shown.attribute("style").and_then(|s| css::property(s, "filter"));
        let used = css::urls(style.or(shown.attribute("filter")).unwrap_or_default());
        used.iter().any(|(named, _)| named.strip_prefix('#').is_some_and(|id| Some(id) == filter.attribute("id")))
    })
}
