//! The order of cutting: what lies inside before what lies around it, and of those that may be next the nearest.

use kurbo::{BezPath, ParamCurve, ParamCurveArclen, PathSeg, Point, Rect, Shape as _};

use super::job::CutPath;
use crate::length::Length;

/// Arc lengths are this exact, in EMU: a hundredth of a millimetre.
const LENGTH: f64 = 360.0;

/// What following paths takes.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Route {
    /// Along the cuts, in EMU.
    pub cut: f64,
    /// Between them, from the upper left corner on, in EMU.
    pub travel: f64,
    /// At the speeds that were given, in seconds; without what the machine needs to start and stop.
    pub seconds: f64,
}

impl Route {
    /// Adds a path that is followed after another.
    pub(super) fn add(&mut self, path: &CutPath, after: Option<&CutPath>, [cutting, moving]: [Length; 2]) {
        let from = after.and_then(|path| end(&path.path)).unwrap_or(Point::ZERO);
        let Some(start) = start(&path.path) else { return };
        let (long, way) = (length(&path.path), from.distance(start));
        self.cut += long;
        self.travel += way;
        self.seconds += long / cutting.emu() as f64 + way / moving.emu() as f64;
    }
}

/// The true length of a path.
fn length(path: &BezPath) -> f64 {
    path.segments().map(|segment| segment.arclen(LENGTH)).sum()
}

fn start(path: &BezPath) -> Option<Point> {
    path.segments().next().map(|segment| segment.start())
}

fn end(path: &BezPath) -> Option<Point> {
    path.segments().last().map(|segment| segment.end())
}

/// Puts paths in order. Closed ones begin at the corner that is nearest to where the one before ended.
pub(super) fn route(paths: Vec<CutPath>, speeds: [Length; 2]) -> (Vec<CutPath>, Route) {
    let bounds: Vec<Rect> = paths.iter().map(|path| path.path.bounding_box()).collect();
    let around = around(&paths, &bounds);
    let mut inside = vec![0_usize; paths.len()];
    around.iter().flatten().for_each(|outer| inside[*outer] += 1);
    let mut free: Vec<usize> = (0..paths.len()).filter(|path| inside[*path] == 0).collect();
    let mut waiting: Vec<Option<CutPath>> = paths.into_iter().map(Some).collect();
    let (mut ordered, mut sums, mut here) = (Vec::with_capacity(waiting.len()), Route::default(), Point::ZERO);
    while !free.is_empty() {
        let mut best = (f64::MAX, 0, 0);
        for (slot, &index) in free.iter().enumerate() {
            if off(bounds[index], here) > best.0 {
                continue;
            }
            let Some(path) = &waiting[index] else { continue };
            for (corner, segment) in path.path.segments().enumerate() {
                let way = segment.start().distance(here);
                if way < best.0 {
                    best = (way, slot, corner);
                }
                if !path.closed {
                    break;
                }
            }
        }
        let index = free.swap_remove(best.1);
        let Some(mut path) = waiting[index].take() else { continue };
        if path.closed {
            path.path = from_corner(&path.path, best.2);
        }
        sums.add(&path, ordered.last(), speeds);
        here = end(&path.path).unwrap_or(here);
        ordered.push(path);
        if let Some(outer) = around[index] {
            inside[outer] -= 1;
            if inside[outer] == 0 {
                free.push(outer);
            }
        }
        free.sort_unstable();
    }
    (ordered, sums)
}

/// The path that lies closest around each.
fn around(paths: &[CutPath], bounds: &[Rect]) -> Vec<Option<usize>> {
    let mut by_size: Vec<usize> = (0..paths.len()).collect();
    by_size.sort_by(|a, b| bounds[*a].area().total_cmp(&bounds[*b].area()).then(a.cmp(b)));
    let mut around = vec![None; paths.len()];
    for (rank, &inner) in by_size.iter().enumerate() {
        let Some(at) = start(&paths[inner].path) else { continue };
        around[inner] = by_size[rank + 1..].iter().copied().find(|&outer| {
            let fits = bounds[outer].contains_rect(bounds[inner]) && paths[outer].closed;
            fits && paths[outer].path.winding(at) != 0
        });
    }
    around
}

/// How far a point lies off a rectangle.
fn off(r: Rect, p: Point) -> f64 {
    Point::new(p.x.clamp(r.x0, r.x1), p.y.clamp(r.y0, r.y1)).distance(p)
}

/// The same closed path from another of its corners.
fn from_corner(path: &BezPath, corner: usize) -> BezPath {
    let mut segments: Vec<PathSeg> = path.segments().collect();
    if segments.is_empty() {
        return path.clone();
    }
    let corner = corner.min(segments.len() - 1);
    segments.rotate_left(corner);
    // The last line back is the closing itself.
    let mut out = BezPath::from_path_segments(segments.into_iter());
    out.close_path();
    out
}
