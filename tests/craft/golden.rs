//! Golden pictures: each design in `tests/golden` has its picture beside it, pixel for pixel.
//!
//! A case is `NAME.toml` (one issue, the name says it) and `NAME.png`. `MAKE=1` makes the
//! pictures again; look at them before you commit. On a failure `target/golden/NAME.png` shows
//! expected, difference and actual side by side.

use std::path::{Path, PathBuf};

use seamfast::design::{Design, Order};
use seamfast::raster;
use seamfast::wrap::Copies;

use crate::common::Picture;

/// References stay small, so that the repository does.
const MOST_BYTES: u64 = 20 << 10;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden")
}

/// The picture of a design file's first delivery.
pub fn picture_of(path: &Path) -> Picture {
    let text = std::fs::read_to_string(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    let design = Design::parse(&text, path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    let folder = path.parent().expect("a folder");
    let order = Order::decide(&design, folder, "golden").unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    let delivery = &order.deliveries[0];
    let copies = Copies::plan(&delivery.repeat, &order.motifs);
    let spec = raster::spec(&copies, delivery.grid.resolution()).expect("a small tile");
    let bytes = raster::pixels(&copies, &order.motifs, spec).expect("painted");
    Picture { width: spec.width as usize, height: spec.height as usize, channels: spec.channels.bytes(), bytes }
}

#[test]
fn pictures_are_as_they_were() {
    let mut cases: Vec<PathBuf> = std::fs::read_dir(folder())
        .expect("tests/golden")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|e| e == "toml"))
        .collect();
    cases.sort();
    assert!(cases.len() >= 12, "only {} golden cases found in {}", cases.len(), folder().display());
    let wrong: Vec<String> = cases.iter().filter_map(|case| holds(case).err()).collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

fn holds(case: &Path) -> Result<(), String> {
    let name = case.file_stem().unwrap_or_default().to_string_lossy();
    let reference = case.with_extension("png");
    let actual = picture_of(case);
    if std::env::var_os("MAKE").is_some() {
        actual.save(&reference);
    }
    let size =
        std::fs::metadata(&reference).map_err(|e| format!("{name}: no reference: {e}; look at it with MAKE=1"))?.len();
    if size > MOST_BYTES {
        return Err(format!("{name}: the reference has {size} bytes, at most {MOST_BYTES}; make the tile smaller"));
    }
    let expected = Picture::open(&reference);
    if expected == actual {
        return Ok(());
    }
    let triptych = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("target/golden/{name}.png"));
    std::fs::create_dir_all(triptych.parent().expect("a folder")).expect("target/golden");
    if expected.width == actual.width && expected.height == actual.height {
        Picture::row(&[&expected, &expected.difference(&actual), &actual]).save(&triptych);
    } else {
        actual.save(&triptych);
    }
    Err(format!("{name}: {} pixels differ; see {}", expected.differs_from(&actual, [0, 0]), triptych.display()))
}
