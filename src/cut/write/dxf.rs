//! DXF: millimetres, y up, a layer for each layer.
//!
//! AC1015 has a spline for each contour with curves: cubic, every Bézier curve a stretch between threefold knots, so
//! nothing is approximated. AC1009 (R12), on request, has polylines only.
//! Group codes from the DXF reference; files are held against ezdxf's audit (`tests/outside/test_cut.py`).

use std::fmt::{Display, Write};

use kurbo::{BezPath, PathEl, PathSeg, Point};

use super::super::job::{CutLayer, CutSheet};
use super::super::names::apart;
use super::{MM, color, corners, mm};

/// Chords lie this far off at most, in mm.
const EXACT: f64 = 0.002;

/// Pairs of group code and value, and the next free handle.
struct Out {
    text: String,
    handle: u32,
    height: f64,
}

impl Out {
    fn put(&mut self, code: u16, value: impl Display) {
        let _ = writeln!(self.text, "{code}\n{value}");
    }

    fn all(&mut self, pairs: &[(u16, &str)]) {
        pairs.iter().for_each(|(code, value)| self.put(*code, value));
    }

    /// The next handle, in hex.
    fn next(&mut self) -> String {
        self.handle += 1;
        format!("{:X}", self.handle)
    }

    fn point(&mut self, p: Point) {
        let (x, y) = (p.x / MM, self.height - p.y / MM);
        self.put(10, super::number(x));
        self.put(20, super::number(y));
    }
}

/// Handles of what every file has.
const MODEL: &str = "1F";
const PAPER: &str = "1B";

pub(super) fn write(sheet: &CutSheet) -> String {
    let [width, height] = mm(sheet);
    let mut out = Out { text: String::new(), handle: 0xFF, height };
    let names = names(sheet);
    let mut body = Out { text: String::new(), handle: 0x1000, height };
    for (layer, name) in sheet.layers.iter().zip(&names) {
        for path in &layer.paths {
            entity(&mut body, name, &path.path, path.closed);
        }
    }
    out.all(&[(0, "SECTION"), (2, "HEADER"), (9, "$ACADVER"), (1, "AC1015"), (9, "$HANDSEED")]);
    out.put(5, format!("{:X}", body.handle + 1));
    out.all(&[(9, "$INSUNITS"), (70, "4"), (9, "$MEASUREMENT"), (70, "1")]);
    extents(&mut out, [width, height]);
    out.all(&[(0, "ENDSEC"), (0, "SECTION"), (2, "TABLES")]);
    tables(&mut out, sheet, &names);
    out.all(&[(0, "ENDSEC"), (0, "SECTION"), (2, "BLOCKS")]);
    for (name, record) in [("*Model_Space", MODEL), ("*Paper_Space", PAPER)] {
        let [begin, end] = [out.next(), out.next()];
        out.all(&[(0, "BLOCK"), (5, &begin), (330, record), (100, "AcDbEntity"), (8, "0"), (100, "AcDbBlockBegin")]);
        out.all(&[(2, name), (70, "0"), (10, "0"), (20, "0"), (30, "0"), (3, name), (1, "")]);
        out.all(&[(0, "ENDBLK"), (5, &end), (330, record), (100, "AcDbEntity"), (8, "0"), (100, "AcDbBlockEnd")]);
    }
    out.all(&[(0, "ENDSEC"), (0, "SECTION"), (2, "ENTITIES")]);
    out.text.push_str(&body.text);
    out.all(&[(0, "ENDSEC"), (0, "SECTION"), (2, "OBJECTS")]);
    out.all(&[
        (0, "DICTIONARY"),
        (5, "C"),
        (330, "0"),
        (100, "AcDbDictionary"),
        (281, "1"),
        (3, "ACAD_GROUP"),
        (350, "D"),
    ]);
    out.all(&[(0, "DICTIONARY"), (5, "D"), (330, "C"), (100, "AcDbDictionary"), (281, "1")]);
    out.all(&[(0, "ENDSEC"), (0, "EOF")]);
    out.text
}

fn extents(out: &mut Out, [width, height]: [f64; 2]) {
    out.all(&[(9, "$EXTMIN"), (10, "0"), (20, "0"), (30, "0"), (9, "$EXTMAX")]);
    out.put(10, super::number(width));
    out.put(20, super::number(height));
    out.put(30, 0);
}

fn tables(out: &mut Out, sheet: &CutSheet, names: &[String]) {
    let table = |out: &mut Out, name: &str, handle: &str, count: usize| {
        out.all(&[(0, "TABLE"), (2, name), (5, handle), (330, "0"), (100, "AcDbSymbolTable")]);
        out.put(70, count);
    };
    let record = |out: &mut Out, kind: &str, code: u16, handle: &str, table: &str, class: &str, name: &str| {
        out.put(0, kind);
        out.put(code, handle);
        out.all(&[(330, table), (100, "AcDbSymbolTableRecord"), (100, class), (2, name)]);
    };
    table(out, "VPORT", "8", 1);
    let handle = out.next();
    record(out, "VPORT", 5, &handle, "8", "AcDbViewportTableRecord", "*Active");
    let [w, h] = mm(sheet).map(|side| super::number(side / 2.0));
    let tall = super::number(mm(sheet)[1]);
    out.all(&[(70, "0"), (10, "0"), (20, "0"), (11, "1"), (21, "1"), (12, &w), (22, &h), (13, "0"), (23, "0")]);
    out.all(&[(14, "10"), (24, "10"), (15, "10"), (25, "10"), (16, "0"), (26, "0"), (36, "1")]);
    out.all(&[(17, "0"), (27, "0"), (37, "0"), (40, &tall), (41, "1"), (42, "50"), (43, "0"), (44, "0"), (50, "0")]);
    out.all(&[(51, "0"), (71, "0"), (72, "100"), (73, "1"), (74, "3"), (75, "0"), (76, "0"), (77, "0"), (78, "0")]);
    out.put(0, "ENDTAB");
    table(out, "LTYPE", "5", 3);
    for (handle, name, words) in [("14", "ByBlock", ""), ("15", "ByLayer", ""), ("16", "Continuous", "Solid line")] {
        record(out, "LTYPE", 5, handle, "5", "AcDbLinetypeTableRecord", name);
        out.all(&[(70, "0"), (3, words), (72, "65"), (73, "0"), (40, "0")]);
    }
    out.put(0, "ENDTAB");
    table(out, "LAYER", "2", names.len() + 1);
    record(out, "LAYER", 5, "10", "2", "AcDbLayerTableRecord", "0");
    out.all(&[(70, "0"), (62, "7"), (6, "Continuous"), (390, "F")]);
    for (layer, name) in sheet.layers.iter().zip(names) {
        let handle = out.next();
        record(out, "LAYER", 5, &handle, "2", "AcDbLayerTableRecord", name);
        out.put(70, 0);
        out.put(62, index(layer));
        out.all(&[(6, "Continuous"), (390, "F")]);
    }
    out.put(0, "ENDTAB");
    table(out, "STYLE", "3", 1);
    record(out, "STYLE", 5, "11", "3", "AcDbTextStyleTableRecord", "Standard");
    out.all(&[(70, "0"), (40, "0"), (41, "1"), (50, "0"), (71, "0"), (42, "2.5"), (3, "txt"), (4, "")]);
    out.put(0, "ENDTAB");
    for (name, handle) in [("VIEW", "6"), ("UCS", "7")] {
        table(out, name, handle, 0);
        out.put(0, "ENDTAB");
    }
    table(out, "APPID", "9", 1);
    record(out, "APPID", 5, "12", "9", "AcDbRegAppTableRecord", "ACAD");
    out.all(&[(70, "0"), (0, "ENDTAB")]);
    table(out, "DIMSTYLE", "A", 1);
    out.put(100, "AcDbDimStyleTable");
    record(out, "DIMSTYLE", 105, "27", "A", "AcDbDimStyleTableRecord", "Standard");
    out.all(&[(70, "0"), (0, "ENDTAB")]);
    table(out, "BLOCK_RECORD", "1", 2);
    for (name, handle) in [("*Model_Space", MODEL), ("*Paper_Space", PAPER)] {
        record(out, "BLOCK_RECORD", 5, handle, "1", "AcDbBlockTableRecord", name);
    }
    out.put(0, "ENDTAB");
}

fn entity(out: &mut Out, layer: &str, path: &BezPath, closed: bool) {
    let handle = out.next();
    let curved = path.elements().iter().any(|e| matches!(e, PathEl::CurveTo(..) | PathEl::QuadTo(..)));
    let head = |out: &mut Out, kind: &str, class: &str| {
        out.all(&[(0, kind), (5, &handle), (330, MODEL), (100, "AcDbEntity"), (8, layer), (100, class)]);
    };
    if !curved {
        let mut places: Vec<Point> = corners(path, EXACT).into_iter().flatten().collect();
        if closed && places.len() > 1 && places.first() == places.last() {
            places.pop();
        }
        head(out, "LWPOLYLINE", "AcDbPolyline");
        out.put(90, places.len());
        out.put(70, u8::from(closed));
        places.into_iter().for_each(|p| out.point(Point::new(p.x * MM, p.y * MM)));
        return;
    }
    let segments: Vec<PathSeg> = path.segments().collect();
    head(out, "SPLINE", "AcDbSpline");
    // Planar. It ends where it begins, which says that it is closed without asking a reader to wrap it.
    out.all(&[(210, "0"), (220, "0"), (230, "1"), (70, "8"), (71, "3")]);
    out.put(72, 3 * segments.len() + 5);
    out.put(73, 3 * segments.len() + 1);
    out.put(74, 0);
    for (knot, times) in (0..=segments.len()).map(|n| (n, if n == 0 || n == segments.len() { 4 } else { 3 })) {
        (0..times).for_each(|_| out.put(40, knot));
    }
    for (index, segment) in segments.iter().enumerate() {
        let cubic = segment.to_cubic();
        for p in [cubic.p0, cubic.p1, cubic.p2, cubic.p3].into_iter().skip(usize::from(index > 0)) {
            out.point(p);
            out.put(30, 0);
        }
    }
}

pub(super) fn write_r12(sheet: &CutSheet) -> String {
    let [width, height] = mm(sheet);
    let mut out = Out { text: String::new(), handle: 0, height };
    let names = names(sheet);
    out.all(&[(0, "SECTION"), (2, "HEADER"), (9, "$ACADVER"), (1, "AC1009")]);
    extents(&mut out, [width, height]);
    out.all(&[(0, "ENDSEC"), (0, "SECTION"), (2, "TABLES")]);
    out.all(&[(0, "TABLE"), (2, "LTYPE"), (70, "1"), (0, "LTYPE"), (2, "CONTINUOUS"), (70, "0"), (3, "Solid line")]);
    out.all(&[(72, "65"), (73, "0"), (40, "0"), (0, "ENDTAB"), (0, "TABLE"), (2, "LAYER")]);
    out.put(70, names.len());
    for (layer, name) in sheet.layers.iter().zip(&names) {
        out.all(&[(0, "LAYER"), (2, name), (70, "0")]);
        out.put(62, index(layer));
        out.put(6, "CONTINUOUS");
    }
    out.all(&[(0, "ENDTAB"), (0, "ENDSEC"), (0, "SECTION"), (2, "ENTITIES")]);
    for (layer, name) in sheet.layers.iter().zip(&names) {
        for path in &layer.paths {
            for mut contour in corners(&path.path, EXACT) {
                if path.closed && contour.len() > 1 && contour.first() == contour.last() {
                    contour.pop();
                }
                out.all(&[(0, "POLYLINE"), (8, name), (66, "1"), (10, "0"), (20, "0"), (30, "0")]);
                out.put(70, u8::from(path.closed));
                for p in contour {
                    out.all(&[(0, "VERTEX"), (8, name)]);
                    out.point(Point::new(p.x * MM, p.y * MM));
                    out.put(30, 0);
                }
                out.all(&[(0, "SEQEND"), (8, name)]);
            }
        }
    }
    out.all(&[(0, "ENDSEC"), (0, "EOF")]);
    out.text
}

/// Layers' names as every reader takes them: capitals, digits, - and _; none twice.
fn names(sheet: &CutSheet) -> Vec<String> {
    let plain = |c: char| if c.is_ascii_alphanumeric() || c == '_' { c.to_ascii_uppercase() } else { '-' };
    let names = sheet.layers.iter().map(|layer| layer.name.chars().take(28).map(plain).collect());
    apart(names, |name, number| format!("{name}_{number}"))
}

/// The nearest of the six pure colors that every reader numbers alike, or 7, black on white.
fn index(layer: &CutLayer) -> u8 {
    const COLORS: [[i32; 3]; 7] =
        [[255, 0, 0], [255, 255, 0], [0, 255, 0], [0, 255, 255], [0, 0, 255], [255, 0, 255], [0, 0, 0]];
    let rgb = color(layer).map(i32::from);
    let off = |c: &[i32; 3]| (0..3).map(|i| (c[i] - rgb[i]).pow(2)).sum::<i32>();
    let nearest = COLORS.iter().enumerate().min_by_key(|(_, c)| off(c)).map_or(6, |(i, _)| i);
    u8::try_from(nearest + 1).unwrap_or(7)
}
