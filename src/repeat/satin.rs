//! Satins: one place in each of so many columns and rows, as the binding points of the weave lie.

use super::layout::{Layout, LayoutError};
use super::share::gcd;

/// The step of the most even satin of so many ends: its binding points lie as far from each other as
/// they can. Steps that share a divisor with the ends miss rows; 1 and one less than the ends draw a
/// twill line (A. Wolfensberger, Theory of Silk Weaving, 2nd ed., 1921, on satins). `None` for 4, 6 and
/// fewer than 5 ends, which have none. Of two steps that are alike, turned over, the smaller.
pub fn satin_step(ends: i64) -> Option<i64> {
    let nearest = |step: i64| {
        // The nearest of all points but itself, squared, in cells.
        let column = |i: i64| {
            let j = (i * step).rem_euclid(ends);
            i * i + j.min(ends - j).pow(2)
        };
        (1..ends).map(column).min().unwrap_or(0)
    };
    let steps = (2..ends / 2 + 1).filter(|step| is_satin(ends, *step));
    steps.max_by_key(|step| (nearest(*step), -step))
}

fn is_satin(ends: i64, step: i64) -> bool {
    (2..=ends - 2).contains(&step) && gcd(ends, step) == 1
}

/// `8` or `8/3`, from behind `satin=`.
pub(super) fn satin(text: &str, value: &str) -> Result<Layout, LayoutError> {
    let wrong = |why| LayoutError::Satin { text: text.trim().into(), why };
    let (ends, step) = value.split_once('/').map_or((value, None), |(ends, step)| (ends.trim(), Some(step.trim())));
    let ends: i64 = ends.parse().map_err(|_| wrong("it needs a whole number of ends"))?;
    if !(5..=64).contains(&ends) {
        return Err(wrong("a satin has from 5 to 64 ends"));
    }
    let most_even = satin_step(ends).ok_or_else(|| wrong("no step passes through all 6 rows without a twill line"))?;
    let step = match step {
        None => most_even,
        Some(step) => step.parse().map_err(|_| wrong("the step is a whole number"))?,
    };
    if !is_satin(ends, step) {
        return Err(wrong(
            "the step must have no divisor in common with the ends, and lie between 2 and the ends less 2",
        ));
    }
    Ok(Layout::Satin { ends, step })
}
