//! Drawings → motifs, or the pieces of a page → plan, SVG and pixels.

use std::sync::OnceLock;

use seamfast::artwork::{ArtworkError, Croquis, Intake, LOSSES, Motif};

use super::{pick, plan};

/// Bytes beyond which an input is no longer looked at: speed is worth more.
const MOST_BYTES: usize = 32 << 10;

/// A drawing as a motif.
pub fn svg(data: &[u8]) {
    let take = |intake: &Intake| Motif::from_svg("fuzz", data, intake);
    if let Some(motif) = taken(data, take, Motif::losses) {
        plan::sound(&motif);
        let pick = pick(data);
        let motif = if pick % 4 == 3 { motif.trimmed() } else { motif };
        plan::sound(&motif);
        plan::laid(&[motif], pick);
    }
}

/// A drawing as a page laid out by hand.
pub fn page(data: &[u8]) {
    let take = |intake: &Intake| Croquis::from_svg("fuzz", data, intake);
    if let Some(page) = taken(data, take, |page| &page.losses) {
        assert!(!page.pieces.is_empty() || page.ground.is_some(), "a page of nothing");
        page.pieces.iter().for_each(plan::sound);
        plan::laid(&page.pieces, pick(data));
    }
}

/// Takes it strictly, and if that is refused for what it loses, with everything allowed.
fn taken<T>(
    data: &[u8],
    take: impl Fn(&Intake) -> Result<T, ArtworkError>,
    losses: impl Fn(&T) -> &[seamfast::artwork::Loss],
) -> Option<T> {
    if data.len() > MOST_BYTES {
        return None;
    }
    match take(strict()) {
        Ok(taken) => {
            assert!(losses(&taken).is_empty(), "lost in silence: {:?}", losses(&taken));
            Some(taken)
        }
        Err(ArtworkError::Losses { losses: refused, .. }) => {
            assert!(!refused.is_empty());
            match take(allowing()) {
                Ok(taken) => {
                    assert!(!losses(&taken).is_empty(), "refused for losses, and then there were none");
                    Some(taken)
                }
                Err(e) => said(&e),
            }
        }
        Err(e) => said(&e),
    }
}

/// An error is in words, and is no crash of ours that was caught.
pub(crate) fn said<T>(error: &ArtworkError) -> Option<T> {
    assert!(!error.to_string().is_empty() && !error.hint().is_empty());
    assert!(!error.to_string().contains("its reader stopped"), "{error}");
    None
}

pub(crate) fn strict() -> &'static Intake {
    static INTAKE: OnceLock<Intake> = OnceLock::new();
    INTAKE.get_or_init(Intake::new)
}

/// Everything may be lost, so that inputs go on to the plan.
pub(crate) fn allowing() -> &'static Intake {
    static INTAKE: OnceLock<Intake> = OnceLock::new();
    INTAKE.get_or_init(|| {
        LOSSES.iter().fold(strict().clone(), |intake, kind| intake.allow(kind.code).expect("a known code"))
    })
}
