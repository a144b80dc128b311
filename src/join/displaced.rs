//! Sides that lie otherwise to each other than the contours that cross the join ask for: a slip along
//! it, or a gap across it. Told by the fit of all of them, by those of one motif, or by very few.

use super::fault::{Fault, FaultKind, Places, Told};
use super::fit::{Fit, median};
use super::inside::{Inside, quantile};
use super::measure::Measures;
use super::track::Crossing;

/// The fewest contours that a fit needs.
const FEWEST: usize = 3;
/// The fewest that tell a gap, and the share of all that must agree.
const MANY: usize = 8;
const MOST: f64 = 0.6;
/// The share of contours that may step the other way.
const AGAINST: f64 = 0.15;
/// A contour that runs more aslant tells a gap, in pixels from line to line.
const ASLANT: f32 = 0.15;
/// A contour that steps aside by less, in pixels, goes on.
const STILL: f32 = 0.15;

const WIDENS: &str = "contours that cross this join step aside there, but not all the same way: a side slipped, or a shape just widens there; look at it through the loupe";

/// Where one side lies that does not lie as the contours of the other one ask for: `plain` is what is measured as they
/// lie, `at` the same with one of them `slid` along, where most contours go on.
pub(super) struct Sides<'a> {
    pub(super) plain: &'a Measures,
    pub(super) at: &'a Measures,
    pub(super) slid: isize,
    /// How often what lies at the join lies there again, further along it: its contours say the same again.
    pub(super) again: usize,
    /// A witness clears the join. Then only what is well told counts: after packing it can't see half a pixel.
    pub(super) cleared: bool,
}

/// What is said of how the sides lie.
pub(super) fn displaced(sides: &Sides, inside: &Inside, places: Places) -> Option<Told> {
    let Sides { plain, at, slid, again, cleared } = *sides;
    let fault = |kind, amount| Told::Fault(Fault::new(kind, amount, places.crossings(&at.crossings)));
    let slip = at.fit.slip.value + slid as f64;
    // As many contours that agree as well, elsewhere.
    let (agreeing, scatter) = (at.crossings.len(), (1.5 * at.fit.scatter).max(0.1));
    let usual = inside
        .most(0.98, |m| (m.crossings.len() >= agreeing && m.fit.scatter <= scatter).then(|| m.fit.slip.value.abs()));
    let clear = at.fit.slip.differs(-(slid as f64));
    let usually_clear = inside.most(0.98, |m| m.fit.slip.error.is_finite().then(|| m.fit.slip.differs(0.0)));
    let any = inside.most(0.98, |m| m.fit.slip.error.is_finite().then(|| m.fit.slip.value.abs()));
    let stands_out = slip.abs() > (1.4 * usual).max(any).max(0.3)
        || (slip.abs() > any.max(0.35) && clear > (1.5 * usually_clear).max(6.0));
    // In a photograph a few contours agree by chance: those that really go on are as many as inside.
    let telling = inside.noise < 1.0 || (agreeing >= 6 && goes_on(at, inside));
    // A shape that widens at the join steps both ways.
    let against =
        plain.crossings.iter().filter(|crossing| f64::from(crossing.excess) * slip.signum() < -0.4 * slip.abs());
    let is_shape = against.count() as f64 > AGAINST * plain.crossings.len() as f64;
    let enough = telling && agreeing >= FEWEST * again && (!cleared || (clear > 6.0 && at.fit.slip.error < 0.1));
    if stands_out
        && enough
        && !is_stairs(plain, slip, inside)
        && at.fit.slip.error < 0.5
        && agree(at, inside)
        && clear > 4.0
    {
        return Some(if is_shape { Told::Doubt(WIDENS.into()) } else { fault(FaultKind::Slip, slip) });
    }
    if cleared {
        return None;
    }
    let usual = inside.most(0.99, |m| Some(m.strayed.abs()));
    // Where single contours inside step as far, some may do so together by chance.
    if inside.noise < 1.0
        && at.strayed.abs() > (1.5 * usual).max(1.3 * excess_inside(inside, 0.9)).max(0.45)
        && slid == 0
    {
        return Some(fault(FaultKind::Slip, at.strayed));
    }
    if let Some(slip) = few(plain, slid, inside).or_else(|| moved(at, slid, inside)) {
        return Some(fault(FaultKind::Slip, slip));
    }
    // Packing bends all that runs aslant.
    let sloped = at.crossings.iter().filter(|crossing| crossing.slope.abs() > ASLANT).count();
    let usual = inside.most(0.98, |m| (m.fit.gap.error < 0.3).then(|| m.fit.gap.value.abs()));
    let gap = at.fit.gap;
    // Where contours inside step together, as the stairs of one phase do, they bend at the join by as much.
    if (0.5f64.max(1.6 * usual)..1.6).contains(&gap.value.abs())
        && agreeing >= MANY * again
        && (!places.image.is_lossy() || (inside.noise < 1.0 && sloped >= MANY))
        && telling
        && gap.value.abs() > any
        && gap.error < 0.2
        && agree(at, inside)
        && gap.differs(0.0) > 5.0
    {
        let kind = if gap.value > 0.0 { FaultKind::Missing } else { FaultKind::Doubled };
        return Some(fault(kind, gap.value.abs()));
    }
    None
}

/// The slip on which contours agree that are too few for a fit; one alone tells it if it is straight, or
/// if it steps twice as far as next to none inside, and some if each of them steps aside farther than these, the same
/// way.
fn few(plain: &Measures, slid: isize, inside: &Inside) -> Option<f64> {
    let excess: Vec<f64> = plain.crossings.iter().map(|crossing| f64::from(crossing.excess)).collect();
    let (least, most) = excess.iter().fold((f64::MAX, f64::MIN), |(a, b), e| (a.min(*e), b.max(*e)));
    let own = f64::midpoint(least, most);
    let (rare, usual) = (excess_inside(inside, 0.99), excess_inside(inside, 0.95));
    // Where most end, the sides are not of one motif.
    let is_one = slid == 0 && plain.ended.len() <= plain.crossings.len();
    let nearest = if least.signum() * most.signum() > 0.0 { least.abs().min(most.abs()) } else { 0.0 };
    let agree = match excess.len() {
        2.. if inside.noise >= 1.0 => nearest > (2.0 * rare).max(0.5),
        _ if inside.noise >= 1.0 => false,
        1 => is_one && ((plain.crossings[0].slope.abs() < 0.05 && usual < 0.1) || own.abs() > 2.0 * rare),
        2 | 3 => is_one && (most - least < 0.4 * own.abs() || nearest > 2.0 * rare),
        4.. => nearest > 1.1 * rare,
        _ => false,
    };
    (agree && own.abs() > (1.3 * usual).max(0.4)).then_some(own)
}

/// The slip after which contours go on that are too few for a fit, as next to none of them do now.
fn moved(at: &Measures, slid: isize, inside: &Inside) -> Option<f64> {
    let slips: Vec<f64> = at.crossings.iter().map(|crossing| slid as f64 + f64::from(crossing.excess)).collect();
    let goes_on = slips.len() >= 4 && 3 * at.ended.len() <= slips.len();
    let rare = excess_inside(inside, 0.99).max(0.3);
    let far = slips.iter().all(|slip| slip * slid as f64 > 0.0 && slip.abs() > 2.0 * rare);
    (slid != 0 && goes_on && far).then(|| median(slips))
}

/// Whether contours are stairs, as of slanting stripes, some of which step at the join and the others don't: inside,
/// some do as well.
fn is_stairs(plain: &Measures, slip: f64, inside: &Inside) -> bool {
    let still = plain.crossings.iter().filter(|crossing| crossing.excess.abs() < STILL).count();
    excess_inside(inside, 0.9) > 0.7 * slip.abs() && still as f64 > 0.2 * plain.crossings.len() as f64
}

/// The excess that so great a share of the contours inside does not exceed.
fn excess_inside(inside: &Inside, share: f64) -> f64 {
    let all = inside.measures.iter().flat_map(|m| &m.crossings);
    quantile(all.map(|crossing| f64::from(crossing.excess.abs())).collect(), share)
}

/// Whether as large a share of the contours go on over the join as inside the tile, and about as many.
fn goes_on(at: &Measures, inside: &Inside) -> bool {
    let usual = inside.most(0.5, |m| Some(m.crossings.len() as f64));
    let usually_ended = inside.most(0.5, |m| Some(m.ended_share()));
    at.crossings.len() as f64 >= 0.8 * usual && at.ended_share() <= (1.3 * usually_ended).max(0.2)
}

/// Whether the contours tell the same, as they do inside the tile, or much more than they differ by.
fn agree(at: &Measures, inside: &Inside) -> bool {
    let usual = inside.most(0.5, |m| m.fit.scatter.is_finite().then_some(m.fit.scatter));
    let told = at.fit.slip.value.abs().max(at.fit.gap.value.abs());
    let Fit { slip, gap, scatter } = at.fit;
    let far =
        |crossing: &&Crossing| (f64::from(crossing.excess) - slip.value - gap.value * f64::from(crossing.slope)).abs();
    let near = at.crossings.iter().filter(|crossing| far(crossing) < (3.0 * scatter).max(0.15)).count();
    near as f64 > MOST * at.crossings.len() as f64 && (scatter < (1.5 * usual).max(0.25) || scatter < 0.4 * told)
}
