//! `seamfast check`: judges designs and anyone's tiles.

use std::fmt::Write;

use seamfast::join::{Area, Fault, Join, Verdict};
use seamfast::limits::Limits;
use seamfast::proof::{Judged, ProofError, Severity, Subject, evenness_words, reason};
use serde_json::{Value, json};

use super::args::CheckArgs;
use super::evenness;
use super::make::limited;
use super::say::{Failure, failure, failure_with, line};
use crate::guard::Worker;

/// What a drawing is painted at, if nothing is said.
pub(super) const DPI: f64 = 150.0;

impl From<ProofError> for Failure {
    fn from(error: ProofError) -> Failure {
        match error {
            ProofError::Design(error) => error.into(),
            ProofError::Artwork(error) => failure_with(&error, error.hint()),
            other => failure(other),
        }
    }
}

/// Judges every file; the answer is the worst of their verdicts. A file that can't be judged ends it.
pub(super) fn run(args: &CheckArgs, worker: &Worker) -> Result<Verdict, Failure> {
    let limits: Limits = limited(&args.limits).limits()?;
    worker.hold(&limits, std::thread::available_parallelism().map_or(1, usize::from));
    let dpi = match &args.dpi {
        None => DPI,
        Some(text) => text.parse::<seamfast::pixels::Resolution>().map_err(|e| failure(format!("--dpi: {e}")))?.value(),
    };
    let mut judged = Vec::new();
    for file in &args.files {
        judged.extend(Subject::read(file, dpi, &limits, worker)?.iter().map(Judged::of));
    }
    if args.json {
        line(&json!({ "files": judged.iter().map(report).collect::<Vec<_>>() }).to_string())?;
    } else {
        line(judged.iter().map(words).collect::<Vec<_>>().join("\n").trim_end())?;
    }
    Ok(judged.iter().map(Judged::verdict).max().unwrap_or(Verdict::Seamless))
}

fn report(judged: &Judged) -> Value {
    let dpi = judged.dpi.map(|[x, y]| if x == y { json!(x) } else { json!([x, y]) });
    let inner = &judged.inner;
    let findings = judged
        .findings
        .iter()
        .map(|f| json!({ "code": f.code, "severity": f.severity.name(), "message": f.what, "remedy": f.remedy }));
    json!({
        "file": judged.name,
        "kind": judged.kind,
        "width_px": judged.width,
        "height_px": judged.height,
        "dpi": dpi,
        "verdict": judged.verdict().name(),
        "joins": judged.joins.iter().map(join).collect::<Vec<_>>(),
        "inner": {
            "layout": inner.layout,
            "block_px": inner.block,
            "blocks": inner.blocks,
            "lattice": inner.lattice,
            "exact": inner.exact,
            "upload_as": "straight",
            "advice": inner.upload(),
        },
        "evenness": judged.evenness.as_ref().map(evenness::report),
        "findings": findings.collect::<Vec<_>>(),
    })
}

fn join(join: &Join) -> Value {
    let faults = join.faults.iter().flat_map(|fault| {
        fault.areas.iter().map(|area| {
            json!({
                "code": fault.kind.code(),
                "amount": rounded(fault.amount),
                "x": area.x, "y": area.y, "width": area.width, "height": area.height,
                "message": fault.what(join.side),
                "remedy": fault.remedy(join.side),
            })
        })
    });
    json!({
        "join": join.side.name(),
        "verdict": join.verdict.name(),
        "reason": reason(join),
        "proven": join.proven,
        "shift_px": join.slip.map(rounded),
        "faults": faults.collect::<Vec<_>>(),
    })
}

fn rounded(value: f64) -> f64 {
    (value * 100.0).round() / 100.0
}

fn words(judged: &Judged) -> String {
    let mut out = String::new();
    let size = judged.dpi.map(|dpi| {
        let inches = [judged.width as f64 / dpi[0], judged.height as f64 / dpi[1]];
        format!(", {:.3} × {:.3} in at {:.0} dpi", inches[0], inches[1], dpi[0])
    });
    let verdict = judged.verdict().name();
    let size = size.unwrap_or_default();
    let _ = writeln!(out, "{}: {verdict}\n  {} × {} px{size}", judged.name, judged.width, judged.height);
    for join in &judged.joins {
        let _ = writeln!(out, "  {:10}  {:8}  {}", join.side.name(), join.verdict.name(), reason(join));
        for fault in &join.faults {
            let _ = writeln!(out, "{:24}{}", "", place(fault, judged.dpi));
            let _ = writeln!(out, "{:24}→ {}", "", fault.remedy(join.side));
        }
    }
    let inner = &judged.inner;
    if inner.blocks > 1 {
        let near = if inner.exact { "" } else { ", nearly" };
        let _ = writeln!(out, "  {:10}  {}{near}: {} blocks", "repeat", inner.layout, inner.blocks);
    }
    let _ = writeln!(out, "  {:10}  {}", "upload", inner.upload());
    if judged.evenness.is_some() {
        let _ = writeln!(out, "  {:10}  {}", "evenness", evenness_words(judged));
    }
    for finding in &judged.findings {
        let word = if finding.severity == Severity::Warning { "warning" } else { "note" };
        let _ = writeln!(out, "  {word:10}  {} ({})", finding.what, finding.code);
        let _ = writeln!(out, "{:14}→ {}", "", finding.remedy);
    }
    out
}

/// Where a fault shows, in pixels and on the goods.
fn place(fault: &Fault, dpi: Option<[f64; 2]>) -> String {
    let Some(Area { x, y, width, height }) = fault.areas.first().copied() else { return String::new() };
    let inches = dpi.map(|dpi| format!(" ({:.2} in, {:.2} in)", x as f64 / dpi[0], y as f64 / dpi[1]));
    let more = match fault.areas.len() {
        1 => String::new(),
        n => format!(", and {} more places along it", n - 1),
    };
    format!("at x {x}, y {y} px{}, {width} × {height} px{more}", inches.unwrap_or_default())
}
