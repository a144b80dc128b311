//! A sheet of paper at true size, as PDF (ISO 32000-1): one picture, and a drawing over it.
//!
//! Pixels are stored as they are, in sRGB, and viewers are told not to smooth them. Words are
//! outlines already, so no font is needed.

use std::io::Write;

use flate2::Compression;
use flate2::write::ZlibEncoder;
use pdf_writer::types::{LineCapStyle, LineJoinStyle};
use pdf_writer::{Content, Filter, Finish, Name, Pdf, Rect, Ref, TextStr};
use usvg::tiny_skia_path::{PathSegment, Transform};
use usvg::{Group, Node, Paint};

use crate::artwork::Motif;

/// Points in a CSS pixel: 72 to 96 an inch.
const POINTS: f32 = 0.75;
const MM: f64 = 72.0 / 25.4;

/// A picture on a sheet.
#[derive(Debug)]
pub struct PaperPicture<'a> {
    /// Pixels across and down.
    pub px: [u32; 2],
    /// Three bytes each.
    pub rgb: &'a [u8],
    /// The ICC profile of its colors.
    pub profile: &'a [u8],
    /// Its left upper corner on the sheet, in mm from the sheet's.
    pub at: [f64; 2],
    /// Its true size in mm.
    pub size: [f64; 2],
}

/// Writes a sheet of `size` mm: the picture, and over it the drawing, whose page is the sheet.
/// Drawings of plain color are drawn: fills, and strokes without dashes.
pub fn paper(title: &str, size: [f64; 2], picture: &PaperPicture<'_>, drawing: &Motif) -> Vec<u8> {
    let [catalog, pages, page, content, image, icc, info] = [1, 2, 3, 4, 5, 6, 7].map(Ref::new);
    let [width, height] = size.map(|mm| (mm * MM) as f32);
    let mut pdf = Pdf::new();
    pdf.catalog(catalog).pages(pages);
    pdf.pages(pages).kids([page]).count(1);
    let mut sheet = pdf.page(page);
    let whole = Rect::new(0.0, 0.0, width, height);
    sheet.parent(pages).media_box(whole).trim_box(whole).contents(content);
    let mut resources = sheet.resources();
    resources.x_objects().pair(Name(b"Cloth"), image);
    resources.color_spaces().insert(Name(b"sRGB")).start::<pdf_writer::writers::ColorSpace>().icc_based(icc);
    resources.finish();
    sheet.finish();
    let mut body = Content::new();
    body.save_state();
    // A picture fills the unit square, y up.
    let [w, h] = picture.size.map(|mm| (mm * MM) as f32);
    let [x, y] = picture.at.map(|mm| (mm * MM) as f32);
    body.transform([w, 0.0, 0.0, h, x, height - y - h]).x_object(Name(b"Cloth")).restore_state();
    body.set_fill_color_space(pdf_writer::types::ColorSpaceOperand::Named(Name(b"sRGB")));
    body.set_stroke_color_space(pdf_writer::types::ColorSpaceOperand::Named(Name(b"sRGB")));
    body.transform([POINTS, 0.0, 0.0, -POINTS, 0.0, height]);
    group(&mut body, drawing.tree().root());
    pdf.stream(content, &packed(&body.finish())).filter(Filter::FlateDecode);
    let pixels = packed(picture.rgb);
    let mut stored = pdf.image_xobject(image, &pixels);
    stored.filter(Filter::FlateDecode);
    let [across, down] = picture.px.map(|n| i32::try_from(n).unwrap_or(i32::MAX));
    stored.width(across).height(down).bits_per_component(8).interpolate(false);
    stored.color_space().icc_based(icc);
    stored.finish();
    let profile = packed(picture.profile);
    pdf.icc_profile(icc, &profile).n(3).filter(Filter::FlateDecode);
    pdf.document_info(info).title(TextStr(title));
    pdf.finish()
}

/// Zlib, as FlateDecode wants it; writing to memory does not fail.
pub(super) fn packed(bytes: &[u8]) -> Vec<u8> {
    let mut encoder = ZlibEncoder::new(Vec::new(), Compression::new(6));
    let _ = encoder.write_all(bytes);
    encoder.finish().unwrap_or_default()
}

fn group(body: &mut Content, group_of: &Group) {
    for node in group_of.children() {
        match node {
            Node::Group(inner) => group(body, inner),
            Node::Text(text) => group(body, text.flattened()),
            Node::Path(path) => {
                let outline = |body: &mut Content| segments(body, path.data().segments(), path.abs_transform());
                if let Some((fill, color)) = path.fill().and_then(|fill| Some((fill, plain(fill.paint())?))) {
                    body.set_fill_color(color);
                    outline(body);
                    match fill.rule() {
                        usvg::FillRule::NonZero => body.fill_nonzero(),
                        usvg::FillRule::EvenOdd => body.fill_even_odd(),
                    };
                }
                if let Some((stroke, color)) = path.stroke().and_then(|stroke| Some((stroke, plain(stroke.paint())?))) {
                    let t = path.abs_transform();
                    let scale = (t.sx * t.sy - t.kx * t.ky).abs().sqrt();
                    body.set_stroke_color(color).set_line_width(stroke.width().get() * scale);
                    body.set_line_cap(LineCapStyle::ButtCap).set_line_join(LineJoinStyle::MiterJoin);
                    outline(body);
                    body.stroke();
                }
            }
            Node::Image(_) => {}
        }
    }
}

/// The color of a plain paint, 0 to 1.
fn plain(paint: &Paint) -> Option<[f32; 3]> {
    match paint {
        Paint::Color(c) => Some([c.red, c.green, c.blue].map(|level| f32::from(level) / 255.0)),
        _ => None,
    }
}

fn segments(body: &mut Content, path: impl Iterator<Item = PathSegment>, transform: Transform) {
    let map = |p: usvg::tiny_skia_path::Point| {
        let mut p = p;
        transform.map_point(&mut p);
        p
    };
    let mut last = usvg::tiny_skia_path::Point::zero();
    for segment in path {
        match segment {
            PathSegment::MoveTo(p) => {
                last = map(p);
                body.move_to(last.x, last.y);
            }
            PathSegment::LineTo(p) => {
                last = map(p);
                body.line_to(last.x, last.y);
            }
            PathSegment::QuadTo(c, p) => {
                // The cubic that is the same curve.
                let (c, p) = (map(c), map(p));
                let third = |a: f32, b: f32| a + (b - a) * 2.0 / 3.0;
                body.cubic_to(third(last.x, c.x), third(last.y, c.y), third(p.x, c.x), third(p.y, c.y), p.x, p.y);
                last = p;
            }
            PathSegment::CubicTo(a, b, p) => {
                let (a, b, p) = (map(a), map(b), map(p));
                body.cubic_to(a.x, a.y, b.x, b.y, p.x, p.y);
                last = p;
            }
            PathSegment::Close => {
                body.close_path();
            }
        }
    }
}
