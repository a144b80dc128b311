use super::*;
use crate::artwork::{ArtworkError, Intake, Motif};

fn text(style: &str, words: &str) -> Result<Motif, ArtworkError> {
    let svg = format!(
        "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 100 100'><text id='t' x='5' y='50' style='{style}'>{words}</text></svg>"
    );
    let intake = Intake::new().allow("script").expect("a known code");
    Motif::from_svg("limpet", svg.as_bytes(), &intake)
}

fn codes(result: Result<Motif, ArtworkError>) -> Vec<&'static str> {
    match result {
        Ok(_) => Vec::new(),
        Err(ArtworkError::Losses { losses, .. }) => losses.iter().map(Loss::code).collect(),
        Err(other) => panic!("{other}"),
    }
}

/// The font of this machine may have the same name; the bundled one is taken.
#[test]
fn the_bundled_face_stands_for_its_name() {
    for style in [
        "font-family:DejaVu Serif;font-weight:bold",
        "font:700 12px dejavu serif",
        "font-family:No Such Face,DejaVu Serif;font-weight:900",
    ] {
        let motif = text(style, "Limpet &amp; Kelp £5–6").unwrap_or_else(|e| panic!("{style}: {e}"));
        let tree = motif.tree();
        let mut faces = Vec::new();
        each_text(tree.root(), &mut |t| {
            faces.extend(t.layouted().iter().flat_map(|s| &s.positioned_glyphs).map(|g| g.font))
        });
        assert!(faces.len() > 10, "{style}");
        for id in faces {
            let face = tree.fontdb().face(id).expect("a face");
            assert!(matches!(face.source, Source::Binary(_)), "{style}: {:?}", face.source);
        }
    }
}

/// Without a name, or with one that stands for any font, the letters are chance.
#[test]
fn a_text_must_name_its_font() {
    for style in
        ["", "font-family:serif", "font-family:No Such Face,sans-serif", "font-family:monospace;font-weight:bold"]
    {
        assert_eq!(codes(text(style, "Tern")), ["missing-font"], "{style}");
    }
}

#[test]
fn a_letter_that_the_font_lacks_is_named() {
    let bold = "font-family:DejaVu Serif;font-weight:bold";
    assert_eq!(codes(text(bold, "Ω and ᚠ, ᚠ")), ["missing-glyph", "missing-glyph"]);
    assert_eq!(codes(text(bold, "no\u{ad}thing\u{200b} is\u{a0}missing")), Vec::<&str>::new());
    assert_eq!(codes(text(&format!("{bold};visibility:hidden"), "ᚠ")), Vec::<&str>::new());
}

/// Here only the stand-in is sure to be on this machine: the bundled face.
#[test]
fn a_font_that_was_named_stands_in_for_a_missing_one_and_it_is_said() {
    let svg = "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 100 100'>\n<text x='5' y='50' font-family='No Such Face' font-weight='bold'>Tern</text></svg>";
    let take = |intake: &Intake| Motif::from_svg("limpet", svg.as_bytes(), intake);
    let motif = take(&Intake::new().substitute("no such FACE", "DejaVu Serif")).unwrap_or_else(|e| panic!("{e}"));
    let said: Vec<String> = motif.losses().iter().map(ToString::to_string).collect();
    assert_eq!(said, ["line 2: missing-font: \"No Such Face\" bold for \"Tern\"; DejaVu Serif is taken"]);
    assert!(motif.losses()[0].is_replaced());
    let as_if = svg.replace("No Such Face", "DejaVu Serif");
    let plain = Motif::from_svg("limpet", as_if.as_bytes(), &Intake::new()).expect("a motif");
    let bounds = |motif: &Motif| motif.ink().bounds(kurbo::Affine::IDENTITY);
    assert_eq!(bounds(&motif), bounds(&plain), "drawn as if it had been named");
    let error = take(&Intake::new().substitute("No Such Face", "Nor This One")).expect_err("neither is there");
    assert_eq!(
        error.to_string(),
        "limpet: 1 thing in the drawing cannot be kept\n  line 2: missing-font: \"No Such Face\" bold for \"Tern\"; nor is Nor This One"
    );
    let error = take(&Intake::new().substitute("Another Face", "DejaVu Serif")).expect_err("not the one meant");
    assert!(error.to_string().contains("\"No Such Face\" bold for \"Tern\"") && !error.to_string().contains("taken"));
}

/// The bundled face has a 5 and no Ω; a whole font of this machine has, whatever it is called.
#[test]
fn a_font_that_was_named_stands_in_for_missing_letters() {
    let fonts = Fonts::load();
    let bundled = fonts.bundled.expect("the bundled face");
    let any = FontResolver::default_fallback_selector();
    let other = any('Ω', &[bundled], &mut Arc::clone(&fonts.db)).expect("fonts-dejavu-core has Ω");
    let other = fonts.db.face(other).expect("a face").families[0].0.clone();
    let svg = "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 100 100'><text id='t' x='5' y='50' font-family='DejaVu Serif' font-weight='bold'>Ω5</text></svg>";
    let motif = Motif::from_svg("limpet", svg.as_bytes(), &Intake::new().substitute("DejaVu Serif", &other));
    let motif = motif.unwrap_or_else(|e| panic!("{e}"));
    let said: Vec<String> = motif.losses().iter().map(ToString::to_string).collect();
    // The reader takes a font that has all letters for all of them; each is said.
    let letters = ["5", "Ω"].map(|c| format!("line 1, #t: missing-glyph: {c:?}; that of {other} is taken"));
    assert_eq!(said, letters);
    assert!(motif.losses().iter().all(Loss::is_replaced));
}

/// Texts without an id are found by what they say; the same words in another font are another line.
#[test]
fn letters_have_their_line() {
    let svg = "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 100 100'>\n<text font-family='Harbour A'>Tern\n <tspan>and  kelp</tspan></text>\n\n<text font-family='Harbour B'>Tern <tspan>and kelp</tspan></text></svg>";
    let Err(ArtworkError::Losses { losses, .. }) = Motif::from_svg("limpet", svg.as_bytes(), &Intake::new()) else {
        panic!("taken")
    };
    let said: Vec<(Option<u32>, bool)> = losses.iter().map(|l| (l.line(), l.what().contains("Harbour A"))).collect();
    assert_eq!(said, [(Some(2), true), (Some(2), true), (Some(5), false), (Some(5), false)], "{losses:?}");
}
