//! Bridges that hold the islands of a stencil: few and short.
//!
//! Every island is tied to its nearest neighbor, then every group of tied ones to its nearest,
//! until all hang on the sheet (O. Borůvka, 1926): as few bridges as islands, and the
//! shortest in sum. Ends lie where two parts are nearest, so no third part is in the way.

use std::collections::HashMap;

use kurbo::{BezPath, Point, Rect, Vec2};

use super::error::CutError;
use super::grow::Corner;
use super::mode::{Islands, Layers, SPECK};
use super::plane::{Plane, point};
use super::region::Region;
use super::sound::is_sliver;
use crate::artwork::Rule;

/// How islands are held.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bridging {
    /// Across a bridge, in EMU.
    pub width: f64,
}

/// A bridge between two parts.
#[derive(Clone, Copy, Debug)]
struct Tie {
    parts: [usize; 2],
    ends: [Point; 2],
    long: f64,
}

/// Does with the islands of a stencil's sheet as is wished.
pub(super) fn hold(plane: &mut Plane, sheet: Region, islands: Islands, out: &mut Layers) -> Result<Region, CutError> {
    let parts: Vec<Region> = sheet.pieces().collect();
    let main = largest(&parts);
    let loose: Vec<Rect> = (0..parts.len()).filter(|i| *i != main).filter_map(|i| parts[i].bounds()).collect();
    if loose.is_empty() {
        return Ok(sheet);
    }
    match islands {
        Islands::Refuse => Err(CutError::Islands(loose)),
        Islands::List => {
            out.islands = loose;
            Ok(parts[main].clone())
        }
        Islands::Bridge(Bridging { width }) => {
            let ties = ties(&parts, main);
            let strips: Vec<Region> = ties.iter().map(|tie| strip(plane, tie, width)).collect();
            // Only over the openings that they cross: a strip may reach through a thin part into the next.
            let over: Vec<Region> = Region::union(&strips).without(&sheet).pieces().collect();
            let crossed = |part: &&Region| ties.iter().any(|tie| part.holds(tie.ends[0].midpoint(tie.ends[1])));
            out.bridges = ties.iter().map(|tie| tie.ends).collect();
            let held = Region::union(std::iter::once(&sheet).chain(over.iter().filter(crossed)));
            Ok(hold_touching(plane, held, width, &mut out.islands))
        }
    }
}

/// Parts that touch in a corner, or all but touch, have no opening between them that a bridge crosses: the whole strip
/// is laid there, from where one part is solid to where the next is. What hangs on less than that still falls out, and
/// is told.
fn hold_touching(plane: &mut Plane, mut held: Region, width: f64, islands: &mut Vec<Rect>) -> Region {
    for round in 0.. {
        let parts: Vec<Region> = held.pieces().collect();
        let main = largest(&parts);
        if parts.len() < 2 || round == 3 {
            let loose = parts.into_iter().enumerate().filter(|(part, _)| *part != main).map(|(_, part)| part);
            let told = loose.map(|part| part.without_specks(SPECK)).filter(|part| !part.rings().all(is_sliver));
            islands.extend(told.filter_map(|part| part.bounds()));
            break;
        }
        let mut solid =
            |part: &Region| Some(plane.grown(part, -width / 4.0, Corner::Round)).filter(|core| !core.is_empty());
        let cores: Vec<Region> = parts.into_iter().map(|part| solid(&part).unwrap_or(part)).collect();
        let strips: Vec<Region> = ties(&cores, main).iter().map(|tie| strip(plane, tie, width)).collect();
        held = Region::union(std::iter::once(&held).chain(&strips));
    }
    held
}

/// The part that reaches farthest out holds the others.
fn largest(parts: &[Region]) -> usize {
    let reach = |part: &Region| part.bounds().map_or(0.0, |b| b.area());
    (0..parts.len()).max_by(|a, b| reach(&parts[*a]).total_cmp(&reach(&parts[*b]))).unwrap_or(0)
}

/// From end to end, and half its width on.
fn strip(plane: &mut Plane, tie: &Tie, width: f64) -> Region {
    let [a, b] = tie.ends;
    let along = if tie.long > 0.0 { (b - a) / tie.long } else { Vec2::new(1.0, 0.0) };
    let (on, aside) = (along * (width / 2.0), Vec2::new(-along.y, along.x) * (width / 2.0));
    let mut strip = BezPath::new();
    strip.move_to(a - on + aside);
    [b + on + aside, b + on - aside, a - on - aside].into_iter().for_each(|p| strip.line_to(p));
    strip.close_path();
    plane.lay(&strip, Rule::NonZero)
}

/// The ties that make all parts one with the main part.
fn ties(parts: &[Region], main: usize) -> Vec<Tie> {
    let grid = Grid::of(parts);
    let mut group: Vec<usize> = (0..parts.len()).collect();
    let mut ties = Vec::new();
    while ties.len() + 1 < parts.len() {
        let mut nearest: HashMap<usize, Tie> = HashMap::new();
        for (part, region) in parts.iter().enumerate() {
            // The rest comes to it.
            if group[part] == group[main] {
                continue;
            }
            let best = nearest.get(&group[part]).map_or(f64::MAX, |tie| tie.long);
            if let Some(tie) = grid.nearest(part, region, &group, best) {
                nearest.insert(group[part], tie);
            }
        }
        let mut found: Vec<Tie> = nearest.into_values().collect();
        if found.is_empty() {
            break;
        }
        found.sort_by(|a, b| (a.long, a.parts).partial_cmp(&(b.long, b.parts)).unwrap_or(std::cmp::Ordering::Equal));
        for tie in found {
            let [a, b] = tie.parts.map(|part| group[part]);
            if a != b {
                group.iter_mut().filter(|g| **g == b).for_each(|g| *g = a);
                ties.push(tie);
            }
        }
    }
    ties
}

/// The sides of all parts, by the cells they pass through.
struct Grid {
    cell: f64,
    sides: HashMap<[i64; 2], Vec<(usize, [Point; 2])>>,
    reach: i64,
}

impl Grid {
    fn of(parts: &[Region]) -> Grid {
        let bounds = parts.iter().filter_map(Region::bounds).reduce(|a, b| a.union(b)).unwrap_or_default();
        let count = parts.iter().flat_map(Region::rings).map(Vec::len).sum::<usize>().max(1);
        let cell = (bounds.width().max(bounds.height()) / (count as f64).sqrt()).max(1.0);
        let mut grid = Grid { cell, sides: HashMap::new(), reach: 0 };
        for (part, region) in parts.iter().enumerate() {
            for side in sides(region) {
                let [a, b] = side.map(|p| grid.cell_of(p));
                for x in a[0].min(b[0])..=a[0].max(b[0]) {
                    for y in a[1].min(b[1])..=a[1].max(b[1]) {
                        grid.sides.entry([x, y]).or_default().push((part, side));
                    }
                }
            }
        }
        grid.reach = grid.cell_of(Point::new(bounds.width().max(bounds.height()), 0.0))[0] + 2;
        grid
    }

    #[allow(clippy::cast_possible_truncation, reason = "cells of the goods, far below 2^63")]
    fn cell_of(&self, p: Point) -> [i64; 2] {
        [(p.x / self.cell).floor() as i64, (p.y / self.cell).floor() as i64]
    }

    /// The shortest way from a part to one of another group, if it is shorter than `best`.
    fn nearest(&self, part: usize, region: &Region, group: &[usize], mut best: f64) -> Option<Tie> {
        let mut found = None;
        for side in sides(region) {
            let [from, to] = side.map(|p| self.cell_of(p));
            let home = [0, 1].map(|axis| [from[axis].min(to[axis]), from[axis].max(to[axis])]);
            for ring in 0..=self.reach {
                if (ring - 1) as f64 * self.cell >= best {
                    break;
                }
                for cell in around(home, ring) {
                    for (other, across) in self.sides.get(&cell).into_iter().flatten() {
                        if group[*other] == group[part] {
                            continue;
                        }
                        let ends = between(side, *across);
                        let long = ends[0].distance(ends[1]);
                        if long < best {
                            best = long;
                            found = Some(Tie { parts: [part, *other], ends, long });
                        }
                    }
                }
            }
        }
        found
    }
}

/// The cells so many steps away from a rectangle of cells; those inside it for none.
fn around([[x0, x1], [y0, y1]]: [[i64; 2]; 2], ring: i64) -> impl Iterator<Item = [i64; 2]> {
    let (x0, x1, y0, y1) = (x0 - ring, x1 + ring, y0 - ring, y1 + ring);
    (y0..=y1).flat_map(move |y| {
        let whole = ring == 0 || y == y0 || y == y1;
        let step = if whole { 1 } else { (x1 - x0).max(1) };
        (x0..=x1).step_by(usize::try_from(step).unwrap_or(1)).map(move |x| [x, y])
    })
}

/// Where two sides that don't cross are nearest: an end of one of them, and its foot on the other.
fn between([a, b]: [Point; 2], [c, d]: [Point; 2]) -> [Point; 2] {
    let ways = [[a, foot(a, c, d)], [b, foot(b, c, d)], [foot(c, a, b), c], [foot(d, a, b), d]];
    let long = |[p, q]: &[Point; 2]| p.distance_squared(*q);
    ways.into_iter().min_by(|p, q| long(p).total_cmp(&long(q))).unwrap_or([a, c])
}

fn sides(region: &Region) -> impl Iterator<Item = [Point; 2]> {
    region.rings().flat_map(|ring| {
        let next = ring.iter().cycle().skip(1);
        ring.iter().zip(next).map(|(a, b)| [point(a.from), point(b.from)])
    })
}

/// The place on a side that is nearest.
fn foot(from: Point, a: Point, b: Point) -> Point {
    let way = b - a;
    let share = if way.hypot2() > 0.0 { ((from - a).dot(way) / way.hypot2()).clamp(0.0, 1.0) } else { 0.0 };
    a + way * share
}
