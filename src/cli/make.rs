//! `seamfast make`: the main job.

use seamfast::design::{Amount, Deliver, Design};
use toml::Spanned;

use super::args::MakeArgs;
use super::input::{Run, decide, typed};
use super::say::{Outcome, failure, line, warn};
use super::{summary, watch};
use crate::guard::Worker;

/// Decides the order, delivers it, and says what was made.
pub(super) fn run(args: &MakeArgs, worker: &Worker) -> Outcome {
    let order = decide(&args.input, &Run { worker, threads: args.threads, set: &|design| deliveries(design, args) })?;
    let mut pool = rayon::ThreadPoolBuilder::new().stack_size(16 << 20);
    if let Some(threads) = args.threads {
        pool = pool.num_threads(threads.into());
    }
    let pool = pool.build().map_err(failure)?;
    worker.total(order.pixels());
    let report = pool.install(|| order.deliver(&args.input.out, worker));
    watch::ended();
    let report = report?;
    if args.input.json {
        return line(&summary::json(&order, &report).to_string());
    }
    for warning in order.warnings.iter().chain(report.delivered.iter().flat_map(|made| &made.remarks)) {
        warn(warning);
    }
    line(summary::words(&order, &report).trim_end())
}

/// Flags replace what the design says of the same thing, in every delivery.
fn deliveries(design: &mut Design, args: &MakeArgs) {
    let set = |to: &mut Option<Spanned<String>>, from: &Option<String>| {
        if let Some(text) = from {
            *to = Some(typed(text));
        }
    };
    set(&mut design.ground, &args.ground);
    if design.deliveries.is_empty() {
        design.deliveries.push(Deliver::default());
    }
    for deliver in &mut design.deliveries {
        if let Some(dpi) = &args.dpi {
            deliver.dpi = Some(Spanned::new(0..0, Amount::Text(dpi.clone())));
        }
        if !args.kinds.is_empty() {
            deliver.kinds = Some(args.kinds.iter().map(|kind| typed(kind)).collect());
        }
        set(&mut deliver.packing, &args.packing);
        set(&mut deliver.colors, &args.colors);
        set(&mut deliver.bleed, &args.bleed);
        set(&mut deliver.cloth, &args.cloth);
        set(&mut deliver.inks, &args.inks);
        if let Some(quality) = args.quality {
            deliver.quality = Some(Spanned::new(0..0, quality));
        }
        if let Some(bytes) = &args.max_bytes {
            deliver.max_bytes = Some(Spanned::new(0..0, Amount::Text(bytes.clone())));
        }
        deliver.exact |= args.exact;
        deliver.clip |= args.clip;
    }
}
