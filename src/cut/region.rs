//! Regions and their booleans: polygons on whole numbers, so nothing depends on an order of rounding.

use std::collections::HashMap;

use i_overlay::core::edge_overlay::{EdgeOverlay, InputEdge};
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay::ShapeType;
use i_overlay::core::overlay_rule::OverlayRule;
use kurbo::Rect;

use crate::artwork::Rule;

use super::plane::{Chord, Spot, Whole, point};

/// One side of a ring; it ends where the next begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Edge {
    pub from: Spot,
    pub chord: Chord,
}

/// A closed line of sides.
pub(super) type Ring = Vec<Edge>;

/// An area: pieces that don't overlap, each an outer ring and then its holes, which turn the other way.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Region {
    pub(super) pieces: Vec<Vec<Ring>>,
}

impl Region {
    pub(super) fn settled(rings: &[Ring], rule: Rule) -> Region {
        let mut overlay = EdgeOverlay::new(rings.iter().map(Vec::len).sum());
        rings.iter().for_each(|ring| add(&mut overlay, ring, ShapeType::Subject));
        Region::of(overlay, OverlayRule::Subject, rule.into())
    }

    fn of(mut overlay: EdgeOverlay<Whole, Chord>, rule: OverlayRule, fill: FillRule) -> Region {
        let edge =
            |side: i_overlay::vector::edge::DataVectorEdge<Whole, Chord>| Edge { from: side.a, chord: side.data };
        let shapes = overlay.build_vector_shapes(rule, fill);
        let piece =
            |shape: Vec<Vec<_>>| parted(shape.into_iter().map(|ring| ring.into_iter().map(edge).collect()).collect());
        Region { pieces: shapes.into_iter().flat_map(piece).collect() }
    }

    /// All of them together.
    pub fn union<'a>(regions: impl IntoIterator<Item = &'a Region>) -> Region {
        let mut overlay = EdgeOverlay::new(0);
        let mut count = 0;
        let mut only = None;
        for region in regions {
            region.rings().for_each(|ring| add(&mut overlay, ring, ShapeType::Subject));
            count += usize::from(!region.is_empty());
            only = Some(region).filter(|region| !region.is_empty()).or(only);
        }
        match only {
            Some(region) if count == 1 => region.clone(),
            _ => Region::of(overlay, OverlayRule::Subject, FillRule::NonZero),
        }
    }

    /// What the other does not cover.
    pub fn without(&self, other: &Region) -> Region {
        if self.is_empty() || other.is_empty() { self.clone() } else { self.with(other, OverlayRule::Difference) }
    }

    /// What both cover.
    pub fn within(&self, other: &Region) -> Region {
        self.with(other, OverlayRule::Intersect)
    }

    /// What one of them covers, and not the other.
    pub fn against(&self, other: &Region) -> Region {
        self.with(other, OverlayRule::Xor)
    }

    fn with(&self, other: &Region, rule: OverlayRule) -> Region {
        let sides = |region: &Region| region.rings().map(Vec::len).sum::<usize>();
        let mut overlay = EdgeOverlay::new(sides(self) + sides(other));
        self.rings().for_each(|ring| add(&mut overlay, ring, ShapeType::Subject));
        other.rings().for_each(|ring| add(&mut overlay, ring, ShapeType::Clip));
        Region::of(overlay, rule, FillRule::NonZero)
    }

    /// Whether it covers nothing.
    pub fn is_empty(&self) -> bool {
        self.pieces.is_empty()
    }

    /// Without pieces and holes that are nowhere larger than this, in EMU.
    pub(super) fn without_specks(mut self, size: f64) -> Region {
        let large = |ring: &Ring| {
            let at = ring_bounds(ring);
            at.width().max(at.height()) >= size
        };
        for piece in &mut self.pieces {
            piece.retain(&large);
        }
        self.pieces.retain(|piece| !piece.is_empty());
        self
    }

    /// The pieces whose bounds touch a window.
    pub(super) fn in_reach(&self, window: Rect) -> Region {
        Region { pieces: self.pieces.iter().filter(|piece| touches(piece, window)).cloned().collect() }
    }

    /// How many sides they have.
    pub(super) fn sides_in(&self, window: Rect) -> usize {
        self.pieces.iter().filter(|piece| touches(piece, window)).flatten().map(Vec::len).sum()
    }

    /// Its pieces, each a region.
    pub fn pieces(&self) -> impl Iterator<Item = Region> + '_ {
        self.pieces.iter().map(|piece| Region { pieces: vec![piece.clone()] })
    }

    /// The covered area in square EMU, of the polygons.
    pub fn area(&self) -> f64 {
        self.rings().map(ring_area).sum::<f64>().abs()
    }

    /// The least upright rectangle around it, in EMU.
    pub fn bounds(&self) -> Option<Rect> {
        let corners = self.pieces.iter().filter_map(|piece| piece.first()).flatten();
        corners.map(|edge| Rect::from_points(point(edge.from), point(edge.from))).reduce(|a, b| a.union(b))
    }

    /// Whether a place lies inside.
    pub(super) fn holds(&self, at: kurbo::Point) -> bool {
        self.pieces.iter().map(|piece| crossings(piece, at)).sum::<usize>() % 2 == 1
    }

    pub(super) fn rings(&self) -> impl Iterator<Item = &Ring> {
        self.pieces.iter().flatten()
    }

    pub(super) fn map(&self, mut change: impl FnMut(Edge) -> Edge) -> Region {
        let pieces = self.pieces.iter();
        let mut ring = |ring: &Ring| ring.iter().map(|edge| change(*edge)).collect();
        Region { pieces: pieces.map(|piece| piece.iter().map(&mut ring).collect()).collect() }
    }
}

/// A piece whose rings touch themselves nowhere: where a ring comes to a place again, two rings touch.
fn parted(rings: Vec<Ring>) -> Vec<Vec<Ring>> {
    let outer = rings.first().map_or(0.0, ring_area).signum();
    let mut parts: Vec<Ring> = Vec::with_capacity(rings.len());
    let mut whole = true;
    for ring in rings {
        if meets_itself(&ring) {
            whole = false;
            loops(ring, &mut parts);
        } else {
            parts.push(ring);
        }
    }
    if whole {
        return vec![parts];
    }
    let (outers, holes): (Vec<Ring>, Vec<Ring>) = parts.into_iter().partition(|ring| ring_area(ring) * outer > 0.0);
    let boxes: Vec<Rect> = outers.iter().map(ring_bounds).collect();
    let mut pieces: Vec<Vec<Ring>> = outers.into_iter().map(|ring| vec![ring]).collect();
    for hole in holes {
        // The middle of a side lies on no other ring.
        let [a, b] = [point(hole[0].from), point(hole[1 % hole.len()].from)];
        let at = a.midpoint(b);
        let near = (0..pieces.len()).filter(|index| boxes[*index].inflate(1.0, 1.0).contains(at));
        // A piece may lie in the hole of another; the hole is in the innermost.
        let around = near.filter(|index| crossings(&pieces[*index][..1], at) % 2 == 1);
        let around = around.min_by(|a, b| boxes[*a].area().total_cmp(&boxes[*b].area()));
        if let Some(piece) = around.and_then(|index| pieces.get_mut(index)) {
            piece.push(hole);
        }
    }
    pieces
}

fn touches(piece: &[Ring], window: Rect) -> bool {
    piece.first().is_some_and(|outer| {
        let at = ring_bounds(outer);
        at.x0 <= window.x1 && window.x0 <= at.x1 && at.y0 <= window.y1 && window.y0 <= at.y1
    })
}

/// The least upright rectangle around a ring.
pub(super) fn ring_bounds(ring: &Ring) -> Rect {
    let spots = ring.iter().map(|edge| Rect::from_points(point(edge.from), point(edge.from)));
    spots.reduce(|a, b| a.union(b)).unwrap_or_default()
}

fn meets_itself(ring: &Ring) -> bool {
    let mut spots: Vec<(Whole, Whole)> = ring.iter().map(|edge| (edge.from.x, edge.from.y)).collect();
    spots.sort_unstable();
    spots.windows(2).any(|pair| pair[0] == pair[1])
}

/// Cuts a ring where it comes to a place again.
fn loops(ring: Ring, out: &mut Vec<Ring>) {
    let mut way: Ring = Vec::new();
    let mut known: HashMap<(Whole, Whole), usize> = HashMap::new();
    for edge in ring {
        let spot = (edge.from.x, edge.from.y);
        if let Some(&back) = known.get(&spot) {
            let round: Ring = way.drain(back..).collect();
            for edge in &round {
                known.remove(&(edge.from.x, edge.from.y));
            }
            out.push(round);
        }
        known.insert(spot, way.len());
        way.push(edge);
    }
    out.push(way);
}

/// How many sides lie to the right of a place at its height.
fn crossings(rings: &[Ring], at: kurbo::Point) -> usize {
    let sides = rings.iter().flat_map(|ring| ring.iter().zip(ring.iter().cycle().skip(1)));
    let right = sides.filter(|(a, b)| {
        let (a, b) = (point(a.from), point(b.from));
        (a.y <= at.y) != (b.y <= at.y) && at.x < a.x + (b.x - a.x) * (at.y - a.y) / (b.y - a.y)
    });
    right.count()
}

/// Twice nothing for a line to and fro; the sign says which way a ring turns.
pub(super) fn ring_area(ring: &Ring) -> f64 {
    let Some(first) = ring.first() else { return 0.0 };
    let origin = first.from;
    let off = |edge: &Edge| ((edge.from.x - origin.x) as f64, (edge.from.y - origin.y) as f64);
    let next = ring.iter().cycle().skip(1);
    ring.iter().zip(next).map(|(a, b)| (off(a), off(b))).map(|(a, b)| a.0 * b.1 - a.1 * b.0).sum::<f64>() / 2.0
}

fn add(overlay: &mut EdgeOverlay<Whole, Chord>, ring: &Ring, kind: ShapeType) {
    let next = ring.iter().cycle().skip(1);
    overlay.add_edges(ring.iter().zip(next).map(|(a, b)| InputEdge { a: a.from, b: b.from, data: a.chord }), kind);
}
