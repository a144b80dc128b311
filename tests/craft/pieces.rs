//! A large painting is put together from pieces; the cuts between them can't be seen.
//!
//! Each drawing is painted at about 1 500 px, so in four pieces, and held against one canvas
//! that holds all of it: a picture of the same drawing by the same renderer. They differ a
//! little (the renderer works in `f32` and chops curves at a canvas's edge), but no more at the
//! cuts than elsewhere.

use resvg::tiny_skia::{Pixmap, Transform};
use seamfast::artwork::{Intake, Motif};
use seamfast::repeat::{PARTS, Placement, Spot};

use crate::common::{GLASS, Picture, painted, repeat, shipped, sponge};

const SIDE: i64 = 1800;
/// Where pieces are cut, from the placement's own origin.
const PIECE: i64 = 1024;

/// The drawing in the middle of a tile without ground, by pieces.
fn by_pieces(motif: Motif, scale: f64) -> Picture {
    let mut design = repeat("straight".parse().expect("a layout"), SIDE - 1, SIDE - 1);
    let at = Spot::from_parts(SIDE / 2 * PARTS, SIDE / 2 * PARTS);
    design.placements.push(Placement { motif: 0, at, linear: [scale, 0.0, 0.0, scale], layer: 0 });
    painted(&design, &[motif])
}

/// The same on one canvas.
fn on_one_canvas(motif: &Motif, scale: f64) -> Picture {
    let mut canvas = Pixmap::new(SIDE as u32, SIDE as u32).expect("a canvas");
    let page = motif.page_px();
    let middle = |side: f64| (SIDE as f64 / 2.0 - side * scale / 2.0) as f32;
    let to = Transform::from_row(scale as f32, 0.0, 0.0, scale as f32, middle(page.width), middle(page.height));
    resvg::render(motif.tree(), to, &mut canvas.as_mut());
    let pixels = canvas.pixels().iter().map(|p| p.demultiply());
    let bytes = pixels.flat_map(|p| [p.red(), p.green(), p.blue(), p.alpha()]).collect();
    Picture { width: SIDE as usize, height: SIDE as usize, channels: 4, bytes }
}

/// Largest difference of premultiplied channels, for each pixel.
fn apart(a: &[u8], b: &[u8]) -> u32 {
    let level = |p: &[u8], c: usize| if c == 3 { u32::from(p[3]) } else { u32::from(p[c]) * u32::from(p[3]) / 255 };
    (0..4).map(|c| level(a, c).abs_diff(level(b, c))).max().unwrap_or(0)
}

#[test]
fn cuts_do_not_show() {
    let cases = [
        ("limpet", shipped("motifs/limpet.svg")),
        ("mussel, a gradient", shipped("motifs/mussel.svg")),
        ("label, a text", shipped("motifs/label.svg")),
        ("rope-knot, a mask", shipped("motifs/rope-knot.svg")),
        ("buoy, a clip", shipped("motifs/buoy.svg")),
        ("lighthouse, opacity", shipped("motifs/lighthouse.svg")),
        ("an embedded picture", shipped("tests/artwork/drawings/ink/image-png.svg")),
        ("a picture of pixels", sponge()),
        ("blur, shadow and rim", Motif::from_svg("glass", GLASS.as_bytes(), &Intake::new()).expect("a motif")),
    ];
    for (name, motif) in cases {
        let page = motif.page_px();
        let scale = 1500.0 / page.width.max(page.height);
        let whole = on_one_canvas(&motif, scale);
        let pieces = by_pieces(motif, scale);
        let (mut cut, mut cuts, mut sum, mut most, mut most_cut) = (0u64, 0u64, 0u64, 0, 0);
        for (x, y) in (0..SIDE).flat_map(|y| (0..SIDE).map(move |x| (x, y))) {
            let differ = apart(pieces.pixel(x, y), whole.pixel(x, y));
            let near = |n: i64| (n - SIDE / 2 + 1).rem_euclid(PIECE) < 2;
            sum += u64::from(differ);
            most = most.max(differ);
            if near(x) || near(y) {
                cut += u64::from(differ);
                cuts += 1;
                most_cut = most_cut.max(differ);
            }
        }
        let (mean, at_cuts) = (sum as f64 / (SIDE * SIDE) as f64, cut as f64 / cuts as f64);
        assert!(whole.bytes.iter().any(|b| *b > 0), "{name}: nothing is painted");
        assert!(mean < 0.25, "{name}: differs by {mean:.3} levels in the mean (most {most})");
        assert!(most_cut <= most, "{name}: by up to {most_cut} at the cuts, {most} elsewhere");
        assert!(at_cuts < mean * 2.0 + 0.05, "{name}: by {at_cuts:.3} levels at the cuts, {mean:.3} elsewhere");
    }
}

/// Turbulence is tied to the whole drawing: larger than a canvas it is refused, with its size.
#[test]
fn what_cannot_be_cut_is_refused_when_too_large() {
    let svg = r#"<svg xmlns="http://www.w3.org/2000/svg" width="100" height="100"><filter id="t" x="0" y="0" width="1" height="1">
        <feTurbulence baseFrequency=".05"/></filter><rect width="100" height="100" filter="url(#t)"/></svg>"#;
    let motif = Motif::from_svg("foam", svg.as_bytes(), &Intake::new()).expect("a motif");
    assert_eq!(motif.look(), None);
    let mut design = repeat("straight".parse().expect("a layout"), 599, 599);
    let at = Spot::from_parts(0, 0);
    design.placements.push(Placement { motif: 0, at, linear: [90.0, 0.0, 0.0, 90.0], layer: 0 });
    let copies = seamfast::wrap::Copies::plan(&design, std::slice::from_ref(&motif));
    let resolution = seamfast::pixels::Resolution::dpi(150).expect("in range");
    let spec = seamfast::raster::spec(&copies, resolution).expect("a tile");
    let error = seamfast::raster::pixels(&copies, &[motif], spec).expect_err("too large").to_string();
    assert!(error.starts_with("foam comes to 9004 × 9004 px, and its filters can't be painted in pieces"), "{error}");
}
