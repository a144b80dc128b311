//! Drawings as files, and what a painter makes of them.

use std::path::{Path, PathBuf};

use kurbo::Rect;
use resvg::tiny_skia::{Pixmap, Transform};

/// All drawings of a folder, sorted. Finding none is a failure.
pub fn drawings(folder: &str) -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/artwork/drawings").join(folder);
    let entries = std::fs::read_dir(&folder).expect("the folder is there");
    let mut all: Vec<PathBuf> =
        entries.map(|e| e.expect("an entry").path()).filter(|p| p.extension().is_some_and(|e| e == "svg")).collect();
    all.sort();
    assert!(!all.is_empty(), "no drawing in {}", folder.display());
    all
}

/// The name of a drawing's file without its ending.
pub fn stem(path: &Path) -> String {
    path.file_stem().expect("a name").to_string_lossy().into_owned()
}

/// Painted pixels per pixel of the tree.
pub const SCALE: f32 = 4.0;
/// Pixels around the page, so that what hangs over is seen.
pub const MARGIN: f32 = 200.0;

/// A tree painted on nothing, with the margin around it.
pub fn paint(trees: &[&usvg::Tree]) -> Pixmap {
    let size = trees.first().expect("a tree").size();
    let side = |s: f32| (s * SCALE + 2.0 * MARGIN).ceil() as u32;
    let mut pixmap = Pixmap::new(side(size.width()), side(size.height())).expect("a canvas");
    for tree in trees {
        let to = Transform::from_scale(SCALE, SCALE).post_translate(MARGIN, MARGIN);
        resvg::render(tree, to, &mut pixmap.as_mut());
    }
    pixmap
}

/// Whether a pixel has any color, also outside the canvas.
pub fn painted(pixmap: &Pixmap, x: i64, y: i64) -> bool {
    let at = |v: i64| u32::try_from(v).ok();
    let (Some(x), Some(y)) = (at(x), at(y)) else { return false };
    pixmap.pixel(x, y).is_some_and(|p| p.alpha() > 0)
}

/// The rectangle of one pixel.
pub fn pixel(x: i64, y: i64) -> Rect {
    Rect::new(x as f64, y as f64, x as f64 + 1.0, y as f64 + 1.0)
}
