//! Through the loupe: print pixels at the joins and at each fault, enlarged and never smoothed.
//!
//! A look is a row of windows. The join is marked outside of them, so that no pixel is covered.

use super::frame::{Frame, FrameError, Held, INDIGO, LINEN, MADDER};
use super::view::View;
use crate::join::{Area, Image, Join, Side};

/// A pixel is a square of so many.
pub const TIMES: usize = 12;
/// Pixels of the tile in a window, across and down.
const SEEN: usize = 32;
/// The most windows of a look.
const WINDOWS: usize = 3;
/// The most faults that are shown; the findings name all.
const FAULTS: usize = 12;
const GAP: usize = 28;
const ABOVE: usize = 66;
const BELOW: usize = 40;

/// A row of windows, and what it shows.
pub struct Look {
    /// What is seen.
    pub title: String,
    /// All of the title stands in the picture.
    pub is_whole: bool,
    /// The picture, with its words.
    pub view: View,
}

/// A window's middle, and what of it is marked: joins through it, a fault's area.
struct Place {
    middle: [usize; 2],
    joins: [bool; 2],
    area: Option<Area>,
}

/// A look at each join where most happens along it, at the corner where four tiles meet, and at each fault.
pub(super) fn looks(tile: &Image, joins: &[Join]) -> Result<Vec<Look>, FrameError> {
    let mut looks = Vec::new();
    for side in joins.iter().map(|join| join.side) {
        let mut title = format!("the {} join", side.name());
        let mut along = busiest(tile, side, 0, [0, tile.length(side)]);
        if along.is_empty() {
            title += ": nothing crosses it, one color all along";
            along.push(tile.length(side) / 2);
        }
        looks.push(look(tile, title, along.into_iter().map(|at| on_join(side, at)).collect())?);
    }
    // A border has no corner where four tiles meet.
    if joins.len() == Side::BOTH.len() {
        let corner = Place { middle: [0, 0], joins: [true, true], area: None };
        looks.push(look(tile, "the corner where four tiles meet".into(), vec![corner])?);
    }
    let faults = joins.iter().flat_map(|join| join.faults.iter().map(move |fault| (join.side, fault)));
    for (side, fault) in faults.take(FAULTS) {
        let places =
            fault.areas.iter().take(WINDOWS).flat_map(|area| of_area(tile, side, *area)).take(WINDOWS).collect();
        looks.push(look(tile, fault.what(side), places)?);
    }
    Ok(looks)
}

/// All looks below each other.
pub(super) fn stacked(looks: &[Look]) -> View {
    let width = looks.iter().map(|look| look.view.width).max().unwrap_or(1);
    let height = looks.iter().map(|look| look.view.height).sum();
    let mut all = View::new(width, height, LINEN);
    let mut y = 0;
    for look in looks {
        all.put(&look.view, [0, y]);
        y += look.view.height;
    }
    all
}

fn on_join(side: Side, at: usize) -> Place {
    match side {
        Side::LeftRight => Place { middle: [0, at], joins: [true, false], area: None },
        Side::TopBottom => Place { middle: [at, 0], joins: [false, true], area: None },
    }
}

/// Windows on a fault: in a long area, where most happens.
fn of_area(tile: &Image, side: Side, area: Area) -> Vec<Place> {
    let (from, length, line) = match side {
        Side::LeftRight => (area.y, area.height, area.x),
        Side::TopBottom => (area.x, area.width, area.y),
    };
    let mut along = if length > SEEN { busiest(tile, side, line, [from, from + length]) } else { Vec::new() };
    if along.is_empty() {
        along.push(from + length / 2);
    }
    // An area at the edge is looked at together with the other side of its join.
    let near = line < SEEN / 2 || line + SEEN / 2 > tile.lines(side);
    let place = |at: usize| {
        let across = if near { 0 } else { line };
        let place = on_join(side, at);
        let middle = match side {
            Side::LeftRight => [across, place.middle[1]],
            Side::TopBottom => [place.middle[0], across],
        };
        Place { middle, joins: if near { place.joins } else { [false, false] }, area: Some(area) }
    };
    along.into_iter().map(place).collect()
}

/// Where along a line the pixels change most, windows apart; none if nothing changes.
fn busiest(tile: &Image, side: Side, line: usize, [from, end]: [usize; 2]) -> Vec<usize> {
    let count = tile.lines(side);
    let pixel = |line: usize, at: usize| match side {
        Side::LeftRight => tile.pixel(line % count, at),
        Side::TopBottom => tile.pixel(at, line % count),
    };
    let change = |at: usize| -> u64 {
        let before = if at == from { at } else { at - 1 };
        let differ = |a: &[u8], b: &[u8]| a.iter().zip(b).map(|(a, b)| u64::from(a.abs_diff(*b))).sum::<u64>();
        differ(pixel(line, at), pixel(line + count - 1, at)) + differ(pixel(line, at), pixel(line, before))
    };
    let mut sums = vec![0];
    for at in from..end {
        sums.push(sums[sums.len() - 1] + change(at));
    }
    let length = end - from;
    let seen = SEEN.min(length);
    let within = |start: usize| sums[start + seen] - sums[start];
    let mut found: Vec<usize> = Vec::new();
    let mut starts: Vec<usize> = (0..=length - seen).collect();
    starts.sort_by_key(|start| (std::cmp::Reverse(within(*start)), *start));
    for start in starts {
        if found.len() == WINDOWS || within(start) == 0 {
            break;
        }
        if found.iter().all(|other| other.abs_diff(start) >= seen) {
            found.push(start);
        }
    }
    found.sort_unstable();
    found.into_iter().map(|start| from + start + seen / 2).collect()
}

fn look(tile: &Image, title: String, places: Vec<Place>) -> Result<Look, FrameError> {
    let side = SEEN * TIMES;
    // One window leaves room for its words.
    let (width, height) = (GAP + places.len().clamp(2, WINDOWS) * (side + GAP), ABOVE + side + BELOW);
    let mut view = View::new(width, height, LINEN);
    let mut frame = Frame::pixels(width, height);
    let shown = shortened(&title, places.len().clamp(2, WINDOWS));
    frame.words([GAP as f64, 28.0], 17.0, Held::Left, INDIGO, &shown);
    for (n, place) in places.iter().enumerate() {
        let corner = [GAP + n * (side + GAP), ABOVE];
        let half = (SEEN / 2) as isize;
        let from = place.middle.map(|at| at as isize - half);
        view.put(&View::enlarged(tile, from, [SEEN; 2], TIMES), corner);
        mark(&mut frame, tile, corner, from, place);
    }
    view.lay(&frame.painted()?);
    Ok(Look { is_whole: shown == title, title, view })
}

/// Marks joins by wedges beside the window, a fault's area by a line around it, and says where the middle lies.
fn mark(frame: &mut Frame, tile: &Image, corner: [usize; 2], from: [isize; 2], place: &Place) {
    let [x, y] = corner.map(|at| at as f64);
    let side = (SEEN * TIMES) as f64;
    let middle = side / 2.0;
    // Just outside of the pixels.
    let around = format!("M{0} {1}h{2}v{2}h-{2}Z", x - 1.0, y - 1.0, side + 2.0);
    frame.lines(&around, 2.0, "#a99f8c");
    let wedge = |x: f64, y: f64, to: [f64; 2]| {
        let [dx, dy] = to;
        format!("M{x} {y}l{} {}l{} {}Z", dx - dy / 2.0, dy - dx / 2.0, dy, dx)
    };
    if place.joins[0] {
        let path = wedge(x + middle, y, [0.0, -14.0]) + &wedge(x + middle, y + side, [0.0, 14.0]);
        frame.shape(&path, MADDER, 1.0);
    }
    if place.joins[1] {
        let path = wedge(x, y + middle, [-14.0, 0.0]) + &wedge(x + side, y + middle, [14.0, 0.0]);
        frame.shape(&path, MADDER, 1.0);
    }
    if let Some(area) = place.area {
        let edges = |start: usize, length: usize, from: isize, side_px: usize| {
            // The copy that lies nearest to the window's middle, cut at the window.
            let (period, seen) = (side_px as isize, SEEN as isize);
            let middle = start as isize + length as isize / 2 - from - seen / 2;
            let start = (middle + period / 2).rem_euclid(period) - period / 2 - length as isize / 2 + seen / 2;
            [start, start + length as isize].map(|at| at.clamp(0, seen) as f64 * TIMES as f64)
        };
        let [left, right] = edges(area.x, area.width, from[0], tile.width());
        let [top, bottom] = edges(area.y, area.height, from[1], tile.height());
        let path = format!("M{} {}H{}V{}H{}Z", x + left, y + top, x + right, y + bottom, x + left);
        frame.lines(&path, 2.0, MADDER);
    }
    let shown = format!("around x {}, y {} px, {TIMES} ×", place.middle[0], place.middle[1]);
    frame.words([x, y + side + 32.0], 14.0, Held::Left, INDIGO, &shown);
}

/// As much as goes into a row.
fn shortened(title: &str, windows: usize) -> String {
    let most = 39 * windows;
    if title.chars().count() <= most { title.into() } else { title.chars().take(most - 1).chain(['…']).collect() }
}
