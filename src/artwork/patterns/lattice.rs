//! The cells of a pattern that a shape meets, and where a point of the content lies in each.
//!
//! ```text
//!     ┌────┬────┐
//!     │ ╭──┼─╮  │     row by row, from the first cell that the shape
//!  ┌──┼─┼──┼─┼──┼     meets to the last
//!  ╰──┴─╯  │ │  │
//! ```

use kurbo::{Affine, BezPath, PathEl, Point, Rect, Shape as _};

use super::super::budget::Budget;
use super::super::error::ArtworkError;
use super::super::source::too_much;

/// More looks than this at sides of a shape, and its box is taken instead.
const LOOKS: f64 = 2e6;

/// The cells of a pattern under a shape.
pub(super) struct Lattice {
    /// From the pattern's space to the shape's.
    to: Affine,
    /// One cell.
    pub(super) cell: Rect,
    /// Row, first column, last column.
    rows: Vec<(i64, i64, i64)>,
}

impl Lattice {
    /// The cells that a shape meets; `None` if there are none.
    pub(super) fn under(
        shape: &BezPath,
        to: Affine,
        cell: Rect,
        name: &str,
        budget: &Budget,
    ) -> Result<Option<Lattice>, ArtworkError> {
        let back = to.inverse();
        if !back.is_finite() || to.determinant().abs() < 1e-12 {
            return Ok(None);
        }
        let shape = Affine::translate((-cell.x0, -cell.y0)) * back * shape.clone();
        let bounds = shape.bounding_box();
        if !bounds.is_finite() {
            return Ok(None);
        }
        let across = bounds.width() / cell.width() + 2.0;
        let down = bounds.height() / cell.height() + 2.0;
        let limit = budget.limits.pattern_cells;
        let most = limit.most;
        let refuse = |value: String| Err(too_much(name, "cells of patterns", value, limit));
        let far =
            bounds.x0.abs().max(bounds.x1.abs()) / cell.width() + bounds.y0.abs().max(bounds.y1.abs()) / cell.height();
        if down > most as f64 || across > most as f64 || far > 1e9 {
            return refuse(format!("{:.0}", across * down));
        }
        let rows = rows(&shape, bounds, cell);
        let count: i64 = rows.iter().map(|(_, first, last)| last - first + 1).sum();
        let count = usize::try_from(count).unwrap_or(usize::MAX);
        if !Budget::spend(&budget.cells, count) {
            return refuse(format!("{count} more than are left"));
        }
        Ok((count > 0).then_some(Lattice { to, cell, rows }))
    }

    /// How many cells there are.
    pub(super) fn len(&self) -> usize {
        self.rows.iter().map(|(_, first, last)| usize::try_from(last - first + 1).unwrap_or(0)).sum()
    }

    /// Each cell: column and row.
    pub(super) fn cells(&self) -> impl Iterator<Item = (i64, i64)> + '_ {
        self.rows.iter().flat_map(|(row, first, last)| (*first..=*last).map(move |column| (column, *row)))
    }

    /// Where a point of the content lies in one cell. The far edge of a cell is the near edge
    /// of the next to the last bit.
    fn place(&self, column: i64, row: i64, p: Point) -> Point {
        let along = |start: f64, side: f64, n: i64, v: f64| {
            if v == side { start + (n + 1) as f64 * side } else { start + n as f64 * side + v }
        };
        self.to
            * Point::new(
                along(self.cell.x0, self.cell.width(), column, p.x),
                along(self.cell.y0, self.cell.height(), row, p.y),
            )
    }

    /// From the content's space to one cell in the shape's.
    pub(super) fn transform(&self, column: i64, row: i64) -> Affine {
        let step = (column as f64 * self.cell.width(), row as f64 * self.cell.height());
        self.to * Affine::translate((self.cell.x0 + step.0, self.cell.y0 + step.1))
    }

    /// One copy of an outline that lies in the cell.
    pub(super) fn copy(&self, path: &BezPath, column: i64, row: i64) -> BezPath {
        let mut out = BezPath::new();
        self.add(path, column, row, &mut out);
        out
    }

    fn add(&self, path: &BezPath, column: i64, row: i64, out: &mut BezPath) {
        let at = |p: Point| self.place(column, row, p);
        out.extend(path.elements().iter().map(|element| match *element {
            PathEl::MoveTo(p) => PathEl::MoveTo(at(p)),
            PathEl::LineTo(p) => PathEl::LineTo(at(p)),
            PathEl::QuadTo(a, p) => PathEl::QuadTo(at(a), at(p)),
            PathEl::CurveTo(a, b, p) => PathEl::CurveTo(at(a), at(b), at(p)),
            PathEl::ClosePath => PathEl::ClosePath,
        }));
    }

    /// All copies of an outline that lies in the cell, as one path. Bars that reach from edge
    /// to edge become one bar.
    pub(super) fn copies(&self, path: &BezPath, name: &str, budget: &Budget) -> Result<BezPath, ArtworkError> {
        let bar = rectangle(path);
        let (w, h) = (self.cell.width(), self.cell.height());
        let across = bar.is_some_and(|b| b.x0 == 0.0 && b.x1 == w);
        let down = bar.is_some_and(|b| b.y0 == 0.0 && b.y1 == h);
        let copies = if across { self.rows.len() } else { self.len() };
        spend(name, budget, path.elements().len().saturating_mul(copies))?;
        let mut out = BezPath::new();
        match bar {
            Some(bar) if across && down => self.bar(bar, self.columns(), self.span(), &mut out),
            Some(bar) if across => {
                for (row, first, last) in &self.rows {
                    self.bar(bar, (*first, *last), (*row, *row), &mut out);
                }
            }
            Some(bar) if down => {
                let (first, last) = self.columns();
                for column in first..=last {
                    self.bar(bar, (column, column), self.span(), &mut out);
                }
            }
            _ => self.cells().for_each(|(column, row)| self.add(path, column, row, &mut out)),
        }
        Ok(out)
    }

    fn columns(&self) -> (i64, i64) {
        let first = self.rows.iter().map(|(_, first, _)| *first).min();
        (first.unwrap_or(0), self.rows.iter().map(|(_, _, last)| *last).max().unwrap_or(-1))
    }

    fn span(&self) -> (i64, i64) {
        (self.rows.first().map_or(0, |r| r.0), self.rows.last().map_or(-1, |r| r.0))
    }

    /// A rectangle from one cell to another.
    fn bar(&self, bar: Rect, columns: (i64, i64), rows: (i64, i64), out: &mut BezPath) {
        let corner = |column, row, x, y| self.place(column, row, Point::new(x, y));
        out.move_to(corner(columns.0, rows.0, bar.x0, bar.y0));
        out.line_to(corner(columns.1, rows.0, bar.x1, bar.y0));
        out.line_to(corner(columns.1, rows.1, bar.x1, bar.y1));
        out.line_to(corner(columns.0, rows.1, bar.x0, bar.y1));
        out.close_path();
    }
}

/// Takes elements of paths from what the file may still spend.
pub(super) fn spend(name: &str, budget: &Budget, elements: usize) -> Result<(), ArtworkError> {
    if Budget::spend(&budget.elements, elements) {
        return Ok(());
    }
    let limit = budget.limits.pattern_elements;
    Err(too_much(name, "elements of paths in all cells of patterns", format!("more than {limit}"), limit))
}

/// For each row the first and last column that a shape in cell space meets.
fn rows(shape: &BezPath, bounds: Rect, cell: Rect) -> Vec<(i64, i64, i64)> {
    let (w, h) = (cell.width(), cell.height());
    let slack = 0.01 * w.min(h);
    let index = |v: f64, side: f64| (v / side).floor();
    let (top, bottom) = (index(bounds.y0, h), index(bounds.y1, h));
    let rows = bottom - top + 1.0;
    let mut sides: Vec<(Point, Point)> = Vec::new();
    let (mut start, mut last) = (Point::ZERO, Point::ZERO);
    kurbo::flatten(shape.elements().iter().copied(), slack, |element| match element {
        PathEl::MoveTo(p) => {
            sides.push((last, start));
            (start, last) = (p, p);
        }
        PathEl::LineTo(p) => {
            sides.push((last, p));
            last = p;
        }
        _ => {
            sides.push((last, start));
            last = start;
        }
    });
    sides.push((last, start));
    sides.retain(|(a, b)| a != b);
    let whole = [bounds.x0, bounds.x1];
    let exact = sides.len() as f64 * rows <= LOOKS;
    let mut reach = vec![if exact { [f64::INFINITY, f64::NEG_INFINITY] } else { whole }; count(rows)];
    for (a, b) in if exact { &sides[..] } else { &[] } {
        let (a, b) = if a.y <= b.y { (*a, *b) } else { (*b, *a) };
        let first = count(index(a.y - slack, h) - top);
        let last = count(index(b.y + slack, h) - top);
        for (row, reach) in reach.iter_mut().enumerate().take(last + 1).skip(first) {
            let (y0, y1) = ((row as f64 + top) * h - slack, (row as f64 + top + 1.0) * h + slack);
            let at = |y: f64| {
                let t = if b.y > a.y { ((y - a.y) / (b.y - a.y)).clamp(0.0, 1.0) } else { 0.0 };
                a.x + t * (b.x - a.x)
            };
            let ends = if b.y > a.y { [at(y0), at(y1)] } else { [a.x, b.x] };
            reach[0] = reach[0].min(ends[0].min(ends[1]) - slack);
            reach[1] = reach[1].max(ends[0].max(ends[1]) + slack);
        }
    }
    let mut out = Vec::new();
    for (row, [x0, x1]) in reach.into_iter().enumerate() {
        if x0 <= x1 {
            let (x0, x1) = (x0.max(bounds.x0), x1.min(bounds.x1));
            out.push((whole_number(row as f64 + top), whole_number(index(x0, w)), whole_number(index(x1, w))));
        }
    }
    out
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within the limit of cells")]
fn count(v: f64) -> usize {
    v.max(0.0) as usize
}

#[allow(clippy::cast_possible_truncation, reason = "checked to be far from the ends of the type")]
fn whole_number(v: f64) -> i64 {
    v as i64
}

/// The rectangle, if the outline is one upright rectangle.
pub(super) fn rectangle(path: &BezPath) -> Option<Rect> {
    let lines = path.elements().iter().enumerate().all(|(i, element)| match element {
        PathEl::MoveTo(_) => i == 0,
        PathEl::LineTo(_) | PathEl::ClosePath => true,
        _ => false,
    });
    let bounds = path.bounding_box();
    let full = (path.area().abs() - bounds.area()).abs() <= 1e-9 * bounds.area();
    (lines && path.elements().len() <= 8 && full).then_some(bounds)
}
