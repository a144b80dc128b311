//! A copy that the join has torn: the same motif lies whole inside the tile and goes on there, and at the join does not.
//! Points of its other half can't tell, since there are none.

use super::fit::middle_level;
use super::point::{PATCH, View};
use super::witness::Home;

/// So many points tell that a copy lies there.
const FEW: usize = 2;
/// Places nearer to each other along the join are of one copy.
const NEAR: i64 = 24;
/// What is the same differs by less, in levels; after packing, by less than the second. What is another color differs
/// by more than the third, and ink from its ground by more than the last.
const SAME: u8 = 4;
const SAME_PACKED: u8 = 16;
const OTHER: u8 = 48;
const INK: u8 = 24;
/// So many samples beside each other are torn, if one is.
const SHORTEST: usize = 6;

/// Where copies are torn that begin at the line `own` beside the join, and should go on in `other`: by places along it.
pub(super) fn torn(view: &View, home: &Home, [own, other]: [i64; 2]) -> Vec<f32> {
    let View { image, side } = *view;
    let (lines, length) = (image.lines(side) as i64, image.length(side) as i64);
    let same = if image.is_lossy() { SAME_PACKED } else { SAME };
    let apart = |a: &[u8], b: &[u8]| a.iter().zip(b).map(|(a, b)| a.abs_diff(*b)).max().unwrap_or(0);
    let line = own.rem_euclid(lines) as usize;
    let level = |c: usize| middle_level(image.line(side, line).map(move |pixel| pixel[c])) as u8;
    let ground: Vec<u8> = (0..image.channels()).map(level).collect();
    let is_torn = |along: i64| {
        let [across, over] = [own + home.step[0], along + home.step[1]];
        let next = other + home.step[0];
        if across.min(next) < 0 || across.max(next) >= lines || !(0..length).contains(&over) {
            return false;
        }
        let [here, beyond] = [own, other].map(|line| view.pixel(line, along));
        let [there, on] = [across, next].map(|line| view.pixel(line, over));
        let is_inked = apart(here, &ground) > INK && apart(there, on) < INK;
        is_inked && apart(here, there) <= same && apart(beyond, on) > OTHER
    };
    let mut found: Vec<i64> = home.found.iter().map(|at| at[1]).collect();
    found.sort_unstable();
    let copies = found.chunk_by(|a, b| b - a < NEAR).filter(|copy| copy.len() >= FEW);
    let mut places = Vec::new();
    for copy in copies {
        let along: Vec<i64> = ((copy[0] - PATCH).max(0)..(copy[copy.len() - 1] + PATCH + 1).min(length)).collect();
        let runs = along.chunk_by(|a, b| is_torn(*a) == is_torn(*b));
        let torn = runs.filter(|run| run.len() >= SHORTEST && is_torn(run[0]));
        places.extend(torn.flat_map(|run| [run[0] as f32, run[run.len() - 1] as f32]));
    }
    places
}
