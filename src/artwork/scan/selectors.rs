//! Selectors of style rules that cannot be followed, always or once a page is taken apart.

use usvg::roxmltree::Document;

use super::super::css::Sheet;
use super::super::losses::Loss;
use super::super::source::{Source, is_svg};
use super::short;

/// Style rules that look at neighbours; a page that is taken apart can't keep them.
pub(crate) fn sibling_rules(source: &Source, doc: &Document) -> Vec<Loss> {
    let mut losses = Vec::new();
    for text in
        doc.descendants().filter(|n| is_svg(n) && n.tag_name().name() == "style").filter_map(|n| n.first_child())
    {
        let sheet = Sheet::new(text.text().unwrap_or_default());
        let first = source.line(text.range().start);
        for rule in sheet.rules().filter(|r| bare(r.selector).contains(['+']) || r.selector.contains(":first-child")) {
            losses.push(Loss::new(
                "sibling-selector",
                Some(first + sheet.lines_before(rule.at)),
                None,
                short(rule.selector),
            ));
        }
    }
    losses
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

/// Whether all that a rule reaches is an svg element: on the way to it nothing else counts.
pub(super) fn only_root(selector: &str) -> bool {
    selector
        .split(',')
        .all(|one| one.trim().split(['#', '.', '[', ':']).next() == Some("svg") && !one.trim().contains(' '))
}

/// Selectors that are skipped though they would apply to a drawing at rest.
pub(super) fn cannot_follow(selector: &str) -> bool {
    const AT_REST_NEVER: &[&str] = &[
        "hover",
        "active",
        "focus",
        "visited",
        "target",
        "before",
        "after",
        "selection",
        "focus-within",
        "focus-visible",
    ];
    let bare = bare(selector);
    let pseudo =
        bare.split(':').skip(1).map(|p| p.split(|c: char| !c.is_ascii_alphanumeric() && c != '-').next().unwrap_or(""));
    bare.contains(['~', '('])
        || pseudo.filter(|p| !p.is_empty()).any(|p| p != "first-child" && !AT_REST_NEVER.contains(&p))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn selectors_that_can_and_cannot_be_followed() {
        for selector in [
            "rect",
            ".a.b > g",
            "#tern",
            "a:hover",
            "text::selection",
            "rect[fill='a:b~(c)']",
            "g:first-child",
            "a, b + c",
            "*",
        ] {
            assert!(!cannot_follow(selector), "{selector}");
        }
        for selector in ["rect:nth-child(2)", "a ~ b", ":root", "g:last-child", ":not(.a)", "a, b:empty"] {
            assert!(cannot_follow(selector), "{selector}");
        }
    }
}
