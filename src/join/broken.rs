//! Contours that end at a join: where its sides do not belong together, or where an edge was drawn along it.
//!
//! At a drawn edge, as in a plaid, contours end, too; but then they end at others of its kind inside the tile.

use super::fault::{Fault, FaultKind, Places, Told};
use super::ground::SLIGHT;
use super::image::REACH;
use super::inside::Inside;
use super::measure::Measures;

/// So many edges of a kind inside the tile make one on the join another of them.
const A_KIND: usize = 2;

/// A change so many times as abrupt as the most abrupt one inside, at which so many contours end, and such a share of
/// all, says it whatever else is in the tile.
const ABRUPT: f64 = 1.5;
const MANY: usize = 8;
const MOST: f64 = 0.5;
/// Half as many and half as abrupt make it doubtful.
const UNUSUAL: f64 = 1.25;
const SOME: usize = 5;
/// Where all that reaches the join ends there, be it only the two sides of one motif, so abrupt a change is enough.
const ALONE: f64 = 4.0;

/// What is said of contours that do not go on.
pub(super) fn broken(plain: &Measures, inside: &Inside, places: Places) -> Option<Told> {
    let (ended, share) = (plain.ended.len(), plain.ended_share());
    let usual = inside.most(0.98, |m| Some(m.ended_share()));
    let jumps = ratio(plain) > (1.3 * inside.most(0.9, |m| Some(ratio(m)))).max(1.4);
    let most = inside.most(1.0, |m| Some(ratio(m)));
    let ends = ended >= 3 && ended + plain.crossings.len() >= 4 && jumps;
    let many_end = ends && share > (2.0 * usual).max(0.35);
    let abrupt = |times: f64| ends && ratio(plain) > times * most && share > 1.2 * usual;
    // As many contours end there, and as much changes.
    let is_edge = |m: &Measures| m.ended.len() * 2 >= ended && m.jump > 0.5 * plain.jump;
    let edges = inside.measures.iter().filter(|m| is_edge(m)).count();
    // What steps alike all along the join is an edge that someone drew; a slight one, if there is another one.
    let even = plain.step.filter(|step| step.share > 0.5 && step.size() > 0.5 * plain.jump);
    let is_drawn = even.is_some_and(|step| edges > 0 || step.size() > SLIGHT);
    // Packing blurs an edge inside one of its squares, and not one between two of them.
    let is_one_of_many = places.image.is_lossy() && edges >= A_KIND;
    let clearly = abrupt(ABRUPT) && ended >= MANY && share > MOST && !is_one_of_many;
    if !is_drawn && (clearly || (many_end && edges == 0 && inside.over_hardest() > 0.8)) {
        return Some(Told::Fault(Fault::new(FaultKind::Broken, share, places.ends(&plain.ended))));
    }
    let is_alone = ended >= 2 && plain.crossings.is_empty() && ratio(plain) > ALONE;
    let is_doubtful = many_end || is_alone || (abrupt(UNUSUAL) && ended >= SOME && share > 0.35);
    if is_doubtful && kind(inside, |m| is_edge(m) && ratio(m) > 0.5 * ratio(plain)) < A_KIND {
        return Some(Told::Doubt(format!(
            "{ended} contours end at this join: its sides don't belong together, or an edge was drawn along it that lies nowhere else in the tile; look at it through the loupe"
        )));
    }
    let times = if places.image.is_lossy() { 1.6 } else { 1.2 };
    let is_noise = even.is_none() && ratio(plain) > (2.0 * most).max(2.5) && inside.over_hardest() > times;
    is_noise.then(|| Told::Fault(Fault::new(FaultKind::Noise, plain.jump, vec![places.line(0)])))
}

/// How many boundaries inside are of a kind, those that lie beside one another counted once.
fn kind(inside: &Inside, is_one: impl Fn(&Measures) -> bool) -> usize {
    let mut at: Vec<usize> =
        inside.at.iter().zip(&inside.measures).filter(|(_, m)| is_one(m)).map(|(at, _)| *at).collect();
    at.sort_unstable();
    at.chunk_by(|a, b| b - a <= REACH).count()
}

/// The change over a boundary as a multiple of the changes beside it.
fn ratio(m: &Measures) -> f64 {
    m.jump / (0.5 * (m.jumps_beside[0] + m.jumps_beside[1])).max(0.3)
}
