//! A second painter's opinion of the tile: cloth laid by brute force from the layouts'
//! definitions and painted by vello_cpu, whose rasterizer shares nothing with ours.
//!
//! Its curves are flattened here, at a twentieth of a pixel, since its own flattening is
//! coarser than what it is to judge. Motifs of plain paths only: filled or stroked in one
//! color, at most with an opacity; anything else fails loudly.

#![allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "dice of a few sides")]
#![allow(clippy::print_stdout, reason = "the figures, for who asks with --nocapture")]
#![allow(clippy::expect_used, clippy::panic, reason = "a test's helpers fail as the test would")]

use std::path::Path;

use seamfast::artwork::Motif;
use seamfast::design::{Design, Order};
use seamfast::raster;
use seamfast::repeat::Repeat;
use seamfast::wrap::Copies;
use vello_cpu::kurbo::{Affine, BezPath, Cap, Join, PathEl, Point, Rect, Stroke, StrokeOpts, Vec2, flatten, stroke};
use vello_cpu::peniko::{Color, Fill};
use vello_cpu::{Pixmap, RenderContext, Resources};

/// The largest root mean square difference that anti-aliasing may make, of 255.
const SLACK: f64 = 4.0;
/// How far, in pixels, a chord may lie from its curve.
const FLATNESS: f64 = 0.05;
const GROUND: [u8; 3] = [0xf3, 0xee, 0xe3];
const MOTIFS: [&str; 7] = ["limpet", "kelp", "tern", "crab", "starfish", "anchor", "lighthouse"];
const LAYOUTS: [&str; 9] =
    ["straight", "half-drop", "brick", "drop=1/3", "brick=3/4", "mirror", "mirror-across", "mirror-down", "drop=2/5"];

#[test]
fn the_tile_is_the_centre_of_a_cloth_that_another_painter_painted() {
    for seed in 0..4 * LAYOUTS.len() as u64 {
        let layout = LAYOUTS[seed as usize % LAYOUTS.len()];
        let text = design(seed, layout);
        let design = Design::parse(&text, Path::new("design.toml")).expect("a design");
        let motifs = Path::new(env!("CARGO_MANIFEST_DIR")).join("motifs");
        let order = Order::decide(&design, &motifs, "design").expect("an order");
        let delivery = &order.deliveries[0];
        let copies = Copies::plan(&delivery.repeat, &order.motifs);
        let spec = raster::spec(&copies, delivery.grid.resolution()).expect("a raster");
        let ours = raster::pixels(&copies, &order.motifs, spec).expect("pixels");
        let theirs = paint(&delivery.repeat, layout, &order.motifs);

        let width = spec.width as usize;
        let bare = theirs.chunks_exact(3).filter(|pixel| *pixel == GROUND).count() as f64;
        assert!(bare < 0.98 * (theirs.len() / 3) as f64, "no ink to compare\n{text}");
        let apart = rms(&ours, &theirs, 0);
        assert!(apart <= SLACK, "RMS {apart:.2} of 255\n{text}");
        // The check of the check: a pixel's shift must show.
        let shifted = rms(&ours, &theirs, 3).min(rms(&ours, &theirs, 3 * width));
        assert!(shifted > 1.5 * apart, "RMS {apart:.2}, but {shifted:.2} when shifted by a pixel\n{text}");
        println!("design {seed}, {layout}: RMS {apart:.2}, shifted by a pixel {shifted:.2}");
    }
}

/// A random design of up to three motifs; the same for the same seed. From 100 dpi, as cloth is
/// printed: where lines are thinner than a pixel the two painters' samples alone come to more
/// than [`SLACK`].
fn design(seed: u64, layout: &str) -> String {
    let mut state = seed;
    // SplitMix64 (Steele, Lea and Flood 2014), for a share between 0 and 1.
    let mut dice = move || {
        state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = state;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    };
    let (width, height) = (2.0 + 4.0 * dice(), 2.0 + 4.0 * dice());
    let mut text = format!(
        "ground = \"#f3eee3\"\n[repeat]\nlayout = \"{layout}\"\ntile = \"{width:.3}x{height:.3}in\"\n[[deliver]]\ndpi = {}\n",
        [100, 127, 150, 200][(4.0 * dice()) as usize]
    );
    for _ in 0..1 + (3.0 * dice()) as usize {
        text += &format!(
            "[[motif]]\nfile = \"{}.svg\"\nwidth = \"{:.3}in\"\nat = [\"{:.2}%\", \"{:.2}%\"]\nturn = {:.2}\nflip = \"{}\"\nlayer = {}\n",
            MOTIFS[(MOTIFS.len() as f64 * dice()) as usize],
            (0.2 + 0.6 * dice()) * width.min(height),
            200.0 * dice() - 50.0,
            200.0 * dice() - 50.0,
            720.0 * dice() - 360.0,
            ["none", "across", "down", "both"][(4.0 * dice()) as usize],
            (3.0 * dice()) as i32 - 1,
        );
    }
    text
}

/// The cloth around one tile: every block of every column and row that could reach it.
fn paint(repeat: &Repeat, layout: &str, motifs: &[Motif]) -> Vec<u8> {
    let [w, h] = repeat.block.map(|side| side as f64);
    let (name, share) = layout.split_once('=').unwrap_or((layout, "1/2"));
    let (num, den) = share.split_once('/').expect("a fraction");
    let share = num.parse::<f64>().expect("a number") / den.parse::<f64>().expect("a number");
    let drop = if ["half-drop", "drop"].contains(&name) { share } else { 0.0 };
    let brick = if name == "brick" { share } else { 0.0 };
    let across = ["mirror", "mirror-across"].contains(&name);
    let down = ["mirror", "mirror-down"].contains(&name);

    let mut copies = Vec::new();
    for (index, placement) in repeat.placements.iter().enumerate() {
        let [x, y] = placement.at.units();
        for column in -16i32..=16 {
            for row in -16i32..=16 {
                let over = [across && column % 2 != 0, down && row % 2 != 0];
                let inside = Vec2::new(if over[0] { w - x } else { x }, if over[1] { h - y } else { y });
                let (i, j) = (f64::from(column), f64::from(row));
                let at = Vec2::new(i * w + j * brick * w, j * h + i * drop * h) + inside;
                copies.push((placement.layer, index, over[1], over[0], at));
            }
        }
    }
    // Layer, order in the design, how the block is turned over, then from the top and the left.
    copies.sort_by(|a, b| {
        let places = a.4.y.total_cmp(&b.4.y).then(a.4.x.total_cmp(&b.4.x));
        (a.0, a.1, a.2, a.3).cmp(&(b.0, b.1, b.2, b.3)).then(places)
    });

    let size = [repeat.tile.width, repeat.tile.height].map(|side| u16::try_from(side).expect("a tile vello can hold"));
    let mut context = RenderContext::new(size[0], size[1]);
    context.set_paint(Color::from_rgb8(GROUND[0], GROUND[1], GROUND[2]));
    context.fill_rect(&Rect::new(0.0, 0.0, size[0].into(), size[1].into()));
    for (_, index, down, across, at) in copies {
        let placement = &repeat.placements[index];
        let motif = &motifs[placement.motif];
        let [xx, yx, xy, yy] = placement.linear;
        let over = Affine::scale_non_uniform(if across { -1.0 } else { 1.0 }, if down { -1.0 } else { 1.0 });
        let middle = motif.page_px().to_vec2() * 0.5;
        let to_tile =
            Affine::translate(at) * over * Affine::new([xx, yx, xy, yy, 0.0, 0.0]) * Affine::translate(-middle);
        paint_group(&mut context, motif.tree().root(), to_tile);
    }
    context.flush();
    let mut pixmap = Pixmap::new(size[0], size[1]);
    context.render(&mut pixmap, &mut Resources::new());
    pixmap.data().iter().flat_map(|pixel| [pixel.r, pixel.g, pixel.b]).collect()
}

fn paint_group(context: &mut RenderContext, group: &usvg::Group, to_tile: Affine) {
    assert!(group.clip_path().is_none() && group.mask().is_none() && group.filters().is_empty(), "not a plain motif");
    assert_eq!(group.blend_mode(), usvg::BlendMode::Normal, "not a plain motif");
    let to_tile = to_tile * affine(group.transform());
    let layered = group.opacity().get() < 1.0;
    if layered {
        context.push_opacity_layer(group.opacity().get());
    }
    for node in group.children() {
        match node {
            usvg::Node::Group(group) => paint_group(context, group, to_tile),
            usvg::Node::Path(path) => paint_path(context, path, to_tile),
            _ => panic!("not a plain motif: {node:?}"),
        }
    }
    if layered {
        context.pop_layer();
    }
}

fn paint_path(context: &mut RenderContext, path: &usvg::Path, to_tile: Affine) {
    assert!(path.is_visible() && path.paint_order() == usvg::PaintOrder::FillAndStroke, "not a plain motif");
    let outline = outline(path.data());
    if let Some(fill) = path.fill() {
        let rule = if fill.rule() == usvg::FillRule::EvenOdd { Fill::EvenOdd } else { Fill::NonZero };
        lay(context, to_tile * &outline, rule, fill.paint(), fill.opacity().get());
    }
    if let Some(line) = path.stroke() {
        let cap = match line.linecap() {
            usvg::LineCap::Butt => Cap::Butt,
            usvg::LineCap::Round => Cap::Round,
            usvg::LineCap::Square => Cap::Square,
        };
        let join = match line.linejoin() {
            usvg::LineJoin::Miter => Join::Miter,
            usvg::LineJoin::Round => Join::Round,
            usvg::LineJoin::Bevel => Join::Bevel,
            usvg::LineJoin::MiterClip => panic!("not a plain motif"),
        };
        let mut style = Stroke::new(line.width().get().into()).with_caps(cap).with_join(join);
        style = style.with_miter_limit(line.miterlimit().get().into());
        if let Some(dashes) = line.dasharray() {
            style = style.with_dashes(line.dashoffset().into(), dashes.iter().map(|dash| f64::from(*dash)));
        }
        let accuracy = FLATNESS / to_tile.determinant().abs().sqrt();
        let stroked = stroke(outline.iter(), &style, &StrokeOpts::default(), accuracy);
        lay(context, to_tile * &stroked, Fill::NonZero, line.paint(), line.opacity().get());
    }
}

/// Fills an outline in pixels with one color.
fn lay(context: &mut RenderContext, outline: BezPath, rule: Fill, paint: &usvg::Paint, opacity: f32) {
    let usvg::Paint::Color(color) = paint else { panic!("not a plain motif: {paint:?}") };
    let mut chords = BezPath::new();
    flatten(outline.iter(), FLATNESS, |element: PathEl| chords.push(element));
    context.set_fill_rule(rule);
    context.set_paint(Color::from_rgb8(color.red, color.green, color.blue).with_alpha(opacity));
    context.fill_path(&chords);
}

fn affine(t: usvg::Transform) -> Affine {
    Affine::new([t.sx, t.ky, t.kx, t.sy, t.tx, t.ty].map(f64::from))
}

fn outline(path: &usvg::tiny_skia_path::Path) -> BezPath {
    use usvg::tiny_skia_path::PathSegment as Segment;
    let point = |p: usvg::tiny_skia_path::Point| Point::new(p.x.into(), p.y.into());
    let mut outline = BezPath::new();
    for segment in path.segments() {
        match segment {
            Segment::MoveTo(p) => outline.move_to(point(p)),
            Segment::LineTo(p) => outline.line_to(point(p)),
            Segment::QuadTo(a, p) => outline.quad_to(point(a), point(p)),
            Segment::CubicTo(a, b, p) => outline.curve_to(point(a), point(b), point(p)),
            Segment::Close => outline.close_path(),
        }
    }
    outline
}

/// Root mean square difference, one picture rolled by so many bytes.
fn rms(one: &[u8], other: &[u8], roll: usize) -> f64 {
    assert_eq!(one.len(), other.len());
    let rolled = one[one.len() - roll..].iter().chain(&one[..one.len() - roll]);
    let sum: f64 = rolled.zip(other).map(|(a, b)| (f64::from(*a) - f64::from(*b)).powi(2)).sum();
    (sum / one.len() as f64).sqrt()
}
