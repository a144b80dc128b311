//! The proof page: one HTML file with everything in it, that opens without a network.

use std::fmt::Write;

use super::judged::{Judged, area_words, reason};
use super::loupe::{Look, TIMES};
use super::view::View;
use crate::join::{Area, Verdict};

/// A picture with its words.
pub(super) struct Figure<'a> {
    pub(super) title: &'a str,
    pub(super) words: String,
    pub(super) view: &'a View,
}

const STYLE: &str = "
:root{--page:#f3eee3;--card:#fff;--text:#1f2d4d;--line:#d5ccb8;--fault:#a8402f;--good:#4d6140;--quiet:#57503f}
@media(prefers-color-scheme:dark){:root{--page:#2a251f;--card:#3a332c;--text:#f3eee3;--line:#5d5448;--fault:#f0a08f;--good:#b9cda4;--quiet:#d5ccb8}}
body{margin:0;background:var(--page);color:var(--text);font:16px/1.5 system-ui,sans-serif}
header{border-left:14px dotted var(--line);padding:24px 32px;background:var(--card)}
main{max-width:1316px;margin:0 auto;padding:8px 24px 64px}
h1{font-family:Georgia,'DejaVu Serif',serif;margin:0 0 8px;font-size:30px}
h2{font-size:21px;margin:36px 0 8px}
table{border-collapse:collapse;font-variant-numeric:tabular-nums}
td,th{text-align:left;padding:5px 20px 5px 0;border-bottom:1px solid var(--line);vertical-align:top;font-weight:400}
th{color:var(--quiet)}
.verdict{font-weight:700}.fault{color:var(--fault)}.seamless{color:var(--good)}
figure{margin:14px 0;overflow-x:auto}img{display:block;max-width:100%;height:auto;box-sizing:border-box;border:1px solid var(--line)}
.pixels img{max-width:none;image-rendering:pixelated}
figcaption,.remedy,.place{color:var(--quiet)}
@media print{:root{--page:#fff;--card:#fff}figure{overflow:visible;break-inside:avoid}.pixels img{max-width:100%}h2{break-after:avoid}tr{break-inside:avoid}}
";

/// The page of a tile that was judged: its loupe pictures, and other figures.
pub(super) fn album(
    name: &str,
    judged: &Judged,
    facts: &[(&str, String)],
    looks: &[Look],
    figures: &[Figure],
) -> String {
    let mut out = String::from("<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">\n");
    // Nothing is fetched, and nothing runs.
    out.push_str(
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; img-src data:; style-src 'unsafe-inline'\">\n",
    );
    out.push_str("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n");
    let _ = writeln!(out, "<title>{} – proof</title><style>{STYLE}</style></head><body>", escaped(name));
    let verdict = judged.verdict();
    let _ = writeln!(out, "<header><h1>{}</h1><p>{}</p></header>\n<main>", escaped(name), said(verdict));
    rows(&mut out, facts);
    joins(&mut out, judged);
    findings(&mut out, judged);
    out.push_str("<h2>Through the loupe</h2>\n");
    let _ = writeln!(
        out,
        "<p>Print pixels, {TIMES} times as large, not smoothed. Wedges beside a window mark the join that runs through its middle.</p>"
    );
    for look in looks {
        // Its title stands in the picture.
        figure(&mut out, "pixels", &look.title, !look.is_whole, &look.view);
    }
    for shown in figures {
        let _ = writeln!(out, "<h2>{}</h2>", escaped(shown.title));
        figure(&mut out, "", &shown.words, true, shown.view);
    }
    out.push_str("</main></body></html>\n");
    out
}

fn said(verdict: Verdict) -> String {
    let words = match verdict {
        Verdict::Seamless => "no fault was found",
        Verdict::Unsure => "the file alone can’t tell",
        Verdict::Fault => "the join shows",
    };
    let name = verdict.name();
    format!("<span class=\"verdict {name}\">{name}</span>: {words}")
}

fn rows(out: &mut String, facts: &[(&str, String)]) {
    out.push_str("<h2>The tile</h2>\n<table>\n");
    for (what, value) in facts {
        let _ = writeln!(out, "<tr><th scope=\"row\">{what}</th><td>{}</td></tr>", escaped(value));
    }
    out.push_str("</table>\n");
}

fn joins(out: &mut String, judged: &Judged) {
    out.push_str("<h2>The joins</h2>\n<table>\n");
    for join in &judged.joins {
        let name = join.verdict.name();
        let _ = write!(
            out,
            "<tr><th scope=\"row\">{}</th><td class=\"verdict {name}\">{name}</td><td>{}",
            join.side.name(),
            escaped(&reason(join))
        );
        for fault in &join.faults {
            places(out, &fault.areas, judged.dpi);
            let _ = write!(out, "<br><span class=\"remedy\">→ {}</span>", escaped(fault.remedy(join.side)));
        }
        out.push_str("</td></tr>\n");
    }
    out.push_str("</table>\n");
}

fn findings(out: &mut String, judged: &Judged) {
    if judged.findings.is_empty() {
        return;
    }
    out.push_str("<h2>Also to know</h2>\n<table>\n");
    for finding in &judged.findings {
        let word = if finding.accepted.is_some() { "accepted" } else { finding.severity.name() };
        let _ = write!(out, "<tr><th scope=\"row\">{word}</th><td>{} ({})", escaped(&finding.what), finding.code);
        places(out, finding.area.as_slice(), judged.dpi);
        let rest = escaped(finding.accepted.as_ref().unwrap_or(&finding.remedy));
        let _ = writeln!(out, "<br><span class=\"remedy\">→ {rest}</span></td></tr>");
    }
    out.push_str("</table>\n");
}

/// Where something shows; all of its places, since only some are looked at through the loupe.
fn places(out: &mut String, areas: &[Area], dpi: Option<[f64; 2]>) {
    for area in areas {
        let _ = write!(out, "<br><span class=\"place\">{}</span>", area_words(*area, dpi));
    }
}

fn figure(out: &mut String, class: &str, words: &str, captioned: bool, view: &View) {
    let words = escaped(words);
    let caption = if captioned { format!("<figcaption>{words}</figcaption>") } else { String::new() };
    let _ = writeln!(
        out,
        "<figure class=\"{class}\"><img width=\"{}\" height=\"{}\" alt=\"{words}\" src=\"data:image/png;base64,{}\">{caption}</figure>",
        view.width,
        view.height,
        base64(&view.png())
    );
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

/// RFC 4648, 4.
fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut out = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for group in bytes.chunks(3) {
        let bits = group.iter().fold(0u32, |bits, byte| bits << 8 | u32::from(*byte)) << (8 * (3 - group.len()));
        for place in 0..4 {
            let letter = LETTERS[(bits >> (18 - 6 * place) & 63) as usize];
            out.push(if place <= group.len() { char::from(letter) } else { '=' });
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 4648, 10.
    #[test]
    fn base64_is_that_of_the_standard() {
        for (bytes, text) in [("", ""), ("f", "Zg=="), ("fo", "Zm8="), ("foo", "Zm9v"), ("foobar", "Zm9vYmFy")] {
            assert_eq!(base64(bytes.as_bytes()), text);
        }
    }
}
