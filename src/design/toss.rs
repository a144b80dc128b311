//! `[toss]`: what is to be strewn, as a person writes it, and what that comes to.

use schemars::JsonSchema;
use serde::Deserialize;
use toml::Spanned;

use super::error::DesignError;
use super::measure;
use super::written::Entry;
use crate::length::Length;
use crate::toss::Turns;

/// `[toss]`: motifs to be strewn by `seamfast toss`, which writes their places as `[[motif]]`.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TossEntry {
    /// The least distance between two outlines, for example "3mm".
    #[schemars(with = "String", extend("examples" = ["3mm", "0.12in"]))]
    pub gap: Spanned<String>,
    /// How many motifs, fillers apart; without it, as many as go in.
    #[schemars(with = "Option<i64>", extend("examples" = [40]))]
    pub count: Option<Spanned<i64>>,
    /// Which way up: one-way, two-way, four-way or any (without a word).
    #[schemars(with = "Option<String>", extend("examples" = ["one-way", "two-way", "four-way", "any"]))]
    pub turns: Option<Spanned<String>>,
    /// Keeps motifs from their own kind: true for so far that the smallest other motif goes between, with its
    /// gaps; or the least distance between outlines, for example "1in".
    #[schemars(with = "Option<Apart>", extend("examples" = [true, "1in"]))]
    pub apart: Option<Spanned<Apart>>,
    /// Another number strews them another way; 1 without it.
    #[schemars(with = "Option<i64>", extend("examples" = [7]))]
    pub seed: Option<Spanned<i64>>,
    /// The motifs.
    #[serde(default, rename = "motif")]
    pub motifs: Vec<TossMotif>,
}

/// `[[toss.motif]]`: one motif to be strewn.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TossMotif {
    /// The SVG file or picture, from the design file's folder.
    #[schemars(with = "String")]
    pub file: Spanned<String>,
    /// The width of the motif's page on the goods, or the least and the greatest; without it the drawing's own.
    #[schemars(with = "Option<Widths>", extend("examples" = ["1in", ["0.8in", "1.4in"]]))]
    pub width: Option<Spanned<Widths>>,
    /// Take the motif's ink for its page.
    #[serde(default)]
    pub trim: bool,
    /// How many of it to one of another; 1 without it.
    #[schemars(with = "Option<f64>", extend("examples" = [2.0]))]
    pub share: Option<Spanned<f64>>,
    /// Only in what the others leave.
    #[serde(default)]
    pub filler: bool,
}

/// Yes, no, or how far.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(untagged, expecting = "true, false, or a length such as \"1in\"")]
pub enum Apart {
    /// So far that another motif goes between.
    Word(bool),
    /// This far.
    Length(String),
}

/// One width, or two.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(untagged, expecting = "a width such as \"1in\", or the least and the greatest: [\"0.8in\", \"1.4in\"]")]
pub enum Widths {
    /// All alike.
    One(String),
    /// From the least to the greatest.
    Range(Vec<String>),
}

/// `[toss]` with every text read.
#[derive(Clone, Debug)]
pub(super) struct TossWishes {
    pub(super) gap: Length,
    pub(super) count: Option<usize>,
    pub(super) turns: Turns,
    pub(super) apart: Option<Apartness>,
    pub(super) seed: u64,
    pub(super) widths: Vec<Option<[Length; 2]>>,
    pub(super) shares: Vec<f64>,
}

/// How far own kinds are kept apart.
#[derive(Clone, Copy, Debug)]
pub(super) enum Apartness {
    /// As far as the smallest other motif needs.
    OneBetween,
    /// This far.
    Length(Length),
}

impl TossEntry {
    /// Reads every text.
    pub(super) fn decide(&self) -> Result<TossWishes, DesignError> {
        if self.motifs.is_empty() {
            let e = DesignError::new("no motif is to be strewn").at(self.gap.span());
            return Err(e.with_hint("add [[toss.motif]] with file = \"limpet.svg\" and width = \"1in\""));
        }
        let gap = measure::length("gap", &self.gap)?;
        let count = self.count.as_ref().map(count).transpose()?;
        let turns = self.turns.as_ref().map(measure::turns).transpose()?.unwrap_or_default();
        let apart = match &self.apart {
            None => None,
            Some(apart) => match apart.get_ref() {
                Apart::Word(false) => None,
                Apart::Word(true) => Some(Apartness::OneBetween),
                Apart::Length(text) => {
                    Some(Apartness::Length(measure::length("apart", &Spanned::new(apart.span(), text.clone()))?))
                }
            },
        };
        let seed = self.seed.as_ref().map_or(Ok(1), |seed| {
            u64::try_from(*seed.get_ref()).map_err(|_| {
                let what = format!("{} is less than zero; write a whole number such as 7", seed.get_ref());
                DesignError::about("seed", seed, what)
            })
        })?;
        let widths = self.motifs.iter().map(TossMotif::widths).collect::<Result<Vec<_>, _>>()?;
        let shares = self.motifs.iter().map(TossMotif::share).collect::<Result<Vec<_>, _>>()?;
        Ok(TossWishes { gap, count, turns, apart, seed, widths, shares })
    }
}

fn count(count: &Spanned<i64>) -> Result<usize, DesignError> {
    usize::try_from(*count.get_ref()).ok().filter(|n| *n > 0).ok_or_else(|| {
        let e = DesignError::about("count", count, format!("{} is no number of motifs", count.get_ref()));
        e.with_hint("write for example 40, or leave it out for as many as go in")
    })
}

impl TossMotif {
    /// As if it were placed, at its greatest width.
    pub(super) fn entry(&self) -> Entry {
        let width = self.width.as_ref().and_then(|width| {
            let text = match width.get_ref() {
                Widths::One(text) => Some(text),
                Widths::Range(texts) => texts.last(),
            };
            text.map(|text| Spanned::new(width.span(), text.clone()))
        });
        Entry { width, trim: self.trim, tossed: true, ..Entry::of(self.file.clone()) }
    }

    fn widths(&self) -> Result<Option<[Length; 2]>, DesignError> {
        let Some(width) = &self.width else { return Ok(None) };
        let read = |text: &String| measure::length("width", &Spanned::new(width.span(), text.clone()));
        match width.get_ref() {
            Widths::One(text) => read(text).map(|length| Some([length; 2])),
            Widths::Range(texts) => {
                let [low, high] = &texts[..] else {
                    let what = format!("one width or two are wanted, not {}", texts.len());
                    return Err(DesignError::about("width", width, what).with_hint("write [\"0.8in\", \"1.4in\"]"));
                };
                let [least, most] = [read(low)?, read(high)?];
                if least > most {
                    let what = format!("{low} is more than {high}");
                    let hint = format!("write the least first: [\"{high}\", \"{low}\"]");
                    return Err(DesignError::about("width", width, what).with_hint(hint));
                }
                Ok(Some([least, most]))
            }
        }
    }

    fn share(&self) -> Result<f64, DesignError> {
        let Some(share) = &self.share else { return Ok(1.0) };
        let n = measure::number("share", share, 10_000.0)?;
        if n >= 0.0 {
            return Ok(n);
        }
        Err(DesignError::about("share", share, format!("{n} is less than zero; write for example 2, or 0 for none")))
    }
}
