//! Places for motifs that have none: spread evenly over the block.

use toml::Spanned;

use super::arrangement::Arrangement;
use super::error::DesignError;
use super::size;
use super::written::Design;
use crate::length::{Length, Size, trim_zeros};
use crate::repeat::{PARTS, Repeat, Scheme, Spot, Tile};

/// So many places a side are tried.
const FINE: i64 = 48;

impl Design {
    /// Spreads the motifs that have no place of their own evenly over the block. Where motifs alternate,
    /// each gets a kind of place in turn, and those of one kind are spread over it.
    ///
    /// # Errors
    /// A layout or a size that is none.
    pub fn spread(&mut self) -> Result<(), DesignError> {
        let typed = |text: &str| Spanned::new(0..0, text.into());
        let count = self.motifs.len();
        let mut scheme = Arrangement::read(self)?.scheme().clone();
        if scheme.places() > 1 {
            let free = !self.repeat.layout.as_ref().is_some_and(|text| text.get_ref().contains('='));
            let kinds = if free && self.repeat.alternate.is_none() { count.clamp(2, 64) } else { scheme.places() };
            for (k, motif) in self.motifs.iter_mut().enumerate() {
                motif.place.get_or_insert_with(|| Spanned::new(0..0, (k % kinds) as i64 + 1));
            }
            scheme = Arrangement::read(self)?.scheme().clone();
        }
        let block = size::block_proportions(self);
        let each = count.div_ceil(scheme.places());
        let places = if scheme.has_symmetry() { apart(each, block, &scheme) } else { even(each, block) };
        for (k, entry) in self.motifs.iter_mut().enumerate() {
            let place = &places[k / scheme.places()];
            entry.at.get_or_insert_with(|| Spanned::new(0..0, place.each_ref().map(|text| typed(text)).to_vec()));
        }
        Ok(())
    }
}

/// Even places for so many motifs in a block of these proportions, as shares in percent:
/// rows of columns, the last row spread over the width.
pub(super) fn even(count: usize, [width, height]: [f64; 2]) -> Vec<[String; 2]> {
    // As many columns as keep the cells near to square.
    let wish = (count as f64 * width / height).sqrt().round();
    let columns = (1..=count).rev().find(|columns| *columns as f64 <= wish).unwrap_or(1);
    let rows = count.div_ceil(columns);
    let share = |part: usize, of: usize| percent((part as f64 + 0.5) / of as f64);
    (0..count)
        .map(|n| {
            let row = n / columns;
            let in_row = if row + 1 == rows { count - row * columns } else { columns };
            [share(n % columns, in_row), share(row, rows)]
        })
        .collect()
}

/// Where mirrors and turns are, a motif in the middle would lie on itself: each goes where it is farthest
/// from those before it and from all images, its own among them. The middle where nothing is better.
#[allow(clippy::cast_possible_truncation, reason = "rounded first, and small")]
fn apart(count: usize, [width, height]: [f64; 2], scheme: &Scheme) -> Vec<[String; 2]> {
    let middle = || vec![[percent(0.5), percent(0.5)]; count];
    let fine = scheme.multiples([1, 1]).map(|n| n * FINE * 2);
    // A block of units in these proportions, or square where it must be.
    let across = fine[0] / fine[0].min(fine[1]) * fine[1].max(fine[0]);
    let down = ((across as f64 * height / width / fine[1] as f64).round() as i64).max(1) * fine[1];
    let blocks = scheme.tile_blocks();
    let none = Size { width: Length::ZERO, height: Length::ZERO };
    let tile = Tile { width: across * blocks[0], height: down * blocks[1], size: none };
    let Some(repeat) = Repeat::new(scheme, tile, blocks) else { return middle() };
    let spot = |i: i64, j: i64| {
        let part = |n: i64, side: i64| side * PARTS * (2 * n + 1) / (2 * FINE);
        Spot::from_parts(part(i, across), part(j, down))
    };
    // Where a spot has most room between the others and all their images.
    let best = |others: &[Spot]| {
        let room = |here: Spot| {
            let own = repeat.images(here).skip(1);
            let images = own.chain(others.iter().flat_map(|&other| repeat.images(other)));
            // A border's edges are as far off as a mirrored image would be.
            let edge = here.y().min(down * PARTS - here.y()) as f64 / PARTS as f64;
            let edges = repeat.one_way.then(|| (2.0 * edge).powi(2));
            images.map(|image| far(&repeat, here, image)).chain(edges).fold(f64::INFINITY, f64::min)
        };
        let all = (0..FINE * FINE).map(|n| [n % FINE, n / FINE]);
        let rated = all.map(|[i, j]| (room(spot(i, j)), [i, j]));
        rated.fold((-1.0, [0, 0]), |best, next| if next.0 > best.0 { next } else { best }).1
    };
    let at = |chosen: &[[i64; 2]]| chosen.iter().map(|[i, j]| spot(*i, *j)).collect::<Vec<_>>();
    let mut chosen: Vec<[i64; 2]> = Vec::new();
    for _ in 0..count {
        chosen.push(best(&at(&chosen)));
    }
    // The first took the best place without knowing of the others: each is put again, some times round.
    for n in (0..ROUNDS).flat_map(|_| 0..count).filter(|_| count > 1) {
        let mut others = at(&chosen);
        others.remove(n);
        chosen[n] = best(&others);
    }
    chosen.into_iter().map(|share| share.map(|n| percent((n as f64 + 0.5) / FINE as f64))).collect()
}

/// How often motifs are put again.
const ROUNDS: usize = 3;

/// The squared distance of two spots on the cloth, in units.
fn far(repeat: &Repeat, a: Spot, b: Spot) -> f64 {
    let [x, y] = [b.units()[0] - a.units()[0], b.units()[1] - a.units()[1]];
    let reach = repeat.block[0].max(repeat.block[1]);
    let steps = repeat.lattice.steps_into([x, y, x, y], [-reach, -reach, reach, reach]);
    let steps = steps.iter().filter(|step| !repeat.one_way || step[1] == 0);
    steps.map(|step| (x + step[0] as f64).powi(2) + (y + step[1] as f64).powi(2)).fold(f64::INFINITY, f64::min)
}

fn percent(share: f64) -> String {
    format!("{}%", trim_zeros(&format!("{:.2}", share * 100.0)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::repeat::Symmetry;

    #[test]
    fn motifs_are_spread_evenly() {
        assert_eq!(even(1, [4.0, 8.0]), [["50%", "50%"]]);
        assert_eq!(even(2, [4.0, 8.0]), [["50%", "25%"], ["50%", "75%"]]);
        assert_eq!(even(3, [8.0, 8.0]), [["25%", "25%"], ["75%", "25%"], ["50%", "75%"]]);
    }

    /// The farthest from its own images that a spot of p2mm can be is the middle of a quarter block,
    /// half a block from each; from the mirrors of p31m it can be nowhere farther than their triangle allows.
    #[test]
    fn under_mirrors_a_motif_keeps_off_its_own_images() {
        let place = |group: &str| {
            let scheme = Scheme::new(None, Some(group.parse::<Symmetry>().expect(group)), None).expect(group);
            apart(1, [4.0, 4.0], &scheme)
                .remove(0)
                .map(|text| text.trim_end_matches('%').parse::<f64>().expect("a share"))
        };
        let [x, y] = place("p2mm");
        assert!((x - 25.0).abs() < 1.1 && (y - 25.0).abs() < 1.1, "{x} {y}");
        let [x, y] = place("p4mm");
        // Off both mirrors and off the diagonal: within the triangle 0 < x < y < 50 or its images.
        let (x, y) = (x.min(100.0 - x), y.min(100.0 - y));
        assert!((x - y).abs() > 15.0 && x > 8.0 && y > 8.0 && x < 42.0 && y < 42.0, "{x} {y}");
    }
}
