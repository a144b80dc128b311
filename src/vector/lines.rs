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

/// The boxes around all points of each path of such a page, in mm, y up, in the order in which they are drawn; `None` if
/// it can't be read, by a reader of other people's making, or is not `size` mm large.
pub fn read_lines(bytes: Vec<u8>, size: [f64; 2]) -> Option<Vec<kurbo::Rect>> {
    let pdf = hayro_syntax::Pdf::new(bytes).ok()?;
    let [page] = &pdf.pages()[..] else { return None };
    let trim = page.raw().get::<hayro_syntax::object::Rect>(b"TrimBox".as_slice())?;
    let sides = [trim.x1 - trim.x0, trim.y1 - trim.y0].map(|points| points / POINTS);
    if sides.iter().zip(size).any(|(side, want)| (side - want).abs() > 1e-6 * want.max(1.0)) {
        return None;
    }
    let mut found: Vec<kurbo::Rect> = Vec::new();
    let mut steps = page.operations();
    while let Some(step) = steps.next() {
        let numbers: Vec<f64> = step.operands().filter_map(super::pdf::number_of).collect();
        let mut places = numbers.chunks_exact(2).map(|pair| kurbo::Point::new(pair[0] / POINTS, pair[1] / POINTS));
        match &**step.operator {
            b"m" => found.extend(places.next().map(|p| kurbo::Rect::from_points(p, p))),
            b"l" | b"c" => {
                let last = found.last_mut()?;
                places.for_each(|p| *last = last.union_pt(p));
            }
            _ => {}
        }
    }
    Some(found)
}
