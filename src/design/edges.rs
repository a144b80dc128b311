//! A border's upper and lower edge: what of a motif hangs over them is not printed.

use crate::artwork::Motif;
use crate::length::Unit;
use crate::pixels::Resolution;
use crate::repeat::Repeat;
use crate::wrap::Copies;

/// Less of a pixel than this may hang over unseen.
const LEAST: f64 = 0.5;

/// Motifs that are cut by the edges of a border, or lie outside of it, in a sentence each.
#[allow(clippy::cast_possible_truncation, reason = "a border's pixels are few")]
pub(super) fn cut(repeat: &Repeat, motifs: &[Motif], resolution: Resolution) -> Vec<String> {
    if !repeat.one_way {
        return Vec::new();
    }
    let height = repeat.tile.height as f64;
    let mut said = Vec::new();
    for mark in Copies::plan(repeat, motifs).marks() {
        let motif = &motifs[mark.motif];
        let Some(ink) = motif.ink().bounds(mark.to_units(motif, [0, 0])) else { continue };
        let name = motif.name();
        let over = |pixels: f64| resolution.length_of(pixels.ceil() as i64).show(Unit::Mm, 1);
        let sentence = if ink.y1 <= 0.0 || ink.y0 >= height {
            format!("{name}: lies outside the border, and nothing of it is printed")
        } else {
            let edges = [(-ink.y0, "upper"), (ink.y1 - height, "lower")];
            let cut: Vec<String> = edges
                .into_iter()
                .filter(|(pixels, _)| *pixels > LEAST)
                .map(|(pixels, edge)| format!("{} over the border's {edge} edge", over(pixels)))
                .collect();
            match &cut[..] {
                [] => continue,
                cut => format!("{name}: reaches {}, and is cut there", cut.join(" and ")),
            }
        };
        if !said.contains(&sentence) {
            said.push(sentence);
        }
    }
    said
}
