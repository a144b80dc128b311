//! Discs and motifs to strew, and what is measured of them.

use std::path::Path;

use kurbo::{Affine, Point};
use seamfast::artwork::{Intake, Motif};
use seamfast::toss::{Grain, Kind, Laid, Outline, Silhouette, Torus, Turns, Wishes, nearest};

/// A disc of diameter one, as a polygon whose corners lie on the circle.
pub fn disc(sides: usize) -> Silhouette {
    let step = std::f64::consts::TAU / sides as f64;
    let contour = (0..sides).map(|n| [0.5 * (n as f64 * step).cos(), 0.5 * (n as f64 * step).sin()]).collect();
    Silhouette { contours: vec![contour], slack: 0.0 }
}

/// A motif's silhouette, its ink one wide.
pub fn motif(path: &Path) -> Silhouette {
    let motif = Motif::read(path, &Intake::new()).unwrap().trimmed();
    let (page, middle) = (motif.page_px().width, motif.middle());
    let (contours, slack) = motif.ink().outside(page / 500.0);
    let place = |p: &[f64; 2]| [(p[0] - middle.x) / page, (p[1] - middle.y) / page];
    Silhouette { contours: contours.iter().map(|c| c.iter().map(place).collect()).collect(), slack: slack / page }
}

/// Each of a kind of its own.
pub fn kinds(silhouettes: Vec<Silhouette>, sizes: [f64; 2]) -> Vec<Kind> {
    let kind = |(family, silhouette)| Kind { silhouette, sizes, share: 1.0, filler: false, family };
    silhouettes.into_iter().enumerate().map(kind).collect()
}

/// As many as go in, turned as they like.
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

/// Steps and operators, for those that look without the torus.
#[derive(Clone)]
pub struct Cloth {
    pub steps: [[f64; 2]; 2],
    pub operators: Vec<Affine>,
}

impl Cloth {
    /// A straight block.
    pub fn square(side: f64) -> Cloth {
        Cloth { steps: [[side, 0.0], [0.0, side]], operators: vec![Affine::IDENTITY] }
    }

    pub fn torus(&self) -> Torus {
        Torus::new(self.steps, &self.operators).unwrap()
    }

    pub fn area(&self) -> f64 {
        let [u, v] = self.steps;
        (u[0] * v[1] - u[1] * v[0]).abs() / self.operators.len() as f64
    }

    /// What is nearest to each of those laid and of those fixed: the least distance, the mean, and the spread in shares
    /// of that.
    pub fn gaps(&self, wishes: &Wishes, laid: &[Laid]) -> [f64; 3] {
        let mut all = outlines(&wishes.kinds, laid);
        let fixed = wishes.fixed.iter().map(|one| one.silhouette.clone());
        all.extend(fixed.map(|one| Outline { contours: one.contours, slack: one.slack }));
        let (found, _) = nearest(self.steps, &self.operators, &all, 0.0);
        let gaps: Vec<f64> = found.into_iter().take(laid.len()).flatten().map(|near| near.distance).collect();
        let mean = gaps.iter().sum::<f64>() / gaps.len() as f64;
        let spread = (gaps.iter().map(|d| (d - mean).powi(2)).sum::<f64>() / gaps.len() as f64).sqrt();
        [gaps.iter().copied().fold(f64::MAX, f64::min), mean, spread / mean]
    }
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

/// The share of a block that silhouettes cover, holes filled.
pub fn coverage(kinds: &[Kind], laid: &[Laid], block: f64) -> f64 {
    let one = |c: &Vec<[f64; 2]>| {
        let next = c.iter().cycle().skip(1);
        c.iter().zip(next).map(|(a, b)| a[0] * b[1] - a[1] * b[0]).sum::<f64>().abs() / 2.0
    };
    let area = |laid: &Laid| kinds[laid.kind].silhouette.contours.iter().map(one).sum::<f64>() * laid.size * laid.size;
    laid.iter().map(area).sum::<f64>() / block
}

/// The shipped motifs.
pub fn harbour() -> Vec<Silhouette> {
    let names = ["anchor", "buoy", "crab", "dory", "kelp", "limpet", "mussel", "rope-knot", "starfish", "tern"];
    names.map(|name| motif(&Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("motifs/{name}.svg")))).to_vec()
}
