//! Hairlines at true size as PDF (ISO 32000-1), each layer's in its color and one after another.

use kurbo::{BezPath, PathEl};
use pdf_writer::{Content, Filter, Finish, Pdf, Rect, Ref, TextStr};

/// Points in a millimetre.
const POINTS: f64 = 72.0 / 25.4;
/// The width of a line, in points.
const HAIRLINE: f32 = 0.01;

/// Writes one page of `size` mm. A layer is its name, its color and its paths in mm, y down.
pub fn lines(title: &str, size: [f64; 2], layers: &[(String, [u8; 3], Vec<BezPath>)]) -> Vec<u8> {
    let [catalog, pages, page, content, info] = [1, 2, 3, 4, 5].map(Ref::new);
    let [width, height] = size.map(|mm| (mm * POINTS) as f32);
    let mut pdf = Pdf::new();
    pdf.catalog(catalog).pages(pages);
    pdf.pages(pages).kids([page]).count(1);
    let whole = Rect::new(0.0, 0.0, width, height);
    let mut sheet = pdf.page(page);
    sheet.parent(pages).media_box(whole).trim_box(whole).contents(content);
    sheet.resources();
    sheet.finish();
    let mut body = Content::new();
    body.set_line_width(HAIRLINE);
    for (_, color, paths) in layers {
        let [r, g, b] = color.map(|level| f32::from(level) / 255.0);
        body.set_stroke_rgb(r, g, b);
        for path in paths {
            draw(&mut body, path, size[1]);
            body.stroke();
        }
    }
    pdf.stream(content, &super::pdf::packed(&body.finish())).filter(Filter::FlateDecode);
    pdf.document_info(info).title(TextStr(title));
    pdf.finish()
}

fn draw(body: &mut Content, path: &BezPath, height: f64) {
    let at = |p: kurbo::Point| ((p.x * POINTS) as f32, ((height - p.y) * POINTS) as f32);
    let mut last = kurbo::Point::ZERO;
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(p) => {
                let (x, y) = at(p);
                body.move_to(x, y);
            }
            PathEl::LineTo(p) => {
                let (x, y) = at(p);
                body.line_to(x, y);
            }
            PathEl::QuadTo(a, p) => {
                let cubic = kurbo::QuadBez::new(last, a, p).raise();
                let [(ax, ay), (bx, by), (x, y)] = [cubic.p1, cubic.p2, p].map(at);
                body.cubic_to(ax, ay, bx, by, x, y);
            }
            PathEl::CurveTo(a, b, p) => {
                let [(ax, ay), (bx, by), (x, y)] = [a, b, p].map(at);
                body.cubic_to(ax, ay, bx, by, x, y);
            }
            PathEl::ClosePath => {
                body.close_path();
            }
        }
        last = element.end_point().unwrap_or(last);
    }
}
