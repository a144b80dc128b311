//! `seamfast make`: the main job.

use std::io::{Read, read_to_string};
use std::path::{Path, PathBuf};

use seamfast::design::{Amount, Deliver, Design, DesignError, Entry, Order};
use toml::Spanned;

use super::args::MakeArgs;
use super::say::{Failure, Outcome, failure, failure_with, line, reason, warn};
use super::{summary, watch};
use crate::guard::Worker;

/// Decides the order, delivers it, and says what was made.
pub(super) fn run(args: &MakeArgs, worker: &Worker) -> Outcome {
    // A design is a stranger's file, too.
    hold(&limited(&args.limits), args, worker)?;
    let order = decide(args, worker)?;
    let mut pool = rayon::ThreadPoolBuilder::new().stack_size(16 << 20);
    if let Some(threads) = args.threads {
        pool = pool.num_threads(threads.into());
    }
    let pool = pool.build().map_err(failure)?;
    worker.total(order.pixels());
    let report = pool.install(|| order.deliver(&args.out, worker));
    watch::ended();
    let report = report?;
    if args.json {
        return line(&summary::json(&order, &report).to_string());
    }
    for warning in order.warnings.iter().chain(report.delivered.iter().flat_map(|made| &made.remarks)) {
        warn(warning);
    }
    line(summary::words(&order, &report).trim_end())
}

/// Bounds this process by what a design says.
fn hold(design: &Design, args: &MakeArgs, worker: &Worker) -> Result<(), DesignError> {
    let cores = || std::thread::available_parallelism().map_or(1, usize::from);
    worker.hold(&design.limits()?, args.threads.map_or_else(cores, usize::from));
    Ok(())
}

/// A design that says nothing but these limits, each `NAME=VALUE`.
pub(super) fn limited(limits: &[String]) -> Design {
    let mut design = Design::default();
    for limit in limits {
        let (name, value) = limit.split_once('=').unwrap_or((limit, ""));
        design.limits.insert(name.trim().into(), Spanned::new(0..0, Amount::Text(value.trim().into())));
    }
    design
}

/// Flags and design file become one design, and that an order.
fn decide(args: &MakeArgs, worker: &Worker) -> Result<Order, Failure> {
    let is_design = |path: &PathBuf| path.extension().is_some_and(|e| e.eq_ignore_ascii_case("toml"));
    match &args.inputs[..] {
        [file] if is_design(file) => from_file(args, file, worker),
        files => match files.iter().find(|file| is_design(file)) {
            Some(design) => Err(failure_with(
                "a design file is made alone, without motifs or other designs",
                format!("write seamfast make {}, and name the motifs in the design", design.display()),
            )),
            None => from_flags(args, files, worker),
        },
    }
}

fn from_file(args: &MakeArgs, file: &Path, worker: &Worker) -> Result<Order, Failure> {
    if args.croquis || args.motif_width.is_some() {
        let flag = if args.croquis { "--croquis" } else { "--motif-width" };
        let instead = if args.croquis {
            "croquis = \"page.svg\" in the design"
        } else {
            "width = \"2.5in\" under [[motif]] in the design"
        };
        return Err(failure_with(
            format!("{flag}: goes with motifs, not with a design file"),
            format!("write {instead}"),
        ));
    }
    let text = design_text(file, &args.limits)?;
    let mut design = Design::parse(&text, file)?;
    override_with(&mut design, args)?;
    let folder = file.parent().unwrap_or(Path::new(""));
    let stem = file.file_stem().unwrap_or_default().to_string_lossy();
    let order = hold(&design, args, worker).and_then(|()| Order::decide_told(&design, folder, &stem, worker));
    let mut order = order.map_err(|e| e.in_file(file, &text))?;
    order.sources.push(file.into());
    Ok(order)
}

/// The text of a design file, no longer than any file may be.
pub(super) fn design_text(file: &Path, limits: &[String]) -> Result<String, Failure> {
    let limit = limited(limits).limits()?.file;
    let text = std::fs::File::open(file).and_then(|opened| read_to_string(opened.take(limit.most.saturating_add(1))));
    let text = text.map_err(|e| {
        let hint = "name a design file; a new one is begun with: seamfast new limpet.svg";
        failure_with(format!("{}: {}", file.display(), reason(&e)), hint)
    })?;
    if text.len() > limit.size() {
        let what = format!("{}: bytes in the file: more than {limit}; the most is {limit}", file.display());
        return Err(failure_with(what, limit.raise()));
    }
    Ok(text)
}

fn from_flags(args: &MakeArgs, files: &[PathBuf], worker: &Worker) -> Result<Order, Failure> {
    let mut design = Design::default();
    let names: Vec<String> = files.iter().map(|f| f.to_string_lossy().into_owned()).collect();
    if args.croquis {
        let [page] = &names[..] else {
            return Err(failure_with(
                format!("--croquis: takes one page, and {} files are named", names.len()),
                "make each page by itself, or leave out --croquis",
            ));
        };
        if args.motif_width.is_some() {
            let hint = "give the page's size with --block or --tile";
            return Err(failure_with("--motif-width: does not go with --croquis", hint));
        }
        if args.trim {
            return Err(failure_with("--trim: does not go with --croquis", "a page by hand is the block, all of it"));
        }
        design.croquis = Some(typed(page));
    } else {
        design.motifs = names.iter().map(|name| entry(name, args.motif_width.as_deref())).collect();
    }
    override_with(&mut design, args)?;
    if !args.croquis {
        design.spread()?;
    }
    let stem = files[0].file_stem().unwrap_or_default().to_string_lossy();
    hold(&design, args, worker)?;
    Ok(Order::decide_told(&design, Path::new(""), &stem, worker)?)
}

fn entry(file: &str, width: Option<&str>) -> Entry {
    Entry {
        file: typed(file),
        width: width.map(typed),
        height: None,
        scale: None,
        trim: false,
        at: None,
        place: None,
        turn: None,
        flip: None,
        layer: 0,
        tossed: false,
    }
}

/// A text that stands in no file.
pub(super) fn typed(text: &str) -> Spanned<String> {
    Spanned::new(0..0, text.into())
}

/// Flags replace what the design says of the same thing, in every delivery.
fn override_with(design: &mut Design, args: &MakeArgs) -> Result<(), Failure> {
    let set = |to: &mut Option<Spanned<String>>, from: &Option<String>| {
        if let Some(text) = from {
            *to = Some(typed(text));
        }
    };
    set(&mut design.ground, &args.ground);
    set(&mut design.repeat.layout, &args.layout);
    set(&mut design.repeat.symmetry, &args.symmetry);
    set(&mut design.repeat.alternate, &args.alternate);
    if args.tile.is_some() || args.block.is_some() {
        design.repeat.tile = args.tile.as_deref().map(typed);
        design.repeat.block = args.block.as_deref().map(typed);
    }
    design.limits.append(&mut limited(&args.limits).limits);
    for pair in &args.font {
        let Some((font, by)) = pair.split_once('=') else {
            let hint = "write the font as the drawing names it, = and the other: --font 'Harbour Script=DejaVu Serif'";
            return Err(failure_with(format!("--font: {pair:?} has no ="), hint));
        };
        design.fonts.insert(font.trim().into(), typed(by.trim()));
    }
    for motif in &mut design.motifs {
        motif.trim |= args.trim;
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
        set(&mut deliver.colors, &args.colors);
        if let Some(quality) = args.quality {
            deliver.quality = Some(Spanned::new(0..0, quality));
        }
        if let Some(bytes) = &args.max_bytes {
            deliver.max_bytes = Some(Spanned::new(0..0, Amount::Text(bytes.clone())));
        }
        deliver.exact |= args.exact;
        deliver.clip |= args.clip;
    }
    Ok(())
}
