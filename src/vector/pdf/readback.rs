//! A written PDF, read by a reader of other people's making and held against the plan: its boxes, every copy in
//! order, each place to a millionth of a unit, and that every form and picture can be unpacked.

use hayro_syntax::Pdf;
use hayro_syntax::content::UntypedIter;
use hayro_syntax::object::{Name, Object, Rect, Stream};
use hayro_syntax::page::Resources;

use super::page::PdfOptions;
use crate::artwork::Motif;
use crate::length::{Length, Unit};
use crate::wrap::Copies;

/// Boxes are numbers of 32 bits: this share of their size is not known.
const BOX: f64 = 1.3e-7;
/// Places, in units.
const PLACE: f64 = 1e-6;

/// Why a PDF is not as it should be.
#[derive(Debug, thiserror::Error)]
pub enum PdfError {
    /// It differs from the plan.
    #[error("the PDF does not read back as it was planned: {0}")]
    Differs(String),
    /// A drawing comes to more than a file may have.
    #[error("{motif} comes to more than {most} MiB of lines and curves; simplify the drawing, or write as = [\"png\"]")]
    TooLarge {
        /// The motif.
        motif: String,
        /// The most, in MiB.
        most: usize,
    },
}

fn fault<T>(what: impl Into<String>) -> Result<T, PdfError> {
    Err(PdfError::Differs(what.into()))
}

/// Reads a PDF of the plan back; `patterned` is one whose page is filled by a pattern.
///
/// # Errors
/// The first thing that differs.
pub fn read_pdf_back(
    bytes: Vec<u8>,
    copies: &Copies,
    motifs: &[Motif],
    options: &PdfOptions<'_>,
    patterned: bool,
) -> Result<(), PdfError> {
    let pdf = Pdf::new(bytes).map_err(|e| PdfError::Differs(format!("{e:?}")))?;
    let [page] = &pdf.pages()[..] else { return fault(format!("it has {} pages", pdf.pages().len())) };
    let unit: f64 = page.raw().get::<f32>(b"UserUnit").map_or(1.0, f64::from);
    boxes(page.raw(), options, unit)?;
    for object in pdf.objects() {
        if let Object::Stream(stream) = object
            && let Err(e) = unpacked(&stream)
        {
            return fault(format!("a stream can't be unpacked: {e}"));
        }
    }
    if !patterned {
        return placed(page.operations(), page.resources(), copies, motifs);
    }
    let mut fills = page.operations();
    while let Some(step) = fills.next() {
        let Some(Object::Name(name)) = step.operands().last().filter(|_| &**step.operator == b"scn") else { continue };
        let Some(Object::Stream(cell)) = page.resources().get_pattern(name) else {
            return fault("the page's pattern is not there");
        };
        let tile = copies.tile();
        for (key, want) in [(b"XStep", tile.width), (b"YStep", tile.height)] {
            let found = cell.dict().get::<f32>(key).map(f64::from);
            if found != Some(want as f64) {
                return fault(format!("the pattern's step is {found:?}, not {want}"));
            }
        }
        let Ok(data) = cell.decoded() else { return fault("the pattern can't be unpacked") };
        let own = cell.dict().get(b"Resources").map(Resources::new);
        let Some(own) = own else { return fault("the pattern names nothing") };
        return placed(UntypedIter::new(&data), &own, copies, motifs);
    }
    fault("no pattern fills the page")
}

fn boxes(page: &hayro_syntax::object::Dict<'_>, options: &PdfOptions<'_>, unit: f64) -> Result<(), PdfError> {
    let points = |length: Length| length.emu() as f64 / Unit::Pt.emu() as f64 / unit;
    let [width, height] = [options.piece.size.width, options.piece.size.height].map(points);
    let bleed = points(options.bleed);
    let whole = [0.0, 0.0, width + 2.0 * bleed, height + 2.0 * bleed];
    let trim = [bleed, bleed, bleed + width, bleed + height];
    for (name, want) in [("MediaBox", whole), ("BleedBox", whole), ("TrimBox", trim)] {
        let Some(found) = page.get::<Rect>(name.as_bytes()) else { return fault(format!("it has no {name}")) };
        let found = [found.x0, found.y0, found.x1, found.y1];
        if found.iter().zip(want).any(|(found, want)| (found - want).abs() > BOX * whole[2].max(whole[3])) {
            return fault(format!("its {name} is {found:?}, not {want:?}"));
        }
    }
    Ok(())
}

/// Holds each form that is drawn against the copies, in order.
fn placed(
    mut steps: UntypedIter<'_>,
    resources: &Resources<'_>,
    copies: &Copies,
    motifs: &[Motif],
) -> Result<(), PdfError> {
    let inked = |motif: usize| !motifs[motif].ink().is_empty();
    let mut wanted = copies.copies().iter().filter(|copy| inked(copies.marks()[copy.mark].motif));
    let mut names: Vec<Option<Vec<u8>>> = vec![None; motifs.len()];
    let mut matrix = Vec::new();
    while let Some(step) = steps.next() {
        match &**step.operator {
            b"cm" => matrix = step.operands().filter_map(number).collect(),
            b"Do" => {
                let Some(copy) = wanted.next() else { return fault("it holds more copies than planned") };
                let mark = &copies.marks()[copy.mark];
                let want = mark.to_units(&motifs[mark.motif], copy.step).as_coeffs();
                let same = matrix.len() == 6
                    && matrix.iter().zip(want).all(|(a, b)| (a - b).abs() <= PLACE.max(b.abs() * 1e-11));
                if !same {
                    return fault(format!("a copy lies at {matrix:?}, not {want:?}"));
                }
                let Some(Object::Name(name)) = step.operands().next() else { return fault("a copy names no form") };
                if resources.get_x_object(name).is_none() {
                    return fault("a copy's form is not there");
                }
                let known = names[mark.motif].get_or_insert_with(|| name.to_vec());
                if known[..] != name[..] {
                    return fault("a motif is drawn by two forms");
                }
            }
            _ => {}
        }
    }
    match wanted.next() {
        Some(_) => fault("it holds fewer copies than planned"),
        None => Ok(()),
    }
}

pub(in crate::vector) fn number(object: &Object<'_>) -> Option<f64> {
    match object {
        Object::Number(number) => Some(number.as_f64()),
        _ => None,
    }
}

/// A JPEG stays packed in what only looks at structure.
fn unpacked(stream: &Stream<'_>) -> Result<(), String> {
    let filter = stream.dict().get::<Name<'_>>(b"Filter");
    if filter.is_some_and(|name| &*name == b"DCTDecode") {
        return Ok(());
    }
    stream.decoded().map(|_| ()).map_err(|e| format!("{e:?}"))
}
