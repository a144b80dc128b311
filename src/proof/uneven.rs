//! Evenness of a tile: what is measured of it and what is to be said; `overlay` shows it.

mod cells;
mod overlay;

pub(super) use overlay::overlay;

use super::evidence::trimmed;
use super::findings::Finding;
use super::judged::Judged;
use super::subject::Subject;
use crate::evenness::{Evenness, Steps, Way};
use crate::join::Inner;

/// Less ground than this is no ground.
const LEAST_GROUND: f64 = 0.1;
/// A bald spot is so many times the usual pocket; an alley so wide a part of it; lumps spread so far (our own choice).
const BALD: f64 = 2.0;
const ALLEY: f64 = 0.5;
const LUMPY: f64 = 0.35;

/// Measures a tile; `None` where it has no flat ground, or nothing on it.
pub(super) fn measure(subject: &Subject, inner: &Inner) -> Option<Evenness> {
    let tile = &subject.image;
    let field = cells::field(tile, subject.dpi, subject.ground.unwrap_or_else(|| cells::ground(tile)))?;
    let bare = field.bare();
    let [across, shift, down] = inner.lattice;
    (LEAST_GROUND..1.0).contains(&bare).then(|| Evenness::of(&field, Steps { across, shift, down }))
}

/// What a person should know of it.
pub(super) fn findings(evenness: &Evenness, dpi: Option<[f64; 2]>) -> Vec<Finding> {
    let mut findings = Vec::new();
    let long = |px: f64| length(px, dpi);
    if let Some(pockets) = &evenness.pockets {
        if let (true, Some(first)) = (pockets.ratio() >= BALD, pockets.largest.first()) {
            let [x, y] = first.middle;
            findings.push(Finding::new(
                "bald-spot",
                format!(
                    "a bare circle of {} around x {x:.0}, y {y:.0} px; the usual one is {}",
                    long(first.diameter),
                    long(pockets.usual)
                ),
            ));
        }
        if let Some(alley) = evenness.alleys.first().filter(|alley| alley.width >= ALLEY * pockets.usual) {
            findings.push(Finding::new(
                "alley",
                format!("a bare band of {} runs {} through the cloth", long(alley.width), direction(alley.degrees())),
            ).remedy("let motifs reach into it, or choose another layout: a drop closes level alleys, a brick upright ones"));
        }
    }
    if let Some(lumps) = evenness.lumps.filter(|lumps| lumps.spread >= LUMPY) {
        findings.push(Finding::new(
            "lump",
            format!(
                "ink covers {:.0} % to {:.0} % of windows of {}, {:.0} % on the whole",
                100.0 * lumps.least.coverage,
                100.0 * lumps.most.coverage,
                long(lumps.window),
                100.0 * lumps.mean
            ),
        ));
    }
    if evenness.ways.way() == Way::One {
        findings.push(Finding::new(
            "one-way",
            format!(
                "upside down it is another design: motifs with {:.0} % of the ink lie one way round only, so pieces must be cut the same way round, which takes more cloth",
                100.0 * evenness.ways.half
            ),
        ).remedy("turn some of each motif upside down if it is to be laid both ways; else say so where you sell it"));
    }
    findings
}

/// In px, and on the goods where that is known.
fn length(px: f64, dpi: Option<[f64; 2]>) -> String {
    match dpi {
        Some([dpi, _]) => format!("{px:.0} px ({} in, {} cm)", trimmed(px / dpi), trimmed(px / dpi * 2.54)),
        None => format!("{px:.0} px"),
    }
}

fn direction(degrees: f64) -> String {
    match degrees {
        d if !(0.5..=179.5).contains(&d) => "level".into(),
        d if (d - 90.0).abs() < 0.5 => "upright".into(),
        d => format!("at {:.0}° (clockwise from level)", d),
    }
}

/// What was measured, in one line.
pub fn words(judged: &Judged) -> String {
    let Some(evenness) = &judged.evenness else {
        if judged.inner.layout == "border" {
            return "not measured: what lies above and below a border is not known".into();
        }
        return "there is no flat ground, so bald spots and alleys can’t be told".into();
    };
    let dpi = judged.dpi;
    let mut parts = vec![format!("{:.0} % bare ground", 100.0 * evenness.bare)];
    if let Some(pockets) = &evenness.pockets
        && let Some(first) = pockets.largest.first()
    {
        let size = length(first.diameter, dpi);
        parts.push(format!("largest bare circle {size}, {:.1} times the usual one", pockets.ratio()));
    }
    match evenness.alleys.first() {
        Some(first) => parts.push(format!(
            "widest straight bare band {}, {}",
            length(first.width, dpi),
            direction(first.degrees())
        )),
        None => parts.push("no straight bare band".into()),
    }
    if let Some(lumps) = &evenness.lumps {
        let [least, most] = [lumps.least, lumps.most].map(|window| 100.0 * window.coverage);
        parts.push(format!("ink covers {least:.0} to {most:.0} % of windows of {}", length(lumps.window, dpi)));
    }
    parts.push(evenness.ways.way().name().into());
    parts.join("; ")
}
