//! Patterns laid out as plain shapes, held against arithmetic, against drawings laid by hand,
//! and against pictures by librsvg.

use kurbo::{Affine, Point};
use resvg::tiny_skia::{Color, Pixmap, Transform};
use resvg::usvg::WriteOptions;
use seamfast::artwork::{Intake, Motif};

use crate::common::{drawings, stem};

pub fn take(drawing: &str) -> Motif {
    Motif::from_svg("tern", drawing.as_bytes(), &Intake::new()).unwrap_or_else(|e| panic!("{e}\n{}", e.hint()))
}

pub fn page(width: u32, height: u32, inside: &str) -> String {
    format!("<svg xmlns='http://www.w3.org/2000/svg' width='{width}' height='{height}'>{inside}</svg>")
}

pub fn painted(motif: &Motif, scale: f32, ground: Color) -> Pixmap {
    let size = motif.tree().size();
    let side = |s: f32| (s * scale).floor() as u32;
    let mut pixmap = Pixmap::new(side(size.width()), side(size.height())).expect("a canvas");
    pixmap.fill(ground);
    resvg::render(motif.tree(), Transform::from_scale(scale, scale), &mut pixmap.as_mut());
    pixmap
}

/// The greatest difference of a channel, and the root mean square.
fn difference(a: &Pixmap, b: &Pixmap) -> (u8, f64) {
    assert_eq!((a.width(), a.height()), (b.width(), b.height()));
    let each = || a.data().iter().zip(b.data()).map(|(a, b)| a.abs_diff(*b));
    let squares: f64 = each().map(|d| f64::from(d).powi(2)).sum();
    (each().max().unwrap_or(0), (squares / a.data().len() as f64).sqrt())
}

/// Bars 5.2 wide at a period of 10.4. A pixel that lies wholly inside a bar is full, one wholly
/// outside is bare: along the whole width, at any scale and turn. The painter knows edges to
/// a quarter of a pixel, rounded, so an eighth more is let pass.
#[test]
fn bars_end_where_they_should() {
    for turn in [0.0_f64, 30.0, 90.0, 211.3] {
        let drawing = page(
            300,
            100,
            &format!(
                "<pattern id='bars' patternUnits='userSpaceOnUse' width='10.4' height='10' \
                 patternTransform='rotate({turn})'><rect width='5.2' height='10'/></pattern>\
                 <rect width='300' height='100' fill='url(#bars)'/>"
            ),
        );
        let motif = take(&drawing);
        let near = if turn % 90.0 == 0.0 { 0.51 } else { 0.72 };
        for scale in [1.0_f32, 1.5625, 3.125, 4.1, 12.5] {
            let picture = painted(&motif, scale, Color::TRANSPARENT);
            let back = Affine::rotate(-turn.to_radians()) * Affine::scale(1.0 / f64::from(scale));
            let mut wrong = 0;
            for y in 0..picture.height() {
                for x in 0..picture.width() {
                    let at = back * Point::new(f64::from(x) + 0.5, f64::from(y) + 0.5);
                    let along = at.x.rem_euclid(10.4);
                    let to_edge = [0.0, 5.2, 10.4].map(|e: f64| (along - e).abs()).into_iter().fold(9.0, f64::min);
                    let alpha = picture.pixel(x, y).expect("a pixel").alpha();
                    let expected = if along < 5.2 { 255 } else { 0 };
                    wrong += usize::from(to_edge * f64::from(scale) > near && alpha != expected);
                }
            }
            assert_eq!(wrong, 0, "pixels at scale {scale}, turn {turn}");
        }
    }
}

/// Dots on the corners of the cell are cut into quarters and put together again: inside they
/// are full, without a hairline. At their rims the painter makes curves of pieces a little
/// otherwise: by at most 64 of 255, and 3 in the mean.
#[test]
fn dots_on_corners_are_whole() {
    let (w, h, r) = (13.7, 11.3, 4.0);
    let shape = "M10 5H112L100 85H8Z";
    let dot = |x: f64, y: f64| format!("<circle cx='{x}' cy='{y}' r='{r}'/>");
    let corners: String = [(0.0, 0.0), (w, 0.0), (0.0, h), (w, h)].map(|(x, y)| dot(x, y)).concat();
    let turn = "rotate(14)";
    let cells = (-20..30).flat_map(|i| (-20..30).map(move |j| (i, j)));
    let by_hand: String = cells.map(|(i, j)| dot(2.0 + f64::from(i) * w, 3.0 + f64::from(j) * h)).collect();
    let pattern = page(
        120,
        90,
        &format!(
            "<pattern id='p' patternUnits='userSpaceOnUse' x='2' y='3' width='{w}' height='{h}' \
             patternTransform='{turn}'>{corners}</pattern><path d='{shape}' fill='url(#p)'/>"
        ),
    );
    let by_hand = page(
        120,
        90,
        &format!(
            "<clipPath id='c'><path d='{shape}'/></clipPath><g clip-path='url(#c)'><g transform='{turn}'>{by_hand}</g></g>"
        ),
    );
    let (pattern, by_hand) = (take(&pattern), take(&by_hand));
    for scale in [1.0, 2.3, 3.125, 8.0] {
        let [pattern, by_hand] = [&pattern, &by_hand].map(|motif| painted(motif, scale, Color::WHITE));
        let (most, rms) = difference(&pattern, &by_hand);
        assert!(most <= 64 && rms <= 3.0, "{most} and {rms} of 255 at scale {scale}");
        assert_eq!(hairlines(&pattern, &by_hand), 0, "at scale {scale}");
    }
}

/// Pixels that differ though by hand all around them have their color.
fn hairlines(found: &Pixmap, by_hand: &Pixmap) -> usize {
    let inner = (1..by_hand.height() - 1).flat_map(|y| (1..by_hand.width() - 1).map(move |x| (x, y)));
    let plain = |x: u32, y: u32| {
        let around = (y - 1..=y + 1).flat_map(|y| (x - 1..=x + 1).map(move |x| (x, y)));
        around.into_iter().all(|(u, v)| by_hand.pixel(u, v) == by_hand.pixel(x, y))
    };
    inner.filter(|(x, y)| plain(*x, *y) && found.pixel(*x, *y) != by_hand.pixel(*x, *y)).count()
}

/// A motif of two colors that hangs over the cell's edges, drawn at all four: its parts are
/// put together again though other colors are painted between.
#[test]
fn a_motif_over_the_edges_is_whole() {
    let (w, h) = (19.3, 16.1);
    let motif = |x: f64, y: f64| {
        format!(
            "<g transform='translate({x} {y}) rotate(20)'><path d='M-7 0C-3 -9 5 -6 7 0C5 6 -3 9 -7 0Z' fill='#5b7f9f'/>\
                 <path d='M-3 -1L4 1' stroke='#1f2d4d' stroke-width='2' stroke-linecap='round'/></g>"
        )
    };
    let four: String = [(0.0, 0.0), (w, 0.0), (0.0, h), (w, h)].map(|(x, y)| motif(x, y)).concat();
    let shape = "<rect x='8' y='8' width='104' height='74' ";
    let pattern = page(
        120,
        90,
        &format!(
            "<pattern id='p' patternUnits='userSpaceOnUse' width='{w}' height='{h}'>{four}</pattern>{shape}fill='url(#p)'/>"
        ),
    );
    let cells = (-1..8).flat_map(|i| (-1..8).map(move |j| (i, j)));
    let all: String = cells.map(|(i, j)| motif(f64::from(i) * w, f64::from(j) * h)).collect();
    let by_hand = page(120, 90, &format!("<clipPath id='c'>{shape}/></clipPath><g clip-path='url(#c)'>{all}</g>"));
    let (pattern, by_hand) = (take(&pattern), take(&by_hand));
    for scale in [1.5625, 3.125, 6.1] {
        let [pattern, by_hand] = [&pattern, &by_hand].map(|motif| painted(motif, scale, Color::WHITE));
        let (most, rms) = difference(&pattern, &by_hand);
        assert!(most <= 80 && rms <= 4.0, "{most} and {rms} of 255 at scale {scale}");
        assert_eq!(hairlines(&pattern, &by_hand), 0, "at scale {scale}");
    }
}

/// A picture is laid in every cell, cut where it reaches over, and is still inside the drawing.
#[test]
fn pictures_are_laid_where_they_should() {
    let path = drawings("patterns").into_iter().find(|p| stem(p) == "image").expect("the drawing");
    let text = std::fs::read_to_string(path).expect("a drawing");
    let from = text.find("<image").expect("an image");
    let image = &text[from..from + text[from..].find("/>").expect("its end") + 2];
    let cells = (-1..8).flat_map(|i| (-1..7).map(move |j| (f64::from(i) * 17.3, f64::from(j) * 14.9)));
    let all: String =
        cells.map(|(x, y)| format!("<svg x='{x}' y='{y}' width='17.3' height='14.9'>{image}</svg>")).collect();
    let clip = "<clipPath id='c'><rect x='5' y='5' width='110' height='80'/></clipPath>";
    let (pattern, by_hand) = (take(&text), take(&page(120, 90, &format!("{clip}<g clip-path='url(#c)'>{all}</g>"))));
    assert!(pattern.tree().to_string(&WriteOptions::default()).contains("data:image/png;base64,"));
    for scale in [3.125, 4.1] {
        let [pattern, by_hand] = [&pattern, &by_hand].map(|motif| painted(motif, scale, Color::WHITE));
        assert_eq!(hairlines(&pattern, &by_hand), 0, "at scale {scale}");
    }
}

/// Where the content fills the cell nothing of the ground shows: not a single pixel.
#[test]
fn what_fills_the_cell_has_no_gaps() {
    for name in ["ground-without-gaps", "gradient-edge-to-edge", "image-edge-to-edge"] {
        let path = drawings("patterns").into_iter().find(|p| stem(p) == name).expect("the drawing");
        let motif = Motif::read(&path, &Intake::new()).expect("a motif");
        for scale in [1.5625, 3.125, 4.1, 6.25] {
            let picture = painted(&motif, scale, Color::TRANSPARENT);
            let at = |v: f32| (v * scale) as u32;
            for y in at(10.0) + 1..at(80.0) - 1 {
                for x in at(10.0) + 1..at(110.0) - 1 {
                    let alpha = picture.pixel(x, y).expect("a pixel").alpha();
                    assert!(alpha >= 253, "{name}: {alpha} of 255 at {x}, {y}, scale {scale}");
                }
            }
        }
    }
}

/// A pattern of one color all over is that color, whatever it is seen through.
#[test]
fn one_color_all_over_is_that_color() {
    let shapes = |paint: &str| {
        page(
            120,
            90,
            &format!(
                "<g fill='none' stroke='{paint}' stroke-width='9'>\
                 <path d='M10 40L30 10L50 40' stroke-linejoin='miter-clip' stroke-miterlimit='1.1'/>\
                 <path d='M60 10C90 10 60 40 110 40' stroke-dasharray='14 5 0 7' stroke-linecap='round'/>\
                 <path d='M10 80L30 55L50 80Z' stroke-linejoin='round'/></g>\
                 <path d='M60 50H110V85H60ZM70 60H100V75H70Z' fill='{paint}' fill-rule='evenodd'/>"
            ),
        )
    };
    let pattern = "<pattern id='p' patternUnits='userSpaceOnUse' width='7.3' height='3.1' \
                   patternTransform='rotate(31)'><rect width='7.3' height='3.1' fill='#a8402f'/></pattern></svg>";
    let plain = take(&shapes("#a8402f"));
    let patterned = take(&shapes("url(#p)").replace("</svg>", pattern));
    // The painter's own round caps bulge by up to 0.07 of their radius, here a pixel.
    for (scale, least) in [(1.0, 3.0), (3.125, 6.0)] {
        let (_, rms) = difference(&painted(&plain, scale, Color::WHITE), &painted(&patterned, scale, Color::WHITE));
        assert!(rms <= least, "{rms} at scale {scale}");
    }
}

/// Each drawing against the picture by librsvg beside it. Left to the painter's own patterns,
/// eleven of the fifteen differ by more than 10, and the bars by 71.
#[test]
fn drawings_look_as_librsvg_paints_them() {
    let mut compared = 0;
    for path in drawings("patterns") {
        let Ok(picture) = std::fs::read(path.with_extension("png")) else { continue };
        let expected = Pixmap::decode_png(&picture).expect("a picture");
        let motif = Motif::read(&path, &Intake::new()).unwrap_or_else(|e| panic!("{e}\n{}", e.hint()));
        assert!(motif.tree().patterns().is_empty());
        let (_, rms) = difference(&painted(&motif, 3.0, Color::WHITE), &expected);
        let most = if stem(&path) == "nested" { 10.0 } else { 7.0 };
        assert!(rms <= most, "{}: {rms} of 255", path.display());
        compared += 1;
    }
    assert_eq!(compared, 15);
}
