//! What can be wrong with a join, and where.

use super::image::{Image, Side};
use super::track::Crossing;

/// A sort of fault.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FaultKind {
    /// One side lies further along the join than the other.
    Slip,
    /// A line stands twice.
    Doubled,
    /// A line is missing.
    Missing,
    /// A line at the edge is washed out or part-transparent.
    SoftEdge,
    /// A line of another color.
    Hairline,
    /// The ground has another color on the other side.
    Ground,
    /// What was lost in packing shows at the join.
    Noise,
    /// What leaves by one edge does not come in by the other.
    Broken,
}

impl FaultKind {
    /// Its code in reports.
    pub fn code(self) -> &'static str {
        match self {
            FaultKind::Slip => "slip",
            FaultKind::Doubled => "doubled-line",
            FaultKind::Missing => "missing-line",
            FaultKind::SoftEdge => "soft-edge",
            FaultKind::Hairline => "hairline",
            FaultKind::Ground => "ground-step",
            FaultKind::Noise => "noise",
            FaultKind::Broken => "broken",
        }
    }
}

impl Fault {
    pub(super) fn new(kind: FaultKind, amount: f64, areas: Vec<Area>) -> Fault {
        Fault { kind, amount, witnessed: false, areas }
    }

    /// How many lines its first place takes.
    fn deep(&self, side: Side) -> usize {
        self.areas.first().map_or(1, |area| if side == Side::LeftRight { area.width } else { area.height })
    }

    /// What is wrong, in words; `side` is its join.
    pub fn what(&self, side: Side) -> String {
        let line = side.line();
        let amount = self.amount.abs();
        let [first, along] = match (side, self.amount >= 0.0) {
            (Side::LeftRight, true) => ["at the left edge", "too low"],
            (Side::LeftRight, false) => ["at the left edge", "too high"],
            (Side::TopBottom, true) => ["at the top edge", "too far right"],
            (Side::TopBottom, false) => ["at the top edge", "too far left"],
        };
        let seen = if self.witnessed { ", seen by the same motif whole elsewhere in the tile" } else { "" };
        match self.kind {
            FaultKind::Slip => format!("what comes in {first} lies {amount:.1} px {along}{seen}"),
            FaultKind::Doubled => format!("a {line} stands twice at the join{seen}"),
            FaultKind::Missing if self.witnessed => format!(
                "{} missing at the join: the motif is cut there, and its pieces lie {amount:.0} px too near to each other{seen}",
                if amount < 1.5 { format!("a {line} is") } else { format!("{amount:.0} {line}s are") }
            ),
            FaultKind::Missing => format!("a {line} is missing at the join: the contours that cross it jump"),
            FaultKind::SoftEdge => match self.deep(side) {
                1 => format!(
                    "the {line} at the edge is washed out: it has {:.0} % of its strength{seen}",
                    100.0 * amount
                ),
                deep => format!(
                    "the {deep} {line}s at the edge are washed out: they have {:.0} % of their strength{seen}",
                    100.0 * amount
                ),
            },
            FaultKind::Hairline => {
                let lines = match (self.deep(side), self.areas.len()) {
                    (1, 1) => format!("a {line} of another color stands along the edge"),
                    (1, _) => format!("a {line} of another color stands along both edges"),
                    (deep, 1) => format!("{deep} {line}s of another color stand along the edge"),
                    (deep, _) => format!("{deep} {line}s of another color stand along both edges"),
                };
                format!("{lines}, up to {amount:.0} levels off{seen}")
            }
            FaultKind::Ground => format!("the ground changes its color at the join, by {amount:.0} of 255 levels"),
            FaultKind::Noise => "the pixels on both sides of the join change as nowhere inside the tile".into(),
            FaultKind::Broken if self.witnessed => {
                "a motif that crosses the join is cut or changed on one side of it; the same motif goes on inside the tile".into()
            }
            FaultKind::Broken => format!("{:.0} % of the contours that reach the join end there", 100.0 * amount),
        }
    }

    /// What to do about it.
    pub fn remedy(&self, side: Side) -> &'static str {
        match (self.kind, side) {
            (FaultKind::Slip, Side::LeftRight) => {
                "lay the copies at the left edge exactly one tile width from those at the right one, with no step up or down"
            }
            (FaultKind::Slip, Side::TopBottom) => {
                "lay the copies at the top edge exactly one tile height from those at the bottom one, with no step aside"
            }
            (FaultKind::Doubled, _) => {
                "cut the line off, or make the page as long as the repeat: it is too long by that"
            }
            (FaultKind::Missing, _) => "make the tile again with a page as long as the repeat: it is too short by that",
            (FaultKind::SoftEdge, _) if self.deep(side) > 1 => {
                "cut the page with a hard edge, and blur, heal or fade nothing along it; or lay the tile again from its motifs"
            }
            (FaultKind::SoftEdge, _) => {
                "make the page a whole number of pixels at the resolution of the file, and export it without smoothing at its edge"
            }
            (FaultKind::Hairline, _) => {
                "let the ground reach over the edge of the page, or take away what lies along the edge"
            }
            (FaultKind::Ground, _) => {
                "give the ground one flat color, or let it end at one edge as it begins at the other"
            }
            (FaultKind::Noise, _) => "export it without loss (PNG, TIFF), or as JPEG of a higher quality",
            (FaultKind::Broken, _) => "lay what leaves by this edge in again by the other",
        }
    }
}

/// What one sort of sign says of a join.
pub(super) enum Told {
    /// This is wrong.
    Fault(Fault),
    /// Why it can't be told whether it is.
    Doubt(String),
}

/// A box of pixels.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Area {
    /// From the left.
    pub x: usize,
    /// From the top.
    pub y: usize,
    /// Pixels across.
    pub width: usize,
    /// Pixels down.
    pub height: usize,
}

/// A fault, how large it is and where it shows.
#[derive(Clone, Debug, PartialEq)]
pub struct Fault {
    /// What it is.
    pub kind: FaultKind,
    /// Pixels of a slip, lines that are missing or too many, the share of its strength that a soft
    /// edge has, levels that a color is off, the share of contours that end, or the places where a motif is cut.
    pub amount: f64,
    /// The same motif, whole elsewhere in the tile, shows it.
    pub witnessed: bool,
    /// Where it shows.
    pub areas: Vec<Area>,
}

/// The two edges that meet at a join.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Edge {
    /// The right or bottom one, where the lines end.
    Last,
    /// The left or top one, where they begin.
    First,
}

impl Edge {
    pub(super) const BOTH: [Edge; 2] = [Edge::Last, Edge::First];
}

/// Turns places along a join into boxes of the tile.
#[derive(Clone, Copy)]
pub(super) struct Places<'a> {
    pub(super) image: &'a Image,
    pub(super) side: Side,
}

/// Places nearer than this are one.
const NEAR: f32 = 24.0;
/// Pixels shown around a place.
const AROUND: usize = 8;
/// The most boxes; more say no more.
const MOST: usize = 24;

impl Places<'_> {
    /// The line beside the boundary: before it, at -1, or behind it, at 0.
    pub(super) fn line(self, offset: isize) -> Area {
        let edge = if offset < 0 { Edge::Last } else { Edge::First };
        self.edge(edge, 1)
    }

    /// Which line lies so deep inside an edge.
    pub(super) fn at(self, edge: Edge, depth: usize) -> usize {
        let deepest = self.image.lines(self.side) - 1;
        let depth = depth.min(deepest);
        if edge == Edge::Last { deepest - depth } else { depth }
    }

    /// So many lines at an edge.
    pub(super) fn edge(self, edge: Edge, deep: usize) -> Area {
        let at = if edge == Edge::Last { self.at(edge, deep - 1) } else { 0 };
        match self.side {
            Side::LeftRight => Area { x: at, y: 0, width: deep, height: self.image.height() },
            Side::TopBottom => Area { x: 0, y: at, width: self.image.width(), height: deep },
        }
    }

    pub(super) fn crossings(self, crossings: &[Crossing]) -> Vec<Area> {
        self.ends(&crossings.iter().map(|c| c.at).collect::<Vec<_>>())
    }

    /// Boxes at both edges around places along the join.
    pub(super) fn ends(self, along: &[f32]) -> Vec<Area> {
        let mut along = along.to_vec();
        along.sort_unstable_by(f32::total_cmp);
        let length = self.image.length(self.side);
        let groups = along.chunk_by(|a, b| b - a < NEAR).take(MOST);
        groups
            .map(|group| {
                let (first, last) = (group[0] as usize, group[group.len() - 1] as usize);
                let (from, to) = (first.saturating_sub(AROUND), (last + AROUND + 1).min(length));
                match self.side {
                    Side::LeftRight => Area { x: 0, y: from, width: AROUND.min(self.image.width()), height: to - from },
                    Side::TopBottom => {
                        Area { x: from, y: 0, width: to - from, height: AROUND.min(self.image.height()) }
                    }
                }
            })
            .collect()
    }
}
