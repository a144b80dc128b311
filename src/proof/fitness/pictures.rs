//! Pictures made of pixels: are there enough for the size at which they lie on the goods?

use kurbo::Affine;

use super::laid::Ground;
use super::{ALIKE, short};
use crate::artwork::Motif;
use crate::fitness::Fitness;
use crate::length::Unit;
use crate::proof::findings::Finding;

/// The pictures of a motif that are too coarse where it lies by `to`, from pixels of its tree to points.
pub(super) fn coarse(motif: &Motif, to: Affine, ground: &Ground, fitness: &Fitness) -> Vec<Finding> {
    let inch = Unit::In.emu() as f64 / Unit::Pt.emu() as f64;
    let mut findings = Vec::new();
    for picture in motif.pictures() {
        let ppi = picture.density(to) * inch;
        if ppi > fitness.ppi - ALIKE || !ground.keeps(picture.bounds(to)) {
            continue;
        }
        let [width, height] = picture.pixels;
        let what = format!(
            "a picture of {width} × {height} px lies there with {ppi:.1} pixels an inch; the goods want {}",
            short(fitness.ppi)
        );
        let times = fitness.ppi / ppi;
        let [width, height] = [width, height].map(|n| (f64::from(n) * times - 1e-3).ceil());
        let remedy = format!(
            "put a picture of {width:.0} × {height:.0} px in its place, or place it at most {:.0} % as large",
            (100.0 / times + 1e-3).floor()
        );
        let finding = Finding::new("coarse-picture", what).remedy(remedy).of(motif.name());
        findings.push(Finding { line: picture.line, area: ground.area(picture.bounds(to)), ..finding });
    }
    findings
}
