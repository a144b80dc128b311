//! Discs and motifs to strew, and what is measured of them.

use kurbo::{Affine, Point};
use seamfast::artwork::{Intake, Motif};
use seamfast::toss::{Grain, Kind, Laid, Outline, Silhouette, Torus, Turns, Wishes, nearest};
use std::path::Path;

/// A disc of diameter one, as a polygon of its area.
pub fn disc(sides: usize) -> Silhouette {
    let step = std::f64::consts::TAU / sides as f64;
    // The polygon's corners lie on the circle.
    let contour = (0..sides).map(|n| [0.5 * (n as f64 * step).cos(), 0.5 * (n as f64 * step).sin()]).collect();
    Silhouette { contours: vec![contour], slack: 0.0 }
}

/// A motif's silhouette at a page one wide.
pub fn motif(path: &Path) -> Silhouette {
    let motif = Motif::read(path, &Intake::new()).expect("a motif").trimmed();
    let page = motif.page_px().width;
    let (contours, slack) = motif.ink().outside(page / 1000.0);
    let middle = motif.middle();
    let place = |p: &[f64; 2]| [(p[0] - middle.x) / page, (p[1] - middle.y) / page];
    Silhouette { contours: contours.iter().map(|c| c.iter().map(place).collect()).collect(), slack: slack / page }
}

pub fn kinds(silhouettes: Vec<Silhouette>, sizes: [f64; 2]) -> Vec<Kind> {
    let kind = |(family, silhouette)| Kind { silhouette, sizes, share: 1.0, filler: false, family };
    silhouettes.into_iter().enumerate().map(kind).collect()
}

pub fn wishes(kinds: Vec<Kind>, gap: f64, seed: u64) -> Wishes {
    Wishes {
        kinds,
        fixed: Vec::new(),
        gap,
        turns: Turns::Any,
        count: None,
        most: 20_000,
        apart: None,
        seed,
        grain: Grain { length: 0.0, turn: 0.0 },
    }
}

/// A straight block.
pub fn square(side: f64) -> Torus {
    Torus::new([[side, 0.0], [0.0, side]], &[Affine::IDENTITY]).expect("a torus")
}

pub fn outlines(kinds: &[Kind], laid: &[Laid]) -> Vec<Outline> {
    let place = |laid: &Laid| {
        let (pose, silhouette) = (laid.pose(), &kinds[laid.kind].silhouette);
        let point = |p: &[f64; 2]| {
            let q = pose * Point::new(p[0], p[1]);
            [q.x, q.y]
        };
        let contours = silhouette.contours.iter().map(|c| c.iter().map(point).collect()).collect();
        Outline { contours, slack: silhouette.slack * laid.size }
    };
    laid.iter().map(place).collect()
}

pub fn area(contours: &[Vec<[f64; 2]>]) -> f64 {
    let one = |c: &Vec<[f64; 2]>| {
        let next = c.iter().cycle().skip(1);
        c.iter().zip(next).map(|(a, b)| a[0] * b[1] - a[1] * b[0]).sum::<f64>().abs() / 2.0
    };
    contours.iter().map(one).sum()
}

/// The share of a block that silhouettes cover, holes filled.
pub fn coverage(kinds: &[Kind], laid: &[Laid], block: f64) -> f64 {
    laid.iter().map(|l| area(&kinds[l.kind].silhouette.contours) * l.size * l.size).sum::<f64>() / block
}

/// The least of the nearest gaps, their mean, and their spread to it.
pub fn gaps(steps: [[f64; 2]; 2], operators: &[Affine], kinds: &[Kind], laid: &[Laid]) -> [f64; 3] {
    let (found, _) = nearest(steps, operators, &outlines(kinds, laid), 0.0);
    let all: Vec<f64> = found.into_iter().flatten().map(|near| near.distance).collect();
    let mean = all.iter().sum::<f64>() / all.len() as f64;
    let spread = (all.iter().map(|d| (d - mean).powi(2)).sum::<f64>() / all.len() as f64).sqrt();
    [all.iter().copied().fold(f64::MAX, f64::min), mean, spread / mean]
}
