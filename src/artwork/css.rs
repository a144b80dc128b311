//! Just enough of style sheets to see what is in them: rules, at-rules and declarations.
//!
//! usvg applies the styles; here they are only looked at, so nothing needs to be resolved.

/// A style sheet taken apart. Offsets are bytes of the sheet's text.
pub(crate) struct Sheet {
    text: String,
    rules: Vec<Span>,
    at_rules: Vec<Span>,
}

/// `selector { body }`, or `@name rest`.
#[derive(Clone, Copy)]
struct Span {
    start: usize,
    open: usize,
    end: usize,
}

/// One rule.
#[derive(Clone, Copy)]
pub(crate) struct Rule<'a> {
    pub(crate) at: usize,
    pub(crate) selector: &'a str,
    pub(crate) body: &'a str,
}

impl Sheet {
    /// Never fails: what can't be taken apart is left out, as usvg leaves it out.
    pub(crate) fn new(text: &str) -> Sheet {
        let text = without_comments(text);
        let mut sheet = Sheet { text: String::new(), rules: Vec::new(), at_rules: Vec::new() };
        let mut at = 0;
        while let Some(skip) = text[at..].find(|c: char| !c.is_whitespace() && c != '}' && c != ';') {
            let start = at + skip;
            let open = find_outside(&text, start, b"{;");
            let block = text.as_bytes().get(open) == Some(&b'{');
            let at_rule = text[start..].starts_with('@');
            let end = if block { close_of(&text, open) } else { open };
            let span = Span { start, open, end };
            match (at_rule, block) {
                (true, _) => sheet.at_rules.push(span),
                (false, true) => sheet.rules.push(span),
                (false, false) => {}
            }
            at = (end + 1).min(text.len());
        }
        sheet.text = text;
        sheet
    }

    /// The rules in order.
    pub(crate) fn rules(&self) -> impl Iterator<Item = Rule<'_>> {
        self.rules.iter().map(|s| Rule {
            at: s.start,
            selector: self.text[s.start..s.open].trim(),
            body: &self.text[(s.open + 1).min(s.end)..s.end],
        })
    }

    /// The names of at-rules, without the `@`, with their offsets.
    pub(crate) fn at_rules(&self) -> impl Iterator<Item = (usize, &str)> {
        self.at_rules.iter().map(|s| {
            let text = &self.text[s.start + 1..s.end.max(s.start + 1)];
            (s.start, text.split(|c: char| !c.is_ascii_alphanumeric() && c != '-').next().unwrap_or(""))
        })
    }

    /// How many lines lie before an offset.
    pub(crate) fn lines_before(&self, at: usize) -> u32 {
        u32::try_from(self.text.as_bytes()[..at].iter().filter(|b| **b == b'\n').count()).unwrap_or(0)
    }
}

/// Comments become blanks of the same length, so that offsets hold.
fn without_comments(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(start) = rest.find("/*") {
        out.push_str(&rest[..start]);
        let end = rest[start + 2..].find("*/").map_or(rest.len(), |e| start + 2 + e + 2);
        out.extend(rest[start..end].bytes().map(|b| if b == b'\n' { '\n' } else { ' ' }));
        rest = &rest[end..];
    }
    out.push_str(rest);
    out
}

/// The first of some bytes outside quotes and brackets, or the end.
fn find_outside(text: &str, start: usize, wanted: &[u8]) -> usize {
    let (mut quote, mut depth) = (None, 0_u32);
    for (i, b) in text.bytes().enumerate().skip(start) {
        match (quote, b) {
            (Some(q), _) if q == b => quote = None,
            (Some(_), _) => {}
            (None, b'"' | b'\'') => quote = Some(b),
            (None, b'(' | b'[') => depth += 1,
            (None, b')' | b']') => depth = depth.saturating_sub(1),
            (None, _) if depth == 0 && wanted.contains(&b) => return i,
            _ => {}
        }
    }
    text.len()
}

/// The brace that closes the one at `open`, or the end.
fn close_of(text: &str, open: usize) -> usize {
    let mut depth = 0_u32;
    for (i, b) in text.bytes().enumerate().skip(open) {
        match b {
            b'{' => depth += 1,
            b'}' if depth == 1 => return i,
            b'}' => depth -= 1,
            _ => {}
        }
    }
    text.len()
}

/// The declarations of a rule's body or of a style attribute, names in lower case.
pub(crate) fn declarations(body: &str) -> Vec<(String, &str)> {
    let mut out = Vec::new();
    let mut at = 0;
    while at < body.len() {
        let end = find_outside(body, at, b";");
        if let Some((name, value)) = body[at..end].split_once(':') {
            out.push((name.trim().to_ascii_lowercase(), value.trim()));
        }
        at = end + 1;
    }
    out
}

/// The value of one property in a style attribute; the last one counts.
pub(crate) fn property<'a>(body: &'a str, name: &str) -> Option<&'a str> {
    let all = declarations(body).into_iter().rev().find(|(n, _)| n == name);
    all.map(|(_, value)| value.trim_end_matches("!important").trim_end())
}

/// What `url(…)` names, for each in a value, with what follows it.
pub(crate) fn urls(value: &str) -> Vec<(&str, &str)> {
    let mut out = Vec::new();
    let mut rest = value;
    while let Some(start) = rest.find("url(") {
        let inner = &rest[start + 4..];
        let end = inner.find(')').unwrap_or(inner.len());
        let named = inner[..end].trim().trim_matches(['"', '\'']).trim();
        rest = inner.get(end + 1..).unwrap_or("");
        out.push((named, rest));
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sheet_is_taken_apart() {
        let sheet = Sheet::new(
            "@import 'a;b.css';\n/* .no { } */\n.kelp, g > .tern { fill : red; d: path('M0;0') }\n@media print { .x { fill: red } }\n.last{stroke:url( \"#a;b\" ) blue}",
        );
        let rules: Vec<(&str, u32)> = sheet.rules().map(|r| (r.selector, sheet.lines_before(r.at))).collect();
        assert_eq!(rules, [(".kelp, g > .tern", 2), (".last", 4)]);
        let at: Vec<&str> = sheet.at_rules().map(|(_, name)| name).collect();
        assert_eq!(at, ["import", "media"]);
        let bodies: Vec<Vec<(String, &str)>> = sheet.rules().map(|r| declarations(r.body)).collect();
        assert_eq!(bodies[0], [("fill".into(), "red"), ("d".into(), "path('M0;0')")]);
        assert_eq!(urls(bodies[1][0].1), [("#a;b", " blue")]);
    }

    #[test]
    fn broken_sheets_end() {
        for text in
            ["", "{", "}", "@", "a", "a{", "/*", "a{b", "a{{}", "'", "@media", "a{b:url(", "a{}}b{c:d}", "[", "é{ü:ö"]
        {
            let sheet = Sheet::new(text);
            let seen = sheet.rules().map(|r| declarations(r.body).len()).sum::<usize>() + sheet.at_rules().count();
            assert!(seen <= text.len(), "{text}");
        }
    }

    #[test]
    fn the_last_declaration_counts() {
        assert_eq!(property("fill:red; FILL : blue !important", "fill"), Some("blue"));
        assert_eq!(property("fill:url(data:a;b)", "b"), None);
    }
}
