//! One drawing, taken in whole: resolved, measured, and with what it lost.

use std::path::Path;

use kurbo::{Affine, Vec2};
use usvg::Tree;

use super::budget::Budget;
use super::deep::on_a_deep_stack;
use super::effort::Effort;
use super::embedded::{self, Embedded};
use super::error::ArtworkError;
use super::ink::Ink;
use super::inks::Inks;
use super::intake::Intake;
use super::losses::Loss;
use super::page::{Page, true_size};
use super::picture::{self, Kind, Picture};
use super::source::{Source, stem};
use super::{links, look, scan, trim};
use crate::length::Size;

/// One drawing with its own true size.
///
/// All coordinates are pixels of the tree, y down: the page is (0,0)–[`page_px`](Motif::page_px)
/// unless it was [`trimmed`](Motif::trimmed), but ink may reach over it on every side.
#[derive(Debug)]
pub struct Motif {
    pub(super) name: String,
    pub(super) tree: Tree,
    pub(super) page: Page,
    /// Where the page begins.
    corner: Vec2,
    pub(super) ink: Ink,
    look: Option<f64>,
    effort: Effort,
    pictures: Vec<Embedded>,
    pub(super) losses: Vec<Loss>,
    picture: Option<Picture>,
    pub(super) inks: Inks,
    /// The file it was taken from.
    file: String,
}

impl Motif {
    /// Reads an SVG file, plain or gzipped, or a PNG, JPEG, TIFF or WebP picture: what it is, its
    /// first bytes say. Nothing outside the file is read but fonts.
    pub fn read(path: &Path, intake: &Intake) -> Result<Motif, ArtworkError> {
        let motif = Motif::from_bytes(&path.to_string_lossy(), Source::bytes(path, &intake.limits)?, intake)?;
        Ok(Motif { name: stem(path), ..motif })
    }

    /// Takes the bytes of such a file.
    pub fn from_bytes(name: &str, bytes: Vec<u8>, intake: &Intake) -> Result<Motif, ArtworkError> {
        match Kind::of(&bytes) {
            Some(kind) => Motif::from_picture(name, kind, bytes, intake),
            None => Motif::from_svg(name, &bytes, intake),
        }
    }

    /// Takes the bytes of an SVG file, plain or gzipped.
    pub fn from_svg(name: &str, bytes: &[u8], intake: &Intake) -> Result<Motif, ArtworkError> {
        Motif::from_source(&Source::from_bytes(name, bytes, &intake.limits)?, intake)
    }

    fn from_source(source: &Source, intake: &Intake) -> Result<Motif, ArtworkError> {
        on_a_deep_stack(&source.name, || {
            let doc = source.parse()?;
            let size = true_size(source, &doc.root_element())?;
            links::check(source, &doc)?;
            let (mut losses, places) = scan::scan(source, &doc);
            let budget = Budget::new(intake.limits);
            let (tree, inks) = intake.resolve(source, &doc, &places, &budget, &mut losses)?;
            let losses = intake.judge(&source.name, losses)?;
            let pictures = embedded::of(&tree, &places);
            let motif = Motif::new(source.stem.clone(), tree, size, losses, &budget);
            Ok(motif.with(pictures).of_file(&source.name, inks))
        })
    }

    /// The page is the picture; a pixel of the page is one of the picture.
    fn from_picture(name: &str, kind: Kind, bytes: Vec<u8>, intake: &Intake) -> Result<Motif, ArtworkError> {
        on_a_deep_stack(name, || {
            let taken = picture::take(name, kind, bytes, &intake.limits)?;
            let losses = intake.judge(name, taken.losses)?;
            let pixels = taken.pixels;
            let failed = |what| ArtworkError::Failed { name: name.into(), what };
            let tree = picture::wrap(&pixels).map_err(failed)?;
            let page = Page { px: kurbo::Size::new(pixels.width.into(), pixels.height.into()), size: taken.size };
            let ink = Ink::of_picture(pixels.width, &pixels.bytes);
            let effort = Effort::of(&tree, ink.bounds(Affine::IDENTITY));
            let whole = Embedded { line: None, pixels: [pixels.width, pixels.height], to: Affine::IDENTITY };
            let (picture, pictures) = (Some(Picture::new(pixels)), vec![whole]);
            let corner = Vec2::ZERO;
            let (look, inks, file) = (Some(0.0), Inks::default(), name.into());
            Ok(Motif {
                name: name.into(),
                tree,
                page,
                corner,
                ink,
                look,
                effort,
                pictures,
                losses,
                picture,
                inks,
                file,
            })
        })
    }

    pub(super) fn new(name: String, tree: Tree, size: Option<Size>, losses: Vec<Loss>, budget: &Budget) -> Motif {
        let px = kurbo::Size::new(f64::from(tree.size().width()), f64::from(tree.size().height()));
        let ink = Ink::of(&tree, budget);
        let look = look::look(&tree);
        let effort = Effort::of(&tree, ink.bounds(Affine::IDENTITY));
        Motif {
            name,
            tree,
            page: Page { px, size },
            corner: Vec2::ZERO,
            ink,
            look,
            effort,
            pictures: vec![],
            losses,
            picture: None,
            inks: Inks::default(),
            file: String::new(),
        }
    }

    /// Taken from this file, its inks called so.
    pub(super) fn of_file(self, file: &str, inks: Inks) -> Motif {
        Motif { file: file.into(), inks, ..self }
    }

    /// With these pictures in it.
    pub(super) fn with(self, pictures: Vec<Embedded>) -> Motif {
        Motif { pictures, ..self }
    }

    /// The same motif, its page drawn in (or out) to its ink; without ink it stays as it is.
    ///
    /// Nothing of it is moved or scaled. A drawing's new page is a whole number of EMU of its true
    /// size on every side, a picture's a whole number of its pixels. Ink that is only bounded
    /// (blurs and other filters, soft masks) is trimmed to its bounds.
    pub fn trimmed(self) -> Motif {
        let around = if self.picture.is_some() { trim::picture } else { trim::drawing };
        match self.ink.bounds(Affine::IDENTITY).and_then(|ink| around(self.page, ink)) {
            Some((page, corner)) => Motif { page, corner, ..self },
            None => self,
        }
    }

    /// The file's name without its ending; for a piece of a page, the page's name and its own.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The file it was taken from; pieces of a page share theirs.
    pub fn file(&self) -> &str {
        &self.file
    }

    /// The drawing, resolved, to be painted or written.
    pub fn tree(&self) -> &Tree {
        &self.tree
    }

    /// The picture itself, if that is all it is: to be painted without decoding it again.
    pub fn picture(&self) -> Option<&Picture> {
        self.picture.as_ref()
    }

    /// How far its filters look around a point, in pixels of the tree; `None` if they must know
    /// the whole drawing.
    pub fn look(&self) -> Option<f64> {
        self.look
    }

    /// What painting it takes.
    pub fn effort(&self) -> &Effort {
        &self.effort
    }

    /// The pictures made of pixels in it; one that is the motif, too.
    pub fn pictures(&self) -> &[Embedded] {
        &self.pictures
    }

    /// The page in pixels of the tree.
    pub fn page_px(&self) -> kurbo::Size {
        self.page.px
    }

    /// The page's middle, in pixels of the tree: what lies on a placement's spot.
    pub fn middle(&self) -> Vec2 {
        self.corner + self.page.px.to_vec2() * 0.5
    }

    /// The true size of the page; `None` if the file has a viewBox only.
    pub fn size(&self) -> Option<Size> {
        self.page.size
    }

    /// Where ink really reaches, in pixels of the tree.
    pub fn ink(&self) -> &Ink {
        &self.ink
    }

    /// What was lost, because it was allowed.
    pub fn losses(&self) -> &[Loss] {
        &self.losses
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_motif_may_be_shared_between_threads() {
        fn shared<T: Send + Sync>() {}
        shared::<Motif>();
        shared::<Intake>();
    }
}
