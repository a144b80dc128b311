//! Strewing a design's motifs: `[toss]` → places on the block → `[[motif]]` sections, each proved.
//!
//! All is measured in EMU as asked. What a delivery makes of it is a little smaller or larger (whole pixels) and
//! rounded to 1/256 pixel; the gap is widened by the most that this can take away, before anything is laid.

#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "steps of progress: far inside what the casts keep"
)]

use std::cell::Cell;
use std::path::Path;

use super::bench::Bench;
use super::error::DesignError;
use super::order::Order;
use super::proved::{Proved, proved};
use super::toss::TossMotif;
use super::writing::rewritten;
use super::written::{Design, Entry};
use crate::length::Length;
use crate::progress::{Progress, Task};
use crate::toss::toss;

/// Steps that progress is told in.
pub const TOSS_STEPS: u64 = 1000;

/// A design with its motifs strewn.
#[derive(Clone, Debug)]
pub struct Strewn {
    /// The design file's new text.
    pub text: String,
    /// How many were laid of each `[[toss.motif]]`.
    pub counts: Vec<Count>,
    /// How many motifs were asked, fillers apart; `None` for as many as go in.
    pub asked: Option<usize>,
    /// How many of those laid are fillers.
    pub fillers: usize,
    /// The motifs that were written by hand.
    pub fixed: usize,
    /// The tossed ones that they replace.
    pub replaced: usize,
    /// The share of the cloth that silhouettes cover.
    pub coverage: f64,
    /// The gap that was asked.
    pub gap: Length,
    /// What was measured of the result.
    pub proved: Proved,
    /// Own kinds were to be kept apart.
    pub apart: bool,
    /// It was stopped before it was done.
    pub stopped: bool,
    /// The seed it was strewn with.
    pub seed: u64,
}

/// How many were laid of one `[[toss.motif]]`.
#[derive(Clone, Debug, PartialEq)]
pub struct Count {
    /// Its file.
    pub file: String,
    /// How many there are.
    pub laid: usize,
    /// How many its share of all those laid comes to, of the fillers or of the others.
    pub shared: f64,
}

impl Design {
    /// Strews the motifs of `[toss]`. `text` is what the design was read from; progress is told in
    /// [`TOSS_STEPS`], and a stop ends it with the best so far. From when that is to be proved and placed a stop is
    /// not heard any more.
    ///
    /// # Errors
    /// What can't be decided, wishes that contradict themselves, and a result that does not prove.
    pub fn strew(
        &self,
        text: &str,
        file: &Path,
        seed: Option<u64>,
        progress: &dyn Progress,
    ) -> Result<Strewn, DesignError> {
        let Some(entry) = &self.toss else {
            let e = DesignError::new("the design has no [toss]");
            return Err(e.with_hint("write [toss] with gap = \"3mm\", and [[toss.motif]] with file = \"limpet.svg\""));
        };
        if let Some(page) = &self.croquis {
            let e = DesignError::about("croquis", page, "a page by hand is the block, all of it");
            return Err(e.with_hint("take out [toss], or lay the page's motifs as [[motif]]"));
        }
        let mut wanted = entry.decide()?;
        wanted.seed = seed.unwrap_or(wanted.seed);
        let folder = file.parent().unwrap_or(Path::new(""));
        let stem = file.file_stem().unwrap_or_default().to_string_lossy();
        let fixed: Vec<Entry> = self.motifs.iter().filter(|entry| !entry.tossed).cloned().collect();
        // Those to be strewn are taken in like any other, so that all is decided and refused alike.
        let trial = Design {
            motifs: fixed.iter().cloned().chain(entry.motifs.iter().map(TossMotif::entry)).collect(),
            ..self.clone()
        };
        let order = Order::decide_told(&trial, folder, &stem, progress)?;
        let bench = Bench::new(self, entry, &wanted, &order, fixed.len())?;
        let told = Cell::new(0);
        let tell = |done: f64| {
            let now = (done * TOSS_STEPS as f64) as u64;
            progress.pixels(now.saturating_sub(told.get()));
            told.set(now.max(told.get()));
            progress.stopped()
        };
        let tossed = toss(&bench.torus, &bench.wishes, &tell).map_err(|e| bench.refused(e, entry, &fixed))?;
        let _busy = progress.busy(Task::Placing);
        let sections = bench.sections(&tossed, entry);
        let (text, proved) = match &sections[..] {
            // Nothing to write, and nothing to prove.
            [] => (text.to_owned(), Proved::default()),
            sections => {
                let text = rewritten(text, sections, seed)?;
                let strewn = Design { limits: self.limits.clone(), ..Design::parse(&text, file)? };
                let again = Order::decide(&strewn, folder, &stem)?;
                let tossed_ones: Vec<bool> = strewn.motifs.iter().map(|entry| entry.tossed).collect();
                (text, proved(&again, &tossed_ones, wanted.gap)?)
            }
        };
        let mut laid = vec![0; entry.motifs.len()];
        tossed.laid.iter().for_each(|one| laid[one.kind] += 1);
        Ok(Strewn {
            counts: counts(&entry.motifs, &wanted.shares, &laid),
            apart: wanted.apart.is_some(),
            text,
            asked: tossed.asked,
            fillers: tossed.fillers,
            fixed: fixed.len(),
            replaced: self.motifs.len() - fixed.len(),
            coverage: tossed.coverage / bench.part,
            gap: wanted.gap,
            proved,
            stopped: tossed.stopped,
            seed: wanted.seed,
        })
    }
}

/// What was laid of each, and what the shares make of it.
fn counts(motifs: &[TossMotif], shares: &[f64], laid: &[usize]) -> Vec<Count> {
    let count = |(n, motif): (usize, &TossMotif)| {
        let alike = || (0..motifs.len()).filter(|i| motifs[*i].filler == motif.filler);
        let (all, whole) = (alike().map(|i| laid[i]).sum::<usize>(), alike().map(|i| shares[i]).sum::<f64>());
        let shared = if whole > 0.0 { all as f64 * shares[n] / whole } else { 0.0 };
        Count { file: motif.file.get_ref().clone(), laid: laid[n], shared }
    };
    motifs.iter().enumerate().map(count).collect()
}
