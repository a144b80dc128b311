//! The verdict on a join: what is measured there, held against the inside of the same tile.

use super::band::band;
use super::broken::broken;
use super::chord;
use super::copies::{copies, paler};
use super::displaced::{Sides, displaced};
use super::faded::faded;
use super::fault::{Fault, FaultKind, Places, Told};
use super::ground::ground;
use super::image::{Image, REACH, Side, Strip};
use super::inside::{Inside, quantile};
use super::lattice::along;
use super::lines::lines;
use super::measure::{Change, Measures, mirrored};
use super::profile::echo;
use super::severed::severed;
use super::witness::{Witness, witness};
use super::{Join, Verdict};

/// Judges one join of a picture; `colors` is the same with its colors, where it is its brightness alone, and
/// `lattice` the steps of the repeat inside; `deeper` those of one that only shows away from the edges.
pub(super) fn judge(
    image: &Image,
    colors: Option<&Image>,
    side: Side,
    lattice: [f64; 3],
    deeper: &dyn Fn() -> Option<[f64; 3]>,
) -> Join {
    let inside = Inside::of(image, side);
    let strip = Strip::around(image, side, 0);
    let noise = inside.noise;
    let plain = Measures::of(&strip, noise);
    let (slid, at) = best_slide(&strip, &plain, &inside);
    let places = Places { image, side };
    let mut faults = Vec::new();
    faults.extend(lines(&strip, &inside, places));
    if faults.is_empty() {
        faults.extend(copies(lattice, places));
    }
    let mut why = None;
    let mut add = |told, faults: &mut Vec<Fault>| match told {
        Some(Told::Fault(fault)) => faults.push(fault),
        Some(Told::Doubt(doubt)) => why = why.take().or(Some(doubt)),
        None => {}
    };
    if faults.is_empty() {
        add(band(&inside, places), &mut faults);
    }
    let again = along(lattice, side, image);
    let is_mirrored = mirrored(&strip);
    let witness = witness(image, side, again);
    if faults.is_empty() {
        faults.extend(witness.as_ref().and_then(|witness| witnessed(witness, places, is_mirrored)));
    }
    if let Some(witness) = witness.as_ref().filter(|witness| faults.is_empty() && !witness.torn.is_empty()) {
        let share = witness.torn.len() as f64 / 2.0;
        faults.push(Fault { witnessed: true, ..Fault::new(FaultKind::Broken, share, places.ends(&witness.torn)) });
    }
    // After packing every other sign is doubtful, where the witness is clear.
    let cleared = image.is_lossy() && witness.as_ref().is_some_and(Witness::clears);
    if faults.is_empty() && !cleared {
        add(doubled(image, &at, &inside, places), &mut faults);
    }
    if faults.is_empty() {
        let sides = Sides { plain: &plain, at: &at, slid, again, cleared };
        add(displaced(&sides, &inside, places), &mut faults);
    }
    faults.extend(ground(&plain, &inside, places, colors));
    if faults.is_empty() {
        faults.extend(deeper().map(|lattice| paler(lattice, places)).into_iter().flatten());
    }
    if faults.is_empty() && !is_mirrored {
        add(faded(&inside, places), &mut faults);
    }
    if faults.is_empty() && !cleared {
        add(broken(&plain, &inside, places), &mut faults);
    }
    if faults.is_empty() && at.crossings.is_empty() && !image.is_lossy() {
        faults.extend(chord::slipped(&strip, places));
    }
    let unseen =
        || blind(image.lines(side), &strip, &at, noise).filter(|_| !witness.as_ref().is_some_and(Witness::sound));
    let doubted =
        || why.or_else(|| severed(&inside, places)).or_else(|| doubt(&at, &inside, witness.as_ref())).or_else(unseen);
    let doubt = if faults.is_empty() { doubted() } else { None };
    let verdict = match (&faults[..], &doubt) {
        ([], None) => Verdict::Seamless,
        ([], Some(_)) => Verdict::Unsure,
        _ => Verdict::Fault,
    };
    let told = faults.iter().find(|fault| fault.kind == FaultKind::Slip).map(|fault| fault.amount);
    let fitted = (!at.crossings.is_empty() && at.fit.slip.error < 0.2).then_some(at.fit.slip.value + slid as f64);
    Join {
        side,
        verdict,
        slip: told.or(fitted),
        proven: verdict == Verdict::Seamless && witness.is_some_and(|w| w.sound()),
        faults,
        doubt,
        crossings: at.crossings.len(),
    }
}

/// The slide of one side along the other that lets most contours go on, and what is measured then.
fn best_slide(strip: &Strip, plain: &Measures, inside: &Inside) -> (isize, Measures) {
    let usual = inside.most(0.98, |m| Some(m.ended_share()));
    // Stairs of one phase step together; what the inside does, too, is no slip.
    let steps = inside.most(0.98, |m| m.fit.slip.error.is_finite().then(|| m.fit.slip.value.abs()));
    if plain.ended_share() <= usual.max(0.15) && plain.fit.slip.value.abs() < steps.max(0.8) {
        return (0, plain.clone());
    }
    let cost = |m: &Measures| m.ended_share() + 0.02 * m.jump;
    let tried = (-8..=8isize).filter(|by| *by != 0).map(|by| (by, Measures::of(&strip.slid(by), inside.noise)));
    tried.chain([(0, plain.clone())]).min_by(|(_, a), (_, b)| cost(a).total_cmp(&cost(b))).unwrap_or((0, plain.clone()))
}

/// So many lines must be looked at to say that hardly any are alike.
const ENOUGH: usize = 30;

/// A contour that moves more than this from line to line is no straight one.
const SLOPED: f32 = 0.12;

/// By how much two lines that are the same differ, as a share of what those beside them do.
const TWIN: f64 = 0.03;
const TWIN_PACKED: f64 = 0.12;

/// A line that stands twice: the last or the first beside itself, or the first once more at the end.
fn doubled(image: &Image, at: &Measures, inside: &Inside, places: Places) -> Option<Told> {
    let count = inside.changes.len();
    let echo_inside = || (REACH + 1..count.saturating_sub(REACH + 1)).filter_map(|at| echo(&inside.changes, at));
    let same_inside = echo_inside().filter(|share| *share == 0.0).count();
    let least = quantile(echo_inside().collect(), 0.005);
    let is_axis = |at: usize| mirrored(&Strip::around(image, places.side, at));
    let telling = |change: &Change| change.samples >= 4;
    let least_change = inside.most(0.01, |m| m.change.filter(telling).map(|change| change.share)).min(0.5);
    let fewest = if image.is_lossy() { 24 } else { 10 };
    let is_low = |change: Change| change.samples >= fewest && change.share < (0.6 * least_change).min(0.35);
    // Where every contour runs straight over the join, one line more or less is as good a design.
    let sloped = at.crossings.iter().filter(|crossing| crossing.slope.abs() > SLOPED).count();
    let straight = sloped < 2 && inside.noise < 1.0;
    let twice = |(i, line): &(usize, usize)| {
        let change = [at.beside[0], at.change, at.beside[1]][*i];
        let echo = echo(&inside.changes, *line);
        // Two lines that are the same in every pixel, as hardly any two are inside.
        let rare = if straight { 400 } else { 100 };
        let enough = echo_inside().count() >= (same_inside * rare).max(ENOUGH);
        let same = !image.is_lossy() && echo == Some(0.0) && enough;
        let lively = inside.changes[(line + 1) % count] > 0.5 + inside.noise;
        let twin = if image.is_lossy() { TWIN_PACKED } else { TWIN };
        let nearly = lively && echo.is_some_and(|share| share < (0.35 * least).min(twin));
        // Some samples may be alike by chance, but then the others are not.
        let hardly = change.is_some_and(is_low) && echo.is_none_or(|share| share < twin);
        (same || (!straight && (nearly || hardly))) && !is_axis(*line)
    };
    let (offset, _) = [count - 1, 0, 1].into_iter().enumerate().find(twice)?;
    // Over the join itself, and not beside it, so does the middle of a bar.
    if straight && offset == 1 {
        let line = places.side.line();
        return Some(Told::Doubt(format!(
            "two {line}s at this join are the same in every pixel: a {line} stands twice, or what crosses here runs straight there; count the pixels of the page, or look at it through the loupe"
        )));
    }
    Some(Told::Fault(Fault::new(FaultKind::Doubled, 1.0, vec![places.line(if offset == 0 { -1 } else { 0 })])))
}

/// What the same motif says that lies whole elsewhere.
///
/// A motif that lies mirrored at the join is nearly itself with a line more or less there.
fn witnessed(witness: &Witness, places: Places, is_mirrored: bool) -> Option<Fault> {
    let (kind, amount) = match witness.off() {
        Some([0, along]) => (FaultKind::Slip, along as f64),
        Some(_) if is_mirrored => return None,
        Some([across, _]) if across < 0 => (FaultKind::Missing, -across as f64),
        Some([across, _]) => (FaultKind::Doubled, across as f64),
        None => (FaultKind::Slip, witness.off_between()?),
    };
    Some(Fault { witnessed: true, ..Fault::new(kind, amount, vec![places.line(0)]) })
}

/// Why it can't be told, if so.
/// Something crosses the join, no contour of it could be followed, and its lines are no more alike as they lie than
/// moved along; or there is nothing to hold it against.
fn blind(lines: usize, strip: &Strip, at: &Measures, noise: f64) -> Option<String> {
    let pixels = |line: isize| strip.line(line).chunks_exact(strip.channels);
    let far = |a: &[f32], b: &[f32]| a.iter().zip(b).map(|(a, b)| f64::from((a - b).abs())).fold(0.0, f64::max);
    let lively = |line: isize| {
        let changes = pixels(line).zip(pixels(line).skip(2)).map(|(a, b)| far(a, b));
        changes.fold(0.0, f64::max) > FAINT + 3.0 * noise
    };
    if !(lively(-1) && lively(0)) {
        return None;
    }
    if lines < SMALLEST {
        return Some(format!(
            "a tile of {lines} px is too small to be judged; judge a piece of cloth with several of them"
        ));
    }
    // One line moved along the other, as if it had slipped; the rest that hangs over is left out.
    let moved = |by: usize, one: isize, other: isize| -> f64 {
        let pairs = pixels(one).skip(by).zip(pixels(other));
        let (sum, count) = pairs.fold((0.0, 0.0), |(sum, count), (a, b)| (sum + far(a, b), count + 1.0));
        sum / f64::max(count, 1.0)
    };
    let slipped = (1..=3).flat_map(|by| [moved(by, -1, 0), moved(by, 0, -1)]).fold(f64::INFINITY, f64::min);
    let alike = moved(0, -1, 0) < ALIKE * slipped;
    (at.crossings.is_empty() && !alike).then(|| {
        "what crosses this join is too small or too faint to be followed over it: look at it through the loupe".into()
    })
}

/// What two lines may differ by, as a share of what they differ by when one is moved along.
const ALIKE: f64 = 0.6;

/// Of fewer lines, hardly any lie inside.
const SMALLEST: usize = 24;

/// Levels that a line may change by along it, and hold nothing.
const FAINT: f64 = 4.0;

fn doubt(at: &Measures, inside: &Inside, witness: Option<&Witness>) -> Option<String> {
    if witness.is_some_and(Witness::sound) {
        return None;
    }
    if witness.is_some_and(Witness::doubts) {
        return Some("a few places of a motif that is cut here lie some pixels nearer or farther than in the same motif elsewhere in the tile; packing may have made them so: look at it through the loupe, or judge the file that was not packed".into());
    }
    let gap = at.fit.gap;
    let usual = inside.most(0.9, |m| (m.fit.gap.error < 0.3).then(|| m.fit.gap.value.abs()));
    (gap.error < 0.3 && gap.value.abs() > usual.max(0.35) && gap.differs(0.0) > 3.0)
        .then(|| "the contours that cross this join bend there as if a line were missing or stood twice, and nothing else in the tile confirms it: count the pixels of the page, or look at it through the loupe".into())
}
