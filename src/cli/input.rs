//! From what is typed to an order: a design file, or motifs and flags.

use std::io::{Read, read_to_string};
use std::path::{Path, PathBuf};

use seamfast::design::{Amount, Design, DesignError, Entry, Order};
use toml::Spanned;

use super::args::InputArgs;
use super::say::{Failure, failure_with, reason};
use crate::guard::Worker;

/// Who decides, on how many threads, and what of the design only this command knows of.
pub(super) struct Run<'a> {
    pub(super) worker: &'a Worker,
    pub(super) threads: Option<u16>,
    pub(super) set: &'a dyn Fn(&mut Design),
}

/// Bounds this process by what a design says.
fn hold(design: &Design, threads: Option<u16>, worker: &Worker) -> Result<(), DesignError> {
    let cores = || std::thread::available_parallelism().map_or(1, usize::from);
    worker.hold(&design.limits()?, threads.map_or_else(cores, usize::from));
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
///
/// `set` then changes what only one command knows of.
pub(super) fn decide(args: &InputArgs, run: &Run<'_>) -> Result<Order, Failure> {
    // A design is a stranger's file, too.
    hold(&limited(&args.limits), run.threads, run.worker)?;
    let is_design = |path: &PathBuf| path.extension().is_some_and(|e| e.eq_ignore_ascii_case("toml"));
    match &args.inputs[..] {
        [file] if is_design(file) => from_file(args, file, run),
        files => match files.iter().find(|file| is_design(file)) {
            Some(design) => Err(failure_with(
                "a design file is made alone, without motifs or other designs",
                format!("write seamfast make {}, and name the motifs in the design", design.display()),
            )),
            None => from_flags(args, files, run),
        },
    }
}

fn from_file(args: &InputArgs, file: &Path, run: &Run<'_>) -> Result<Order, Failure> {
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
    (run.set)(&mut design);
    let folder = file.parent().unwrap_or(Path::new(""));
    let stem = file.file_stem().unwrap_or_default().to_string_lossy();
    let order =
        hold(&design, run.threads, run.worker).and_then(|()| Order::decide_told(&design, folder, &stem, run.worker));
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

fn from_flags(args: &InputArgs, files: &[PathBuf], run: &Run<'_>) -> Result<Order, Failure> {
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
    (run.set)(&mut design);
    if !args.croquis {
        design.spread()?;
    }
    let stem = files[0].file_stem().unwrap_or_default().to_string_lossy();
    hold(&design, run.threads, run.worker)?;
    Ok(Order::decide_told(&design, Path::new(""), &stem, run.worker)?)
}

fn entry(file: &str, width: Option<&str>) -> Entry {
    Entry { width: width.map(typed), ..Entry::of(typed(file)) }
}

/// A text that stands in no file.
pub(super) fn typed(text: &str) -> Spanned<String> {
    Spanned::new(0..0, text.into())
}

/// Flags replace what the design says of the same thing.
fn override_with(design: &mut Design, args: &InputArgs) -> Result<(), Failure> {
    let set = |to: &mut Option<Spanned<String>>, from: &Option<String>| {
        if let Some(text) = from {
            *to = Some(typed(text));
        }
    };
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
    Ok(())
}
