//! Path data → a cut in every mode, held against the other modes, against itself cut again, and against its files.
//!
//! A line of the input is a shape; lines take four inks in turn. They lie on a tile of 20 mm, over whose edges they
//! may reach, so that what comes in on the other side is welded, too.

use kurbo::{Affine, BezPath, Shape as _};
use seamfast::artwork::{InkName, Motif, Patterns, Rule};
use seamfast::cut::{
    Bridging, Checks, Corner, Cut, CutError, CutFile, CutLayer, EXACT, Goods, Islands, Laid, Mode, Plane, Region,
    Settings,
};
use seamfast::length::{Length, Size, Unit};
use seamfast::limits::Limits;
use seamfast::repeat::{Layout, Placement, Repeat, Spot, Tile};
use seamfast::wrap::Copies;

use super::{pick, svg};

/// Bytes beyond which an input is no longer looked at, and lines that copies may come to: speed is worth more.
const MOST_BYTES: usize = 2 << 10;
const MOST_LINES: u64 = 20_000;
/// A side of the tile, and a millimetre, in EMU.
const SIDE: i64 = 20 * 36_000;
const MM: f64 = 36_000.0;
const INKS: [&str; 4] = ["#20344d", "#c8452d", "#d8a72a", "#5b7f6a"];
/// Pieces and holes that are smaller both ways are swept up, in EMU.
const SPECK: f64 = 360.0;

/// Path data, a shape a line.
pub fn cut(data: &[u8]) {
    if data.len() > MOST_BYTES {
        return;
    }
    let pick = pick(data);
    let text = String::from_utf8_lossy(data);
    let stroke = if pick.is_multiple_of(5) { " stroke=\"#20344d\" stroke-width=\"0.7\"" } else { "" };
    let rule = if pick.is_multiple_of(3) { " fill-rule=\"evenodd\"" } else { "" };
    // Without exponents: how the reader fares with arcs of any size is for the svg target to say.
    let plain = |c: &char| (c.is_ascii_alphanumeric() && !"eE".contains(*c)) || " ,.+-".contains(*c);
    let shapes = text.lines().zip(INKS.iter().cycle()).map(|(line, ink)| {
        let plain: String = line.chars().filter(plain).collect();
        format!("<path fill=\"{ink}\"{stroke}{rule} d=\"{plain}\"/>")
    });
    if let Some(motif) = page(&shapes.collect::<String>()) {
        every_mode(&motif, pick);
    }
}

/// A motif of 20 mm by 20 mm.
fn page(inside: &str) -> Option<Motif> {
    let text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"20mm\" height=\"20mm\" viewBox=\"0 0 20 20\">{inside}</svg>"
    );
    match Motif::from_svg("fuzz", text.as_bytes(), svg::strict()) {
        Ok(motif) => {
            let ink = motif.ink().bounds(Affine::IDENTITY)?;
            let reach = 8.0 * motif.page_px().width;
            (ink.width() < reach && ink.height() < reach).then_some(motif)
        }
        Err(error) => svg::said(&error),
    }
}

fn every_mode(motif: &Motif, pick: usize) {
    let layout: Layout = ["straight", "half-drop", "mirror"][pick / 3 % 3].parse().expect("a layout");
    let copies = planned(motif, layout);
    let window = [0, 0, copies.tile().width, copies.tile().height];
    let limits = limits();
    let Ok(mut laid) = Laid::of(&copies, std::slice::from_ref(motif), window, Patterns::Ink, &limits) else { return };
    let silhouette = regions(&mut laid, &Mode::Silhouette, window);
    let inlay = regions(&mut laid, &Mode::Inlay { overlap: 0.0 }, window);
    let stacked = regions(&mut laid, &Mode::Stacked, window);
    let silhouette = Region::union(&silhouette);
    let slack = slack(&laid.plane, inlay.iter().chain(&stacked).chain([&silhouette]));

    let sum: f64 = inlay.iter().map(Region::area).sum();
    let differ = (sum - silhouette.area()).abs();
    assert!(differ <= slack, "inlay pieces come to {sum}, the silhouette to {}: off by {differ}", silhouette.area());
    for (number, piece) in inlay.iter().enumerate() {
        for other in &inlay[number + 1..] {
            let both = piece.within(other).area();
            assert!(both <= slack, "inlay pieces share {both}");
        }
    }
    let films = Region::union(&stacked).against(&silhouette).area();
    assert!(films <= slack, "stacked films cover otherwise than the silhouette by {films}");

    let modes = [
        Mode::Silhouette,
        Mode::Stacked,
        Mode::Inlay { overlap: if pick.is_multiple_of(7) { 0.3 * MM } else { 0.0 } },
        Mode::Outline {
            distance: [0.8, -0.2, 2.0][pick / 9 % 3] * MM,
            corner: if pick.is_multiple_of(2) { Corner::Round } else { Corner::Mitre(4.0) },
            fill: 0.0,
        },
        Mode::Stencil {
            ink_out: pick.is_multiple_of(2),
            frame: 3.0 * MM,
            islands: Islands::Bridge(Bridging { width: 0.5 * MM }),
        },
    ];
    for mode in modes {
        let settings = settings(mode, pick);
        match Cut::of(&copies, std::slice::from_ref(motif), &settings, &limits) {
            Ok(cut) => {
                holds(&cut, &settings, pick);
                if settings.mode == Mode::Silhouette && settings.kerf == Length::ZERO {
                    again(&cut);
                }
            }
            Err(error) => assert!(!error.to_string().is_empty()),
        }
    }
}

/// A mode's regions; none if there is nothing to cut.
fn regions(laid: &mut Laid, mode: &Mode, window: [i64; 4]) -> Vec<Region> {
    match mode.layers(laid, window) {
        Ok(layers) => layers.layers.into_iter().map(|layer| layer.region).collect(),
        Err(CutError::Nothing) => Vec::new(),
        Err(error) => panic!("{}: {error}", mode.name()),
    }
}

/// What whole numbers and specks may come to: a few EMU along all sides, and for each ring a speck.
fn slack<'a>(plane: &Plane, regions: impl Iterator<Item = &'a Region>) -> f64 {
    regions
        .map(|region| {
            let mut long = 0.0;
            let mut rings = 0.0;
            for outline in plane.outlines(region, 0.0) {
                long += outline.path.perimeter(EXACT);
                rings += 1.0;
            }
            4.0 * EXACT * long + SPECK * SPECK * (rings + 100.0)
        })
        .sum()
}

/// No ring crosses itself, each layer's area is that of its rings, and every file reads back.
fn holds(cut: &Cut, settings: &Settings, pick: usize) {
    for sheet in &cut.sheets {
        for layer in &sheet.layers {
            for path in layer.paths.iter().filter(|path| path.closed) {
                let region = Plane::new().lay(&path.path, Rule::NonZero);
                let (ring, all) = (path.path.area().abs(), region.area());
                let most = 4.0 * EXACT * path.path.perimeter(EXACT) + SPECK * SPECK;
                assert!((ring - all).abs() <= most, "{}: a ring of {ring} covers {all}", settings.mode.name());
            }
            let found = welded(layer).area() / (MM * MM);
            let long = 2.0 * 4.0 * EXACT / MM * layer.route.cut / MM;
            let differ = (found - layer.area_mm2).abs();
            assert!(differ <= long + 1e-3, "{}: {found} mm², said to be {}", settings.mode.name(), layer.area_mm2);
            assert!(layer.pieces > 0 && layer.route.cut > 0.0 && layer.route.travel.is_finite());
        }
        let kind = [CutFile::Svg, CutFile::Dxf, CutFile::DxfR12, CutFile::Pdf, CutFile::Hpgl][pick / 13 % 5];
        let bytes = kind.bytes(sheet, "fuzz");
        kind.read_back(&bytes, sheet).unwrap_or_else(|error| panic!("{}: {error}", settings.mode.name()));
    }
    if let Mode::Stencil { .. } = settings.mode {
        let pieces: usize = cut.sheets.iter().flat_map(|sheet| &sheet.layers).map(|layer| layer.pieces).sum();
        assert_eq!(pieces, 1 + cut.islands.len(), "a stencil that is held is one piece, and what isn't held is told");
    }
}

/// All paths of a layer, holes by the even-odd rule.
fn welded(layer: &CutLayer) -> Region {
    let mut all = BezPath::new();
    layer.paths.iter().for_each(|path| all.extend(path.path.elements().iter().copied()));
    Plane::new().lay(&all, Rule::EvenOdd)
}

/// A silhouette, drawn as a motif and cut again, is itself.
fn again(cut: &Cut) {
    let sheet = &cut.sheets[0];
    let [layer] = &sheet.layers[..] else { panic!("a silhouette of {} layers", sheet.layers.len()) };
    let data: String = layer.paths.iter().map(|path| (Affine::scale(1.0 / MM) * &path.path).to_svg()).collect();
    let [width, height] = [sheet.size.width, sheet.size.height].map(|side| side.to(Unit::Mm));
    let text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" height=\"{height}mm\" viewBox=\"0 0 {width} {height}\"><path fill-rule=\"evenodd\" d=\"{data}\"/></svg>"
    );
    let motif = Motif::from_svg("again", text.as_bytes(), svg::strict()).expect("a cut is a drawing");
    let copies =
        of_size(&motif, "straight".parse().expect("a layout"), [sheet.size.width.emu(), sheet.size.height.emu()]);
    let settings = settings(Mode::Silhouette, 1);
    let second = match Cut::of(&copies, &[motif], &settings, &Limits::default()) {
        Ok(second) => second,
        // Of what is hardly larger than a speck nothing may be left.
        Err(CutError::Nothing) => return assert!(layer.area_mm2 < 0.02, "{} mm² is nothing", layer.area_mm2),
        Err(error) => panic!("cut again: {error}"),
    };
    let most = 8.0 * EXACT / MM * layer.route.cut / MM + 0.01;
    let found = second.sheets[0].layers[0].area_mm2;
    assert!((found - layer.area_mm2).abs() <= most, "{} mm², and cut again {found}", layer.area_mm2);
    assert!(matches!(layer.ink, None | Some(InkName::Color(_))));
}

fn planned(motif: &Motif, layout: Layout) -> Copies {
    of_size(motif, layout, [SIDE, SIDE])
}

/// A motif at its true size in the middle of blocks of this size.
fn of_size(motif: &Motif, layout: Layout, [width, height]: [i64; 2]) -> Copies {
    let scheme = layout.scheme();
    let blocks = scheme.tile_blocks();
    let [x, y] = scheme.multiples(blocks);
    let (width, height) = ((width + x - 1) / x * x, (height + y - 1) / y * y);
    let size = Size { width: Length::from_emu(width), height: Length::from_emu(height) };
    let mut repeat = Repeat::new(&scheme, Tile { width, height, size }, blocks).expect("a tile of whole multiples");
    let px = Unit::In.emu() as f64 / 96.0;
    let at = Spot::from_parts(width * 128, height * 128);
    repeat.placements = vec![Placement { motif: 0, at, linear: [px, 0.0, 0.0, px], layer: 0 }];
    Copies::plan(&repeat, std::slice::from_ref(motif))
}

fn limits() -> Limits {
    let mut limits = Limits::default();
    limits.set("cut-lines", &MOST_LINES.to_string()).expect("a limit");
    limits
}

fn settings(mode: Mode, pick: usize) -> Settings {
    let nothing = Length::ZERO;
    let least = Length::of(1, Unit::Mm);
    Settings {
        mode,
        patterns: Patterns::Ink,
        goods: Goods::Tiles([1 + (pick / 17 % 2) as i64, 1]),
        roll: false,
        kerf: if pick.is_multiple_of(4) { Length::from_emu(5_400) } else { nothing },
        simplify: if pick.is_multiple_of(2) { Length::from_emu(360) } else { nothing },
        checks: Checks { piece: least, part: least, gap: least },
        sheets: None,
        weed_border: None,
        weed_lines: None,
        marks: false,
        speeds: [least, least],
        skip: Vec::new(),
    }
}
