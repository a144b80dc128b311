//! The exported SVG, with uses or as plain paths, opened and painted whole by the renderer alone, is the tile that we paint.

use proptest::prelude::*;
use resvg::tiny_skia::{Pixmap, Transform};
use seamfast::vector::{self, Piece, SvgOptions};
use seamfast::wrap::Copies;

use crate::common::{cases, designs, motifs, painted};

/// What anti-aliasing may make of it, as a root mean square of 255 levels.
const MOST: f64 = 4.0;

proptest! {
    #![proptest_config(cases(50))]

    #[test]
    fn the_svg_opens_as_the_tile(mut repeat in designs(300..450, 1.8), clip in any::<bool>(), plain in any::<bool>()) {
        repeat.ground = Some([243, 238, 227]);
        let tile = painted(&repeat, motifs());
        let copies = Copies::plan(&repeat, motifs());
        let piece = Piece::tile(&copies);
        let text = if plain {
            vector::plain_svg(&copies, motifs(), "random", &piece).expect("plain paths").0
        } else {
            vector::svg(&copies, motifs(), "random", &piece, SvgOptions { clip })
        };
        let tree = usvg::Tree::from_str(&text, &usvg::Options::default()).expect("an SVG");
        let mut canvas = Pixmap::new(tile.width as u32, tile.height as u32).expect("a canvas");
        let [x, y] = [tile.width as f32 / tree.size().width(), tile.height as f32 / tree.size().height()];
        resvg::render(&tree, Transform::from_scale(x, y), &mut canvas.as_mut());
        let opened: Vec<u8> = canvas.pixels().iter().flat_map(|p| [p.red(), p.green(), p.blue()]).collect();
        let sum: f64 = opened.iter().zip(&tile.bytes).map(|(a, b)| (f64::from(*a) - f64::from(*b)).powi(2)).sum();
        let rms = (sum / opened.len() as f64).sqrt();
        prop_assert!(rms <= MOST, "the SVG opens {rms:.2} levels apart (plain: {plain})");
    }
}
