//! `seamfast cut`: paths for a blade or laser.

use seamfast::artwork::HindranceKind;
use seamfast::cut::CutError;
use seamfast::design::{CuttingError, DeliverError, NoShape};
use seamfast::progress::Progress;

use super::args::CutArgs;
use super::cut_settings::{kinds, settings};
use super::input::{Run, decide};
use super::say::{Failure, Outcome, failure, failure_with, line, warn};
use super::{cut_words, watch};
use crate::guard::Worker;

/// Decides the order, works out the cut, writes it, and says what there is to cut.
pub(super) fn run(args: &CutArgs, worker: &Worker) -> Outcome {
    let settings = settings(args)?;
    let kinds = kinds(args)?;
    let order = decide(&args.input, &Run { worker, threads: None, set: &|_| {} })?;
    let cut = {
        let progress: &dyn Progress = worker;
        let _busy = progress.busy(seamfast::progress::Task::Cutting);
        order.cut(&settings)?
    };
    if worker.stopped() {
        return Err(DeliverError::Stopped.into());
    }
    let written = order.deliver_cut(&cut, &kinds, &args.input.out, worker);
    watch::ended();
    let written = written?;
    if args.input.json {
        return line(&cut_words::json(&order, &settings, &cut, &written).to_string());
    }
    for warning in order.warnings.iter().cloned().chain(cut_words::warnings(&order, &cut)) {
        warn(&warning);
    }
    line(cut_words::words(&order, &settings, &cut, &written).trim_end())
}

impl From<CuttingError> for Failure {
    fn from(error: CuttingError) -> Failure {
        let hint = match &error {
            CuttingError::NoShape(all) => no_shape(all),
            CuttingError::Cut(CutError::Nothing) => "the cloth has no ink that can be cut; name another motif".into(),
            CuttingError::Cut(CutError::Vanished) => "write a --distance nearer to zero".into(),
            CuttingError::Cut(CutError::NoGround) => "write --cut-out ink, or name a motif without a ground".into(),
            CuttingError::Cut(CutError::NoStencil) => {
                "write a --frame, for example 10mm, or name a motif without a ground".into()
            }
            CuttingError::Cut(CutError::Roll(_)) => {
                "write a larger --sheet or a smaller --margin, or leave out --roll".into()
            }
            CuttingError::Cut(CutError::Islands(_)) => {
                "hold them with --islands bridge, or let them go with --islands list".into()
            }
            CuttingError::Cut(CutError::TooLarge { .. }) => {
                "write a larger --sheet or a smaller --margin, or cut fewer tiles at once".into()
            }
            CuttingError::Cut(CutError::TooManyCopies { limit, .. } | CutError::TooManyLines { limit }) => {
                format!("cut fewer tiles at once, or a smaller --cloth; or {}", limit.raise())
            }
            CuttingError::Design(_) | CuttingError::Cut(_) => return failure(error),
        };
        failure_with(error, hint)
    }
}

fn no_shape(all: &[NoShape]) -> String {
    let mut kinds: Vec<HindranceKind> = all.iter().map(|one| one.kind).collect();
    kinds.sort();
    kinds.dedup();
    let remedies: Vec<&str> = kinds.iter().map(|kind| kind.remedy()).collect();
    let codes: Vec<String> = kinds.iter().map(|kind| format!("--skip {}", kind.code())).collect();
    format!("{}; or leave it out: {}", remedies.join("; "), codes.join(" "))
}
