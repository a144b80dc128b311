//! What the browser gets: the page itself, all of it in this program.

/// What every answer says: nothing from elsewhere is loaded, run, framed or told.
pub(super) const HEADERS: [(&str, &str); 6] = [
    (
        "content-security-policy",
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; connect-src 'self'; \
         base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
    ),
    ("x-content-type-options", "nosniff"),
    ("referrer-policy", "no-referrer"),
    ("cross-origin-opener-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
    ("cache-control", "no-store"),
];

const HTML: &str = "text/html; charset=utf-8";
const CSS: &str = "text/css; charset=utf-8";
const SCRIPT: &str = "text/javascript; charset=utf-8";
const SVG: &str = "image/svg+xml";

/// Path, kind and bytes of every file.
const FILES: [(&str, &str, &str); 26] = [
    ("/", HTML, include_str!("web/page.html")),
    ("/page.css", CSS, include_str!("web/page.css")),
    ("/icon.svg", SVG, include_str!("web/icon.svg")),
    ("/app.js", SCRIPT, include_str!("web/app.js")),
    ("/engine.js", SCRIPT, include_str!("web/engine.js")),
    ("/dom.js", SCRIPT, include_str!("web/dom.js")),
    ("/units.js", SCRIPT, include_str!("web/units.js")),
    ("/camera.js", SCRIPT, include_str!("web/camera.js")),
    ("/cloth.js", SCRIPT, include_str!("web/cloth.js")),
    ("/tile.js", SCRIPT, include_str!("web/tile.js")),
    ("/chalk.js", SCRIPT, include_str!("web/chalk.js")),
    ("/hand.js", SCRIPT, include_str!("web/hand.js")),
    ("/held.js", SCRIPT, include_str!("web/held.js")),
    ("/selvedge.js", SCRIPT, include_str!("web/selvedge.js")),
    ("/layouts.js", SCRIPT, include_str!("web/layouts.js")),
    ("/tester.js", SCRIPT, include_str!("web/tester.js")),
    ("/ticket.js", SCRIPT, include_str!("web/ticket.js")),
    ("/sight.js", SCRIPT, include_str!("web/sight.js")),
    ("/tag.js", SCRIPT, include_str!("web/tag.js")),
    ("/strings.js", SCRIPT, include_str!("web/strings.js")),
    ("/names.js", SCRIPT, include_str!("web/names.js")),
    ("/said.js", SCRIPT, include_str!("web/said.js")),
    ("/laying.js", SCRIPT, include_str!("web/laying.js")),
    ("/changes.js", SCRIPT, include_str!("web/changes.js")),
    ("/keys.js", SCRIPT, include_str!("web/keys.js")),
    ("/start.js", SCRIPT, include_str!("web/start.js")),
];

/// Kind and bytes of what a path names.
pub(super) fn file(path: &str) -> Option<(&'static str, &'static [u8])> {
    FILES.iter().find(|(own, _, _)| *own == path).map(|(_, kind, text)| (*kind, text.as_bytes()))
}
