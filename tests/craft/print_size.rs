//! P4 at print size: moved by whole pixels, a large tile is the rolled tile.
//!
//! Always at 6 300 px a side; with `SWEEP=1` also at 16 200, twenty moves of each scene
//! (20 minutes, 2 GB): `SWEEP=1 cargo test --release --test craft large_tile`.

use seamfast::repeat::{PARTS, Placement, Repeat, Spot};

use crate::common::{motifs, painted, repeat};

/// Numbers that only look random (SplitMix64, from memory).
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: i64) -> i64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) % sides as u64) as i64
    }
}

/// Two hundred placements of all motifs, anywhere and any way up.
fn scene(layout: &str, side: i64, dice: &mut Dice) -> Repeat {
    let mut design = repeat(layout.parse().expect(layout), side - 1, side - 1);
    design.ground = Some([243, 238, 227]);
    for _ in 0..200 {
        let motif = dice.roll(motifs().len() as i64) as usize;
        let width = side as f64 / 18.0 * (0.7 + dice.roll(600) as f64 / 1000.0);
        let scale = width / motifs()[motif].page_px().width;
        let (sin, cos) = (dice.roll(3600) as f64 / 10.0).to_radians().sin_cos();
        let at = Spot::from_parts(dice.roll(side * PARTS), dice.roll(side * PARTS));
        let linear = [cos * scale, sin * scale, -sin * scale, cos * scale];
        design.placements.push(Placement { motif, at, linear, layer: 0 });
    }
    design
}

fn rolls(layout: &str, side: i64, times: usize) {
    let mut dice = Dice(side as u64);
    let design = scene(layout, side, &mut dice);
    let still = painted(&design, motifs());
    let row_bytes = still.width * 3;
    for _ in 0..times {
        let by = [dice.roll(side), dice.roll(side)];
        let moved = painted(&design.moved(by), motifs());
        let mut differ = 0;
        for (y, row) in moved.bytes.chunks_exact(row_bytes).enumerate() {
            let from = (y as i64 - by[1]).rem_euclid(still.height as i64) as usize;
            let home = &still.bytes[from * row_bytes..][..row_bytes];
            let cut = by[0] as usize * 3;
            if row[cut..] != home[..row_bytes - cut] || row[..cut] != home[row_bytes - cut..] {
                differ += 1;
            }
        }
        assert_eq!(differ, 0, "{layout}, {side} px, moved by {by:?}: so many rows differ");
    }
}

#[test]
fn a_large_tile_is_exact() {
    let sweep = std::env::var_os("SWEEP").is_some();
    for layout in ["half-drop", "straight", "mirror"] {
        rolls(layout, 6300, if sweep { 20 } else { 1 });
        if sweep {
            rolls(layout, 16_200, 20);
        }
    }
}
