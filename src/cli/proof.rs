//! `seamfast proof`: evidence for a person's eye.

use std::fmt::Write;

use seamfast::design::{DeliverError, stem};
use seamfast::length::Size;
use seamfast::pixels::{Resolution, Side};
use seamfast::progress::Progress;
use seamfast::proof::{Asked, EvidenceError, Judged, Paper, Subject, Wanted, prove};
use serde_json::json;

use super::args::ProofArgs;
use super::fitness::DPI;
use super::input::{self, limited};
use super::say::{Failure, Outcome, failure, failure_with, line, warn};
use super::watch;
use crate::guard::Worker;

impl From<EvidenceError> for Failure {
    fn from(error: EvidenceError) -> Failure {
        match error {
            EvidenceError::Deliver(error) => error.into(),
            EvidenceError::NoSize { .. } => failure_with(
                error,
                "write --dpi 300 if that is its resolution (seamfast size 8in 2400px tells); a drawing needs width=\"8in\" and height",
            ),
            EvidenceError::TooMuchGoods { .. } => failure_with(error, "show less of it, for example --cloth 20x10cm"),
            other => failure(other),
        }
    }
}

/// Judges a tile and makes its evidence.
pub(super) fn run(args: &ProofArgs, worker: &Worker) -> Outcome {
    let limits = limited(&args.limits).limits()?;
    worker.hold(&limits, std::thread::available_parallelism().map_or(1, usize::from));
    let typed: Option<Resolution> = match &args.dpi {
        Some(text) => Some(text.parse().map_err(|e| failure(format!("--dpi: {e}")))?),
        None => None,
    };
    let goods = match Side::parse_both(&args.cloth).map_err(|e| failure(format!("--cloth: {e}")))? {
        [Side::Length(width), Side::Length(height)] => Size { width, height },
        _ => return Err(failure(format!("--cloth: {:?} is in pixels; write for example 54inx1yd", args.cloth))),
    };
    let Some(paper) = Paper::from_name(&args.paper) else {
        let what = format!("--paper: {:?} is no page that is known", args.paper);
        return Err(failure_with(what, "write a4 or letter"));
    };
    let own = args.input.file_stem().unwrap_or_default().to_string_lossy();
    let name = stem(&input::typed(args.name.as_deref().unwrap_or(&own)))?;
    let dpi = typed.map_or(DPI, Resolution::value);
    let subjects = Subject::read(&args.input, &Wanted { border: args.border, ..Wanted::new(dpi) }, &limits, worker)?;
    let others = subjects.len().saturating_sub(1);
    let Some(mut subject) = subjects.into_iter().next() else {
        return Err(failure_with("the design delivers nothing", "write as = [\"png\"] under [[deliver]]"));
    };
    if subject.kind == "design" && typed.is_some() {
        return Err(failure_with("--dpi: a design has its own resolution", "write dpi = 300 under [[deliver]]"));
    }
    match (subject.dpi, typed) {
        _ if subject.kind == "SVG" => {}
        (None, Some(typed)) => subject.dpi = Some([typed.value(); 2]),
        // A hundredth is what whole pixels a metre are off by.
        (Some(own), Some(typed)) if own.iter().any(|own| (own - typed.value()).abs() > 0.02) => {
            let [across, down] = own.map(|own| (own * 100.0).round() / 100.0);
            let own = if across == down { across.to_string() } else { format!("{across} × {down}") };
            warn(&format!("--dpi: {} says itself that it has {own} dpi, which is what is shown", subject.name));
        }
        _ => {}
    }
    let judged = Judged::of(&subject);
    if worker.stopped() {
        return Err(DeliverError::Stopped.into());
    }
    let asked = Asked { name, goods, paper };
    let written = prove(&subject, &judged, &asked, &args.out, worker);
    watch::ended();
    let written = written?;
    if others > 0 {
        warn("the design has deliveries of several sizes; the first is shown");
    }
    let verdict = judged.verdict().name();
    if args.json {
        let files: Vec<_> = written
            .iter()
            .map(|file| json!({ "path": file.path, "bytes": file.bytes, "sha256": file.sha256 }))
            .collect();
        return line(&json!({ "file": judged.name, "verdict": verdict, "files": files }).to_string());
    }
    let mut out = format!("{}: {verdict}\n", judged.name);
    for file in &written {
        let _ = writeln!(out, "  {}", file.path.display());
    }
    if let Some(page) = written.first() {
        let _ = write!(out, "Open {} in a browser; it holds all of it.", page.path.display());
    }
    line(&out)
}
