//! A written file, read again by readers of the plainest making: every path is there, where it was planned.

use kurbo::{BezPath, Point, Rect};

use super::super::job::CutSheet;
use super::{CutFile, MM, corners, mm};

/// What a written cut turned out not to be.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("the cut does not read back as it was planned: {0}")]
pub struct CutFileError(String);

/// Numbers may be rounded by this much, in mm: a plotter's unit, and of all else a ten-thousandth.
fn rounding(kind: CutFile) -> f64 {
    match kind {
        CutFile::Hpgl => 0.025,
        // 32 bits, at 5 m.
        CutFile::Pdf => 0.001,
        CutFile::DxfR12 => 0.01,
        _ => 0.0001,
    }
}

/// Chords are this exact, in mm.
const EXACT: f64 = 0.005;

fn in_mm(r: Rect) -> Rect {
    Rect::new(r.x0 / MM, r.y0 / MM, r.x1 / MM, r.y1 / MM)
}

/// Holds bytes against the sheet they were written from.
pub(super) fn check(kind: CutFile, bytes: &[u8], sheet: &CutSheet) -> Result<(), CutFileError> {
    let unreadable = || CutFileError("it can't be read, or has another size".into());
    let text = || std::str::from_utf8(bytes).map_err(|_| unreadable());
    let found = match kind {
        CutFile::Svg => svg(text()?),
        CutFile::Dxf | CutFile::DxfR12 => dxf(text()?),
        CutFile::Hpgl => hpgl(text()?),
        CutFile::Pdf => crate::vector::read_lines(bytes.to_vec(), mm(sheet)).ok_or_else(unreadable)?,
    };
    let [_, height] = mm(sheet);
    let paths: Vec<&BezPath> = sheet.layers.iter().flat_map(|layer| &layer.paths).map(|path| &path.path).collect();
    if found.len() != paths.len() {
        return Err(CutFileError(format!("it has {} paths, not {}", found.len(), paths.len())));
    }
    for (number, (path, mut is)) in paths.into_iter().zip(found).enumerate() {
        let want = match kind {
            // A spline's points are its control points.
            CutFile::Svg | CutFile::Dxf | CutFile::Pdf => in_mm(path.control_box()),
            _ => {
                let all = corners(path, EXACT).into_iter().flatten().map(|p| Rect::from_points(p, p));
                all.reduce(|a, b| a.union(b)).unwrap_or_default()
            }
        };
        if kind != CutFile::Svg {
            is = Rect::new(is.x0, height - is.y1, is.x1, height - is.y0);
        }
        let off = [(is.x0, want.x0), (is.y0, want.y0), (is.x1, want.x1), (is.y1, want.y1)];
        if let Some((is, want)) = off.into_iter().find(|(a, b)| (a - b).abs() > rounding(kind)) {
            return Err(CutFileError(format!("path {} reaches to {is} mm, not {want}", number + 1)));
        }
    }
    Ok(())
}

/// The boxes around all control points, path by path.
fn svg(text: &str) -> Vec<Rect> {
    let data = text.split(" d=\"").skip(1).filter_map(|rest| rest.split('"').next());
    data.map(|data| BezPath::from_svg(data).map(|path| path.control_box()).unwrap_or_default()).collect()
}

/// The boxes around the points of all entities, one after another.
fn dxf(text: &str) -> Vec<Rect> {
    let mut lines = text.lines();
    let mut found: Vec<Option<Rect>> = Vec::new();
    let (mut inside, mut x, mut drawn) = (false, None, false);
    while let (Some(code), Some(value)) = (lines.next(), lines.next()) {
        match (code.trim(), value) {
            ("2", "ENTITIES") => inside = true,
            ("0", "ENDSEC") => inside = false,
            ("0", "SPLINE" | "LWPOLYLINE" | "POLYLINE") if inside => {
                // The point of a POLYLINE itself says nothing.
                drawn = value != "POLYLINE";
                found.push(None);
            }
            ("0", "VERTEX") => drawn = true,
            ("10", number) if inside && drawn => x = number.parse::<f64>().ok(),
            ("20", number) if inside && drawn => {
                if let (Some(x), Ok(y), Some(last)) = (x.take(), number.parse::<f64>(), found.last_mut()) {
                    let at = Point::new(x, y);
                    *last = Some(last.map_or(Rect::from_points(at, at), |known| known.union_pt(at)));
                }
            }
            _ => {}
        }
    }
    found.into_iter().map(Option::unwrap_or_default).collect()
}

/// The boxes around all strokes, from one pen up to the next.
fn hpgl(text: &str) -> Vec<Rect> {
    let mut found: Vec<Rect> = Vec::new();
    for order in text.split(';').map(str::trim) {
        let numbers: Vec<f64> = order.get(2..).unwrap_or_default().split(',').filter_map(|n| n.parse().ok()).collect();
        let places = numbers.chunks_exact(2).map(|pair| Point::new(pair[0] / 40.0, pair[1] / 40.0));
        match order.get(..2) {
            Some("PU") => found.extend(places.map(|p| Rect::from_points(p, p))),
            Some("PD") => {
                if let Some(last) = found.last_mut() {
                    places.for_each(|p| *last = last.union_pt(p));
                }
            }
            _ => {}
        }
    }
    found
}
