//! How artwork is taken in, and the only place where the SVG reader is set up and called.

use std::collections::BTreeSet;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::{Arc, Mutex};

use usvg::roxmltree::Document;
use usvg::{ImageHrefResolver, ImageKind, Options, Tree};

use super::budget::Budget;
use super::error::ArtworkError;
use super::fonts::{LazyFonts, StandIns};
use super::inks::Inks;
use super::losses::{self, Loss};
use super::scan::Places;
use super::source::Source;
use super::{links, patterns, picture, sanity, scan, source};
use crate::limits::{Limit, Limits};

/// How artwork is taken in: what may be lost, how much it may ask for, and which fonts are there.
///
/// Clones share the fonts, which are loaded when the first text is met.
#[derive(Clone, Debug, Default)]
pub struct Intake {
    allowed: BTreeSet<&'static str>,
    pub(super) limits: Limits,
    fonts: LazyFonts,
    stand_ins: StandIns,
}

impl Intake {
    /// Nothing may be lost.
    pub fn new() -> Intake {
        Intake::default()
    }

    /// Allows one kind of loss by its code, one of [`LOSSES`](super::LOSSES).
    pub fn allow(mut self, code: &str) -> Result<Intake, ArtworkError> {
        let Some(kind) = losses::loss_kind(code) else {
            return Err(ArtworkError::UnknownLoss { typed: code.into(), nearest: losses::nearest(code) });
        };
        self.allowed.insert(kind.code);
        Ok(self)
    }

    /// Takes as much as these limits let it.
    #[must_use]
    pub fn with_limits(self, limits: Limits) -> Intake {
        Intake { limits, ..self }
    }

    /// Lets another font stand in for one that is not on this machine, and for letters that it lacks.
    /// Case does not matter in `missing`, the font as drawings name it.
    pub fn substitute(mut self, missing: &str, by: &str) -> Intake {
        self.stand_ins.insert(missing.trim().to_lowercase(), by.trim().into());
        self
    }

    /// Refuses losses that are not allowed; hands back those that are, or are made good.
    pub(crate) fn judge(&self, name: &str, losses: Vec<Loss>) -> Result<Vec<Loss>, ArtworkError> {
        let refused: Vec<Loss> =
            losses.iter().filter(|l| !l.is_replaced() && !self.allowed.contains(l.code())).cloned().collect();
        if refused.is_empty() { Ok(losses) } else { Err(ArtworkError::Losses { name: name.into(), losses: refused }) }
    }

    /// Resolves a parsed document, patterns laid out, and tells what its inks are called; losses that show only then are
    /// added, with their places in the file that was read.
    pub(crate) fn resolve(
        &self,
        source: &Source,
        doc: &Document,
        places: &Places,
        budget: &Budget,
        losses: &mut Vec<Loss>,
    ) -> Result<(Tree, Inks), ArtworkError> {
        let inner = Mutex::new(Inner::default());
        let mut options = Options {
            image_href_resolver: ImageHrefResolver {
                resolve_data: Box::new(|mime, data, options| {
                    embedded(&inner, &self.limits, places, mime, data, options)
                }),
                resolve_string: Box::new(|_, _| None),
            },
            ..Options::default()
        };
        let is_text = |n: usvg::roxmltree::Node| n.tag_name().name() == "text" && source::is_svg(&n);
        let has_text = doc.descendants().any(is_text) || source.text.contains("svg+xml");
        let fonts = has_text.then(|| self.fonts.get());
        if let Some(fonts) = fonts {
            fonts.put_into(&mut options, &self.stand_ins);
        }
        // Regions beyond its numbers make the reader stop in the middle; that is an answer, too.
        let read = catch_unwind(AssertUnwindSafe(|| Tree::from_xmltree(doc, &options)));
        let stopped = |_| ArtworkError::Failed { name: source.name.clone(), what: "the SVG reader gave up".into() };
        let tree = read.map_err(stopped)?.map_err(|e| failed(source, &e))?;
        drop(options);
        let inner = inner.into_inner().unwrap_or_else(std::sync::PoisonError::into_inner);
        if let Some(error) = inner.error {
            return Err(source.too_much(error.0, error.1, error.2));
        }
        losses.extend(inner.losses);
        if let Some(fonts) = fonts {
            losses.extend(fonts.losses(&tree, places, &self.stand_ins));
        }
        sanity::check(&source.name, &tree, budget)?;
        losses.extend(scan::blends(places, &tree));
        let inks = Inks::of(&tree, places);
        patterns::lay_out(&source.name, tree, inks, budget)
    }
}

fn failed(source: &Source, error: &usvg::Error) -> ArtworkError {
    match error {
        usvg::Error::ElementsLimitReached | usvg::Error::ParsingFailed(usvg::roxmltree::Error::NodesLimitReached) => {
            source.too_much("elements, once every use is resolved", "too many, or too deep", source.limits.nodes)
        }
        other => ArtworkError::Failed { name: source.name.clone(), what: other.to_string() },
    }
}

/// What turns up inside embedded images.
#[derive(Default)]
struct Inner {
    depth: usize,
    /// Of the outermost image at hand.
    line: Option<u32>,
    losses: Vec<Loss>,
    pixels: u64,
    error: Option<(&'static str, String, Limit)>,
}

/// Takes an image that is carried inside the drawing, after a look at its size.
fn embedded(
    inner: &Mutex<Inner>,
    limits: &Limits,
    places: &Places,
    mime: &str,
    data: Arc<Vec<u8>>,
    options: &Options,
) -> Option<ImageKind> {
    if let Ok(mut inner) = inner.lock() {
        inner.line = if inner.depth == 0 { places.image_line(&data) } else { inner.line };
    }
    let lose = |what: String| {
        if let Ok(mut inner) = inner.lock() {
            let loss = Loss::new("broken-image", inner.line, None, what);
            inner.losses.push(loss);
        }
        None
    };
    if mime == "image/svg+xml" || (mime == "text/plain" && imagesize::image_type(&data).is_err()) {
        return embedded_drawing(inner, limits, &data, options)
            .or_else(|| lose(format!("an embedded drawing ({mime})")));
    }
    let Ok(size) = imagesize::blob_size(&data) else {
        return lose(format!("an embedded image ({mime}, {} bytes)", data.len()));
    };
    let pixels = (size.width as u64).saturating_mul(size.height as u64);
    {
        let mut inner = inner.lock().ok()?;
        inner.pixels = inner.pixels.saturating_add(pixels);
        let value = format!("{} × {}", size.width, size.height);
        if pixels > limits.image.most {
            inner.error.get_or_insert(("pixels of an embedded image", value, limits.image));
            return None;
        }
        if inner.pixels > limits.images.most {
            let all = inner.pixels.to_string();
            inner.error.get_or_insert(("pixels of all embedded images", all, limits.images));
            return None;
        }
    }
    // A GIF ends so; its painter takes it for whole without.
    let is_gif = matches!(imagesize::image_type(&data), Ok(imagesize::ImageType::Gif));
    let cut_off = is_gif && !data.trim_ascii_end().ends_with(b";");
    let wrong = if cut_off { Some("that is cut off".into()) } else { picture::unpaintable(&data, limits) };
    if let Some(wrong) = wrong {
        return lose(format!("an embedded image {wrong} ({mime}, {} bytes)", data.len()));
    }
    let read = ImageHrefResolver::default_data_resolver();
    read(mime, data, options).or_else(|| lose(format!("an embedded image of a kind that is not drawn ({mime})")))
}

/// A drawing inside the drawing goes through the same door.
fn embedded_drawing(inner: &Mutex<Inner>, limits: &Limits, data: &[u8], options: &Options) -> Option<ImageKind> {
    {
        let mut inner = inner.lock().ok()?;
        inner.depth += 1;
        if inner.depth > limits.nested.size() {
            inner.depth -= 1;
            return None;
        }
    }
    let source = Source::from_bytes("embedded drawing", data, limits).ok();
    let doc = source.as_ref().and_then(|s| s.parse().ok());
    let found = source.as_ref().zip(doc.as_ref()).map(|(source, doc)| scan::scan(source, doc).0);
    let sound = source.as_ref().zip(doc.as_ref()).filter(|(source, doc)| links::check(source, doc).is_ok());
    let tree = sound.and_then(|(s, _)| Tree::from_data_nested(s.text.as_bytes(), options).ok());
    let mut inner = inner.lock().ok()?;
    inner.depth -= 1;
    let line = inner.line;
    inner.losses.extend(found.into_iter().flatten().map(|loss| loss.inside(line)));
    tree.map(ImageKind::SVG)
}
