//! What helps around the pieces: a frame and lines for the waste, marks to lay layers over one another, ends for a roll.

use kurbo::{BezPath, Line, ParamCurve, PathEl, PathSeg, Point, Rect, Shape as _, Vec2};

use super::job::CutPath;
use super::outline::Outline;
use crate::length::{Length, Unit};

/// How far the weed border lies off if only lines are asked for.
pub(super) const BORDER: Length = Length::of(5, Unit::Mm);
/// The room that marks take on each side.
pub(super) const MARK: Length = Length::of(10, Unit::Mm);
/// Half an arm of a mark, in EMU: 3 mm.
const ARM: f64 = 108_000.0;
/// Chords of outlines where lines cross them, in EMU: a hundredth of a millimetre.
const FLAT: f64 = 360.0;

/// A cross in each corner of a sheet.
pub(super) fn marks(sheet: kurbo::Size) -> Vec<CutPath> {
    let middle = MARK.emu() as f64 / 2.0;
    let [near, far] = [Point::new(middle, middle), Point::new(sheet.width - middle, sheet.height - middle)];
    let corners = [near, Point::new(far.x, near.y), far, Point::new(near.x, far.y)];
    let arms = [Vec2::new(ARM, 0.0), Vec2::new(0.0, ARM)];
    corners.into_iter().flat_map(|at| arms.map(|arm| line(at - arm, at + arm))).collect()
}

fn line(from: Point, to: Point) -> CutPath {
    CutPath { path: BezPath::from_vec(vec![PathEl::MoveTo(from), PathEl::LineTo(to)]), closed: false }
}

/// The frame around all pieces, and lines across the waste inside it.
pub(super) fn weed(outlines: &[Outline], border: Length, lines: Option<Length>) -> Vec<CutPath> {
    let Some(pieces) = outlines.iter().map(|outline| outline.path.bounding_box()).reduce(|a, b| a.union(b)) else {
        return Vec::new();
    };
    let by = border.emu() as f64;
    let frame = pieces.inflate(by, by);
    let mut out = Vec::new();
    if let Some(apart) = lines.map(|apart| apart.emu() as f64).filter(|apart| *apart > 0.0) {
        let mut sides: Vec<[Point; 2]> = Vec::new();
        for outline in outlines {
            let mut last = Point::ZERO;
            let mut start = Point::ZERO;
            kurbo::flatten(outline.path.elements().iter().copied(), FLAT, |element| match element {
                PathEl::MoveTo(p) => (start, last) = (p, p),
                PathEl::LineTo(p) => {
                    sides.push([last, p]);
                    last = p;
                }
                PathEl::ClosePath => sides.push([last, start]),
                _ => {}
            });
        }
        let mut y = frame.y0 + apart;
        let mut back = false;
        while y < frame.y1 - apart / 2.0 {
            let mut crossings: Vec<f64> = sides.iter().filter_map(|side| crossing(side, y)).collect();
            crossings.sort_by(f64::total_cmp);
            let ends = std::iter::once(frame.x0).chain(crossings).chain([frame.x1]).collect::<Vec<_>>();
            let mut row: Vec<CutPath> = ends
                .chunks_exact(2)
                .filter(|pair| pair[1] - pair[0] > FLAT)
                .map(|pair| {
                    if back {
                        line(Point::new(pair[1], y), Point::new(pair[0], y))
                    } else {
                        line(Point::new(pair[0], y), Point::new(pair[1], y))
                    }
                })
                .collect();
            if back {
                row.reverse();
            }
            out.extend(row);
            back = !back;
            y += apart;
        }
    }
    out.push(CutPath { path: frame.to_path(0.1), closed: true });
    out
}

/// Where a side crosses a height; its lower end counts, its upper does not.
fn crossing([a, b]: &[Point; 2], y: f64) -> Option<f64> {
    ((a.y <= y) != (b.y <= y)).then(|| a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y))
}

/// An outline without what runs along the upper and lower edge of the goods, where the roll goes on.
pub(super) fn open_ends(path: &BezPath, goods: Rect) -> Vec<CutPath> {
    let along = |segment: &PathSeg| {
        let (a, b) = (segment.start(), segment.end());
        matches!(segment, PathSeg::Line(_)) && a.y == b.y && (a.y == goods.y0 || a.y == goods.y1)
    };
    let mut segments: Vec<PathSeg> =
        path.segments().filter(|s| !matches!(s, PathSeg::Line(Line { p0, p1 }) if p0 == p1)).collect();
    let Some(first) = segments.iter().position(along) else {
        return vec![CutPath { path: path.clone(), closed: true }];
    };
    segments.rotate_left(first);
    segments
        .split(along)
        .filter(|part| !part.is_empty())
        .map(|part| CutPath { path: BezPath::from_path_segments(part.iter().copied()), closed: false })
        .collect()
}
