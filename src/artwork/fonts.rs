//! Which letters are drawn with which font.
//!
//! A drawing must come out the same on every machine, or say that it does not. So the bundled
//! face stands for its own name before any font of the machine, `serif` and its kin name no
//! font at all, and a letter that its font does not have is named as missing.

use std::sync::{Arc, OnceLock};

use usvg::fontdb::{Database, Family, ID, Query, Source, Stretch, Style, Weight};
use usvg::{Font, FontFamily, FontResolver, FontStretch, FontStyle, Group, Node, Text, Tree};

use super::losses::Loss;
use super::scan::Places;

const BUNDLED: &[u8] = include_bytes!("fonts/DejaVuSerif-Bold.subset.ttf");
const BUNDLED_FAMILY: &str = "DejaVu Serif";

/// The fonts of this machine and the bundled one.
#[derive(Debug)]
pub(crate) struct Fonts {
    db: Arc<Database>,
    bundled: Option<ID>,
}

/// Loaded when the first text is met, then shared.
#[derive(Clone, Debug, Default)]
pub(crate) struct LazyFonts(Arc<OnceLock<Fonts>>);

impl LazyFonts {
    pub(crate) fn get(&self) -> &Fonts {
        self.0.get_or_init(Fonts::load)
    }
}

impl Fonts {
    fn load() -> Fonts {
        let mut db = Database::new();
        db.load_system_fonts();
        let bundled = db.load_font_source(Source::Binary(Arc::new(BUNDLED))).first().copied();
        for set in [
            Database::set_serif_family,
            Database::set_sans_serif_family,
            Database::set_monospace_family,
            Database::set_cursive_family,
            Database::set_fantasy_family,
        ] {
            set(&mut db, BUNDLED_FAMILY.to_owned());
        }
        Fonts { db: Arc::new(db), bundled }
    }

    /// Gives the options these fonts. Text without a family asks for `serif`.
    pub(crate) fn put_into<'a>(&'a self, options: &mut usvg::Options<'a>) {
        options.fontdb = self.db.clone();
        options.font_family = "serif".into();
        options.font_resolver = FontResolver {
            select_font: Box::new(|font, _| self.find(font).or(self.bundled)),
            select_fallback: FontResolver::default_fallback_selector(),
        };
    }

    /// The font of the first family named that is here.
    fn find(&self, font: &Font) -> Option<ID> {
        font.families().iter().find_map(|family| match family {
            FontFamily::Named(name) => self.find_family(name, font),
            _ => None,
        })
    }

    fn find_family(&self, name: &str, font: &Font) -> Option<ID> {
        let style = style(font);
        let like_bundled = font.weight() >= 600 && style == Style::Normal && font.stretch() == FontStretch::Normal;
        if name.eq_ignore_ascii_case(BUNDLED_FAMILY) && like_bundled {
            return self.bundled;
        }
        let query =
            Query { families: &[Family::Name(name)], weight: Weight(font.weight()), stretch: stretch(font), style };
        self.db.query(&query).filter(|id| Some(*id) != self.bundled)
    }

    /// Every letter of a drawing that is not drawn with the font it names.
    pub(crate) fn losses(&self, tree: &Tree, places: &Places) -> Vec<Loss> {
        let mut losses = Vec::new();
        each_text(tree.root(), &mut |text| self.text_losses(text, places.line(text.id()), &mut losses));
        losses.sort_by(|a, b| (a.line(), a.what()).cmp(&(b.line(), b.what())));
        losses.dedup();
        losses
    }

    fn text_losses(&self, text: &Text, line: Option<u32>, losses: &mut Vec<Loss>) {
        let mut found = Vec::new();
        for chunk in text.chunks() {
            for span in chunk.spans().iter().filter(|s| s.is_visible()) {
                let words = chunk.text().get(span.start()..span.end()).unwrap_or_default().trim();
                match self.find(span.font()) {
                    Some(id) => found.push(id),
                    None if words.is_empty() => {}
                    None => losses.push(Loss::new(
                        "missing-font",
                        line,
                        Some(text.id()),
                        format!("{} for {words:?}", families(span.font())),
                    )),
                }
            }
        }
        let glyphs = text.layouted().iter().filter(|s| s.visible).flat_map(|s| &s.positioned_glyphs);
        let missing =
            glyphs.filter(|g| !is_blank(&g.text) && (g.id.0 == 0 || !(found.is_empty() || found.contains(&g.font))));
        let letters: std::collections::BTreeSet<&str> = missing.map(|g| g.text.as_str()).collect();
        for letter in letters {
            losses.push(Loss::new("missing-glyph", line, Some(text.id()), format!("{letter:?}")));
        }
    }
}

fn is_blank(text: &str) -> bool {
    text.chars().all(|c| {
        c.is_whitespace()
            || c.is_control()
            || matches!(c, '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{2060}' | '\u{fe00}'..='\u{fe0f}')
    })
}

fn families(font: &Font) -> String {
    let names: Vec<String> = font.families().iter().map(ToString::to_string).collect();
    let weight = if font.weight() >= 600 { " bold" } else { "" };
    let slant = if font.style() == FontStyle::Normal { "" } else { " italic" };
    format!("{}{weight}{slant}", names.join(", "))
}

fn style(font: &Font) -> Style {
    match font.style() {
        FontStyle::Normal => Style::Normal,
        FontStyle::Italic => Style::Italic,
        FontStyle::Oblique => Style::Oblique,
    }
}

fn stretch(font: &Font) -> Stretch {
    match font.stretch() {
        FontStretch::UltraCondensed => Stretch::UltraCondensed,
        FontStretch::ExtraCondensed => Stretch::ExtraCondensed,
        FontStretch::Condensed => Stretch::Condensed,
        FontStretch::SemiCondensed => Stretch::SemiCondensed,
        FontStretch::Normal => Stretch::Normal,
        FontStretch::SemiExpanded => Stretch::SemiExpanded,
        FontStretch::Expanded => Stretch::Expanded,
        FontStretch::ExtraExpanded => Stretch::ExtraExpanded,
        FontStretch::UltraExpanded => Stretch::UltraExpanded,
    }
}

fn each_text(group: &Group, f: &mut dyn FnMut(&Text)) {
    for node in group.children() {
        match node {
            Node::Group(g) => each_text(g, f),
            Node::Text(t) => f(t),
            Node::Path(_) | Node::Image(_) => {}
        }
        node.subroots(|g| each_text(g, f));
    }
}

#[cfg(test)]
mod tests {
    use super::super::{ArtworkError, Intake, Motif};
    use super::*;

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
}
