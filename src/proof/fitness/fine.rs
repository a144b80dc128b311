//! Lines too thin and gaps too narrow, measured on the vectors, in points on the goods.

use std::cell::Cell;

use kurbo::{Affine, Point, Rect, Vec2};

use super::laid::Ground;
use super::said;
use crate::artwork::{Contours, Measured, Motif, Narrow, narrow_gaps, stretch};
use crate::fitness::Fitness;
use crate::length::Unit;
use crate::proof::findings::Finding;

/// What may be looked at in one tile: a second or two of work.
const LOOKS: u64 = 100_000_000;
/// Points of all outlines between which gaps are looked for.
const MOST_POINTS: usize = 3_000_000;
/// More than this many times too thin is as good as nothing.
const TIMES: f64 = 10.0;

/// The work that is left for a tile.
pub(super) fn looks() -> Cell<u64> {
    Cell::new(LOOKS)
}

/// The thin lines of a motif that lies there by `to`, from pixels of its tree to points.
pub(super) fn lines(motif: &Motif, to: Affine, ground: &Ground, fitness: &Fitness, left: &Cell<u64>) -> Vec<Finding> {
    let limit = fitness.line.to(Unit::Pt);
    let Measured { mut found, left_out } = motif.ink().thin_lines(to, limit, ground.color, left);
    found.retain(|part| ground.keeps(part.bounds));
    let mut findings = Vec::new();
    if let Some(worst) = found.first() {
        let often = many(found.len(), "part");
        let what = format!("a line {} thin; the limit is {}{often}", said(worst.width), said(limit));
        let mut finding = Finding::new("thin-line", what).of(motif.name());
        if worst.width * TIMES > limit {
            let times = (limit / worst.width * 10.0).ceil() / 10.0;
            finding = finding.remedy(format!("make it {times:.1} times as thick, or the motif as much larger"));
        }
        finding.area = ground.area(worst.bounds);
        findings.push(finding);
    }
    if left_out {
        let what = "some of its outlines are too tangled, or too many, for their lines to be measured";
        findings.push(Finding::new("not-measured", what).of(motif.name()));
    }
    if motif.ink().vague() > motif.pictures().len() {
        let what = "lines behind its filters and masks are not measured";
        findings.push(Finding::new("not-measured", what).of(motif.name()));
    }
    findings
}

/// The narrow gaps between all copies, each a motif with its way from pixels of its tree to points.
pub(super) fn gaps(copies: &[(&Motif, Affine)], ground: &Ground, fitness: &Fitness, left: &Cell<u64>) -> Vec<Finding> {
    let limit = fitness.gap.to(Unit::Pt);
    let Some(found) = measured(copies, ground, limit, left) else {
        let what = "the outlines are too tangled, or too many, for the gaps between them to be measured";
        return vec![Finding::new("not-measured", what)];
    };
    let Some(worst) = found.first() else { return Vec::new() };
    let often = many(found.len(), "gap");
    let what = format!("ground {} narrow between edges; the limit is {}{often}", said(worst.width), said(limit));
    vec![Finding { area: ground.area(worst.bounds), ..Finding::new("narrow-gap", what) }]
}

fn measured(copies: &[(&Motif, Affine)], ground: &Ground, limit: f64, left: &Cell<u64>) -> Option<Vec<Narrow>> {
    let mut outlines = Contours::new();
    let mut points = 0;
    let mut known: Vec<(&Motif, f64, Contours)> = Vec::new();
    for (motif, to) in copies {
        // Flattened before it is stretched, so finer; turned and mirrored copies are flattened once.
        let before = limit / stretch(*to)[0];
        let alike = |(other, fine, _): &(&Motif, f64, Contours)| {
            std::ptr::eq(*other, *motif) && (fine / before - 1.0).abs() < 1e-3
        };
        let index = match known.iter().position(alike) {
            Some(index) => index,
            None => {
                known.push((*motif, before, motif.ink().silhouette(before, ground.page_of(motif))?));
                known.len() - 1
            }
        };
        let own = &known[index].2;
        points += own.iter().map(Vec::len).sum::<usize>();
        if points > MOST_POINTS {
            return None;
        }
        outlines.extend(own.iter().map(|contour| laid(contour, *to)));
    }
    let vague: Vec<_> = copies.iter().filter(|(motif, _)| motif.ink().vague() > 0).collect();
    let is_vague = |at: Point| vague.iter().any(|(motif, to)| motif.ink().is_vague_at(to.inverse() * at));
    narrow_gaps(outlines, limit, ground.window(), &is_vague, left)
}

/// A contour where it lies; one that is mirrored runs on as it did before.
fn laid(contour: &[[f64; 2]], to: Affine) -> Vec<[f64; 2]> {
    let there = contour.iter().map(|[x, y]| {
        let p = to * Point::new(*x, *y);
        [p.x, p.y]
    });
    if to.determinant() < 0.0 { there.rev().collect() } else { there.collect() }
}

fn many(count: usize, word: &str) -> String {
    if count > 1 { format!("; {count} such {word}s") } else { String::new() }
}

/// A rectangle moved by whole tiles so that its corner lies on the tile.
pub(super) fn onto(tile: Rect, bounds: Rect) -> Rect {
    let by = |at: f64, side: f64| at.rem_euclid(side) - at;
    bounds + Vec2::new(by(bounds.x0, tile.width()), by(bounds.y0, tile.height()))
}
