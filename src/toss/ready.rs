//! Before anything is laid: shapes made ready, and wishes that contradict themselves refused.

use super::bodies::{Body, Ground};
use super::contact::lying;
use super::error::TossError;
use super::length;
use super::outlines::near;
use super::scatter::body;
use super::shape::Shape;
use super::torus::Torus;
use super::wishes::{Turns, Wishes};

/// Makes all shapes ready, those of fixed motifs behind the kinds', and looks whether the wishes can be met at all.
pub(super) fn ground(torus: &Torus, wishes: &Wishes) -> Result<(Ground, Vec<Body>), TossError> {
    let step = length(torus.steps()[0]);
    if !(wishes.gap >= 0.0 && wishes.gap < step) {
        return Err(TossError::Gap { gap: wishes.gap, step });
    }
    let mains = || wishes.kinds.iter().filter(|kind| !kind.filler);
    if wishes.kinds.is_empty() {
        return Err(TossError::NoKind);
    }
    if mains().next().is_none() {
        return Err(TossError::OnlyFillers);
    }
    if let Some(kind) = wishes.kinds.iter().position(|k| !(k.sizes[0] > 0.0 && k.sizes[0] <= k.sizes[1])) {
        return Err(TossError::Sizes { kind, sizes: wishes.kinds[kind].sizes });
    }
    let shares_of = |filler: bool| wishes.kinds.iter().filter(move |k| k.filler == filler).map(|k| k.share);
    let none = |filler: bool| shares_of(filler).next().is_some() && shares_of(filler).sum::<f64>() <= 0.0;
    if wishes.kinds.iter().any(|k| !(k.share >= 0.0 && k.share.is_finite())) || none(false) || none(true) {
        return Err(TossError::Shares);
    }
    if wishes.apart.is_some() && mains().all(|kind| mains().next().is_some_and(|first| kind.family == first.family)) {
        return Err(TossError::Alone);
    }
    if let Some(apart) = wishes.apart.filter(|apart| *apart >= step) {
        return Err(TossError::Apart { apart, step });
    }
    let mut shapes = Vec::new();
    for (kind, k) in wishes.kinds.iter().enumerate() {
        let reach = 1.5 * wishes.gap / k.sizes[0];
        shapes.push(Shape::new(&k.silhouette, reach).ok_or(TossError::NoInk { kind })?);
    }
    let (mut fixed, mut origins) = (Vec::new(), Vec::new());
    for (origin, one) in wishes.fixed.iter().enumerate() {
        // What lies fixed and has no ink is in nobody's way.
        let Some(mut shape) = Shape::new(&one.silhouette, 1.5 * wishes.gap) else { continue };
        if one.bare {
            shape.area = 0.0;
        }
        let at = shape.middle;
        let whole = Body {
            shape: shapes.len(),
            at,
            size: 1.0,
            turn: 0.0,
            way: (0.0, 1.0),
            fixed: true,
            filler: false,
            family: one.family,
            place: 0,
        };
        shapes.push(shape);
        fixed.push(whole);
        origins.push(origin);
    }
    let bare = Ground { torus: torus.clone(), shapes, gap: wishes.gap, apart: None };
    if let Some(error) = too_near(&bare, wishes, &fixed, &origins).or_else(|| too_large(&bare, wishes)) {
        return Err(error);
    }
    let shapes = bare.shapes;
    // Rounding moves an outline by no more than this.
    let Grains { at, turn } = Grains::of(wishes, &shapes);
    let gap = wishes.gap + 2.0 * (at + turn);
    Ok((Ground { torus: torus.clone(), shapes, gap, apart: wishes.apart }, fixed))
}

/// Two that lie fixed nearer than the gap, or one and its own copy a step away, unless it may be. How one lies to its
/// mirrored and turned images is the person's business: they meet on purpose.
fn too_near(ground: &Ground, wishes: &Wishes, fixed: &[Body], origins: &[usize]) -> Option<TossError> {
    let free: Vec<Body> = fixed.iter().map(|body| Body { fixed: false, ..*body }).collect();
    ground.pairs(&free, 0.0).into_iter().find_map(|pair| {
        let both = [pair.one, pair.other].map(|n| origins[n as usize]);
        let [xx, yx, xy, yy, ..] = pair.image.as_coeffs();
        let meant = pair.one == pair.other && [xx, yx, xy, yy] != [1.0, 0.0, 0.0, 1.0];
        if meant || both.iter().any(|n| wishes.fixed[*n].overlap) {
            return None;
        }
        let (a, b) = lying(ground, &free, &pair);
        // Their slack is not held against them: as they lie, so they stay.
        let found = near(a, b, ground.gap)?;
        Some(TossError::FixedTooNear { fixed: both, near: found.distance, at: found.a })
    })
}

/// A kind that comes too near to its own copies a step away, however it is turned.
fn too_large(ground: &Ground, wishes: &Wishes) -> Option<TossError> {
    let steps = Torus::new(ground.torus.steps(), &[]).ok()?;
    let alone = Ground { torus: steps, ..ground.clone() };
    (0..wishes.kinds.len()).find_map(|kind| {
        let tried = wishes.turns.count().unwrap_or(36);
        let mut most = 0.0_f64;
        for n in 0..tried {
            let body = [body(&wishes.kinds, kind, wishes.kinds[kind].sizes[0]).turned(360.0 * n as f64 / tried as f64)];
            let nears = alone.pairs(&body, 0.0).into_iter().filter_map(|pair| {
                let (a, b) = lying(&alone, &body, &pair);
                near(a, b, pair.gap).map(|near| near.distance)
            });
            most = most.max(nears.fold(f64::INFINITY, f64::min));
        }
        most.is_finite().then_some(TossError::TooLarge { kind, near: most })
    })
}

/// How far rounding a place and a turn moves an outline at most.
struct Grains {
    at: f64,
    turn: f64,
}

impl Grains {
    fn of(wishes: &Wishes, shapes: &[Shape]) -> Grains {
        let farthest = wishes.kinds.iter().zip(shapes).map(|(k, shape)| k.sizes[1] * shape.radius).fold(0.0, f64::max);
        let turn = if wishes.turns == Turns::Any { wishes.grain.turn.to_radians() / 2.0 * farthest } else { 0.0 };
        // A size at the end of its range is rounded, too.
        Grains { at: wishes.grain.length * (0.7072 + 0.5), turn }
    }
}
