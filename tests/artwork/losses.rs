//! Every loss has a drawing that shows it: the file's name is the code. Those of pictures are in pictures.rs.

use std::collections::BTreeSet;

use seamfast::artwork::{ArtworkError, Croquis, Intake, LOSSES, Motif};

use crate::common::{drawings, stem};

/// Losses that only a page taken apart has.
fn of_pages(code: &str) -> bool {
    code == "sibling-selector"
}

#[test]
fn every_loss_has_a_drawing_and_every_drawing_its_loss() {
    let drawn: BTreeSet<String> = drawings("losses").iter().map(|p| stem(p)).collect();
    let known: BTreeSet<String> = LOSSES.iter().map(|k| k.code.to_owned()).collect();
    let drawn = drawn.into_iter().chain(crate::pictures::LOSSES.map(String::from)).collect::<BTreeSet<_>>();
    assert_eq!(drawn, known);
}

/// The README prints the table; `MAKE=1` writes it anew.
#[test]
fn the_readme_lists_every_loss() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md");
    let page = std::fs::read_to_string(&path).expect("README.md");
    let head = "| code | what can't be kept | what to do |\n| --- | --- | --- |\n";
    let rows = LOSSES.iter().map(|k| format!("| `{}` | {} | {} |\n", k.code, k.meaning, k.remedy));
    let table: String = [head.to_owned()].into_iter().chain(rows).collect();
    let start = page.find("| code |").expect("the table in README.md");
    let end = page[start..].find("\n\n").map_or(page.len(), |n| start + n + 1);
    if std::env::var_os("MAKE").is_some() {
        std::fs::write(path, format!("{}{table}{}", &page[..start], &page[end..])).expect("written");
        return;
    }
    assert_eq!(&page[start..end], table, "README.md is not the table of the code; MAKE=1 makes it anew");
}

#[test]
fn a_loss_is_refused_and_named_and_kept_in_mind_if_allowed() {
    for path in drawings("losses") {
        let code = stem(&path);
        let refused = if of_pages(&code) {
            Croquis::read(&path, &Intake::new()).map(|_| ())
        } else {
            Motif::read(&path, &Intake::new()).map(|_| ())
        };
        match refused {
            Err(ArtworkError::Losses { losses, .. }) => {
                let codes: BTreeSet<&str> = losses.iter().map(|l| l.code()).collect();
                assert_eq!(codes, BTreeSet::from([&code[..]]), "{losses:?}");
            }
            other => panic!("{code}: {other:?}"),
        }
        let intake = Intake::new().allow(&code).expect("a known code");
        let losses = if of_pages(&code) {
            Croquis::read(&path, &intake).map(|c| c.losses)
        } else {
            Motif::read(&path, &intake).map(|m| m.losses().to_vec())
        };
        let losses = losses.unwrap_or_else(|e| panic!("{code} was allowed: {e}"));
        assert!(!losses.is_empty() && losses.iter().all(|l| l.code() == code), "{losses:?}");
    }
}

/// Values of filters that are painted otherwise than they are written, as seen against librsvg and Chromium.
#[test]
fn filter_values_that_are_not_painted_as_written_are_named() {
    for (filter, what) in [
        ("<feColorMatrix type='saturate' values='-1'/>", "<feColorMatrix values=\"-1\">"),
        ("<feConvolveMatrix order='1' kernelMatrix='1' divisor='0'/>", "<feConvolveMatrix divisor=\"0\">"),
        ("<feConvolveMatrix order='1' kernelMatrix='1' bias='.5'/>", "<feConvolveMatrix bias=\".5\">"),
        ("<feMorphology/>", "<feMorphology radius=\"\">"),
        ("<feMorphology radius='1 0'/>", "<feMorphology radius=\"1 0\">"),
        ("<feSpecularLighting specularExponent='0'/>", "<feSpecularLighting specularExponent=\"0\">"),
        (
            "<feDiffuseLighting><feSpotLight limitingConeAngle='0'/></feDiffuseLighting>",
            "<feSpotLight limitingConeAngle=\"0\">",
        ),
        ("<feFlood width='2'/><feGaussianBlur stdDeviation='1'/>", "<feGaussianBlur> that ends where its region does"),
        ("<feOffset dx='1' x='0' width='2'/>", "<feOffset> that ends where its region does"),
        ("<feImage href='#r'/>", "<feImage> of what has this filter"),
    ] {
        let svg = format!(
            "<svg xmlns='http://www.w3.org/2000/svg' width='9mm' height='9mm'>\n<filter id='f'>{filter}</filter><rect id='r' width='5' height='5' filter='url(#f)'/></svg>"
        );
        let Err(ArtworkError::Losses { losses, .. }) = Motif::from_svg("limpet", svg.as_bytes(), &Intake::new()) else {
            panic!("{filter} was taken")
        };
        let said: Vec<String> = losses.iter().map(ToString::to_string).collect();
        assert_eq!(said, [format!("line 2: filter-value: {what}")]);
    }
}

/// What is said, with the place.
#[test]
fn losses_say_where_and_what() {
    for (code, said) in [
        ("animation", "line 2: animation: <animate>"),
        ("blend-to-ground", "line 2: blend-to-ground: mix-blend-mode: multiply"),
        ("broken-image", "line 2: broken-image: an embedded image (image/png, 8 bytes)"),
        ("css-selector", "line 2: css-selector: rect:nth-child(2)"),
        ("foreign-object", "line 2, #note: foreign-object: <foreignObject>"),
        ("media-query", "line 3: media-query: @media"),
        ("missing-font", "line 2, #words: missing-font: \"No Such Harbour Face\" for \"Tern\""),
        ("missing-glyph", "line 2, #words: missing-glyph: \"ᚠ\""),
        ("missing-reference", "line 2: missing-reference: fill: url(#gone)"),
        ("outside-image", "line 2: outside-image: <image href=\"../secret.png\">"),
        ("outside-style", "line 1: outside-style: <?xml-stylesheet?>"),
    ] {
        let path = drawings("losses").into_iter().find(|p| stem(p) == code).expect(code);
        let Err(ArtworkError::Losses { losses, .. }) = Motif::read(&path, &Intake::new()) else { panic!("{code}") };
        assert_eq!(losses[0].to_string(), said);
    }
}

#[test]
fn what_is_hidden_isolated_or_stood_in_for_is_no_loss() {
    for (what, body) in [
        (
            "hidden",
            "<g display='none'><image href='a.png'/><foreignObject/></g><g style='fill:red;display:none'><script/></g>",
        ),
        ("isolated", "<g style='isolation:isolate'><rect width='5' height='5' style='mix-blend-mode:multiply'/></g>"),
        (
            "stood in for",
            "<switch><foreignObject requiredExtensions='http://example.org/'/><g><rect width='5' height='5'/></g></switch>",
        ),
        ("fallback paint", "<rect width='5' height='5' fill='url(#gone) red'/>"),
        ("a state that never comes", "<style>rect:hover{fill:red}</style><rect width='5' height='5'/>"),
        (
            "filter values in their ranges",
            "<filter id='f'><feColorMatrix type='saturate' values='.5'/><feMorphology radius='.5 1'/><feOffset dx='1'/>\
             <feFlood x='1' y='1' width='2' height='2'/><feOffset dx='1'/><feTile/></filter>\
             <rect width='5' height='5' filter='url(#f)'/>",
        ),
        (
            "markers on a path's own points",
            "<marker id='m'/><g marker-mid='url(#m)'><path d='M0 0H5V5'/><path marker-mid='none' d='M0 0A5 5 0 0 1 5 5'/></g>",
        ),
        ("the drawing's own size", "<style>svg{width:9mm}</style><rect width='5' height='5'/>"),
        ("English, or nothing lost", "<g systemLanguage='de, en-GB'><rect width='5' height='5'/></g>"),
        ("a link", "<a href='http://example.org/'><rect width='5' height='5'/></a>"),
        (
            "another program's notes",
            "<metadata><script/></metadata><x:page xmlns:x='http://example.org/'/><rect width='5' height='5'/>",
        ),
    ] {
        let svg = format!("<svg xmlns='http://www.w3.org/2000/svg' width='9mm' height='9mm'>{body}</svg>");
        let motif = Motif::from_svg("limpet", svg.as_bytes(), &Intake::new()).unwrap_or_else(|e| panic!("{what}: {e}"));
        assert_eq!(motif.losses(), [], "{what}");
    }
}

#[test]
fn one_allowed_loss_does_not_let_another_through() {
    let svg = b"<svg xmlns='http://www.w3.org/2000/svg' width='9mm' height='9mm'>\n<script/>\n<image id='tern' href='tern.png'/></svg>";
    let error = Motif::from_svg("limpet", svg, &Intake::new()).expect_err("two losses");
    assert_eq!(
        error.to_string(),
        "limpet: 2 things in the drawing cannot be kept\n  line 2: script: <script>\n  line 3, #tern: outside-image: <image href=\"tern.png\">"
    );
    assert_eq!(
        error.hint(),
        "outside-image: embed the image in the drawing\nscript: remove the script and draw what it would draw\nor allow it by name: outside-image, script"
    );
    let intake = Intake::new().allow("script").expect("a known code");
    let error = Motif::from_svg("limpet", svg, &intake).expect_err("one loss");
    assert_eq!(
        error.to_string(),
        "limpet: 1 thing in the drawing cannot be kept\n  line 3, #tern: outside-image: <image href=\"tern.png\">"
    );
}

#[test]
fn a_wrong_code_is_told_the_right_one() {
    let error = Intake::new().allow("missing-fonts").expect_err("no such code");
    assert_eq!(error.to_string(), "\"missing-fonts\" is not the code of a loss; nearest is missing-font");
    assert_eq!(error.hint(), "write missing-font");
}

/// An image without its end, or with a wrong byte in it, is not painted at all, so it is a loss.
#[test]
fn an_image_that_is_damaged_is_a_loss() {
    let path = drawings("ink").into_iter().find(|p| stem(p) == "image-png").expect("a drawing with an image");
    let svg = std::fs::read_to_string(path).expect("text");
    let whole = Motif::from_svg("limpet", svg.as_bytes(), &Intake::new()).expect("a motif");
    assert!(!whole.ink().is_empty());
    let (start, data) = svg.split_once("base64,").expect("an image");
    let (data, end) = data.split_once('"').expect("its end");
    let middle = data.len() / 2;
    let bent = if &data[middle..=middle] == "A" { "B" } else { "A" };
    let bent = format!("{}{bent}{}", &data[..middle], &data[middle + 1..]);
    for (damaged, bytes) in [(&data[..60], 45), (&bent, data.len() / 4 * 3 - data.matches('=').count())] {
        let svg = format!("{start}base64,{damaged}\"{end}");
        let error = Motif::from_svg("limpet", svg.as_bytes(), &Intake::new()).expect_err("a loss");
        let what =
            format!("line 2: broken-image: an embedded image that is cut off or damaged (image/png, {bytes} bytes)");
        assert_eq!(error.to_string(), format!("limpet: 1 thing in the drawing cannot be kept\n  {what}"));
    }
}

/// A drawing inside a drawing goes through the same door, and no file is read on the way.
#[test]
fn embedded_drawings_are_looked_through_too() {
    let inner = "%3Csvg xmlns='http://www.w3.org/2000/svg' width='5' height='5'%3E%3Cimage href='/etc/hostname' width='5' height='5'/%3E%3C/svg%3E";
    let svg = format!(
        "<svg xmlns='http://www.w3.org/2000/svg' width='9mm' height='9mm'>\n<image href=\"data:image/svg+xml,{inner}\"/></svg>"
    );
    let Err(ArtworkError::Losses { losses, .. }) = Motif::from_svg("limpet", svg.as_bytes(), &Intake::new()) else {
        panic!("the inner image was taken")
    };
    assert_eq!(losses.iter().map(|l| (l.code(), l.line())).collect::<Vec<_>>(), [("outside-image", Some(2))]);
}

/// The reader passes over these in silence.
#[test]
fn an_image_whose_address_cannot_be_read_is_a_loss() {
    for href in ["data:image/png;base64", "data:image/png;base64,@@@@", "data:image/png;base64,iVBORw0KGgo"] {
        let svg = format!(
            "<svg xmlns='http://www.w3.org/2000/svg' width='9mm' height='9mm'>\n<image width='5' height='5' href='{href}'/></svg>"
        );
        let Err(ArtworkError::Losses { losses, .. }) = Motif::from_svg("limpet", svg.as_bytes(), &Intake::new()) else {
            panic!("{href} was taken")
        };
        assert_eq!(
            losses.iter().map(|l| (l.code(), l.line())).collect::<Vec<_>>(),
            [("broken-image", Some(2))],
            "{href}"
        );
    }
}
