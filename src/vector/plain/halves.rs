//! An area cut by an upright rectangle, curves staying curves.
//!
//! ```text
//!        │
//!    ╭───┼──╮            what lies inside are runs that begin and end on the edge;
//!    │ ╭─┼─╮│            ends and beginnings are joined along it, each with the
//!    │ ╰─┼─╯│            nearest free one, so that no edge is gone along twice
//!    ╰───┼──╯            without need
//!        │
//! ```
//!
//! Loops along the edge enclose nothing, so any way to join them leaves each point inside with the winding number
//! that it had: the cut is exact under both rules, for areas that cross themselves, too.

use kurbo::{BezPath, ParamCurve, PathEl, PathSeg, Point, Rect, Shape, common};

/// Splits nearer than this to a segment's end are the end, in shares of the segment.
const END: f64 = 1e-9;

/// One side of the rectangle: what is kept has a coordinate on this axis not less than (or not more than) the bound.
#[derive(Clone, Copy)]
struct Half {
    axis: usize,
    bound: f64,
    keeps_more: bool,
}

/// Cuts an area whose contours are closed.
pub(super) fn cut(path: &BezPath, window: Rect) -> BezPath {
    let halves = [(0, window.x0, true), (0, window.x1, false), (1, window.y0, true), (1, window.y1, false)];
    let mut path = path.clone();
    for (axis, bound, keeps_more) in halves {
        path = half(&path, Half { axis, bound, keeps_more });
    }
    path
}

impl Half {
    fn of(self, p: Point) -> f64 {
        if self.axis == 0 { p.x } else { p.y }
    }

    /// Where along the edge.
    fn along(self, p: Point) -> f64 {
        if self.axis == 0 { p.y } else { p.x }
    }

    fn keeps(self, p: Point) -> bool {
        let more = self.of(p) - self.bound;
        if self.keeps_more { more > 0.0 } else { more < 0.0 }
    }

    /// The point moved onto the edge, from which rounding took it.
    fn snapped(self, p: Point) -> Point {
        if self.axis == 0 { Point::new(self.bound, p.y) } else { Point::new(p.x, self.bound) }
    }

    /// Where a segment meets the edge, in order.
    fn meets(self, segment: PathSeg) -> Vec<f64> {
        let at = |p: Point| self.of(p) - self.bound;
        let mut roots = match segment {
            PathSeg::Line(l) => {
                let (a, b) = (at(l.p0), at(l.p1));
                if (a < 0.0) == (b < 0.0) { vec![] } else { vec![a / (a - b)] }
            }
            PathSeg::Quad(q) => {
                let (a, b, c) = (at(q.p0), at(q.p1), at(q.p2));
                common::solve_quadratic(a, 2.0 * (b - a), a - 2.0 * b + c).to_vec()
            }
            PathSeg::Cubic(q) => {
                let (a, b, c, d) = (at(q.p0), at(q.p1), at(q.p2), at(q.p3));
                common::solve_cubic(a, 3.0 * (b - a), 3.0 * (a - 2.0 * b + c), d - a + 3.0 * (b - c)).to_vec()
            }
        };
        roots.retain(|t| *t > END && *t < 1.0 - END);
        roots.sort_by(f64::total_cmp);
        roots
    }
}

/// A stretch of the outline inside; it begins and ends on the edge.
type Run = Vec<PathSeg>;

fn half(path: &BezPath, half: Half) -> BezPath {
    let bounds = path.bounding_box();
    let corners = [bounds.origin(), Point::new(bounds.x1, bounds.y1)];
    let inside = |p: Point| half.keeps(p) || half.of(p) == half.bound;
    if corners.into_iter().all(inside) {
        return path.clone();
    }
    let mut out = BezPath::new();
    let mut runs: Vec<Run> = Vec::new();
    for contour in contours(path) {
        let pieces: Vec<(PathSeg, bool)> = contour.iter().flat_map(|segment| pieces(*segment, half)).collect();
        let Some(first) = (0..pieces.len()).find(|n| pieces[*n].1 && !pieces[(n + pieces.len() - 1) % pieces.len()].1)
        else {
            if pieces.first().is_some_and(|(_, inside)| *inside) {
                append(&mut out, &contour);
                out.close_path();
            }
            continue;
        };
        let mut was = false;
        for n in 0..pieces.len() {
            let (segment, inside) = pieces[(first + n) % pieces.len()];
            match (was, inside) {
                (false, true) => runs.push(vec![segment]),
                (true, true) => runs.last_mut().into_iter().for_each(|run| run.push(segment)),
                _ => {}
            }
            was = inside;
        }
    }
    for run in &mut runs {
        ends_on(run, half);
    }
    joined(&runs, half, &mut out);
    out
}

/// The closed contours, without lines of no length.
fn contours(path: &BezPath) -> Vec<Vec<PathSeg>> {
    let mut all: Vec<Vec<PathSeg>> = Vec::new();
    let mut start = Point::ZERO;
    for (n, element) in path.elements().iter().enumerate() {
        if let PathEl::MoveTo(p) = element {
            all.push(Vec::new());
            start = *p;
        } else if let (Some(segment), Some(contour)) = (path.get_seg(n), all.last_mut())
            && !(matches!(element, PathEl::ClosePath) && segment.start() == start)
        {
            contour.push(segment);
        }
    }
    all.retain(|contour| !contour.is_empty());
    all
}

/// A segment in pieces that each lie on one side of the edge.
fn pieces(segment: PathSeg, half: Half) -> Vec<(PathSeg, bool)> {
    let meets = half.meets(segment);
    let ends: Vec<f64> = [0.0].into_iter().chain(meets).chain([1.0]).collect();
    let piece = |w: &[f64]| {
        let piece = if ends.len() == 2 { segment } else { segment.subsegment(w[0]..w[1]) };
        (piece, half.keeps(segment.eval((w[0] + w[1]) / 2.0)))
    };
    ends.windows(2).map(piece).collect()
}

/// Puts the first and the last point of a run onto the edge exactly.
fn ends_on(run: &mut Run, half: Half) {
    if let Some(first) = run.first_mut() {
        match first {
            PathSeg::Line(s) => s.p0 = half.snapped(s.p0),
            PathSeg::Quad(s) => s.p0 = half.snapped(s.p0),
            PathSeg::Cubic(s) => s.p0 = half.snapped(s.p0),
        }
    }
    if let Some(last) = run.last_mut() {
        match last {
            PathSeg::Line(s) => s.p1 = half.snapped(s.p1),
            PathSeg::Quad(s) => s.p2 = half.snapped(s.p2),
            PathSeg::Cubic(s) => s.p3 = half.snapped(s.p3),
        }
    }
}

/// Joins runs along the edge to closed contours.
fn joined(runs: &[Run], half: Half, out: &mut BezPath) {
    let place = |run: usize, ends: bool| {
        let run = &runs[run];
        half.along(if ends { run[run.len() - 1].end() } else { run[0].start() })
    };
    let mut events: Vec<(usize, bool)> = (0..runs.len()).flat_map(|run| [(run, true), (run, false)]).collect();
    events.sort_by(|a, b| place(a.0, a.1).total_cmp(&place(b.0, b.1)).then(a.cmp(b)));
    let mut next = vec![0; runs.len()];
    let mut open: Vec<(usize, bool)> = Vec::new();
    for event in events {
        match open.last().copied().filter(|top| top.1 != event.1) {
            Some(top) => {
                open.pop();
                let (ended, begun) = if event.1 { (event.0, top.0) } else { (top.0, event.0) };
                next[ended] = begun;
            }
            None => open.push(event),
        }
    }
    let mut done = vec![false; runs.len()];
    for first in 0..runs.len() {
        if done[first] {
            continue;
        }
        let mut run = first;
        let mut contour: Vec<PathSeg> = Vec::new();
        while !done[run] {
            done[run] = true;
            contour.extend(&runs[run]);
            run = next[run];
        }
        append(out, &contour);
        out.close_path();
    }
}

/// Segments one after the other, with lines where one does not begin at the other's end.
fn append(out: &mut BezPath, segments: &[PathSeg]) {
    let mut at: Option<Point> = None;
    for segment in segments {
        match at {
            None => out.move_to(segment.start()),
            Some(at) if at != segment.start() => out.line_to(segment.start()),
            Some(_) => {}
        }
        out.push(segment.as_path_el());
        at = Some(segment.end());
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::{Affine, Circle};

    const WINDOW: Rect = Rect::new(0.0, 0.0, 10.0, 8.0);

    /// Winding numbers inside are as they were, and nothing lies outside.
    fn holds(path: &BezPath) -> BezPath {
        let cut = cut(path, WINDOW);
        let bounds = cut.bounding_box();
        assert!(cut.is_empty() || WINDOW.inflate(1e-9, 1e-9).contains_rect(bounds), "{bounds:?}");
        for x in 0..37 {
            for y in 0..29 {
                let p = Point::new(0.131 + f64::from(x) * 0.263, 0.117 + f64::from(y) * 0.267);
                assert_eq!(cut.winding(p), path.winding(p), "at {p:?}");
            }
        }
        cut
    }

    #[test]
    fn a_circle_over_a_corner_stays_curves() {
        let circle = Circle::new((9.0, 7.0), 3.0).to_path(1e-6);
        let cut = holds(&circle);
        assert!(cut.elements().iter().any(|e| matches!(e, PathEl::CurveTo(..))));
        assert_eq!(cut.bounding_box().x1, 10.0);
        assert_eq!(cut.bounding_box().y1, 8.0);
    }

    #[test]
    fn two_teeth_are_two_contours_without_an_edge_between() {
        // A comb that leaves the window between its teeth.
        let comb = BezPath::from_svg("M5 1L12 1L12 7L5 7L5 5L11 5L11 3L5 3Z").expect("a path");
        let cut = holds(&comb);
        let count = cut.elements().iter().filter(|e| matches!(e, PathEl::ClosePath)).count();
        assert_eq!((count, cut.area().abs()), (2, 20.0));
    }

    #[test]
    fn crossing_touching_and_turned_outlines_keep_their_winding() {
        for text in [
            "M-5 4L15 4L-3 9L5 -4L12 12Z",
            "M0 0H10V8H0Z",
            "M-1 -1H11V9H-1ZM2 2V6H8V2Z",
            "M10 1C14 1 14 7 10 7C6 7 6 1 10 1Z",
            "M3 -2Q5 10 7 -2Q9 10 11 -2Z",
            "M20 20H30V30Z",
            "M5 8L7 10L3 10Z",
        ] {
            let path = BezPath::from_svg(text).expect("a path");
            for turn in [0.0, 0.3, 1.1, 2.9] {
                holds(&(Affine::rotate_about(turn, Point::new(5.0, 4.0)) * path.clone()));
            }
        }
    }
}
