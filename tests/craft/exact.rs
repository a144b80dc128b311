//! P4: the raster is exact on the torus, for random designs, 0 pixels of difference.

use crate::common::{designs, designs_of, layouts, motifs, painted, whole_cloth};
use proptest::prelude::*;
use seamfast::limits::Limits;
use seamfast::raster;
use seamfast::repeat::Repeat;
use seamfast::wrap::Copies;

/// The master property takes three pictures of each design.
fn holds(repeat: &Repeat, by: [i64; 2]) -> Result<(), TestCaseError> {
    let tile = painted(repeat, motifs());
    for step in repeat.lattice.steps() {
        prop_assert_eq!(tile.differs_from(&tile, step), 0, "a lattice step {:?} carries the tile onto itself", step);
    }
    let moved = painted(&repeat.moved(by), motifs());
    prop_assert_eq!(moved.differs_from(&tile, by), 0, "moved by {:?} is rolled by it", by);

    let cloth = painted(&whole_cloth(repeat), motifs());
    let differ = tile.differs_from(&cloth, [0, 0]);
    prop_assert_eq!(differ, 0, "the tile is the middle of a 3 x 3 cloth painted whole");
    Ok(())
}

proptest! {
    #![proptest_config(crate::common::cases(200))]

    /// Tiles of 300 to 450 px, motifs up to 180 px wide.
    #[test]
    fn two_hundred_random_designs(repeat in designs(300..450, 1.8), by in [-999i64..999, -999i64..999]) {
        holds(&repeat, by)?;
    }
}

proptest! {
    #![proptest_config(crate::common::cases(12))]

    /// Motifs up to 1 600 px are painted in pieces; tiles larger than they are.
    #[test]
    fn motifs_in_pieces(repeat in designs_of(layouts(), 2700..2900, 16.0), by in [-9999i64..9999, -9999i64..9999]) {
        holds(&repeat, by)?;
    }
}

proptest! {
    #![proptest_config(crate::common::cases(60))]

    /// A window paints only what it shows; that is the tile, repeated.
    #[test]
    fn a_window_is_the_tile_repeated(
        repeat in designs(300..450, 1.8),
        [x, y] in [-2000i64..2000, -2000i64..2000],
        [width, height] in [1i64..900, 1i64..900],
    ) {
        let copies = Copies::plan(&repeat, motifs());
        let tile = painted(&repeat, motifs());
        let limit = Limits::default().tile;
        let shown = raster::window(&copies, motifs(), [x, y, width, height], limit, &()).expect("painted");
        let mut different = 0;
        for (index, pixel) in shown.chunks_exact(4).enumerate() {
            let mut want = [255; 4];
            want[..tile.channels].copy_from_slice(tile.pixel(x + index as i64 % width, y + index as i64 / width));
            different += usize::from(pixel != want);
        }
        prop_assert_eq!(different, 0);
        prop_assert_eq!(shown.len() as i64, width * height * 4);
    }
}

/// A check that can't fail is none: one motif moved by a quarter of a pixel must be seen.
#[test]
fn a_quarter_pixel_is_seen() {
    let mut repeat = crate::common::repeat("half-drop".parse().expect("a layout"), 300, 300);
    let scale = 120.0 / motifs()[0].page_px().width;
    let linear = [scale, 0.0, 0.0, scale];
    let at = seamfast::repeat::Spot::from_parts(crate::common::units(80), crate::common::units(80));
    repeat.placements.push(seamfast::repeat::Placement { motif: 0, at, linear, layer: 0 });
    let tile = painted(&repeat, motifs());
    repeat.placements[0].at =
        seamfast::repeat::Spot::from_parts(crate::common::units(80) + 64, crate::common::units(80));
    assert!(painted(&repeat, motifs()).differs_from(&tile, [0, 0]) > 100);
    assert!(tile.differs_from(&tile, [1, 0]) > 100);
}
