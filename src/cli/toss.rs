//! `seamfast toss`: strews a design's motifs and writes their places back.

use std::fmt::Write;
use std::path::{Path, PathBuf};

use seamfast::design::{Count, DeliverError, Design, Strewn, TOSS_STEPS, replace_design};
use seamfast::length::Unit;
use seamfast::progress::{Progress, Task};
use serde_json::json;

use super::args::TossArgs;
use super::say::{Failure, Outcome, failure, failure_with, line, warn};
use super::{input, summary, watch};
use crate::guard::Worker;

/// Strews, proves, and replaces the design file by one with the new places.
pub(super) fn run(args: &TossArgs, worker: &Worker) -> Outcome {
    let file = &args.design;
    refuse_motif(file)?;
    let text = input::design_text(file, &args.limits)?;
    let mut design = Design::parse(&text, file)?;
    design.limits.append(&mut input::limited(&args.limits).limits);
    let there = |e: seamfast::design::DesignError| e.in_file(file, &text);
    worker.hold(&design.limits().map_err(there)?, 1);
    worker.total(TOSS_STEPS);
    let strewn = design.strew(&text, file, args.seed, &Ending(worker)).map_err(there)?;
    watch::ended();
    let laid = strewn.counts.iter().map(|count| count.laid).sum();
    if laid == 0 {
        let stopped = Failure::from(DeliverError::Stopped);
        let hint = "write a smaller gap or width, or a larger block";
        let none =
            || failure_with(format!("{}: no motif found a place; the file stays as it is", file.display()), hint);
        return Err(if strewn.stopped { stopped } else { none() });
    }
    replace(file, &text, &strewn.text)?;
    let notes = notes(&strewn, laid);
    if args.json {
        return line(&report(file, &strewn, laid, &notes).to_string());
    }
    notes.iter().for_each(|note| warn(note));
    line(words(file, &strewn, laid).trim_end())
}

/// A drawing or picture is strewn by a design that names it.
fn refuse_motif(file: &Path) -> Outcome {
    let is_design = file.extension().is_some_and(|e| e.eq_ignore_ascii_case("toml"));
    if is_design || !file.is_file() {
        return Ok(());
    }
    let what = format!("{}: toss wants a design file (.toml), which says what is strewn and how", file.display());
    Err(failure_with(what, format!("begin one with: seamfast new {}; its [toss] explains itself", file.display())))
}

/// A stop ends the strewing with the best so far: the worker is to come to its end by itself.
struct Ending<'a>(&'a Worker);

impl Progress for Ending<'_> {
    fn pixels(&self, count: u64) {
        self.0.pixels(count);
    }

    fn stopped(&self) -> bool {
        let stopped = self.0.stopped();
        if stopped {
            watch::ended();
        }
        stopped
    }

    fn begins(&self, task: Task<'_>) {
        self.0.begins(task);
    }

    fn ends(&self) {
        self.0.ends();
    }
}

/// Puts the new design in the old one's place, unless someone has written there meanwhile.
fn replace(file: &Path, old: &str, new: &str) -> Result<(), Failure> {
    // A stop was heard already: it ended the strewing.
    match replace_design(file, Some(old), new) {
        Ok(()) => Ok(()),
        // The usual remedies are about the folder of deliveries.
        Err(e @ DeliverError::Unfit { .. }) => Err(failure_with(e, "look what is there, and toss again")),
        Err(e @ DeliverError::Busy { .. }) => Err(failure_with(e, "wait until that is done")),
        Err(e) => Err(failure(e)),
    }
}

/// What did not come as asked.
fn notes(strewn: &Strewn, laid: usize) -> Vec<String> {
    let mut notes = Vec::new();
    let mains = laid - strewn.fillers;
    if strewn.stopped {
        notes.push("stopped; the best so far is written".into());
    }
    if let Some(asked) = strewn.asked.filter(|asked| *asked > mains) {
        let what = format!("{mains} of {asked} motifs found a place");
        let width = if strewn.apart { "apart, width" } else { "width" };
        notes.push(format!("{what}: write a smaller gap, {width} or count, or a larger block, or try another seed"));
    }
    for count in strewn.counts.iter().filter(|count| count.laid == 0 && count.shared > 0.0) {
        notes.push(format!("{}: none was laid", count.file));
    }
    notes.extend(other_shares(strewn));
    notes
}

/// Shares that came out otherwise, by more than a few motifs.
fn other_shares(strewn: &Strewn) -> Option<String> {
    // Where nothing keeps them apart, a little is chance.
    let [most, part] = if strewn.apart { [1.0, 0.2] } else { [2.0, 0.3] };
    let off = |count: &&Count| {
        let off = (count.laid as f64 - count.shared).abs();
        off > most && off > part * count.shared
    };
    let shown = |count: &Count| format!("{} {} instead of {}", count.file, count.laid, summary::round(count.shared, 1));
    let all: Vec<String> = strewn.counts.iter().filter(off).map(shown).collect();
    if all.is_empty() || strewn.stopped {
        return None;
    }
    let why = if strewn.apart {
        "apart keeps own kinds away from each other: write a shorter apart, smaller widths or a larger block"
    } else {
        "the others found places more easily: write smaller widths, a larger block or another seed"
    };
    Some(format!("the shares came out otherwise, {}; {why}", all.join(", ")))
}

fn report(file: &PathBuf, strewn: &Strewn, laid: usize, notes: &[String]) -> serde_json::Value {
    let number = |value: f64, digits: usize| summary::round(value, digits).parse::<f64>().unwrap_or(value);
    let of = |count: &Count| json!({ "file": count.file, "count": count.laid, "shared": number(count.shared, 2) });
    json!({
        "file": file,
        "laid": laid,
        "fillers": strewn.fillers,
        "asked": strewn.asked,
        "fixed": strewn.fixed,
        "replaced": strewn.replaced,
        "motifs": strewn.counts.iter().map(of).collect::<Vec<_>>(),
        "seed": strewn.seed,
        "coverage": number(strewn.coverage, 4),
        "gaps": {
            "asked_mm": number(strewn.gap.to(Unit::Mm), 4),
            "least_mm": strewn.proved.least_mm.map(|mm| number(mm, 4)),
            "mean_mm": number(strewn.proved.mean_mm, 4),
            "spread": number(strewn.proved.spread, 4),
            "pairs": strewn.proved.pairs,
        },
        "stopped": strewn.stopped,
        "warnings": notes,
    })
}

fn words(file: &Path, strewn: &Strewn, laid: usize) -> String {
    let mut out = format!("{}: {} strewn", file.display(), motifs(laid));
    match strewn.fixed {
        0 => {}
        n => {
            let _ = write!(out, " around {n} that {} fixed", if n == 1 { "is" } else { "are" });
        }
    }
    let _ = writeln!(out, "; {:.0} % of the cloth is covered", 100.0 * strewn.coverage);
    let wide = strewn.counts.iter().map(|count| count.file.chars().count()).max().unwrap_or(0);
    for Count { file, laid, .. } in &strewn.counts {
        let _ = writeln!(out, "  {file:wide$}  {laid}");
    }
    if let Some(least) = strewn.proved.least_mm {
        let Strewn { gap, proved, .. } = strewn;
        let _ = writeln!(
            out,
            "  gaps: {least:.2} mm at least ({gap} asked); the nearest are {:.2} mm on average, give or take {:.0} %",
            proved.mean_mm,
            100.0 * proved.spread
        );
    }
    let _ = write!(out, "Look at it: seamfast make {}", file.display());
    out
}

fn motifs(count: usize) -> String {
    if count == 1 { "1 motif".into() } else { format!("{count} motifs") }
}
