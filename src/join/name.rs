//! A lattice's name in the trade, and how its tile is to be uploaded.

use super::lattice::{Steps, gcd};
use super::near::Parts;

/// The repeat that lies inside a tile.
#[derive(Clone, Debug, PartialEq)]
pub struct Inner {
    /// As the trade calls it: `straight`, `half-drop`, `drop=1/3` …
    pub layout: String,
    /// The other name of the same cloth, seen as rows of bricks, and its block.
    pub brick: Option<(String, [f64; 2])>,
    /// A satin order (ends, step), if the blocks are placed as one: so many ends, each with its
    /// binding point so many picks above that of the end before.
    pub satin: Option<(usize, usize)>,
    /// The block in pixels, which need not be whole.
    pub block: [f64; 2],
    /// How many blocks the tile holds.
    pub blocks: usize,
    /// The steps in pixels: `(across, 0)` and `(shift, down)`.
    pub lattice: [f64; 3],
    /// Every pixel is the same a step further.
    pub exact: bool,
}

impl Inner {
    /// Names an exact lattice.
    pub fn of_steps(steps: Steps, width: usize, height: usize) -> Inner {
        let (across, down) = (width / steps.across, height / steps.down);
        let (p, q) = reduced(steps.shift, steps.across);
        Inner::new(width, height, [across, down], [p, q], true)
    }

    /// Names what repeats in a border, across only.
    pub fn of_border(steps: Steps, width: usize, height: usize) -> Inner {
        let inner = Inner::of_steps(Steps { shift: 0, down: height, ..steps }, width, height);
        Inner { layout: "border".into(), ..inner }
    }

    /// Names a lattice that nearly holds.
    pub fn of_parts(parts: Parts, width: usize, height: usize) -> Inner {
        let (p, q) = reduced(parts.shift, parts.down);
        Inner::new(width, height, [parts.across, parts.down], [p, q], false)
    }

    fn new(width: usize, height: usize, [m, n]: [usize; 2], [p, q]: [usize; 2], exact: bool) -> Inner {
        let (a, d) = (width as f64 / m as f64, height as f64 / n as f64);
        let lattice = [a, a * p as f64 / q as f64, d];
        let inner =
            |layout: String, brick, satin, block| Inner { layout, brick, satin, block, blocks: m * n, lattice, exact };
        if p == 0 {
            return inner("straight".into(), None, None, [a, d]);
        }
        // Columns of blocks: each is a qth of a row's step wide, q rows high, and lies k rows lower
        // than the one before, where k·p is 1 in parts of q.
        let k = (1..q).find(|k| k * p % q == 1).unwrap_or(1);
        let name = |word: &str, p: usize| match (word, p, q) {
            ("drop", 1, 2) => "half-drop".into(),
            ("brick", 1, 2) => "brick".into(),
            _ => format!("{word}={p}/{q}"),
        };
        let satin = (q >= 5 && k != 1 && k != q - 1).then_some((q, k));
        inner(name("drop", k), Some((name("brick", p), [a, d])), satin, [a / q as f64, d * q as f64])
    }

    /// What to choose where the tile is uploaded, in words.
    pub fn upload(&self) -> String {
        if self.layout == "border" {
            return "repeat it across only: a border has no neighbor above or below".into();
        }
        if self.blocks == 1 {
            return "choose the straight (basic) repeat: this file is one block".into();
        }
        let block = size(self.block);
        match (&self.brick, &self.layout[..]) {
            (None, _) => format!(
                "choose the straight (basic) repeat; a smaller file would do, too: the same block of {block} px lies in it {} times",
                self.blocks
            ),
            (Some(_), "half-drop") => format!(
                "choose the straight (basic) repeat: this file already holds its half-drop, and chosen again it would be dropped twice. A smaller file of {block} px would do with the printer's own half-drop"
            ),
            (Some((brick, _)), drop) => {
                format!("choose the straight (basic) repeat: this file already holds its {drop} (or {brick})")
            }
        }
    }
}

/// Pixels across and down; a part of a pixel is shown.
fn size(block: [f64; 2]) -> String {
    let show = |n: f64| if n.fract() == 0.0 { format!("{n:.0}") } else { format!("{n:.2}") };
    format!("{} × {}", show(block[0]), show(block[1]))
}

fn reduced(p: usize, q: usize) -> (usize, usize) {
    let by = gcd(p, q);
    (p / by, q / by)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The lattices of the seam study that this project was given, and their names by hand.
    #[test]
    fn lattices_have_their_trade_names() {
        let cases = [
            ([120, 150], [60, 0, 50], "straight", [60.0, 50.0]),
            ([120, 100], [120, 60, 50], "half-drop", [60.0, 100.0]),
            ([180, 90], [180, 60, 30], "drop=1/3", [60.0, 90.0]),
            ([150, 150], [150, 90, 30], "drop=2/5", [30.0, 150.0]),
            ([192, 192], [192, 72, 24], "drop=3/8", [24.0, 192.0]),
            ([97, 101], [97, 0, 101], "straight", [97.0, 101.0]),
        ];
        for ([width, height], [across, shift, down], layout, block) in cases {
            let inner = Inner::of_steps(Steps { across, shift, down }, width, height);
            assert_eq!((&inner.layout[..], inner.block), (layout, block), "{inner:?}");
        }
        let satin = Inner::of_steps(Steps { across: 192, shift: 72, down: 24 }, 192, 192);
        assert_eq!((satin.satin, satin.brick.map(|b| b.0)), (Some((8, 3)), Some("brick=3/8".into())));
    }
}
