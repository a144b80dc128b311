//! Strewing a design's motifs: `[toss]` → places on the block → `[[motif]]` sections, each proved.
//!
//! All is measured in EMU as asked. What a delivery makes of it is a little smaller or larger (whole pixels) and
//! rounded to 1/256 pixel; the gap is widened by the most that this can take away, before anything is laid.

#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "steps of progress, and lengths to be shown: rounded first, and far inside what the casts keep"
)]

use std::cell::Cell;
use std::path::Path;

use kurbo::{Affine, Vec2};
use toml::Spanned;

use super::error::DesignError;
use super::order::{Delivery, Order};
use super::proved::{Proved, proved};
use super::toss::{Apartness, TossEntry, TossWishes, Widths};
use super::writing::{Grid, Section, rewritten};
use super::written::{Design, Entry};
use crate::artwork::Motif;
use crate::length::{Length, Unit};
use crate::progress::{Progress, Task};
use crate::repeat::{PARTS, Repeat, Spot};
use crate::toss::{Fixed, Grain, Kind, Silhouette, Torus, TossError, Tossed, Wishes, toss};

/// Outlines are this exact, in shares of the gap.
const EXACT: f64 = 1.0 / 60.0;
/// Turns are written in tenths of a degree.
const TURN: f64 = 0.1;
/// What texts are rounded by when they are read: half an EMU for each of two places and sizes, and some to spare.
const READING: f64 = 4.0;
/// Steps that progress is told in.
pub const TOSS_STEPS: u64 = 1000;

/// A design with its motifs strewn.
#[derive(Clone, Debug)]
pub struct Strewn {
    /// The design file's new text.
    pub text: String,
    /// How many were laid of each `[[toss.motif]]`, by its file.
    pub counts: Vec<(String, usize)>,
    /// How many motifs were asked, fillers apart; `None` for as many as go in.
    pub asked: Option<usize>,
    /// How many of those laid are fillers.
    pub fillers: usize,
    /// The motifs that were written by hand.
    pub fixed: usize,
    /// The tossed ones that they replace.
    pub replaced: usize,
    /// The share of the cloth that silhouettes cover.
    pub coverage: f64,
    /// The gap that was asked.
    pub gap: Length,
    /// What was measured of the result.
    pub proved: Proved,
    /// It was stopped before it was done.
    pub stopped: bool,
    /// The seed it was strewn with.
    pub seed: u64,
}

impl Design {
    /// Strews the motifs of `[toss]`. `text` is what the design was read from; progress is told in
    /// [`TOSS_STEPS`], and a stop ends it with the best so far. From when that is to be proved and placed a stop is
    /// not heard any more.
    ///
    /// # Errors
    /// What can't be decided, wishes that contradict themselves, and a result that does not prove.
    pub fn strew(
        &self,
        text: &str,
        file: &Path,
        seed: Option<u64>,
        progress: &dyn Progress,
    ) -> Result<Strewn, DesignError> {
        let Some(entry) = &self.toss else {
            let e = DesignError::new("the design has no [toss]");
            return Err(e.with_hint("write [toss] with gap = \"3mm\", and [[toss.motif]] with file = \"limpet.svg\""));
        };
        if let Some(page) = &self.croquis {
            let e = DesignError::about("croquis", page, "a page by hand is the block, all of it");
            return Err(e.with_hint("take out [toss], or lay the page's motifs as [[motif]]"));
        }
        let mut wanted = entry.decide()?;
        wanted.seed = seed.unwrap_or(wanted.seed);
        let folder = file.parent().unwrap_or(Path::new(""));
        let stem = file.file_stem().unwrap_or_default().to_string_lossy();
        let fixed: Vec<Entry> = self.motifs.iter().filter(|entry| !entry.tossed).cloned().collect();
        // Those to be strewn are taken in like any other, so that all is decided and refused alike.
        let trial = Design {
            motifs: fixed.iter().cloned().chain(entry.motifs.iter().map(super::toss::TossMotif::entry)).collect(),
            ..self.clone()
        };
        let order = Order::decide_told(&trial, folder, &stem, progress)?;
        let bench = Bench::new(self, entry, &wanted, &order, fixed.len())?;
        let told = Cell::new(0);
        let tell = |done: f64| {
            let now = (done * TOSS_STEPS as f64) as u64;
            progress.pixels(now.saturating_sub(told.get()));
            told.set(now.max(told.get()));
            progress.stopped()
        };
        let tossed = toss(&bench.torus, &bench.wishes, &tell).map_err(|e| bench.refused(e, entry, &fixed))?;
        let _busy = progress.busy(Task::Placing);
        let sections = bench.sections(&tossed, entry);
        let text = rewritten(text, &sections, seed)?;
        let strewn = Design { limits: self.limits.clone(), ..Design::parse(&text, file)? };
        let again = Order::decide(&strewn, folder, &stem)?;
        let tossed_ones: Vec<bool> = strewn.motifs.iter().map(|entry| entry.tossed).collect();
        let proved = proved(&again, &tossed_ones, wanted.gap)?;
        let counts = entry.motifs.iter().enumerate().map(|(kind, motif)| {
            (motif.file.get_ref().clone(), tossed.laid.iter().filter(|laid| laid.kind == kind).count())
        });
        Ok(Strewn {
            counts: counts.collect(),
            text,
            asked: tossed.asked,
            fillers: tossed.fillers,
            fixed: fixed.len(),
            replaced: self.motifs.len() - fixed.len(),
            coverage: tossed.coverage,
            gap: wanted.gap,
            proved,
            stopped: tossed.stopped,
            seed: wanted.seed,
        })
    }
}

/// What is strewn, and on what.
struct Bench {
    torus: Torus,
    wishes: Wishes,
    grid: Grid,
}

impl Bench {
    /// `order` has the fixed motifs first, then one of each that is strewn.
    fn new(
        design: &Design,
        entry: &TossEntry,
        wanted: &TossWishes,
        order: &Order,
        fixed: usize,
    ) -> Result<Bench, DesignError> {
        let delivery = &order.deliveries[0];
        let repeat = &delivery.repeat;
        let layout = |what: &str| {
            let e = match (&design.repeat.alternate, &design.repeat.layout) {
                (Some(text), _) => DesignError::about("alternate", text, what),
                (None, Some(text)) => DesignError::about("layout", text, what),
                (None, None) => DesignError::new(what),
            };
            Err(e.with_hint("choose another layout, for example half-drop, or take out [toss]"))
        };
        if repeat.places.len() > 1 {
            return layout("motifs that are strewn lie on all blocks, and this layout alternates");
        }
        if order.arrangement.is_border() {
            return layout("a border has edges, and motifs that are strewn would hang over them");
        }
        let grid = Grid::of(design);
        let gap = widened(wanted.gap, order);
        let place = |index: usize| {
            let placement = &repeat.placements[index];
            let (motif, to) = (&order.motifs[placement.motif], as_asked(delivery, placement.linear));
            (placement, motif, to)
        };
        // Files tell kinds: one that is also trimmed, or is fixed, is of the same kind.
        let hand = design.motifs.iter().filter(|entry| !entry.tossed).map(|entry| &entry.file);
        let files: Vec<&String> =
            hand.chain(entry.motifs.iter().map(|motif| &motif.file)).map(|f| f.get_ref()).collect();
        let family = |index: usize| files.iter().position(|file| *file == files[index]).unwrap_or(index);
        let mut kinds = Vec::new();
        for (kind, motif) in entry.motifs.iter().enumerate() {
            let (_, drawing, to) = place(fixed + kind);
            let [a, b, ..] = to.as_coeffs();
            // How wide the page is, in EMU: the motif's size.
            let width = (a * a + b * b).sqrt() * drawing.page_px().width;
            let sizes = wanted.widths[kind].map_or([width; 2], |widths| widths.map(|width| width.emu() as f64));
            let silhouette = silhouette(drawing, Affine::scale(1.0 / width) * to, gap * EXACT / sizes[1]);
            if silhouette.contours.is_empty() {
                let what = format!("{} has no ink, and can't be strewn", motif.file.get_ref());
                return Err(DesignError::new(what).with_hint("take it out").at(motif.file.span()));
            }
            let (share, filler) = (wanted.shares[kind], motif.filler);
            kinds.push(Kind { silhouette, sizes, share, filler, family: family(fixed + kind) });
        }
        let lying = (0..fixed).map(|index| {
            let (placement, drawing, to) = place(index);
            let at = placement.at.units();
            let scale = delivery.grid.scale();
            let there = Affine::translate(Vec2::new(at[0] / scale[0], at[1] / scale[1])) * to;
            Fixed { silhouette: silhouette(drawing, there, gap * EXACT), family: family(index) }
        });
        let apart = wanted.apart.map(|apart| match apart {
            Apartness::Length(length) => widened(length, order),
            Apartness::OneBetween => {
                2.0 * gap + kinds.iter().filter(|k| !k.filler).map(breadth).fold(f64::MAX, f64::min)
            }
        });
        let most = order.limits.placements.size().saturating_sub(fixed);
        let wishes = Wishes {
            fixed: lying.collect(),
            kinds,
            gap,
            turns: wanted.turns,
            count: wanted.count,
            most,
            apart,
            seed: wanted.seed,
            grain: Grain { length: grid.emu(), turn: TURN },
        };
        Ok(Bench { torus: torus(delivery).map_err(DesignError::new)?, wishes, grid })
    }

    /// The sections that are written for what was laid.
    fn sections(&self, tossed: &Tossed, entry: &TossEntry) -> Vec<Section> {
        let section = |laid: &crate::toss::Laid| {
            let motif = &entry.motifs[laid.kind];
            let width = motif.width.as_ref().map(|width| match width.get_ref() {
                Widths::One(text) => text.clone(),
                Widths::Range(_) => self.grid.text(laid.size),
            });
            let at = laid.at.map(|n| self.grid.text(n));
            let turn = (laid.turn / TURN).round() * TURN;
            Section { file: motif.file.get_ref().clone(), width, trim: motif.trim, at, turn }
        };
        tossed.laid.iter().map(section).collect()
    }

    /// Wishes that can't be met, in the design's words.
    fn refused(&self, error: TossError, entry: &TossEntry, fixed: &[Entry]) -> DesignError {
        let shown = |emu: f64| Length::from_emu(emu.round() as i64).show(Unit::Mm, 1);
        let file = |kind: usize| entry.motifs[kind].file.get_ref();
        let at = |kind: usize| entry.motifs[kind].file.span();
        match error {
            TossError::Gap { step, .. } => {
                let what =
                    format!("{} is no shorter than the block's shortest step, {}", entry.gap.get_ref(), shown(step));
                DesignError::about("gap", &entry.gap, what).with_hint("write a smaller gap, or a larger block")
            }
            TossError::TooLarge { kind, near } => {
                let what = match near {
                    0.0 => format!("{} overlaps its own copies, wherever it lies", file(kind)),
                    near => format!("{} comes {} near to its own copies, wherever it lies", file(kind), shown(near)),
                };
                let hint = "write a smaller width or gap, or a larger block";
                DesignError::new(what)
                    .with_hint(hint)
                    .at(entry.motifs[kind].width.as_ref().map_or(at(kind), Spanned::span))
            }
            TossError::FixedTooNear { fixed: [a, b], near, .. } => {
                let names = [a, b].map(|n| fixed[n].file.get_ref().as_str());
                let what = format!("{} and {} are {} apart, nearer than the gap", names[0], names[1], shown(near));
                let hint = format!("move one of them, or write a gap smaller than {}", entry.gap.get_ref());
                DesignError::new(what)
                    .with_hint(hint)
                    .at(fixed[b].at.as_ref().map_or(fixed[b].file.span(), Spanned::span))
            }
            TossError::Shares => {
                let first = entry.motifs.iter().find_map(|motif| motif.share.as_ref());
                let what = "the shares sum to nothing";
                let e = first.map_or(DesignError::new(what), |share| DesignError::about("share", share, what));
                e.with_hint("write share = 1 for one of them at least, and for one filler if there are any")
            }
            TossError::OnlyFillers => DesignError::new(error).with_hint("take filler = true out of one").at(at(0)),
            TossError::Alone => match &entry.apart {
                Some(apart) => {
                    DesignError::about("apart", apart, error).with_hint("add another motif, or take apart out")
                }
                None => DesignError::new(error),
            },
            TossError::Sizes { kind, .. } | TossError::NoInk { kind } => DesignError::new(error).at(at(kind)),
            TossError::NoKind | TossError::NoBlock => DesignError::new(error).at(entry.gap.span()),
        }
    }
}

/// The gap that is kept as asked, so that what is printed keeps the gap: no delivery makes less of it, and rounding two
/// places (and, under a turn by a third, their images) to 1/256 pixel takes no more away.
fn widened(gap: Length, order: &Order) -> f64 {
    let mut most = 0.0_f64;
    for delivery in &order.deliveries {
        let (size, asked) = (delivery.grid.size(), delivery.grid.asked());
        let times =
            [(size.width, asked.width), (size.height, asked.height)].map(|(a, b)| a.emu() as f64 / b.emu() as f64);
        let scale = delivery.grid.scale();
        let rounding = 4.0 * std::f64::consts::SQRT_2 / (2 * PARTS) as f64 / scale[0].min(scale[1]);
        most = most.max(gap.emu() as f64 / times[0].min(times[1]) + rounding);
    }
    most + READING
}

/// A placement's linear part, from the motif's pixels about its middle to EMU as asked.
fn as_asked(delivery: &Delivery, [xx, yx, xy, yy]: crate::repeat::Linear) -> Affine {
    let [x, y] = delivery.grid.scale();
    Affine::new([xx / x, yx / y, xy / x, yy / y, 0.0, 0.0])
}

/// Where a drawing's ink is after a transform about its middle, this exact after it.
pub(super) fn silhouette(drawing: &Motif, to: Affine, exact: f64) -> Silhouette {
    let [times, _] = crate::artwork::stretch(to);
    let (contours, slack) = drawing.ink().outside(exact / times);
    let to = to * Affine::translate(-drawing.middle());
    let place = |p: &[f64; 2]| {
        let q = to * kurbo::Point::new(p[0], p[1]);
        [q.x, q.y]
    };
    let contours = contours.iter().map(|contour| contour.iter().map(place).collect()).collect();
    Silhouette { contours, slack: slack * times }
}

/// The lesser side of a motif's upright box, at its least size.
fn breadth(kind: &Kind) -> f64 {
    let side = |axis: usize| {
        let all = || kind.silhouette.contours.iter().flatten().map(move |p| p[axis]);
        all().fold(f64::MIN, f64::max) - all().fold(f64::MAX, f64::min)
    };
    side(0).min(side(1)) * kind.sizes[0]
}

/// The cloth of a delivery, as asked.
fn torus(delivery: &Delivery) -> Result<Torus, TossError> {
    let [x, y] = delivery.grid.scale();
    let repeat = &delivery.repeat;
    let steps = repeat.lattice.steps().map(|[a, b]| [a as f64 / x, b as f64 / y]);
    let to = Affine::scale_non_uniform(1.0 / x, 1.0 / y);
    let operators: Vec<Affine> = operators(repeat).into_iter().map(|by| to * by * to.inverse()).collect();
    let block = [repeat.block[0] as f64 / x, repeat.block[1] as f64 / y];
    Ok(Torus::new(steps, &operators)?.with_block(steps, block))
}

/// All that carries a repeat onto itself besides its steps, in units.
pub(super) fn operators(repeat: &Repeat) -> Vec<Affine> {
    let origin = Spot::default();
    let all = repeat.turns.iter().flat_map(|turn| repeat.symmetry.iter().map(move |operator| (turn, operator)));
    all.map(|(turn, operator)| {
        let [xx, yx, xy, yy] = operator.after(turn.after([1.0, 0.0, 0.0, 1.0]));
        let [x, y] = operator.carry_spot(turn.carry(origin)).units();
        Affine::new([xx, yx, xy, yy, x, y])
    })
    .collect()
}

/// Inches and what is made of them are written in thousandths of an inch, the rest in hundredths of a millimetre.
impl Grid {
    fn of(design: &Design) -> Grid {
        let texts = [&design.repeat.block, &design.repeat.tile];
        let metric = texts.into_iter().flatten().any(|text| text.get_ref().trim().ends_with('m'));
        if metric { Grid { unit: Unit::Mm, parts: 100 } } else { Grid { unit: Unit::In, parts: 1000 } }
    }
}
