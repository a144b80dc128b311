//! Cutting a pattern's content to its cell, as `overflow: hidden` does: curves stay curves.
//!
//! ```text
//!        cell
//!      ┌──────┐            each half-plane in turn: what lies outside is
//!    ╭─┼─╮    │    ┌─╮     replaced by the straight way along the edge, so
//!    ╰─┼─╯    │    └─╯     windings inside stay as they are, under both
//!      └──────┘            fill rules, and the edge is met exactly
//! ```

use kurbo::common::{solve_cubic, solve_quadratic};
use kurbo::{BezPath, ParamCurve, PathEl, PathSeg, Point, Shape as _};

/// Points this near to the cell's edge, in sides of the cell, are meant to lie on it.
const NEAR: f64 = 1e-5;

/// The part of an outline inside the cell (0,0)–(w,h); nothing if it is empty.
/// Every contour must be closed.
pub(super) fn to_cell(path: &BezPath, w: f64, h: f64) -> Option<BezPath> {
    let mut path = snapped(path, w, h);
    let edges = [(Axis::X, 0.0, 1.0), (Axis::X, w, -1.0), (Axis::Y, 0.0, 1.0), (Axis::Y, h, -1.0)];
    for (axis, at, sign) in edges {
        let bounds = path.bounding_box();
        let [low, high] = match axis {
            Axis::X => [bounds.x0, bounds.x1],
            Axis::Y => [bounds.y0, bounds.y1],
        };
        let over = if sign > 0.0 { low < at } else { high > at };
        if over {
            path = HalfPlane { axis, at, sign }.cut(&path);
        }
    }
    let bounds = path.bounding_box();
    (!path.is_empty() && bounds.is_finite() && bounds.width() > 0.0 && bounds.height() > 0.0).then_some(path)
}

/// Ends of segments that lie on the cell's edge but for rounding are put there.
fn snapped(path: &BezPath, w: f64, h: f64) -> BezPath {
    let near = |v: f64, side: f64| {
        if v.abs() < NEAR * side {
            0.0
        } else if (v - side).abs() < NEAR * side {
            side
        } else {
            v
        }
    };
    let snap = |p: Point| Point::new(near(p.x, w), near(p.y, h));
    let elements = path.elements().iter().map(|element| match *element {
        PathEl::MoveTo(p) => PathEl::MoveTo(snap(p)),
        PathEl::LineTo(p) => PathEl::LineTo(snap(p)),
        PathEl::QuadTo(a, p) => PathEl::QuadTo(a, snap(p)),
        PathEl::CurveTo(a, b, p) => PathEl::CurveTo(a, b, snap(p)),
        PathEl::ClosePath => PathEl::ClosePath,
    });
    BezPath::from_vec(elements.collect())
}

#[derive(Clone, Copy)]
enum Axis {
    X,
    Y,
}

/// Where `sign × (coordinate − at)` is not less than zero.
struct HalfPlane {
    axis: Axis,
    at: f64,
    sign: f64,
}

impl HalfPlane {
    fn cut(&self, path: &BezPath) -> BezPath {
        let mut out = BezPath::new();
        let mut contour: Vec<PathSeg> = Vec::new();
        let (mut start, mut last) = (Point::ZERO, Point::ZERO);
        for element in path.elements() {
            match *element {
                PathEl::MoveTo(p) => {
                    self.contour(&contour, &mut out);
                    contour.clear();
                    (start, last) = (p, p);
                    continue;
                }
                PathEl::LineTo(p) => contour.push(PathSeg::Line(kurbo::Line::new(last, p))),
                PathEl::QuadTo(a, p) => contour.push(PathSeg::Quad(kurbo::QuadBez::new(last, a, p))),
                PathEl::CurveTo(a, b, p) => contour.push(PathSeg::Cubic(kurbo::CubicBez::new(last, a, b, p))),
                PathEl::ClosePath if last != start => {
                    contour.push(PathSeg::Line(kurbo::Line::new(last, start)));
                }
                PathEl::ClosePath => {}
            }
            last = contour.last().map_or(last, ParamCurve::end);
        }
        self.contour(&contour, &mut out);
        out
    }

    /// The kept pieces, joined along the edge. A contour wholly outside leaves nothing.
    fn contour(&self, segments: &[PathSeg], out: &mut BezPath) {
        let mut pen: Option<Point> = None;
        for segment in segments {
            for piece in self.pieces(segment) {
                let middle = self.coordinate(piece.eval(0.5));
                if self.sign * (middle - self.at) < 0.0 {
                    continue;
                }
                match pen {
                    None => out.move_to(piece.start()),
                    Some(p) if p != piece.start() => out.line_to(piece.start()),
                    Some(_) => {}
                }
                out.push(piece.as_path_el());
                pen = Some(piece.end());
            }
        }
        if pen.is_some() {
            out.close_path();
        }
    }

    /// A segment split where it meets the edge; the ends there lie on it exactly.
    fn pieces(&self, segment: &PathSeg) -> Vec<PathSeg> {
        let mut cuts: Vec<f64> =
            self.meetings(segment).into_iter().filter(|t| (1e-9..=1.0 - 1e-9).contains(t)).collect();
        if cuts.is_empty() {
            return vec![*segment];
        }
        cuts.sort_by(f64::total_cmp);
        cuts.dedup();
        let ends = cuts.iter().copied().chain([1.0]);
        let mut from = 0.0;
        let mut pieces = Vec::new();
        for end in ends {
            let mut piece = segment.subsegment(from..end);
            let (mut a, mut b) = (piece.start(), piece.end());
            if from > 0.0 {
                self.put(&mut a);
            }
            if end < 1.0 {
                self.put(&mut b);
            } else {
                b = segment.end();
            }
            match &mut piece {
                PathSeg::Line(l) => (l.p0, l.p1) = (a, b),
                PathSeg::Quad(q) => (q.p0, q.p2) = (a, b),
                PathSeg::Cubic(c) => (c.p0, c.p3) = (a, b),
            }
            pieces.push(piece);
            from = end;
        }
        pieces
    }

    /// The parameters at which a segment's coordinate is the edge's.
    fn meetings(&self, segment: &PathSeg) -> Vec<f64> {
        let v = |p: Point| self.coordinate(p) - self.at;
        match segment {
            PathSeg::Line(l) => {
                let (a, b) = (v(l.p0), v(l.p1));
                if a == b { Vec::new() } else { vec![a / (a - b)] }
            }
            PathSeg::Quad(q) => {
                let (a, b, c) = (v(q.p0), v(q.p1), v(q.p2));
                solve_quadratic(a, 2.0 * (b - a), a - 2.0 * b + c).to_vec()
            }
            PathSeg::Cubic(q) => {
                let (a, b, c, d) = (v(q.p0), v(q.p1), v(q.p2), v(q.p3));
                solve_cubic(a, 3.0 * (b - a), 3.0 * (a - 2.0 * b + c), d - 3.0 * c + 3.0 * b - a).to_vec()
            }
        }
    }

    fn coordinate(&self, p: Point) -> f64 {
        match self.axis {
            Axis::X => p.x,
            Axis::Y => p.y,
        }
    }

    fn put(&self, p: &mut Point) {
        match self.axis {
            Axis::X => p.x = self.at,
            Axis::Y => p.y = self.at,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::{Circle, Rect};

    fn circle(x: f64, y: f64, r: f64) -> BezPath {
        Circle::new((x, y), r).to_path(1e-6)
    }

    #[test]
    fn a_disc_on_the_corner_leaves_its_quarter() {
        let cut = to_cell(&circle(0.0, 0.0, 3.0), 10.0, 8.0).expect("a quarter");
        assert!((cut.area() - circle(0.0, 0.0, 3.0).area() / 4.0).abs() < 1e-5, "{}", cut.area());
        let (found, bounds) = (cut.bounding_box(), Rect::new(0.0, 0.0, 3.0, 3.0));
        assert!(found.x0 == 0.0 && found.y0 == 0.0 && bounds.inflate(1e-5, 1e-5).union(found).max_x() < 3.0001);
        assert!(cut.elements().len() <= circle(0.0, 0.0, 3.0).elements().len(), "curves stay curves");
    }

    #[test]
    fn four_quarters_are_one_disc() {
        let corners = [(0.0, 0.0), (10.4, 0.0), (0.0, 7.3), (10.4, 7.3)];
        let area: f64 =
            corners.iter().map(|(x, y)| to_cell(&circle(*x, *y, 2.7), 10.4, 7.3).expect("a quarter").area()).sum();
        assert!((area - circle(0.0, 0.0, 2.7).area()).abs() < 1e-9);
    }

    #[test]
    fn windings_inside_stay() {
        // A ring that hangs over two sides: even-odd and non-zero are told apart by winding.
        let mut ring = circle(1.0, 5.0, 4.0);
        ring.extend(circle(1.0, 5.0, 2.0).elements().iter().copied());
        let cut = to_cell(&ring, 10.0, 7.0).expect("a part");
        for (x, y) in [(0.5, 5.0), (3.5, 5.0), (4.5, 6.9), (6.0, 5.0), (0.1, 1.5), (2.0, 6.9)] {
            let p = Point::new(x, y);
            assert_eq!(cut.winding(p), ring.winding(p), "{p}");
        }
        let bounds = cut.bounding_box();
        assert!(bounds.x0 == 0.0 && bounds.y1 == 7.0 && bounds.x1 <= 5.001);
    }

    #[test]
    fn what_lies_outside_is_nothing() {
        assert!(to_cell(&circle(-5.0, 5.0, 4.0), 10.0, 10.0).is_none());
        assert!(to_cell(&circle(15.0, 5.0, 5.0), 10.0, 10.0).is_none());
    }

    #[test]
    fn rounding_at_the_edge_is_undone() {
        let almost = Rect::new(-1e-6, 1e-6, 10.400_001, 4.0).to_path(0.1);
        assert_eq!(to_cell(&almost, 10.4, 8.0).expect("a bar").bounding_box(), Rect::new(0.0, 0.0, 10.4, 4.0));
    }
}
