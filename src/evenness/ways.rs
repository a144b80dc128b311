//! Whether a design has an up: does each of its motifs lie the other way round, too?
//!
//! The edges of a motif face from dark to light, and how much edge faces where is its signature: a sum of waves
//! around the circle, of which turning the motif turns each. So one signature, turned and held against another,
//! tells by how much the same motif is turned. A motif that is its own other way round (a disc, a rope) has itself.
//! The first wave is nothing for every motif, since light that rises falls again.

use super::field::{Field, NONE};

/// How a design may be laid.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// It has an up.
    One,
    /// Each motif lies upside down, too, or looks the same so.
    Two,
    /// Each lies by quarters, too.
    Four,
}

impl Way {
    /// As the trade says it.
    pub fn name(self) -> &'static str {
        match self {
            Way::One => "one-way",
            Way::Two => "two-way",
            Way::Four => "four-way",
        }
    }
}

/// The share of ink in motifs that lie one way round only: 0 to 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ways {
    /// That do not lie upside down anywhere.
    pub half: f64,
    /// That do not lie by a quarter anywhere.
    pub quarter: f64,
}

/// More than this share is said to have a way (our own choice, no source).
const SOME: f64 = 0.25;
/// A motif below this share of all ink is a speck.
const SPECK: f64 = 0.005;
/// The most motifs that are compared, the largest.
const MOST: usize = 200;
/// Waves 2 to 8.
const WAVES: usize = 7;
/// Degrees from one try to the next.
const TRY: usize = 5;
/// Two signatures this near are of one motif: a part of their size, and the grain of cells (measured on discs).
const ALIKE: f64 = 0.2;
const GRAIN: f64 = 0.025;
/// Two motifs this near in area may be one.
const AS_LARGE: f64 = 0.08;

impl Ways {
    /// What is said of it.
    pub fn way(&self) -> Way {
        match self {
            Ways { half, .. } if *half > SOME => Way::One,
            Ways { quarter, .. } if *quarter > SOME => Way::Two,
            _ => Way::Four,
        }
    }
}

/// A motif's edges by the way they face.
struct Motif {
    area: f64,
    waves: [[f64; 2]; WAVES],
}

/// Measures the motifs of a field.
pub(super) fn ways(field: &Field) -> Ways {
    let motifs = motifs(field);
    let all: f64 = motifs.iter().map(|motif| motif.area).sum();
    let without = |turns: [usize; 2]| {
        let alone = motifs.iter().filter(|motif| !motifs.iter().any(|other| motif.lies_as(other, turns)));
        if all > 0.0 { alone.map(|motif| motif.area).sum::<f64>() / all } else { 0.0 }
    };
    Ways { half: without([135, 225]), quarter: without([65, 115]).max(without([245, 295])) }
}

impl Motif {
    /// Whether another is this one turned by some angle between two, in degrees.
    fn lies_as(&self, other: &Motif, [from, to]: [usize; 2]) -> bool {
        if (self.area - other.area).abs() > AS_LARGE * self.area {
            return false;
        }
        let size: f64 = self.waves.iter().map(|[x, y]| x * x + y * y).sum::<f64>().sqrt();
        (from..=to).step_by(TRY).any(|degrees| {
            let apart = self.waves.iter().zip(&other.waves).zip(2..).map(|((own, other), wave)| {
                let (sin, cos) = libm::sincos((degrees as f64 * f64::from(wave)).to_radians());
                let turned = [own[0] * cos - own[1] * sin, own[0] * sin + own[1] * cos];
                (turned[0] - other[0]).powi(2) + (turned[1] - other[1]).powi(2)
            });
            apart.sum::<f64>().sqrt() <= ALIKE * size + GRAIN
        })
    }
}

/// The motifs of a field, the largest first.
fn motifs(field: &Field) -> Vec<Motif> {
    let (labels, sizes) = field.islands();
    let labels = grown(field, labels);
    let light = field.softened();
    let mut sums = vec![([[0.0; 2]; WAVES], 0.0); sizes.len()];
    let (across, down) = (field.across() as isize, field.down() as isize);
    for y in 0..down {
        for x in 0..across {
            let label = labels[(y * across + x) as usize];
            if label == NONE {
                continue;
            }
            // Scharr's operator: it turns with the picture better than others of its size.
            let at = |dx: isize, dy: isize| {
                let wrapped = |at: isize, side: isize| at.rem_euclid(side) as usize;
                f64::from(light[wrapped(y + dy, down) * across as usize + wrapped(x + dx, across)])
            };
            let gx = 3.0 * (at(1, -1) + at(1, 1) - at(-1, -1) - at(-1, 1)) + 10.0 * (at(1, 0) - at(-1, 0));
            let gy = 3.0 * (at(-1, 1) + at(1, 1) - at(-1, -1) - at(1, -1)) + 10.0 * (at(0, 1) - at(0, -1));
            let [gx, gy] = [gx / field.cell()[0], gy / field.cell()[1]];
            let size = gx.hypot(gy);
            if size <= 0.0 {
                continue;
            }
            let turn = [gx / size, gy / size];
            let times = |a: [f64; 2]| [a[0] * turn[0] - a[1] * turn[1], a[0] * turn[1] + a[1] * turn[0]];
            let mut power = times(turn);
            let (waves, all) = &mut sums[label];
            for wave in waves {
                *wave = [wave[0] + size * power[0], wave[1] + size * power[1]];
                power = times(power);
            }
            *all += size;
        }
    }
    let ink: usize = sizes.iter().sum();
    let large = sizes.iter().zip(sums).filter(|(size, (_, all))| **size as f64 >= SPECK * ink as f64 && *all > 0.0);
    let mut motifs: Vec<Motif> = large
        .map(|(size, (waves, all))| Motif { area: *size as f64, waves: waves.map(|[x, y]| [x / all, y / all]) })
        .collect();
    motifs.sort_by(|a, b| b.area.total_cmp(&a.area));
    motifs.truncate(MOST);
    motifs
}

/// Gives bare cells near an island its number: softened edges reach that far.
fn grown(field: &Field, mut labels: Vec<usize>) -> Vec<usize> {
    const REACH: usize = 3;
    let (across, down) = (field.across(), field.down());
    for _ in 0..REACH {
        let before = labels.clone();
        for (at, label) in labels.iter_mut().enumerate().filter(|(_, label)| **label == NONE) {
            let (x, y) = (at % across, at / across);
            let beside =
                (0..9).map(|n| before[(y + n / 3 + down - 1) % down * across + (x + n % 3 + across - 1) % across]);
            *label = beside.min().unwrap_or(NONE);
        }
    }
    labels
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Shapes given by a test, drawn soft at some places of a torus of 200 × 200 cells.
    fn field(shapes: &[([f64; 2], f64)], inside: impl Fn(f64, f64) -> bool) -> Field {
        let mut light = vec![1.0f32; 200 * 200];
        for ([x, y], turn) in shapes {
            let (sin, cos) = libm::sincos(turn.to_radians());
            for (at, light) in light.iter_mut().enumerate() {
                let hits = (0..16).filter(|n| {
                    let dx = (at % 200) as f64 + f64::from(n % 4) / 4.0 - x;
                    let dy = (at / 200) as f64 + f64::from(n / 4) / 4.0 - y;
                    inside(dx * cos + dy * sin, dy * cos - dx * sin)
                });
                *light -= hits.count() as f32 / 16.0;
            }
        }
        let ink = light.iter().map(|light| *light < 0.5).collect();
        Field::new([200, 200], [1.0, 1.0], ink, light)
    }

    fn triangle(x: f64, y: f64) -> bool {
        y < 14.0 && y > -28.0 + 1.7 * x.abs()
    }

    #[test]
    fn a_disc_has_no_way_and_a_bar_has_two() {
        let discs = ways(&field(&[([60.0, 60.0], 0.0), ([140.3, 120.7], 0.0)], |x, y| x.hypot(y) < 30.0));
        assert_eq!(discs.way(), Way::Four, "{discs:?}");
        let bars = ways(&field(&[([60.0, 60.0], 20.0)], |x, y| x.abs() < 30.0 && y.abs() < 9.0));
        assert_eq!(bars.way(), Way::Two, "{bars:?}");
    }

    #[test]
    fn triangles_have_an_up_unless_every_other_is_upside_down() {
        let up = ways(&field(&[([60.0, 60.0], 0.0), ([140.0, 140.0], 0.0)], triangle));
        assert_eq!((up.way(), up.half), (Way::One, 1.0));
        let both = ways(&field(&[([60.0, 60.0], 10.0), ([140.0, 140.0], 190.0)], triangle));
        assert_eq!((both.way(), both.half), (Way::Two, 0.0));
        let four = [([45.0, 45.3], 0.0), ([145.2, 50.0], 90.0), ([52.0, 150.6], 180.0), ([150.0, 150.0], 270.0)];
        let all = ways(&field(&four, triangle));
        assert_eq!((all.way(), all.half), (Way::Four, 0.0));
    }

    /// Two motifs that each have an up, whose edges together face every way alike.
    #[test]
    fn motifs_do_not_make_up_for_each_other() {
        let mixed = field(&[([60.0, 60.0], 0.0), ([140.0, 140.0], 180.0)], triangle);
        let smaller = |x: f64, y: f64| triangle(x * 1.4, y * 1.4);
        let other = field(&[([60.0, 140.0], 180.0)], smaller);
        let light = mixed.lights().iter().zip(other.lights()).map(|(a, b)| a.min(*b)).collect::<Vec<f32>>();
        let found = ways(&Field::new([200, 200], [1.0, 1.0], light.iter().map(|l| *l < 0.5).collect(), light));
        // Only the smaller one lies one way round.
        assert!(found.half > 0.1 && found.half < 0.3, "{found:?}");
    }

    #[test]
    fn a_flat_cloth_has_no_way() {
        assert_eq!(ways(&field(&[], triangle)), Ways { half: 0.0, quarter: 0.0 });
    }
}
