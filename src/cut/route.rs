//! The order of cutting: what lies inside before what lies around it, and of those that may be next the nearest.

use kurbo::{BezPath, ParamCurve, ParamCurveArclen, PathSeg, Point, Rect, Shape as _};

use super::job::CutPath;
use super::nearest::{Begin, Begins};
use super::nested::around;
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

pub(super) fn start(path: &BezPath) -> Option<Point> {
    path.segments().next().map(|segment| segment.start())
}

fn end(path: &BezPath) -> Option<Point> {
    path.segments().last().map(|segment| segment.end())
}

/// Where a path may begin: a closed one at each of its corners.
fn begins(number: usize, path: &CutPath) -> impl Iterator<Item = Begin> + '_ {
    let corners = path.path.segments().take(if path.closed { usize::MAX } else { 1 });
    let number = u32::try_from(number).unwrap_or(u32::MAX);
    (0..).zip(corners).map(move |(corner, segment)| Begin { at: segment.start(), path: number, corner })
}

/// Puts paths in order. Closed ones begin at the corner that is nearest to where the one before ended.
pub(super) fn route(paths: Vec<CutPath>, speeds: [Length; 2]) -> (Vec<CutPath>, Route) {
    let bounds: Vec<Rect> = paths.iter().map(|path| path.path.bounding_box()).collect();
    let around = around(&paths, &bounds);
    let mut inside = vec![0_usize; paths.len()];
    around.iter().flatten().for_each(|outer| inside[*outer] += 1);
    let mut begins =
        Begins::new(paths.iter().enumerate().flat_map(|(number, path)| begins(number, path)).collect(), paths.len());
    (0..paths.len()).filter(|path| inside[*path] == 0).for_each(|path| begins.set(path, true));
    let mut waiting: Vec<Option<CutPath>> = paths.into_iter().map(Some).collect();
    let (mut ordered, mut sums, mut here) = (Vec::with_capacity(waiting.len()), Route::default(), Point::ZERO);
    while let Some(next) = begins.nearest(here) {
        let index = next.path as usize;
        begins.set(index, false);
        let Some(mut path) = waiting[index].take() else { continue };
        if path.closed {
            path.path = from_corner(&path.path, next.corner as usize);
        }
        sums.add(&path, ordered.last(), speeds);
        here = end(&path.path).unwrap_or(here);
        ordered.push(path);
        if let Some(outer) = around[index] {
            inside[outer] -= 1;
            if inside[outer] == 0 {
                begins.set(outer, true);
            }
        }
    }
    (ordered, sums)
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
