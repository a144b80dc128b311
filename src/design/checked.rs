//! What a design says of its own judging: the limits of fitness, and what is accepted with a reason.

use schemars::JsonSchema;
use serde::Deserialize;
use toml::Spanned;

use super::error::DesignError;
use super::measure;
use super::slips::any_of;
use super::written::Amount;
use crate::fitness::{FINDINGS, Fitness, finding_kind};

/// `[check]`: what `seamfast check` judges the tile by.
#[derive(Clone, Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CheckEntry {
    /// cloth (without a word) or paper: pictures want 150 or 300 pixels an inch.
    #[schemars(with = "Option<String>", extend("examples" = ["cloth", "paper"]))]
    pub goods: Option<Spanned<String>>,
    /// The fewest pixels an inch, of the tile and of pictures on it, instead of the goods' own.
    #[schemars(with = "Option<Amount>")]
    pub ppi: Option<Spanned<Amount>>,
    /// The thinnest line, for example "0.3pt" or "0.1mm"; without it 0.25pt.
    #[schemars(with = "Option<String>", extend("examples" = ["0.25pt", "0.1mm"]))]
    pub line: Option<Spanned<String>>,
    /// The narrowest gap of ground; without it 0.25pt.
    #[schemars(with = "Option<String>", extend("examples" = ["0.25pt", "0.1mm"]))]
    pub gap: Option<Spanned<String>>,
    /// The goods need a ground: transparent pixels are a warning.
    pub opaque: Option<bool>,
}

/// `[[accept]]`: a finding that is known and meant.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AcceptEntry {
    /// The finding's code, for example "thin-line".
    #[schemars(schema_with = "codes_schema")]
    pub code: Spanned<String>,
    /// Why it is right as it is.
    #[schemars(with = "String")]
    pub why: Spanned<String>,
}

/// An acceptance that holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Acceptance {
    /// The finding's code.
    pub code: &'static str,
    /// Why.
    pub why: String,
}

impl CheckEntry {
    /// With what another one says where this says nothing.
    #[must_use]
    pub fn over(&self, below: &CheckEntry) -> CheckEntry {
        let own = self.clone();
        // Goods that are named anew have their own resolution.
        let ppi = if own.goods.is_some() { own.ppi } else { own.ppi.or_else(|| below.ppi.clone()) };
        CheckEntry {
            goods: own.goods.or_else(|| below.goods.clone()),
            ppi,
            line: own.line.or_else(|| below.line.clone()),
            gap: own.gap.or_else(|| below.gap.clone()),
            opaque: own.opaque.or(below.opaque),
        }
    }

    /// The limits, with those that are set.
    ///
    /// # Errors
    /// A value that is none, with its place in the design or the field's name.
    pub fn decide(&self) -> Result<Fitness, DesignError> {
        let mut fitness = Fitness::of(self.goods.as_ref().map(measure::goods).transpose()?.unwrap_or_default());
        if let Some(ppi) = &self.ppi {
            fitness.ppi = measure::resolution("ppi", ppi)?.value();
        }
        if let Some(line) = &self.line {
            fitness.line = measure::length("line", line)?;
        }
        if let Some(gap) = &self.gap {
            fitness.gap = measure::length("gap", gap)?;
        }
        fitness.opaque = self.opaque.unwrap_or(fitness.opaque);
        Ok(fitness)
    }
}

/// The acceptances of a design.
pub(super) fn accepted(entries: &[AcceptEntry]) -> Result<Vec<Acceptance>, DesignError> {
    let mut found: Vec<Acceptance> = Vec::new();
    for entry in entries {
        let typed = entry.code.get_ref().trim();
        let Some(kind) = finding_kind(typed) else {
            let known: Vec<&str> = FINDINGS.iter().map(|kind| kind.code).collect();
            let e = format!("{typed:?} is not the code of a finding; write {}", any_of(&known));
            return Err(DesignError::about("code", &entry.code, e).or_meant(typed, known));
        };
        if found.iter().any(|other| other.code == kind.code) {
            let e = DesignError::about("code", &entry.code, format!("{} is accepted twice", kind.code));
            return Err(e.with_hint("keep one of them, with both reasons"));
        }
        let why = entry.why.get_ref().trim();
        if why.is_empty() {
            let e = DesignError::about("why", &entry.why, "the reason is empty");
            return Err(e.with_hint("say in a few words why the finding is right as it is"));
        }
        found.push(Acceptance { code: kind.code, why: why.into() });
    }
    Ok(found)
}

/// Editors offer the codes.
fn codes_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
    let codes: Vec<&str> = FINDINGS.iter().map(|kind| kind.code).collect();
    schemars::json_schema!({ "type": "string", "enum": codes })
}
