//! A motif on a small tile: the plan holds its ink, and the raster is exact on the torus.

use std::collections::HashSet;

use kurbo::{Affine, Rect, Vec2};
use resvg::tiny_skia::{Pixmap, Transform};
use seamfast::artwork::Motif;
use seamfast::length::{Length, Size};
use seamfast::pixels::Resolution;
use seamfast::raster;
use seamfast::repeat::{Layout, Linear, Placement, Repeat, Spot, Tile};
use seamfast::vector::{self, PdfOptions, Piece, SvgOptions};
use seamfast::wrap::Copies;

/// The tile's sides, at least.
const SIDE: i64 = 36;
/// The larger side of the motif's page on it.
const PAGE: f64 = 24.0;
/// As far as ink may reach over the block; a design is refused at 20 blocks.
const REACH: f64 = 4.0 * SIDE as f64;
/// A shape that ends where its clip begins shares no point with it, but a pixel: half of one and half
/// of the other is a quarter of 255.
const FAINT: u8 = 64;

const LAYOUTS: [&str; 8] =
    ["straight", "half-drop", "brick", "drop=1/3", "brick=3/4", "mirror", "mirror-across", "mirror-down"];

/// What is true of every motif that was taken.
pub(crate) fn sound(motif: &Motif) {
    let page = motif.page_px();
    assert!(page.width.is_finite() && page.width > 0.0 && page.height.is_finite() && page.height > 0.0, "{page:?}");
    if let Some(Size { width, height }) = motif.size() {
        assert!(width > Length::ZERO && height > Length::ZERO, "{width:?} × {height:?}");
    }
    for to in [Affine::IDENTITY, Affine::rotate(0.3), Affine::scale_non_uniform(1e-3, 7.0)] {
        let bounds = motif.ink().bounds(to);
        assert_eq!(bounds.is_none(), motif.ink().is_empty());
        assert!(bounds.is_none_or(|b| b.is_finite() && b.width() >= 0.0 && b.height() >= 0.0), "{bounds:?}");
    }
}

/// Lays motifs of one page on a tile and holds plan and raster against what must be so.
pub(crate) fn laid(motifs: &[Motif], pick: usize) {
    let Some(first) = motifs.first() else { return };
    let page = first.page_px();
    let scale = PAGE / page.width.max(page.height);
    let linear: Linear = match pick % 3 {
        0 => [scale, 0.0, 0.0, scale],
        1 => [0.0, scale, -scale, 0.0],
        _ => [-scale * 0.8, scale * 0.6, scale * 0.6, scale * 0.8],
    };
    let to = Affine::new([linear[0], linear[1], linear[2], linear[3], 0.0, 0.0]);
    let reach = |m: &Motif| m.ink().bounds(to).map_or(0.0, |b| b.width().max(b.height()));
    if motifs.len() > 8 || motifs.iter().any(|m| reach(m) > REACH) {
        return;
    }
    let layout: Layout = LAYOUTS[pick / 3 % LAYOUTS.len()].parse().expect("a layout");
    let mut repeat = tile(layout);
    let at = Spot::from_parts((pick / 5 % 16_384) as i64 - 4_096, (pick / 7 % 16_384) as i64 - 4_096);
    repeat.placements = (0..motifs.len()).map(|motif| Placement { motif, at, linear, layer: 0 }).collect();

    let copies = Copies::plan(&repeat, motifs);
    holds_every_copy(&copies, motifs);
    // Painting costs ten times what reading does, so the bytes choose who is painted; what is new
    // to the engine comes in many variants, of which some are.
    match pick / 11 % 8 {
        0 => reads_back(&copies, motifs),
        1 => rolls(&repeat, motifs),
        2 => motifs.iter().for_each(|motif| holds_ink(motif, scale)),
        _ => {}
    }
}

/// Every whole step in reach is tried: those of the lattice that bring ink onto the tile are the plan's
/// copies, each once.
fn holds_every_copy(copies: &Copies, motifs: &[Motif]) {
    let (tile, lattice) = (copies.tile(), copies.lattice());
    let mut planned: HashSet<(usize, [i64; 2])> = HashSet::new();
    for copy in copies.copies() {
        assert!(lattice.contains(copy.step) && planned.insert((copy.mark, copy.step)), "{copy:?}");
    }
    let window = Rect::new(0.0, 0.0, tile.width as f64, tile.height as f64);
    for (index, mark) in copies.marks().iter().enumerate() {
        let (motif, home) = (&motifs[mark.motif], mark.to_units(&motifs[mark.motif], [0, 0]));
        let Some(ink) = motif.ink().bounds(home) else { continue };
        let steps = |from: f64, to: f64, side: i64| (-to).floor() as i64..=side - from.floor() as i64;
        for y in steps(ink.y0, ink.y1, tile.height) {
            for x in steps(ink.x0, ink.x1, tile.width).filter(|&x| lattice.contains([x, y])) {
                let there = window - Vec2::new(x as f64, y as f64);
                let lies = motif.ink().touches(home, there.inset(-0.01));
                let known = planned.remove(&(index, [x, y]));
                assert!(!lies || known, "a copy {x},{y} of mark {index} lies on the tile and is not planned");
                assert!(!known || there.overlaps(ink), "a copy {x},{y} of mark {index} is off the tile");
            }
        }
    }
    assert!(planned.is_empty(), "copies out of reach: {planned:?}");
}

/// Each vector file reads back as it was planned; what a file can't hold is refused in words.
fn reads_back(copies: &Copies, motifs: &[Motif]) {
    let piece = Piece::tile(copies);
    let svg = vector::svg(copies, motifs, "fuzz", &piece, SvgOptions::default());
    vector::read_back(&svg, copies, motifs, &piece, false).unwrap_or_else(|e| panic!("the SVG reads back: {e}"));
    if let Ok((plain, _)) = vector::plain_svg(copies, motifs, "fuzz", &piece) {
        vector::read_plain_back(&plain, copies, &piece).unwrap_or_else(|e| panic!("plain paths read back: {e}"));
    }
    let options =
        PdfOptions { piece, bleed: Length::ZERO, separate: motifs.len() > 1, dpi: 150.0, profile: raster::SRGB };
    let painter = |_: &str, node: &vector::Node, to, px| raster::node(node, to, px);
    if let Ok(made) = vector::pdf(copies, motifs, "fuzz", &options, &painter) {
        vector::read_pdf_back(made.bytes, copies, motifs, &options, false)
            .unwrap_or_else(|e| panic!("the PDF reads back: {e}"));
    }
}

/// Moved by whole pixels, the raster is the rolled raster.
fn rolls(repeat: &Repeat, motifs: &[Motif]) {
    let Some(painted) = paint(repeat, motifs) else { return };
    let by = [5, SIDE - 7];
    let moved = paint(&repeat.moved(by), motifs).expect("painted before it was moved");
    assert_rolled(&painted, &moved, [repeat.tile.width as usize, repeat.tile.height as usize], by.map(|n| n as usize));
}

fn tile(layout: Layout) -> Repeat {
    let scheme = layout.scheme();
    let blocks = scheme.tile_blocks();
    let [x, y] = scheme.multiples(blocks);
    let (width, height) = (SIDE / x * x + x, SIDE / y * y + y);
    let size = Size { width: Length::from_emu(width * 6_096), height: Length::from_emu(height * 6_096) };
    Repeat::new(&layout.scheme(), Tile { width, height, size }, blocks).expect("a tile of whole multiples")
}

fn paint(repeat: &Repeat, motifs: &[Motif]) -> Option<Vec<u8>> {
    let copies = Copies::plan(repeat, motifs);
    let spec = raster::spec(&copies, Resolution::dpi(150).expect("in range")).ok()?;
    raster::pixels(&copies, motifs, spec).ok()
}

fn assert_rolled(before: &[u8], after: &[u8], [w, h]: [usize; 2], by: [usize; 2]) {
    assert_eq!(before.len(), after.len());
    let bytes = before.len() / (w * h);
    let row = |y: usize| &before[(y % h) * w * bytes..][..w * bytes];
    for (y, moved) in after.chunks_exact(w * bytes).enumerate() {
        let (head, tail) = moved.split_at(by[0] % w * bytes);
        let (kept, wrapped) = row(y + h - by[1] % h).split_at(w * bytes - head.len());
        assert!(head == wrapped && tail == kept, "row {y} of the moved tile is not the rolled one");
    }
}

/// What a painter paints of the whole drawing lies where ink is said to be.
fn holds_ink(motif: &Motif, scale: f64) {
    let margin = PAGE.ceil();
    let side = (PAGE + 2.0 * margin) as u32;
    let Some(mut canvas) = Pixmap::new(side, side) else { return };
    let to = Transform::from_scale(scale as f32, scale as f32).post_translate(margin as f32, margin as f32);
    resvg::render(motif.tree(), to, &mut canvas.as_mut());
    let to = Affine::translate((margin, margin)) * Affine::scale(scale);
    for (index, pixel) in canvas.pixels().iter().enumerate().filter(|(_, p)| p.alpha() > FAINT) {
        let (x, y) = ((index as u32 % side).into(), (index as u32 / side).into());
        let around = Rect::new(x, y, x + 1.0, y + 1.0).inflate(1.0, 1.0);
        assert!(motif.ink().touches(to, around), "pixel {x},{y} is painted ({}) without ink", pixel.alpha());
    }
}
