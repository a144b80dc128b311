//! A design's wishes as the toss takes them: silhouettes, gap and cloth in EMU as asked; and what was laid as sections.

#![allow(clippy::cast_possible_truncation, reason = "steps and lengths: rounded first, far inside what the casts keep")]

use kurbo::{Affine, Vec2};

use super::border::Border;
use super::error::DesignError;
use super::order::{Delivery, Order};
use super::toss::{Apartness, TossEntry, TossWishes, Widths};
use super::writing::{Grid, Section};
use super::written::{Design, Entry};
use crate::artwork::Motif;
use crate::length::Length;
use crate::length::Unit;
use crate::repeat::{PARTS, Repeat, Spot};
use crate::toss::{Fixed, Grain, Kind, Silhouette, Torus, TossError, Tossed, Wishes};

/// Outlines are this exact, in shares of the gap.
const EXACT: f64 = 1.0 / 60.0;
/// Turns are written in tenths of a degree.
const TURN: f64 = 0.1;
/// What texts are rounded by when they are read: half an EMU for each of two places and sizes, and some to spare.
const READING: f64 = 4.0;

/// What is strewn, and on what.
pub(super) struct Bench {
    pub(super) torus: Torus,
    pub(super) wishes: Wishes,
    /// Which of the motifs by hand each fixed one is: one on all kinds of place lies on each.
    pub(super) hands: Vec<usize>,
    /// How many kinds of place motifs alternate in.
    kinds_of_place: usize,
    grid: Grid,
    /// The cloth's area to that of the torus, which is larger where a border's edges lie on it.
    pub(super) part: f64,
}

impl Bench {
    /// `order` has the fixed motifs first, then one of each that is strewn.
    pub(super) fn new(
        design: &Design,
        entry: &TossEntry,
        wanted: &TossWishes,
        order: &Order,
        fixed: usize,
    ) -> Result<Bench, DesignError> {
        let delivery = &order.deliveries[0];
        let repeat = &delivery.repeat;
        let grid = Grid::of(design);
        let gap = widened(wanted.gap, order);
        let owners = order.entries();
        let place = |index: usize| {
            let placement = &repeat.placements[index];
            let (motif, to) = (&order.motifs[placement.motif], as_asked(delivery, placement.linear));
            (placement, motif, to)
        };
        // Files tell kinds: one that is also trimmed, or is fixed, is of the same kind.
        let hands: Vec<&Entry> = design.motifs.iter().filter(|entry| !entry.tossed).collect();
        let files: Vec<&String> = hands
            .iter()
            .map(|entry| &entry.file)
            .chain(entry.motifs.iter().map(|motif| &motif.file))
            .map(|f| f.get_ref())
            .collect();
        let family = |index: usize| files.iter().position(|file| *file == files[index]).unwrap_or(index);
        let mut kinds = Vec::new();
        for (kind, motif) in entry.motifs.iter().enumerate() {
            // On which kind of place it is read here says nothing of where it will lie.
            let first = owners.partition_point(|owner| *owner < fixed + kind);
            let (_, drawing, to) = place(first);
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
        let hands_of: Vec<usize> = owners.into_iter().take_while(|owner| *owner < fixed).collect();
        let lying = hands_of.iter().enumerate().map(|(index, hand)| {
            let (placement, drawing, to) = place(index);
            let at = placement.at.units();
            let scale = delivery.grid.scale();
            let there = Affine::translate(Vec2::new(at[0] / scale[0], at[1] / scale[1])) * to;
            let silhouette = silhouette(drawing, there, gap * EXACT);
            Fixed { silhouette, family: family(*hand), overlap: hands[*hand].overlap, bare: false }
        });
        let mut lying: Vec<Fixed> = lying.collect();
        let apart = wanted.apart.map(|apart| match apart {
            Apartness::Length(length) => widened(length, order),
            Apartness::OneBetween => {
                2.0 * gap + kinds.iter().filter(|k| !k.filler).map(breadth).fold(f64::MAX, f64::min)
            }
        });
        let (torus, part) = if repeat.one_way {
            let border = Border::new(delivery, &kinds, &lying, [gap, apart.unwrap_or(0.0)]);
            lying.extend(border.beyond(files.len()));
            (border.torus(delivery), border.part())
        } else {
            (torus(delivery), 1.0)
        };
        let most = order.limits.placements.size().saturating_sub(fixed);
        let wishes = Wishes {
            fixed: lying,
            kinds,
            gap,
            turns: wanted.turns,
            count: wanted.count,
            most,
            apart,
            seed: wanted.seed,
            grain: Grain { length: grid.emu(), turn: TURN },
        };
        let torus = torus.map_err(DesignError::new)?;
        Ok(Bench { torus, wishes, hands: hands_of, kinds_of_place: repeat.places.len(), grid, part })
    }

    /// The sections that are written for what was laid.
    pub(super) fn sections(&self, tossed: &Tossed, entry: &TossEntry) -> Vec<Section> {
        let section = |laid: &crate::toss::Laid| {
            let motif = &entry.motifs[laid.kind];
            let width = motif.width.as_ref().map(|width| match width.get_ref() {
                Widths::One(text) => text.clone(),
                Widths::Range(_) => self.grid.text(laid.size),
            });
            let corner = self.torus.corner(laid.place);
            let at = [0, 1].map(|axis| self.grid.text(laid.at[axis] - corner[axis]));
            let place = (self.kinds_of_place > 1).then_some(laid.place + 1);
            let turn = (laid.turn / TURN).round() * TURN;
            Section { file: motif.file.get_ref().clone(), width, trim: motif.trim, at, place, turn }
        };
        tossed.laid.iter().map(section).collect()
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
    on_steps(delivery, delivery.repeat.lattice.steps().map(|[a, b]| [a as f64 / x, b as f64 / y]))
}

/// The same with steps of its own.
pub(super) fn on_steps(delivery: &Delivery, steps: [[f64; 2]; 2]) -> Result<Torus, TossError> {
    let [x, y] = delivery.grid.scale();
    let repeat = &delivery.repeat;
    // Written out, so that what leaves all as it is does so to the last bit, and lies nowhere twice.
    let asked = |by: Affine| {
        let [xx, yx, xy, yy, right, down] = by.as_coeffs();
        Affine::new([xx, yx * x / y, xy * y / x, yy, right / x, down / y])
    };
    let operators: Vec<Affine> = operators(repeat).into_iter().map(asked).collect();
    let block = [repeat.block[0] as f64 / x, repeat.block[1] as f64 / y];
    let kinds = repeat.places.iter().map(|[right, down]| [*right as f64 / x, *down as f64 / y]).collect();
    Ok(Torus::new(steps, &operators)?.with_blocks(steps, block, kinds))
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
