//! Which letters are drawn with which font.
//!
//! A drawing must come out the same on every machine, or say that it does not. So the bundled
//! face stands for its own name before any font of the machine, `serif` and its kin name no
//! font at all, and a letter that its font does not have is named as missing. A font that was named
//! to stand in for another is taken where that one is not here, or lacks the letter, and it is said.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, OnceLock};

use usvg::fontdb::{Database, FaceInfo, Family, ID, Query, Source, Stretch, Style, Weight};
use usvg::layout::PositionedGlyph;
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

/// Which font stands in for which: names in small letters → names.
pub(crate) type StandIns = BTreeMap<String, String>;

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
    pub(crate) fn put_into<'a>(&'a self, options: &mut usvg::Options<'a>, stand_ins: &'a StandIns) {
        options.fontdb = self.db.clone();
        options.font_family = "serif".into();
        options.font_resolver = FontResolver {
            select_font: Box::new(|font, _| {
                let instead = || self.instead(font, stand_ins).map(|(id, _)| id);
                self.find(font).or_else(instead).or(self.bundled)
            }),
            select_fallback: Box::new(|letter, used, db| {
                let any = FontResolver::default_fallback_selector();
                let named = stand_ins.values().find_map(|by| any(letter, used, &mut self.only(by, used)));
                named.or_else(|| any(letter, used, db))
            }),
        };
    }

    /// The font of the first family named that is here.
    fn find(&self, font: &Font) -> Option<ID> {
        font.families().iter().find_map(|family| match family {
            FontFamily::Named(name) => self.find_family(name, font),
            _ => None,
        })
    }

    /// The font that was named to stand in for one of a text's, and its name.
    fn instead<'s>(&self, font: &Font, stand_ins: &'s StandIns) -> Option<(ID, &'s str)> {
        stand_ins_of(font, stand_ins).find_map(|by| Some((self.find_family(by, font)?, by)))
    }

    /// The fonts of one family, and those that were tried.
    fn only(&self, family: &str, used: &[ID]) -> Arc<Database> {
        let mut db = Database::clone(&self.db);
        let others = self.db.faces().filter(|f| !used.contains(&f.id) && !is_of(f, family));
        others.for_each(|face| db.remove_face(face.id));
        Arc::new(db)
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
    pub(crate) fn losses(&self, tree: &Tree, places: &Places, stand_ins: &StandIns) -> Vec<Loss> {
        let mut losses = Vec::new();
        let mut seen = BTreeMap::new();
        each_text(tree.root(), &mut |text| {
            let words: String = text.chunks().iter().map(usvg::TextChunk::text).collect();
            let nth = seen.entry(words.clone()).and_modify(|n| *n += 1).or_insert(0);
            let line = places.line(text.id()).or_else(|| places.text_line(&words, *nth));
            self.text_losses(text, line, stand_ins, &mut losses);
        });
        losses.sort_by(|a, b| (a.line(), a.what()).cmp(&(b.line(), b.what())));
        losses.dedup();
        losses
    }

    fn text_losses(&self, text: &Text, line: Option<u32>, stand_ins: &StandIns, losses: &mut Vec<Loss>) {
        let (mut found, mut named) = (Vec::new(), BTreeSet::new());
        let loss = |code, what| Loss::new(code, line, Some(text.id()), what);
        for chunk in text.chunks() {
            for span in chunk.spans().iter().filter(|s| s.is_visible()) {
                let words = chunk.text().get(span.start()..span.end()).unwrap_or_default().trim();
                named.extend(stand_ins_of(span.font(), stand_ins));
                let what = || format!("{} for {words:?}", families(span.font()));
                match (self.find(span.font()), self.instead(span.font(), stand_ins)) {
                    (Some(id), _) => found.push(id),
                    _ if words.is_empty() => {}
                    (None, Some((id, by))) => {
                        found.push(id);
                        losses.push(loss("missing-font", format!("{}; {by} is taken", what())).made_good());
                    }
                    (None, None) => {
                        let by: Vec<&str> = stand_ins_of(span.font(), stand_ins).collect();
                        let neither = if by.is_empty() { String::new() } else { format!("; nor is {}", by.join(", ")) };
                        losses.push(loss("missing-font", what() + &neither));
                    }
                }
            }
        }
        let glyphs = text.layouted().iter().filter(|s| s.visible).flat_map(|s| &s.positioned_glyphs);
        let missing =
            glyphs.filter(|g| !is_blank(&g.text) && (g.id.0 == 0 || !(found.is_empty() || found.contains(&g.font))));
        let by = |g: &PositionedGlyph| {
            let face = self.db.face(g.font).filter(|_| g.id.0 != 0)?;
            named.iter().find(|by| is_of(face, by))
        };
        let letters: BTreeSet<(&str, Option<&&str>)> = missing.map(|g| (g.text.as_str(), by(g))).collect();
        losses.extend(letters.into_iter().map(|(letter, by)| match by {
            Some(by) => loss("missing-glyph", format!("{letter:?}; that of {by} is taken")).made_good(),
            None => loss("missing-glyph", format!("{letter:?}")),
        }));
    }
}

/// Those that were named to stand in for the families of a text.
fn stand_ins_of<'s>(font: &Font, stand_ins: &'s StandIns) -> impl Iterator<Item = &'s str> {
    let named = font.families().iter().filter_map(|family| match family {
        FontFamily::Named(name) => stand_ins.get(&name.to_lowercase()),
        _ => None,
    });
    named.map(String::as_str)
}

fn is_of(face: &FaceInfo, family: &str) -> bool {
    face.families.iter().any(|(name, _)| name.eq_ignore_ascii_case(family))
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
mod tests;
