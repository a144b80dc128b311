//! `seamfast check`: judges designs and anyone's tiles.

use std::fmt::Write;

use seamfast::join::{Fault, Join, Verdict};
use seamfast::limits::Limits;
use seamfast::proof::{Judged, ProofError, Subject, area_words, evenness_words, reason};
use serde_json::{Value, json};

use super::args::CheckArgs;
use super::input::limited;
use super::say::{self, Failure, failure, failure_with, line};
use super::{evenness, fitness};
use crate::guard::Worker;

impl From<ProofError> for Failure {
    fn from(error: ProofError) -> Failure {
        let hint = error.hint();
        let what = match error {
            ProofError::Design(error) => return error.into(),
            ProofError::Unreadable { path, error } => format!("{}: {}", path.display(), say::reason(&error)),
            other => other.to_string(),
        };
        match hint {
            Some(hint) => failure_with(what, hint),
            None => failure(what),
        }
    }
}

/// Judges every file; the answer is the worst of their verdicts. What can't be judged is said after the verdicts of the
/// others, and is a failure.
pub(super) fn run(args: &CheckArgs, worker: &Worker) -> Result<Verdict, Failure> {
    let limits: Limits = limited(&args.limits).limits()?;
    worker.hold(&limits, std::thread::available_parallelism().map_or(1, usize::from));
    let wanted = fitness::wanted(args)?;
    let (mut judged, mut failed) = (Vec::new(), Vec::new());
    for file in &args.files {
        match Subject::read(file, &wanted, &limits, worker) {
            Ok(subject) => judged.extend(Judged::all(&subject)),
            Err(error) => failed.push(Failure::from(error)),
        }
    }
    let last = failed.pop();
    match (&judged[..], &last) {
        ([], Some(_)) => {}
        _ if args.json => line(&json!({ "files": judged.iter().map(report).collect::<Vec<_>>() }).to_string())?,
        _ => line(judged.iter().map(words).collect::<Vec<_>>().join("\n").trim_end())?,
    }
    failed.iter().for_each(Failure::print);
    if let Some(last) = last {
        return Err(last);
    }
    Ok(judged.iter().map(Judged::verdict).max().unwrap_or(Verdict::Seamless))
}

fn report(judged: &Judged) -> Value {
    let dpi = judged.dpi.map(|[x, y]| if x == y { json!(x) } else { json!([x, y]) });
    let inner = &judged.inner;
    let findings = judged.findings.iter().map(|finding| fitness::report(finding, judged.dpi));
    json!({
        "file": judged.name,
        "kind": judged.kind,
        "width_px": judged.width,
        "height_px": judged.height,
        "dpi": dpi,
        "verdict": judged.verdict().name(),
        "joins": judged.joins.iter().map(|one| join(one, judged.dpi)).collect::<Vec<_>>(),
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
        "warnings": fitness::warnings(&judged.findings),
        "findings": findings.collect::<Vec<_>>(),
    })
}

fn join(join: &Join, dpi: Option<[f64; 2]>) -> Value {
    let faults = join.faults.iter().flat_map(|fault| {
        fault.areas.iter().map(move |area| {
            let mut found = serde_json::Map::new();
            found.insert("code".into(), fault.kind.code().into());
            found.insert("amount".into(), rounded(fault.amount).into());
            found.extend(fitness::boxed(*area, dpi));
            found.insert("message".into(), fault.what(join.side).into());
            found.insert("remedy".into(), fault.remedy(join.side).into());
            Value::Object(found)
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
    if judged.may_be_border() {
        let _ = writeln!(out, "{:24}if it is a border, repeated across only, say so: --border", "");
    }
    let inner = &judged.inner;
    if inner.blocks > 1 {
        let near = if inner.exact { "" } else { ", nearly" };
        let [across, down] = inner.block;
        let size =
            judged.dpi.map(|dpi| format!(" ({:.2} × {:.2} in)", across / dpi[0], down / dpi[1])).unwrap_or_default();
        let _ = writeln!(
            out,
            "  {:10}  {}{near}: {} blocks of {} × {} px{size}",
            "repeat",
            inner.layout,
            inner.blocks,
            rounded(across),
            rounded(down)
        );
    }
    let _ = writeln!(out, "  {:10}  {}", "upload", inner.upload());
    if judged.evenness.is_some() {
        let _ = writeln!(out, "  {:10}  {}", "evenness", evenness_words(judged));
    }
    for finding in &judged.findings {
        out.push_str(&fitness::words(finding, judged.dpi));
    }
    out
}

/// Where a fault shows, in pixels and on the goods.
fn place(fault: &Fault, dpi: Option<[f64; 2]>) -> String {
    let Some(area) = fault.areas.first().copied() else { return String::new() };
    let more = match fault.areas.len() {
        1 => String::new(),
        n => format!(", and {} more places along it", n - 1),
    };
    area_words(area, dpi) + &more
}
