//! The objects of one PDF: numbered, packed, and those that are alike written once.

use std::cell::Cell;
use std::collections::{BTreeMap, BTreeSet};
use std::io::Write;

use flate2::Compression;
use flate2::write::ZlibEncoder;
use pdf_writer::{Dict, Filter, Finish, Name, Pdf, Rect, Ref, TextStr};

use super::state::State;
use super::stream::{Color, Kind, Stream};
use crate::vector::notes::Notes;
use crate::vector::painter::{MOST_BYTES, MOST_DASHES, MOST_STOPS, Painter};

/// What a group is composited in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Group {
    /// Drawn as if its content stood in its place.
    None,
    /// By itself, in color.
    Color,
    /// By itself, in grey: a mask.
    Grey,
}

/// A file that is being written.
pub(super) struct Book<'a> {
    pub(super) pdf: Pdf,
    pub(super) painter: &'a Painter<'a>,
    pub(super) notes: Notes,
    /// The color space of everything that is no separation.
    pub(super) srgb: Ref,
    /// Flat colors are separations.
    separate: bool,
    /// Bytes written, unpacked, and stops of gradients that may still be.
    pub(super) spent: usize,
    pub(super) stops: usize,
    pub(super) dashes: Cell<f64>,
    next: i32,
    pub(super) states: BTreeMap<State, Ref>,
    inks: BTreeMap<[u8; 3], Ref>,
    /// Pictures by the address of their bytes, which live as long as the motifs.
    pub(super) pictures: BTreeMap<(usize, bool), Option<Ref>>,
    /// Shadings by the address of their gradient, what of it is shown, and how far.
    pub(super) shadings: BTreeMap<(usize, u8, [u64; 2]), Ref>,
}

impl<'a> Book<'a> {
    pub(super) fn new(profile: &[u8], painter: &'a Painter<'a>, separate: bool) -> Book<'a> {
        let mut book = Book {
            pdf: Pdf::new(),
            painter,
            notes: Notes::default(),
            srgb: Ref::new(1),
            separate,
            spent: 0,
            stops: MOST_STOPS,
            dashes: Cell::new(MOST_DASHES),
            next: 1,
            states: BTreeMap::new(),
            inks: BTreeMap::new(),
            pictures: BTreeMap::new(),
            shadings: BTreeMap::new(),
        };
        let (srgb, icc) = (book.id(), book.id());
        book.pdf.color_space(srgb).icc_based(icc);
        book.pdf.icc_profile(icc, &packed(profile)).n(3).filter(Filter::FlateDecode);
        book.srgb = srgb;
        book
    }

    pub(super) fn id(&mut self) -> Ref {
        self.next += 1;
        Ref::new(self.next - 1)
    }

    /// A flat color: an ink of its own if they are asked for.
    pub(super) fn flat(&mut self, rgb: [u8; 3]) -> Color {
        if !self.separate {
            return Color::Three(self.srgb, levels(rgb));
        }
        if let Some(id) = self.inks.get(&rgb) {
            return Color::Ink(*id);
        }
        let id = self.id();
        self.inks.insert(rgb, id);
        let mut ink = self.pdf.color_space(id).separation(Name(hex(rgb).as_bytes()));
        ink.alternate_color_space_ref(self.srgb);
        // No tint is bare paper, a whole one the color.
        let full = levels(rgb).map(|level| level as f32);
        ink.tint_exponential().domain([0.0, 1.0]).range([0.0, 1.0, 0.0, 1.0, 0.0, 1.0]).c0([1.0; 3]).c1(full).n(1.0);
        Color::Ink(id)
    }

    /// The names of the separations, in the order of their colors.
    pub(super) fn inks(&self) -> Vec<String> {
        self.inks.keys().map(|rgb| hex(*rgb)).collect()
    }

    pub(super) fn is_separate(&self) -> bool {
        self.separate
    }

    /// Whether it has more than a file may have.
    pub(super) fn is_full(&self, more: usize) -> bool {
        self.spent + more > MOST_BYTES
    }

    /// A form of what was drawn.
    pub(super) fn form(&mut self, drawn: Stream, bounds: kurbo::Rect, group: Group) -> Ref {
        let id = self.id();
        self.spent += drawn.text.len() + 500;
        let bytes = packed(drawn.text.as_bytes());
        let srgb = self.srgb;
        let mut form = self.pdf.form_xobject(id, &bytes);
        form.bbox(boxed(bounds)).filter(Filter::FlateDecode);
        if group != Group::None {
            let mut dict = form.group();
            dict.transparency().isolated(true).knockout(false);
            match group {
                Group::Grey => dict.pair(Name(b"CS"), Name(b"DeviceGray")),
                _ => dict.pair(Name(b"CS"), srgb),
            };
        }
        resources(form.insert(Name(b"Resources")).dict(), &drawn.uses);
        id
    }

    /// The stream of a page.
    pub(super) fn content(&mut self, id: Ref, drawn: &Stream) {
        self.pdf.stream(id, &packed(drawn.text.as_bytes())).filter(Filter::FlateDecode);
    }

    /// A picture of three bytes a pixel, or one; `mask` is its transparency.
    pub(super) fn picture(&mut self, px: [u32; 2], bytes: &[u8], mask: Option<&[u8]>, smooth: bool) -> Ref {
        let mask = mask.map(|alpha| self.picture(px, alpha, None, smooth));
        let id = self.id();
        let data = packed(bytes);
        let (srgb, grey) = (self.srgb, bytes.len() == px[0] as usize * px[1] as usize);
        let mut image = self.pdf.image_xobject(id, &data);
        let [width, height] = px.map(|n| i32::try_from(n).unwrap_or(i32::MAX));
        image.width(width).height(height).bits_per_component(8).interpolate(smooth).filter(Filter::FlateDecode);
        if grey {
            image.color_space_name(Name(b"DeviceGray"));
        } else {
            image.pair(Name(b"ColorSpace"), srgb);
        }
        if let Some(mask) = mask {
            image.s_mask(mask);
        }
        id
    }

    /// A picture that stays the JPEG that it is: three channels of eight bits.
    pub(super) fn jpeg(&mut self, px: [u32; 2], bytes: &[u8], smooth: bool) -> Ref {
        let id = self.id();
        let srgb = self.srgb;
        let mut image = self.pdf.image_xobject(id, bytes);
        let [width, height] = px.map(|n| i32::try_from(n).unwrap_or(i32::MAX));
        image.width(width).height(height).bits_per_component(8).interpolate(smooth).filter(Filter::DctDecode);
        image.pair(Name(b"ColorSpace"), srgb);
        id
    }

    /// The file, its first page drawn so; `boxes` are media, bleed and trim.
    pub(super) fn finish(mut self, title: &str, boxes: [kurbo::Rect; 3], unit: f64, page: &Stream) -> (Vec<u8>, Notes) {
        let [catalog, pages, leaf, content, info] = [(); 5].map(|()| self.id());
        self.pdf.catalog(catalog).pages(pages);
        self.pdf.pages(pages).kids([leaf]).count(1);
        let srgb = self.srgb;
        let mut dict = self.pdf.page(leaf);
        let [media, bleed, trim] = boxes.map(page_box);
        dict.parent(pages).media_box(media).bleed_box(bleed).trim_box(trim).contents(content);
        if unit > 1.0 {
            dict.user_unit(unit as f32);
        }
        // Layers are laid over one another in the colors that SVG lays them in.
        dict.group().transparency().pair(Name(b"CS"), srgb);
        resources(dict.insert(Name(b"Resources")).dict(), &page.uses);
        dict.finish();
        self.content(content, page);
        self.pdf.document_info(info).title(TextStr(title));
        (self.pdf.finish(), self.notes)
    }
}

/// What a stream names.
pub(super) fn resources(mut dict: Dict<'_>, uses: &BTreeSet<(Kind, i32)>) {
    for kind in Kind::ALL {
        let mut names = uses.iter().filter(|(of, _)| *of == kind).peekable();
        if names.peek().is_none() {
            continue;
        }
        let mut list = dict.insert(Name(kind.dictionary())).dict();
        for (_, id) in names {
            list.pair(Name(format!("{}{id}", kind.letter()).as_bytes()), Ref::new(*id));
        }
    }
}

pub(super) fn boxed(r: kurbo::Rect) -> Rect {
    Rect::new(r.x0 as f32, r.y0 as f32, r.x1 as f32, r.y1 as f32)
}

/// A page's box. Its far sides are the numbers just below: a reader that rounds up to whole pixels would add one for
/// the least number above.
fn page_box(r: kurbo::Rect) -> Rect {
    let below = |n: f64| {
        let near = n as f32;
        if f64::from(near) > n { f32::from_bits(near.to_bits() - 1) } else { near }
    };
    Rect::new(r.x0 as f32, r.y0 as f32, below(r.x1), below(r.y1))
}

fn levels(rgb: [u8; 3]) -> [f64; 3] {
    rgb.map(|level| f64::from(level) / 255.0)
}

/// The name of a color's ink: its hex digits. No number sign, which PDF escapes in names and some tools (qpdf 11.3)
/// write back unescaped.
fn hex([r, g, b]: [u8; 3]) -> String {
    format!("{r:02x}{g:02x}{b:02x}")
}

/// Zlib, as FlateDecode wants it; writing to memory does not fail.
pub(in crate::vector) fn packed(bytes: &[u8]) -> Vec<u8> {
    let mut encoder = ZlibEncoder::new(Vec::new(), Compression::new(6));
    let _ = encoder.write_all(bytes);
    encoder.finish().unwrap_or_default()
}
