//! A page of true size: the tile with its bleed, a piece of goods, or a page filled by a pattern.
//!
//! ```text
//!   ┌─────────────────┐ MediaBox = BleedBox
//!   │  ┌───────────┐  │
//!   │  │  TrimBox  │  │   what lies between is the neighbors' copies
//!   │  └───────────┘  │
//!   └─────────────────┘
//! ```
//!
//! A unit of PDF is a point, y up. A page starts with one transform to the plan's units, y down; in these every
//! place is an exact decimal. Where a page is longer than 14 400 points, the most that ISO 32000-1 (Annex C)
//! advises, a unit is a whole number of points.

use kurbo::{Affine, Rect};
use pdf_writer::types::{PaintType, TilingType};
use pdf_writer::{Filter, Finish, Name, Ref};

use super::book::{Book, boxed, packed, resources};
use super::readback::PdfError;
use super::stream::{Color, Stream, Use};
use super::walk::{Tone, Walk};
use crate::artwork::{Motif, stretch};
use crate::length::{Length, Unit};
use crate::vector::notes::Note;
use crate::vector::painter::{MOST_BYTES, MOST_PIXELS, Painter};
use crate::vector::paper::PaperPicture;
use crate::vector::sheet::Piece;
use crate::wrap::Copies;

/// The longest side that a reader must take.
const LONGEST: f64 = 14_400.0;

/// How a PDF is written.
#[derive(Clone, Copy, Debug)]
pub struct PdfOptions<'a> {
    /// What the page shows.
    pub piece: Piece,
    /// How much of the neighbors is shown around it.
    pub bleed: Length,
    /// Each flat color is a separation of its own.
    pub separate: bool,
    /// Pixels an inch of what must be painted; the plan's own.
    pub dpi: f64,
    /// The ICC profile of all colors.
    pub profile: &'a [u8],
}

/// A PDF, and what is to be said of it.
#[derive(Clone, Debug)]
pub struct PdfFile {
    /// The file.
    pub bytes: Vec<u8>,
    /// What is no curve or flat color in it.
    pub notes: Vec<Note>,
    /// The names of its separations.
    pub inks: Vec<String>,
}

/// One page with every copy laid by itself.
///
/// # Errors
/// A drawing that is too much for a file.
pub fn pdf(
    copies: &Copies,
    motifs: &[Motif],
    name: &str,
    options: &PdfOptions<'_>,
    painter: &Painter<'_>,
) -> Result<PdfFile, PdfError> {
    let (mut book, forms, page) = begun(copies, motifs, options, painter)?;
    let mut out = Stream::new();
    out.transform(page.to_points);
    out.rect(page.seen);
    out.op("W n");
    lay(&mut book, copies, motifs, &forms, page.seen, &mut out);
    Ok(finished(book, name, &page, &out))
}

/// One page filled by a pattern whose cell is the tile.
///
/// # Errors
/// As [`pdf`].
pub fn pattern_pdf(
    copies: &Copies,
    motifs: &[Motif],
    name: &str,
    options: &PdfOptions<'_>,
    painter: &Painter<'_>,
) -> Result<PdfFile, PdfError> {
    let (mut book, forms, page) = begun(copies, motifs, options, painter)?;
    let tile = [0.0, 0.0, copies.tile().width as f64, copies.tile().height as f64];
    let mut cell = Stream::new();
    lay(&mut book, copies, motifs, &forms, tile, &mut cell);
    let id = book.id();
    let bytes = packed(cell.text.as_bytes());
    let mut pattern = book.pdf.tiling_pattern(id, &bytes);
    pattern.paint_type(PaintType::Colored).tiling_type(TilingType::ConstantSpacing).filter(Filter::FlateDecode);
    let [_, _, width, height] = tile;
    pattern.bbox(boxed(Rect::new(0.0, 0.0, width, height))).x_step(width as f32).y_step(height as f32);
    // A pattern lies in the page's own space, whatever was transformed since.
    pattern.matrix(page.to_points.as_coeffs().map(|n| n as f32));
    resources(pattern.insert(Name(b"Resources")).dict(), &cell.uses);
    pattern.finish();
    let mut out = Stream::new();
    out.color(Use::Fill, Color::Pattern(id));
    let [media, ..] = page.boxes;
    out.rect([media.x0, media.y0, media.x1, media.y1]);
    out.op("f");
    Ok(finished(book, name, &page, &out))
}

/// A book with each motif in it, and where its page lies.
fn begun<'a>(
    copies: &Copies,
    motifs: &[Motif],
    options: &PdfOptions<'_>,
    painter: &'a Painter<'_>,
) -> Result<(Book<'a>, Vec<Option<Ref>>, Page), PdfError> {
    let mut book = Book::new(options.profile, painter, options.separate);
    let forms = forms(&mut book, copies, motifs, options.dpi)?;
    Ok((book, forms, Page::new(options)))
}

fn finished(book: Book<'_>, name: &str, page: &Page, out: &Stream) -> PdfFile {
    let inks = book.inks();
    let (bytes, notes) = book.finish(name, page.boxes, page.unit, out);
    PdfFile { bytes, notes: notes.all(), inks }
}

/// Where everything lies on the page.
struct Page {
    /// Media, bleed and trim.
    boxes: [Rect; 3],
    /// Points in a unit.
    unit: f64,
    /// From units of the plan.
    to_points: Affine,
    /// What is seen, in units of the plan: left, top, right, bottom.
    seen: [f64; 4],
}

impl Page {
    fn new(options: &PdfOptions<'_>) -> Page {
        let PdfOptions { piece, bleed, .. } = *options;
        let points = |length: Length| length.emu() as f64 / Unit::Pt.emu() as f64;
        let [width, height, around] = [piece.size.width, piece.size.height, bleed].map(points);
        let unit = ((width.max(height) + 2.0 * around) / LONGEST).ceil().max(1.0);
        let [width, height, around] = [width / unit, height / unit, around / unit];
        let media = Rect::new(0.0, 0.0, width + 2.0 * around, height + 2.0 * around);
        let trim = Rect::new(around, around, around + width, around + height);
        let [x, y] = [width / piece.units[0], height / piece.units[1]];
        let to_points = Affine::new([x, 0.0, 0.0, -y, around, around + height]);
        let [across, down] = piece.bleed(bleed);
        let seen = [-across, -down, piece.units[0] + across, piece.units[1] + down];
        Page { boxes: [media, media, trim], unit, to_points, seen }
    }
}

/// Each motif that is placed, drawn once.
fn forms(book: &mut Book<'_>, copies: &Copies, motifs: &[Motif], dpi: f64) -> Result<Vec<Option<Ref>>, PdfError> {
    let mut left = MOST_PIXELS;
    let mut form = |(index, motif): (usize, &Motif)| {
        // Painted parts are as fine as where the motif is largest, and lie on pixels as there.
        let placed = copies.marks().iter().filter(|mark| mark.motif == index).map(|mark| {
            let ([xx, yx, xy, yy], [x, y]) = (mark.linear, mark.at.units());
            Affine::translate((x, y)) * Affine::new([xx, yx, xy, yy, 0.0, 0.0]) * Affine::translate(-motif.middle())
        });
        let size = |to: &Affine| stretch(*to)[0];
        let largest = placed.reduce(|most, to| if size(&to) > size(&most) { to } else { most });
        let Some(to_pixels) = largest else { return Ok(None) };
        let to_tree = Affine::IDENTITY;
        let book = &mut *book;
        let walk = Walk { book, motif: motif.name(), tone: Tone::Color, to_pixels, dpi, left: &mut left, to_tree };
        let form = walk.motif(motif);
        if book.is_full(0) {
            return Err(PdfError::TooLarge { motif: motif.name().into(), most: MOST_BYTES >> 20 });
        }
        Ok(form)
    };
    motifs.iter().enumerate().map(&mut form).collect()
}

/// Ground and copies, in units of the plan.
fn lay(
    book: &mut Book<'_>,
    copies: &Copies,
    motifs: &[Motif],
    forms: &[Option<Ref>],
    seen: [f64; 4],
    out: &mut Stream,
) {
    if let Some(ground) = copies.ground() {
        let color = book.flat(ground);
        out.color(Use::Fill, color);
        out.rect(seen);
        out.op("f");
    }
    for copy in copies.copies() {
        let mark = &copies.marks()[copy.mark];
        let Some(form) = forms[mark.motif] else { continue };
        out.save();
        out.transform(mark.to_units(&motifs[mark.motif], copy.step));
        out.draw(form);
        out.restore();
    }
}

/// Points in a millimetre.
const MM: f64 = 72.0 / 25.4;

/// A sheet with one picture and a drawing over it; see [`paper`](crate::vector::paper).
pub(in crate::vector) fn sheet(title: &str, size: [f64; 2], picture: &PaperPicture<'_>, drawing: &Motif) -> Vec<u8> {
    let mut book = Book::new(picture.profile, &|_, _, _, _| None, false);
    let [width, height] = size.map(|mm| mm * MM);
    let image = book.picture(picture.px, picture.rgb, None, false);
    let (mut left, px) = (0.0, drawing.page_px());
    let walk = Walk {
        book: &mut book,
        motif: drawing.name(),
        tone: Tone::Color,
        to_pixels: Affine::IDENTITY,
        dpi: 96.0,
        left: &mut left,
        to_tree: Affine::IDENTITY,
    };
    let form = walk.motif(drawing);
    let mut out = Stream::new();
    // Millimetres, y down, as the picture's place is given in.
    out.transform(Affine::new([MM, 0.0, 0.0, -MM, 0.0, height]));
    out.save();
    let ([x, y], [w, h]) = (picture.at, picture.size);
    out.transform(Affine::new([w, 0.0, 0.0, -h, x, y + h]));
    out.draw(image);
    out.restore();
    if let Some(form) = form {
        out.transform(Affine::scale_non_uniform(size[0] / px.width, size[1] / px.height));
        out.draw(form);
    }
    book.finish(title, [Rect::new(0.0, 0.0, width, height); 3], 1.0, &out).0
}
