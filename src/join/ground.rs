//! A ground of two colors: what is flat on both sides of the join steps there, as nowhere inside.

use super::fault::{Fault, FaultKind, Places};
use super::image::{Image, Strip};
use super::inside::Inside;
use super::measure::Measures;

/// Grounds that differ by more are an edge that someone drew, if there is another one.
pub(super) const SLIGHT: f64 = 14.0;

/// Grounds of two colors. After packing, the brightness of two colors may be nearly the same, where the colors are not.
pub(super) fn ground(plain: &Measures, inside: &Inside, places: Places, colors: Option<&Image>) -> Option<Fault> {
    let told = step(plain, inside, places.image.is_lossy())?;
    let in_color = |colors| {
        let inside = Inside::of(colors, places.side);
        step(&Measures::of(&Strip::around(colors, places.side, 0), inside.noise), &inside, true)
    };
    let size = colors.map_or(Some(told), in_color)?;
    Some(Fault::new(FaultKind::Ground, size, vec![places.line(0)]))
}

/// By how much the ground steps, if that is no edge of the design.
fn step(plain: &Measures, inside: &Inside, is_lossy: bool) -> Option<f64> {
    let step = plain.step?;
    let is_slight = step.size() < SLIGHT;
    // Beside a slight step a drawn edge is nothing like it; beside a drawn one, any that runs as far is.
    let is_like = |m: &&Measures| {
        m.step.into_iter().chain(m.wide_step).any(|s| {
            let alike = if is_slight { 0.5 * step.size()..4.0 * step.size() } else { SLIGHT..f64::INFINITY };
            s.share > if is_slight { 0.25 } else { 0.8 * step.share } && alike.contains(&s.size())
        })
    };
    let none_inside = !inside.measures.iter().any(|m| is_like(&m));
    // An edge as hard may lie inside and not be flat on both sides there.
    let none_inside = none_inside && (is_slight || inside.over_hardest() > 2.0);
    let least = if is_lossy { 3.0 } else { 1.0 };
    let stands = step.share > 0.3 && step.size() >= least + 1.5 * inside.noise && none_inside;
    stands.then_some(step.size())
}
