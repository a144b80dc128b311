//! What the flags of `seamfast cut` ask for.

use seamfast::artwork::{HindranceKind, Patterns};
use seamfast::cut::{Bridging, Checks, Corner, CutFile, Goods, Islands, Mode, Settings, Sheets};
use seamfast::length::{Length, Size, Unit};
use seamfast::pixels::Side;

use super::args::CutArgs;
use super::say::{Failure, Outcome, failure, failure_with};

/// A length behind a flag; `None` if the flag is not there.
fn length(flag: &str, text: Option<&String>, least: Length) -> Result<Option<Length>, Failure> {
    let Some(text) = text else { return Ok(None) };
    let text = text.trim();
    if text.to_ascii_lowercase().ends_with("px") {
        return Err(failure_with(
            format!("--{flag}: {text:?} is in pixels, which have no true size"),
            "write a length, for example 2mm",
        ));
    }
    let length: Length =
        if text == "0" { Length::ZERO } else { text.parse().map_err(|e| failure(format!("--{flag}: {e}")))? };
    if length < least || length > Length::of(100, Unit::M) {
        let what = format!("--{flag}: {text:?} is {}", if length < least { "too small" } else { "too large" });
        let hint = if length > least {
            "write at most 100m".into()
        } else if least == Length::ZERO {
            "write a length that is not less than nothing, for example 2mm".into()
        } else if least == SMALL {
            "write a length above zero, for example 2mm".into()
        } else {
            format!("write at least {least}")
        };
        return Err(failure_with(what, hint));
    }
    Ok(Some(length))
}

const SMALL: Length = Length::from_emu(1);

pub(super) fn settings(args: &CutArgs) -> Result<Settings, Failure> {
    let at_least = |flag, text: &Option<String>, least, usual: Length| {
        Ok::<_, Failure>(length(flag, text.as_ref(), least)?.unwrap_or(usual))
    };
    let mm = |n| Length::of(n, Unit::Mm);
    let half = Length::from_emu(Unit::Mm.emu() / 2);
    let [piece, part, gap] = match &*args.tool {
        // Narrower film tears or lifts when it is weeded, narrower laser parts burn through.
        "blade" => [mm(2), half, Length::ZERO],
        "laser" => [mm(1), mm(1), half],
        other => {
            return Err(failure_with(format!("--tool: {other:?} is no tool that is known"), "write blade or laser"));
        }
    };
    let checks = Checks {
        piece: at_least("least-piece", &args.least_piece, Length::ZERO, piece)?,
        part: at_least("least-part", &args.least_part, Length::ZERO, part)?,
        gap: at_least("least-gap", &args.least_gap, Length::ZERO, gap)?,
    };
    let sheets = match &args.sheet {
        None => None,
        Some(text) => {
            let margin = at_least("margin", &args.margin, Length::ZERO, mm(10))?;
            let apart = at_least("apart", &args.apart, Length::ZERO, mm(3))?;
            let size = size("sheet", text)?;
            if size.width <= margin + margin || size.height <= margin + margin {
                return Err(failure_with(
                    format!("--sheet: {text} leaves nothing inside margins of {margin}"),
                    "write a larger --sheet or a smaller --margin",
                ));
            }
            Some(Sheets { size, margin, apart })
        }
    };
    let tenth = Length::from_emu(Unit::Mm.emu() / 100);
    Ok(Settings {
        mode: mode(args)?,
        patterns: match &*args.patterns {
            "ink" => Patterns::Ink,
            "shapes" => Patterns::Shapes,
            other => return Err(unknown("patterns", other, "ink or shapes")),
        },
        goods: goods(args)?,
        roll: args.roll,
        kerf: at_least("kerf", &args.kerf, Length::ZERO, Length::ZERO)?,
        simplify: at_least("simplify", &args.simplify, Length::ZERO, tenth)?,
        checks,
        sheets,
        weed_border: length("weed-border", args.weed_border.as_ref(), SMALL)?,
        weed_lines: length("weed-lines", args.weed_lines.as_ref(), mm(1))?,
        marks: args.marks,
        skip: skip(args)?,
        speeds: [
            at_least("speed", &args.speed, SMALL, mm(20))?,
            at_least("travel-speed", &args.travel_speed, SMALL, mm(100))?,
        ],
    })
}

fn mode(args: &CutArgs) -> Result<Mode, Failure> {
    let emu = |length: Length| length.emu() as f64;
    let at_least = |flag, text: &Option<String>, least, usual: Length| {
        Ok::<_, Failure>(emu(length(flag, text.as_ref(), least)?.unwrap_or(usual)))
    };
    let mm = |n| Length::of(n, Unit::Mm);
    only("inlay", args, &[("overlap", args.overlap.is_some())])?;
    only(
        "outline",
        args,
        &[
            ("distance", args.distance.is_some()),
            ("corners", args.corners.is_some()),
            ("fill-holes", args.fill_holes.is_some()),
        ],
    )?;
    only(
        "stencil",
        args,
        &[
            ("cut-out", args.cut_out.is_some()),
            ("frame", args.frame.is_some()),
            ("islands", args.islands.is_some()),
            ("bridge", args.bridge.is_some()),
        ],
    )?;
    if args.bridge.is_some() && args.islands.as_deref() != Some("bridge") {
        return Err(failure_with(
            "--bridge: goes with --islands bridge",
            "write --islands bridge, or leave out --bridge",
        ));
    }
    Ok(match &*args.mode {
        "silhouette" => Mode::Silhouette,
        "stacked" => Mode::Stacked,
        "inlay" => Mode::Inlay { overlap: at_least("overlap", &args.overlap, Length::ZERO, Length::ZERO)? },
        "outline" => Mode::Outline {
            distance: at_least("distance", &args.distance, Length::of(-1, Unit::M), mm(2))?,
            corner: match args.corners.as_deref() {
                None | Some("round") => Corner::Round,
                // A tip of 29 degrees still ends in a point, as in SVG.
                Some("mitred") => Corner::Mitre(4.0),
                Some(other) => return Err(unknown("corners", other, "round or mitred")),
            },
            fill: at_least("fill-holes", &args.fill_holes, Length::ZERO, mm(5))?,
        },
        "stencil" => Mode::Stencil {
            ink_out: match args.cut_out.as_deref() {
                None | Some("ink") => true,
                Some("ground") => false,
                Some(other) => return Err(unknown("cut-out", other, "ink or ground")),
            },
            frame: at_least("frame", &args.frame, Length::ZERO, mm(10))?,
            islands: match args.islands.as_deref() {
                None | Some("refuse") => Islands::Refuse,
                Some("list") => Islands::List,
                Some("bridge") => Islands::Bridge(Bridging {
                    width: at_least("bridge", &args.bridge, SMALL, Length::from_emu(Unit::Mm.emu() * 3 / 2))?,
                }),
                Some(other) => return Err(unknown("islands", other, "refuse, list or bridge")),
            },
        },
        other => return Err(unknown("mode", other, "silhouette, stacked, inlay, outline or stencil")),
    })
}

fn unknown(flag: &str, value: &str, known: &str) -> Failure {
    failure_with(format!("--{flag}: {value:?} is not known"), format!("write {known}"))
}

/// Flags that only one mode has.
fn only(mode: &str, args: &CutArgs, flags: &[(&str, bool)]) -> Outcome {
    match flags.iter().find(|(_, given)| *given && args.mode != mode) {
        Some((flag, _)) => Err(failure_with(
            format!("--{flag}: goes with --mode {mode}, not with --mode {}", args.mode),
            format!("write --mode {mode}, or leave out --{flag}"),
        )),
        None => Ok(()),
    }
}

fn goods(args: &CutArgs) -> Result<Goods, Failure> {
    if let Some(text) = &args.cloth {
        return size("cloth", text).map(Goods::Cloth);
    }
    let Some(text) = &args.tiles else { return Ok(Goods::Tiles([1, 1])) };
    let parts: Vec<i64> = text.split(['x', 'X', '×']).filter_map(|n| n.trim().parse().ok()).collect();
    match parts[..] {
        [across, down] if (1..=1000).contains(&across) && (1..=1000).contains(&down) => {
            Ok(Goods::Tiles([across, down]))
        }
        _ => Err(failure_with(
            format!("--tiles: {text:?} is no count of tiles"),
            "write tiles across and down, each 1 to 1000, for example 3x2",
        )),
    }
}

fn size(flag: &str, text: &str) -> Result<Size, Failure> {
    let sides = Side::parse_both(text).map_err(|e| failure(format!("--{flag}: {e}")))?;
    let most = Length::of(100, Unit::M);
    match sides {
        [Side::Length(width), Side::Length(height)] if width <= most && height <= most => Ok(Size { width, height }),
        [Side::Length(_), Side::Length(_)] => {
            Err(failure_with(format!("--{flag}: {text} is too large"), "write at most 100m each way"))
        }
        _ => Err(failure_with(format!("--{flag}: {text:?} is in pixels"), "write a true size, for example 300x200mm")),
    }
}

pub(super) fn kinds(args: &CutArgs) -> Result<Vec<CutFile>, Failure> {
    let mut kinds = Vec::new();
    for name in &args.kinds {
        let kind = CutFile::from_name(name).ok_or_else(|| unknown("as", name, "svg, dxf, dxf-r12, pdf or hpgl"))?;
        if !kinds.contains(&kind) {
            kinds.push(kind);
        }
    }
    Ok(kinds)
}

fn skip(args: &CutArgs) -> Result<Vec<HindranceKind>, Failure> {
    let known = |code: &String| HindranceKind::ALL.into_iter().find(|kind| kind.code() == code);
    let kind = |code| known(code).ok_or_else(|| unknown("skip", code, "picture, filter, soft-mask or dashes"));
    args.skip.iter().map(kind).collect()
}
