//! Random designs on the shipped motifs, and pictures of them.

use std::path::Path;
use std::sync::OnceLock;

use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use seamfast::artwork::{Intake, Motif};
use seamfast::length::{Length, Size};
use seamfast::pixels::{HEXAGONAL, Resolution};
use seamfast::raster;
use seamfast::repeat::{Lattice, Layout, PARTS, Placement, Repeat, Scheme, Shape, Spot, Symmetry, Tile};
use seamfast::wrap::Copies;
use serde_json::Value;

pub use crate::picture::Picture;

/// A float in net: a blur, a shadow and a thickened rim.
pub const GLASS: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" width="100" height="100" viewBox="0 0 100 100">
<defs><filter id="b" x="-30%" y="-30%" width="160%" height="160%"><feGaussianBlur stdDeviation="3"/></filter>
<filter id="s"><feDropShadow dx="3" dy="2" stdDeviation="1.5" flood-color="#3a332c"/></filter>
<filter id="m"><feMorphology operator="dilate" radius=".6"/></filter></defs>
<circle cx="50" cy="50" r="36" fill="#5b7f9f" filter="url(#b)"/>
<g filter="url(#s)"><path d="M20 50L50 18L80 50L50 82Z" fill="#7c8f6a"/></g>
<path d="M12 50Q50 20 88 50" fill="none" stroke="#1f2d4d" stroke-width="1.5" filter="url(#m)"/></svg>"##;

/// A drawing of the project.
pub fn shipped(name: &str) -> Motif {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(name);
    Motif::read(&path, &Intake::new()).unwrap_or_else(|e| panic!("{e}"))
}

/// The motifs of random designs; together they hold fills, strokes, dashes, a gradient, opacity,
/// a clip, a mask, a pattern, markers, a text, an embedded picture, filters and a picture of pixels.
pub fn motifs() -> &'static [Motif] {
    static MOTIFS: OnceLock<Vec<Motif>> = OnceLock::new();
    MOTIFS.get_or_init(|| {
        let names =
            ["limpet", "tern", "rope-knot", "buoy", "dory", "anchor", "mussel", "starfish", "lighthouse", "label"];
        let mut motifs: Vec<Motif> = names.iter().map(|name| shipped(&format!("motifs/{name}.svg"))).collect();
        motifs.push(shipped("tests/artwork/drawings/ink/image-png.svg"));
        motifs.push(Motif::from_svg("glass", GLASS.as_bytes(), &Intake::new()).expect("a motif"));
        motifs.push(sponge());
        motifs.push(sponge().trimmed());
        motifs.push(shipped("motifs/label.svg").trimmed());
        motifs
    })
}

/// A picture of 401 × 301 px: half transparent rings with a soft rim, and nothing in its corners.
pub fn sponge() -> Motif {
    let (width, height) = (401, 301);
    let pixel = |x: i32, y: i32| {
        let far = f64::from(x - 200).hypot(f64::from(y - 150) * 1.3);
        let alpha = ((195.0 - far) * 20.0).clamp(0.0, 255.0) * if far as i32 / 30 % 2 == 0 { 1.0 } else { 0.5 };
        [180, (far * 1.2) as u8, (x % 200) as u8, alpha as u8]
    };
    let data: Vec<u8> = (0..height).flat_map(|y| (0..width).flat_map(move |x| pixel(x, y))).collect();
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, width as u32, height as u32);
    encoder.set_color(png::ColorType::Rgba);
    let mut writer = encoder.write_header().expect("a header");
    writer.write_image_data(&data).expect("pixels");
    writer.finish().expect("an end");
    Motif::from_bytes("sponge", bytes, &Intake::new()).expect("a motif")
}

pub fn tile(width: i64, height: i64) -> Tile {
    let size = Size { width: Length::from_emu(width * 6096), height: Length::from_emu(height * 6096) };
    Tile { width, height, size }
}

/// So many random cases, the same on every run; PROPTEST_RNG_SEED gives others.
pub fn cases(cases: u32) -> ProptestConfig {
    let fixed = std::env::var_os("PROPTEST_RNG_SEED").is_none();
    let seed = if fixed { RngSeed::Fixed(20_261_125) } else { ProptestConfig::default().rng_seed };
    ProptestConfig { cases, rng_seed: seed, failure_persistence: None, ..ProptestConfig::default() }
}

/// A layout with its smallest tile of at least so many pixels.
pub fn repeat(layout: Layout, width: i64, height: i64) -> Repeat {
    on_tile(&layout.scheme(), width, height)
}

/// The same for any scheme. Where the height follows from the width, it does here.
pub fn on_tile(scheme: &Scheme, width: i64, height: i64) -> Repeat {
    let blocks = scheme.tile_blocks();
    let [x, y] = scheme.multiples(blocks);
    let width = width.div_euclid(x) * x + x;
    let height = match scheme.shape() {
        Shape::Any => height.div_euclid(y) * y + y,
        Shape::Square => width / blocks[0] * blocks[1],
        Shape::Hexagonal => (width as f64 * HEXAGONAL / y as f64).round() as i64 * y,
    };
    Repeat::new(scheme, tile(width, height), blocks).expect("a tile of whole multiples")
}

/// The plain layouts, whose large motifs are soon painted.
pub fn layouts() -> impl Strategy<Value = Scheme> {
    let names = ["straight", "half-drop", "brick", "drop=2/5", "brick=3/4", "mirror"];
    prop::sample::select(names.map(|name| name.parse::<Layout>().expect(name).scheme()).to_vec())
}

/// Any layout or plane group that is made, but borders, which have no torus.
pub fn schemes() -> impl Strategy<Value = Scheme> {
    let names = [
        "straight",
        "half-drop",
        "brick",
        "drop=1/3",
        "drop=2/5",
        "brick=1/3",
        "brick=3/4",
        "mirror",
        "mirror-across",
        "mirror-down",
        "mirror-drop",
        "turn",
        "turn-drop",
        "pinwheel",
        "ogee",
        "hexagonal",
        "satin=5",
        "satin=8",
        "stripes=3",
        "rows",
        "checker",
        "checker=3",
    ];
    let layouts = names.map(|name| name.parse::<Layout>().expect(name).scheme());
    let groups = Symmetry::all().map(|group| Scheme::new(None, Some(group), None).expect("a scheme"));
    let settings = ["p11m", "p11g", "c11m", "p2gm"].map(|name| name.parse().expect(name));
    let settings = settings.map(|group| Scheme::new(None, Some(group), None).expect("a scheme"));
    prop::sample::select(layouts.into_iter().chain(groups).chain(settings).collect::<Vec<_>>())
}

/// One placement: its motif's width is `width` pixels; it lies anywhere in the block and beyond.
fn placement(width: f64) -> impl Strategy<Value = (usize, f64, f64, bool, [i64; 2], i32)> {
    (0..motifs().len(), 0.3..width, 0.0..360.0, any::<bool>(), [-90_000i64..90_000, -90_000i64..90_000], -1..2)
}

/// A random design: any layout and tile, one to five motifs of up to `width` × 100 px, any turn.
pub fn designs(side: std::ops::Range<i64>, width: f64) -> impl Strategy<Value = Repeat> {
    designs_of(schemes(), side, width)
}

/// The same of some schemes.
pub fn designs_of(
    schemes: impl Strategy<Value = Scheme>,
    side: std::ops::Range<i64>,
    width: f64,
) -> impl Strategy<Value = Repeat> {
    let places = prop::collection::vec(placement(width), 1..6);
    (schemes, side.clone(), side, places, any::<bool>()).prop_map(|(scheme, w, h, places, ground)| {
        let mut repeat = on_tile(&scheme, w, h);
        repeat.ground = ground.then_some([243, 238, 227]);
        for (motif, width, turn, flip, [x, y], layer) in places {
            let scale = width * 100.0 / motifs()[motif].page_px().width;
            let (sin, cos) = if turn < 90.0 { (0.0, 1.0) } else { f64::to_radians(turn).sin_cos() };
            let side = if flip { -scale } else { scale };
            let linear = [cos * side, sin * side, -sin * scale, cos * scale];
            repeat.placements.push(Placement { motif, at: Spot::from_parts(x, y), linear, layer });
        }
        repeat
    })
}

/// Paints a design.
pub fn painted(repeat: &Repeat, motifs: &[Motif]) -> Picture {
    let copies = Copies::plan(repeat, motifs);
    let spec = raster::spec(&copies, Resolution::dpi(150).expect("in range")).expect("a small tile");
    let bytes = raster::pixels(&copies, motifs, spec).expect("painted");
    Picture { width: spec.width as usize, height: spec.height as usize, channels: spec.channels.bytes(), bytes }
}

/// The same design as a cloth of 3 × 3 tiles in which every copy is laid by itself: no
/// lattice is used but the cloth's own edges. Its middle tile lies at the origin. Ink must be
/// smaller than the tile, or what wraps around the cloth would lie in another order.
pub fn whole_cloth(repeat: &Repeat) -> Repeat {
    let (w, h) = (repeat.tile.width, repeat.tile.height);
    let mut cloth = repeat.clone();
    cloth.tile = tile(w * 3, h * 3);
    cloth.lattice = Lattice::from_steps([[w * 3, 0], [0, h * 3]]).expect("an upright cloth");
    for placement in &mut cloth.placements {
        let middle = |parts: i64, side: i64| (parts + side * PARTS / 2).rem_euclid(side * PARTS) - side * PARTS / 2;
        placement.at = Spot::from_parts(middle(placement.at.x(), w), middle(placement.at.y(), h));
    }
    cloth.symmetry.clear();
    for operator in &repeat.symmetry {
        for y in -h..2 * h {
            for x in (-w..2 * w).filter(|&x| repeat.lattice.contains([x, y])) {
                let mut moved = *operator;
                moved.t = [operator.t[0].rem_euclid(w) + x, operator.t[1].rem_euclid(h) + y];
                cloth.symmetry.push(moved);
            }
        }
    }
    cloth
}

pub const fn units(n: i64) -> i64 {
    n * PARTS
}

/// Facts copied from outside; each file names its source.
pub fn reference(name: &str) -> Value {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference").join(name);
    let text = std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    serde_json::from_str(&text).expect("JSON")
}

pub fn list<'a>(value: &'a Value, key: &str) -> &'a Vec<Value> {
    value[key].as_array().unwrap_or_else(|| panic!("no {key}"))
}

pub fn text<'a>(value: &'a Value, key: &str) -> &'a str {
    value[key].as_str().unwrap_or_else(|| panic!("no {key}"))
}
