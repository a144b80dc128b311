//! `seamfast make`: the main job.

use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use seamfast::design::{Amount, Deliver, Design, Entry, Order, Report};
use seamfast::raster::Progress;
use serde_json::json;
use toml::Spanned;

use super::args::MakeArgs;
use super::chain::summary;
use super::say::{Failure, Outcome, failure, line, warn};

/// Decides the order, delivers it, and says what was made.
pub(super) fn run(args: &MakeArgs) -> Outcome {
    let order = decide(args)?;
    let mut pool = rayon::ThreadPoolBuilder::new().stack_size(16 << 20);
    if let Some(threads) = args.threads {
        pool = pool.num_threads(threads.into());
    }
    let pool = pool.build().map_err(failure)?;
    let bar = Bar::new(&order);
    let report = pool.install(|| order.deliver(&args.out, &bar)).map_err(failure);
    bar.bar.finish_and_clear();
    let report = report?;
    if args.json {
        return line(&json(&order, &report).to_string());
    }
    for warning in &order.warnings {
        warn(warning);
    }
    line(summary(&order, &report).trim_end())
}

/// Flags and design file become one design, and that an order.
fn decide(args: &MakeArgs) -> Result<Order, Failure> {
    let is_design = |path: &PathBuf| path.extension().is_some_and(|e| e.eq_ignore_ascii_case("toml"));
    match &args.inputs[..] {
        [file] if is_design(file) => from_file(args, file),
        files if files.iter().any(is_design) => Err(Failure::Other(
            "a design file is made alone, without motifs or other designs".into(),
            Some(format!("write seamfast make {}", files.iter().find(|f| is_design(f)).unwrap_or(&files[0]).display())),
        )),
        files => from_flags(args, files),
    }
}

fn from_file(args: &MakeArgs, file: &Path) -> Result<Order, Failure> {
    if args.croquis || args.motif_width.is_some() {
        let flag = if args.croquis { "--croquis" } else { "--motif-width" };
        let hint = "write it in the design file instead";
        return Err(Failure::Other(format!("{flag} goes with motifs, not with a design file"), Some(hint.into())));
    }
    let text = std::fs::read_to_string(file).map_err(|e| {
        let hint = "check the name; a new design is begun with: seamfast new limpet.svg";
        Failure::Other(format!("{}: {e}", file.display()), Some(hint.into()))
    })?;
    let mut design = Design::parse(&text, file)?;
    override_with(&mut design, args);
    let folder = file.parent().unwrap_or(Path::new(""));
    let stem = file.file_stem().unwrap_or_default().to_string_lossy();
    let mut order = Order::decide(&design, folder, &stem).map_err(|e| e.in_file(file, &text))?;
    order.sources.push(file.into());
    Ok(order)
}

fn from_flags(args: &MakeArgs, files: &[PathBuf]) -> Result<Order, Failure> {
    let mut design = Design::default();
    let names: Vec<String> = files.iter().map(|f| f.to_string_lossy().into_owned()).collect();
    if args.croquis {
        let [page] = &names[..] else {
            return Err(failure(format!("--croquis takes one page, and {} files are named", names.len())));
        };
        if args.motif_width.is_some() {
            let hint = "give the page's size with --block or --tile";
            return Err(Failure::Other("--motif-width does not go with --croquis".into(), Some(hint.into())));
        }
        design.croquis = Some(typed(page));
    } else {
        design.motifs = names.iter().map(|name| entry(name, args.motif_width.as_deref())).collect();
    }
    override_with(&mut design, args);
    if !args.croquis {
        design.spread();
    }
    let stem = files[0].file_stem().unwrap_or_default().to_string_lossy();
    Ok(Order::decide(&design, Path::new(""), &stem)?)
}

fn entry(file: &str, width: Option<&str>) -> Entry {
    Entry {
        file: typed(file),
        width: width.map(typed),
        height: None,
        scale: None,
        at: None,
        turn: None,
        flip: None,
        layer: 0,
    }
}

/// A text that stands in no file.
fn typed(text: &str) -> Spanned<String> {
    Spanned::new(0..0, text.into())
}

/// Flags replace what the design says of the same thing, in every delivery.
fn override_with(design: &mut Design, args: &MakeArgs) {
    let set = |to: &mut Option<Spanned<String>>, from: &Option<String>| {
        if let Some(text) = from {
            *to = Some(typed(text));
        }
    };
    set(&mut design.ground, &args.ground);
    set(&mut design.repeat.layout, &args.layout);
    if args.tile.is_some() || args.block.is_some() {
        design.repeat.tile = args.tile.as_deref().map(typed);
        design.repeat.block = args.block.as_deref().map(typed);
    }
    design.allow.extend(args.allow.iter().map(|code| typed(code)));
    if let Some(name) = &args.name {
        design.name = Some(typed(name));
    }
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
        deliver.exact |= args.exact;
        deliver.clip |= args.clip;
    }
}

/// Progress on a terminal, on standard error; and Ctrl-C, heard between strips.
struct Bar {
    bar: ProgressBar,
    stop: &'static AtomicBool,
}

/// Set by Ctrl-C.
static STOP: AtomicBool = AtomicBool::new(false);

impl Bar {
    fn new(order: &Order) -> Bar {
        let bar = ProgressBar::with_draw_target(Some(order.rows()), ProgressDrawTarget::stderr());
        let style = ProgressStyle::with_template("{bar:30} {percent:>3} %  {pos} of {len} rows, {eta} left");
        if let Ok(style) = style {
            bar.set_style(style);
        }
        Bar { bar, stop: &STOP }
    }
}

impl Progress for Bar {
    fn rows(&self, count: u64) {
        self.bar.inc(count);
    }

    fn stopped(&self) -> bool {
        self.stop.load(Ordering::Relaxed)
    }
}

fn json(order: &Order, report: &Report) -> serde_json::Value {
    let deliveries: Vec<serde_json::Value> = order
        .deliveries
        .iter()
        .zip(&report.delivered)
        .map(|(delivery, made)| {
            let (grid, size) = (&delivery.grid, delivery.grid.size());
            let [across, down] = grid.remainder();
            let files: Vec<_> = made
                .files
                .iter()
                .map(|f| json!({ "path": f.path, "kind": f.kind.name(), "bytes": f.bytes, "sha256": f.sha256 }))
                .collect();
            json!({
                "tile": {
                    "width_px": grid.width(),
                    "height_px": grid.height(),
                    "width_in": size.width.to(seamfast::length::Unit::In),
                    "height_in": size.height.to(seamfast::length::Unit::In),
                    "dpi": grid.resolution().value(),
                },
                "block_px": delivery.repeat.block,
                "lattice": delivery.repeat.lattice.steps(),
                "remainder": {
                    "um_per_tile": [across.um_per_tile(), down.um_per_tile()],
                    "mm_per_10_m": [across.mm_per_10_m(), down.mm_per_10_m()],
                },
                "copies": made.copies,
                "files": files,
            })
        })
        .collect();
    let first = &deliveries[0];
    let files: Vec<_> = deliveries.iter().flat_map(|d| d["files"].as_array().cloned().unwrap_or_default()).collect();
    json!({
        "name": order.name,
        "layout": order.layout.to_string(),
        "tile": first["tile"],
        "lattice": first["lattice"],
        "copies": first["copies"],
        "files": files,
        "warnings": order.warnings,
        "deliveries": deliveries,
    })
}
