//! The README's pictures are made here, so they can't show what the tool no longer does.
//!
//! `MAKE=1` makes them again; look at them before you commit.

use std::path::{Path, PathBuf};

use crate::common::Picture;
use crate::golden::picture_of;

pub fn project() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Holds a picture against the committed one.
pub fn holds(name: &str, picture: &Picture) {
    let path = project().join("tests/pictures").join(name);
    if std::env::var_os("MAKE").is_some() {
        picture.save(&path);
    }
    assert!(Picture::open(&path) == *picture, "{name} is out of date: make it again with MAKE=1 and look at it");
}

/// Motif → tile → cloth.
#[test]
fn from_motif_to_cloth() {
    let motif = picture_of(&project().join("tests/pictures/limpet.toml")).halved();
    let mut tile = picture_of(&shore_at_54_dpi());
    let cloth = repeated(&tile.halved().halved(), 4, 2);
    tile = tile.halved();
    holds(
        "from-motif-to-cloth.png",
        &Picture::row(&[&motif, &arrow(motif.height), &tile, &arrow(tile.height), &cloth]),
    );
}

/// One cloth for each way to repeat, from its golden design, six in a row.
#[test]
fn every_layout() {
    let names = [
        ["straight", "half-drop", "brick", "third-drop", "mirror", "mirror-drop"],
        ["turn", "turn-drop", "pinwheel", "ogee", "diamond", "hexagonal"],
        ["satin-5", "satin-8", "stripes", "rows", "checker", "alternate-in-a-half-drop"],
        ["border-p2mg", "symmetry-p2gg", "symmetry-p4gm", "symmetry-p4mm", "symmetry-p31m", "symmetry-p6mm"],
    ];
    let (side, gap) = (172, 12);
    let mut sheet = paper(6 * (side + gap) - gap, 4 * (side + gap) - gap);
    for (y, row) in names.iter().enumerate() {
        for (x, name) in row.iter().enumerate() {
            let design = project().join("tests/golden").join(name).with_extension("toml");
            let cloth = cut(&picture_of(&design), side, if name.starts_with("border") { gap } else { 0 });
            sheet.lay(&cloth, x * (side + gap), y * (side + gap));
        }
    }
    holds("every-layout.png", &sheet);
}

pub fn paper(width: usize, height: usize) -> Picture {
    Picture { width, height, channels: 3, bytes: vec![255; width * height * 3] }
}

/// A square piece of cloth; strips of a border lie apart.
fn cut(tile: &Picture, side: usize, apart: usize) -> Picture {
    let (across, down) = (side / tile.width + 1, side / (tile.height + apart) + 1);
    let mut large = paper(across * tile.width, down * (tile.height + apart));
    for (x, y) in (0..down).flat_map(|y| (0..across).map(move |x| (x, y))) {
        large.lay(tile, x * tile.width, y * (tile.height + apart));
    }
    let row = |y: usize| large.bytes[y * large.width * 3..][..side * 3].to_vec();
    Picture { width: side, height: side, channels: 3, bytes: (0..side).flat_map(row).collect() }
}

/// The shipped design at the picture's resolution, in the build folder.
fn shore_at_54_dpi() -> PathBuf {
    let text = std::fs::read_to_string(project().join("motifs/shore.toml")).expect("motifs/shore.toml");
    let motifs = project().join("motifs").display().to_string();
    let text = text.replace("file  = \"", &format!("file  = \"{motifs}/")).replace("dpi = 150", "dpi = 54");
    assert!(text.contains("dpi = 54"), "motifs/shore.toml is delivered at 150 dpi");
    let path = project().join("target/readme-shore.toml");
    std::fs::create_dir_all(path.parent().expect("a folder")).expect("target");
    std::fs::write(&path, text).expect("written");
    path
}

/// A toss, two tiles of it side by side. The design is what the tool itself writes, to the byte, on any machine.
#[test]
fn strewn() {
    let path = project().join("tests/pictures/strewn.toml");
    let text = std::fs::read_to_string(&path).expect("strewn.toml");
    let design = seamfast::design::Design::parse(&text, &path).expect("a design");
    let again = design.strew(&text, &path, None, &()).expect("strewn").text;
    if std::env::var_os("MAKE").is_some() {
        std::fs::write(&path, &again).expect("written");
    } else {
        assert!(again == text, "strewn.toml is another toss: make it again with MAKE=1 and look at it");
    }
    holds("strewn.png", &picture_of(&path));
}

fn repeated(tile: &Picture, across: usize, down: usize) -> Picture {
    let (width, height) = (tile.width * across, tile.height * down);
    let mut cloth = Picture { width, height, channels: tile.channels, bytes: vec![0; width * height * tile.channels] };
    for (x, y) in (0..down).flat_map(|y| (0..across).map(move |x| (x, y))) {
        cloth.lay(tile, x * tile.width, y * tile.height);
    }
    cloth
}

/// A pointer in indigo on white.
fn arrow(height: usize) -> Picture {
    let width = 22;
    let mut out = Picture { width, height, channels: 3, bytes: vec![255; width * height * 3] };
    for (y, x) in (0..height).flat_map(|y| (0..width).map(move |x| (y, x))) {
        let off = (y as i64 - height as i64 / 2).abs();
        if off + (x as i64) < width as i64 {
            out.bytes[(y * width + x) * 3..][..3].copy_from_slice(&[0x1f, 0x2d, 0x4d]);
        }
    }
    out
}

/// Every picture of the README is one of these, and is there.
#[test]
fn pictures_of_the_readme_are_made_by_tests() {
    let readme = std::fs::read_to_string(project().join("README.md")).expect("README.md");
    let pictures: Vec<&str> =
        readme.split("](").skip(1).filter_map(|t| t.split(')').next()).filter(|p| p.ends_with(".png")).collect();
    assert!(!pictures.is_empty(), "the README has a picture");
    for picture in pictures {
        assert!(
            picture.starts_with("tests/pictures/") || picture.starts_with("tests/golden/"),
            "{picture} is made by no test"
        );
        assert!(Path::new(&project()).join(picture).is_file(), "{picture} is missing");
    }
}
