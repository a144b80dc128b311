//! What is to be said of a tile beside its joins, each with its place and what to do.

use crate::design::Acceptance;
use crate::fitness::{Severity, finding_kind};
use crate::join::Area;

/// Something to know of a tile.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// Its code, one of [`FINDINGS`](crate::fitness::FINDINGS).
    pub code: &'static str,
    /// How much it matters.
    pub severity: Severity,
    /// What it is, with the values.
    pub what: String,
    /// What to do about it.
    pub remedy: String,
    /// The motif that it is in.
    pub motif: Option<String>,
    /// The line in that motif's file, or in the tile's.
    pub line: Option<u32>,
    /// Where it shows on the tile.
    pub area: Option<Area>,
    /// Why the design accepts it.
    pub accepted: Option<String>,
}

impl Finding {
    /// Of this code, whose severity and remedy it has.
    pub(super) fn new(code: &'static str, what: impl Into<String>) -> Finding {
        let kind = finding_kind(code);
        debug_assert!(kind.is_some(), "{code} is not in the list");
        Finding {
            code,
            severity: kind.map_or(Severity::Warning, |kind| kind.severity),
            what: what.into(),
            remedy: kind.map_or("", |kind| kind.remedy).into(),
            motif: None,
            line: None,
            area: None,
            accepted: None,
        }
    }

    /// With another remedy than the usual one.
    pub(super) fn remedy(self, remedy: impl Into<String>) -> Finding {
        Finding { remedy: remedy.into(), ..self }
    }

    /// In a motif; the sentence begins with its name.
    pub(super) fn of(self, motif: &str) -> Finding {
        Finding { what: format!("{motif}: {}", self.what), motif: Some(motif.into()), ..self }
    }
}

/// Marks what a design accepts; one by one, whether an acceptance met anything.
pub(super) fn accept(findings: &mut [Finding], accepted: &[Acceptance]) -> Vec<bool> {
    let met = |acceptance: &Acceptance| {
        let mut alike = findings.iter_mut().filter(|finding| finding.code == acceptance.code).peekable();
        let met = alike.peek().is_some();
        alike.for_each(|finding| finding.accepted = Some(acceptance.why.clone()));
        met
    };
    accepted.iter().map(met).collect()
}

/// What is said of an acceptance that met nothing.
pub(super) fn unused(acceptance: &Acceptance) -> Finding {
    Finding::new("unused-accept", format!("the design accepts {}, and there is none", acceptance.code))
}
