//! A page laid out by hand: every object on it becomes a piece of its own.
//!
//! ```text
//!   page                        pieces
//!   ┌───────────────┐           ground   the rectangle at the bottom
//!   │ ╭─╮     ╭─────┼─╮
//!   │ ╰─╯     ╰─────┼─╯   ─▶    ╭─╮   ╭───────╮   ╭───╮
//!   │    ╭───╮      │           ╰─╯   ╰───────╯   ╰───╯
//!   └────┼───┼──────┘           each with the page's own coordinates
//!        ╰───╯
//! ```
//!
//! Painted one over the other in their order, the pieces are the page again. What is one
//! object and what is a mere wrapper is said in `objects`.

use std::collections::VecDeque;
use std::path::Path;

use kurbo::Affine;
use usvg::{Node, Paint, Tree};

use super::budget::Budget;
use super::deep::on_a_deep_stack;
use super::embedded;
use super::error::ArtworkError;
use super::intake::Intake;
use super::links;
use super::losses::Loss;
use super::motif::Motif;
use super::page::{Page, true_size};
use super::scan::{self, Places};
use super::source::Source;

mod alike;
mod excerpt;
mod objects;
mod styles;

pub use alike::Alike;
use excerpt::Excerpts;

/// A page of motifs laid out by hand.
#[derive(Debug)]
pub struct Croquis {
    /// The page: all pieces share it and its coordinates.
    pub page: Page,
    /// The color of the ground, as red, green, blue; `None` if the page is bare.
    pub ground: Option<[u8; 3]>,
    /// The objects, in painting order.
    pub pieces: Vec<Motif>,
    /// For each piece, the first that is the same drawing, moved.
    pub alike: Vec<Alike>,
    /// What was lost on the page, because it was allowed.
    pub losses: Vec<Loss>,
}

impl Croquis {
    /// Reads a page from an SVG file, plain or gzipped.
    pub fn read(path: &Path, intake: &Intake) -> Result<Croquis, ArtworkError> {
        Croquis::from_source(&Source::read(path, &intake.limits)?, intake)
    }

    /// Takes the bytes of an SVG file, plain or gzipped.
    pub fn from_svg(name: &str, bytes: &[u8], intake: &Intake) -> Result<Croquis, ArtworkError> {
        Croquis::from_source(&Source::from_bytes(name, bytes, &intake.limits)?, intake)
    }

    fn from_source(source: &Source, intake: &Intake) -> Result<Croquis, ArtworkError> {
        on_a_deep_stack(&source.name, || {
            let doc = source.parse()?;
            let size = true_size(source, &doc.root_element())?;
            links::check(source, &doc)?;
            let (mut losses, places) = scan::scan(source, &doc);
            losses.extend(scan::sibling_rules(source, &doc));
            let budget = Budget::new(intake.limits);
            let excerpts = Excerpts::new(source, &doc, &budget);
            let taker = Taker { intake, file: &source.name, places: &places, size, budget: &budget };

            let mut ground = ground_color(&taker.take(&source.name, excerpts.bare_page(), &mut Vec::new())?);
            let mut bottom = None;
            if let Some(candidate) = objects::bottom(&excerpts) {
                let motif = taker.take(&source.name, excerpts.of(candidate)?, &mut Vec::new())?;
                if let Some(color) = ground_color(&motif) {
                    (ground, bottom) = (Some(color), Some(candidate));
                }
            }
            let mut pieces = Vec::new();
            let mut todo: VecDeque<_> = objects::objects(&excerpts, bottom).into();
            while let Some(object) = todo.pop_front() {
                let name = format!("{}/{}", source.stem, objects::label(object, pieces.len()));
                let mut own = Vec::new();
                let piece = taker.take(&name, excerpts.of(object)?, &mut own)?;
                match objects::parts(&excerpts, &object, bottom).filter(|_| reaches_across(&piece)) {
                    Some(parts) => parts.into_iter().rev().for_each(|part| todo.push_front(part)),
                    None => {
                        losses.append(&mut own);
                        pieces.push(piece);
                    }
                }
            }
            pieces.retain(|p: &Motif| !p.ink().is_empty());
            let losses = intake.judge(&source.name, losses)?;
            match pieces.first() {
                Some(first) => {
                    let page = Page { px: first.page_px(), size };
                    Ok(Croquis { page, ground, alike: alike::alike(&pieces), pieces, losses })
                }
                None => Err(ArtworkError::NoObjects { name: source.name.clone() }),
            }
        })
    }
}

/// Takes in one excerpt of the page.
struct Taker<'a> {
    intake: &'a Intake,
    file: &'a str,
    places: &'a Places,
    size: Option<crate::length::Size>,
    budget: &'a Budget,
}

impl Taker<'_> {
    fn take(&self, name: &str, text: String, losses: &mut Vec<Loss>) -> Result<Motif, ArtworkError> {
        let source = Source::from_text(name.to_owned(), text, self.budget.limits);
        let doc = source.parse()?;
        let mut own = Vec::new();
        let (tree, inks) = self.intake.resolve(&source, &doc, self.places, self.budget, &mut own)?;
        losses.extend(own.iter().cloned());
        let pictures = embedded::of(&tree, self.places);
        let motif = Motif::new(name.to_owned(), tree, self.size, own, self.budget);
        Ok(motif.with(pictures).of_file(self.file, inks))
    }
}

/// Does its ink reach from one edge of the page to the other?
fn reaches_across(piece: &Motif) -> bool {
    let page = piece.page_px();
    let ink = piece.ink().bounds(Affine::IDENTITY);
    ink.is_some_and(|r| (r.x0 <= 0.0 && r.x1 >= page.width) || (r.y0 <= 0.0 && r.y1 >= page.height))
}

/// A rectangle that falls short of the page by up to this share of a side was meant to cover it.
const SHORT: f64 = 0.005;

/// The color of a drawing that is one plain upright rectangle over the whole page, but for a
/// thread.
fn ground_color(motif: &Motif) -> Option<[u8; 3]> {
    let path = only_path(motif.tree())?;
    let fill = path.fill().filter(|f| f.opacity().get() == 1.0)?;
    let Paint::Color(color) = fill.paint() else { return None };
    let stroked = path.stroke().is_some_and(|s| s.opacity().get() > 0.0);
    let page = motif.page_px();
    let page = page.to_rect().inflate(-0.01 - SHORT * page.width, -0.01 - SHORT * page.height);
    let covers = motif.ink().rectangle().is_some_and(|r| r.union(page) == r);
    (covers && !stroked && path.is_visible()).then_some([color.red, color.green, color.blue])
}

/// The path of a drawing that paints one path and nothing else, without effects.
fn only_path(tree: &Tree) -> Option<&usvg::Path> {
    let mut group = tree.root();
    loop {
        match group.children() {
            [Node::Group(inner)] if !inner.should_isolate() => group = inner,
            [Node::Path(path)] => return Some(path),
            _ => return None,
        }
    }
}
