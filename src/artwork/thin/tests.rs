//! Shapes whose thickness is known in closed form, and shapes that only seem thin. One unit is a point.

use std::cell::Cell;

use kurbo::{Affine, Rect};

use crate::artwork::{Intake, Motif, narrow_gaps};

const LIMIT: f64 = 0.25;

fn motif(body: &str) -> Motif {
    let svg = format!("<svg xmlns='http://www.w3.org/2000/svg' width='100' height='100'>{body}</svg>");
    Motif::from_svg("rope", svg.as_bytes(), &Intake::new()).unwrap_or_else(|e| panic!("{e}"))
}

/// The widths of the thin parts that are seen.
fn lines_after(body: &str, to: Affine) -> Vec<f64> {
    let measured = motif(body).ink().thin_lines(to, LIMIT, Some([255; 3]), &Cell::new(1 << 30));
    assert!(!measured.left_out);
    measured.found.iter().map(|part| part.width).collect()
}

fn lines(body: &str) -> Vec<f64> {
    lines_after(body, Affine::IDENTITY)
}

fn gaps(body: &str) -> Vec<f64> {
    let outlines = motif(body).ink().silhouette(LIMIT, None).expect("simple outlines");
    let window = Rect::new(0.0, 0.0, 100.0, 100.0);
    let found = narrow_gaps(outlines, LIMIT, window, &|_| false, &Cell::new(1 << 30)).expect("enough to look at");
    found.iter().map(|part| part.width).collect()
}

/// One part, as wide as that to a fiftieth, or to what chords miss of two curves.
fn is_one(found: &[f64], width: f64) {
    let near = (0.02 * width).max(2.0 * 0.005 * LIMIT);
    assert!(found.len() == 1 && (found[0] - width).abs() < near, "{found:?}, not {width}");
}

fn circle(cx: f64, r: f64) -> String {
    format!("<circle cx='{cx}' cy='50' r='{r}'/>")
}

/// A ring as one filled path.
fn ring(r: f64, thick: f64) -> String {
    let arc = |r: f64| format!("M{0} 50A{r} {r} 0 1 0 {1} 50A{r} {r} 0 1 0 {0} 50Z", 50.0 - r, 50.0 + r);
    format!("<path fill-rule='evenodd' d='{}{}'/>", arc(r), arc(r - thick))
}

#[test]
fn filled_shapes_are_as_thick_as_they_are() {
    for thick in [0.02, 0.1, 0.2, 0.24] {
        is_one(&lines(&format!("<path d='M10 10h30v{thick}h-30Z'/>")), thick);
        is_one(&lines(&ring(10.0, thick)), thick);
        is_one(&lines(&format!("<path transform='rotate(30 50 50)' d='M30 50h30v{thick}h-30Z'/>")), thick);
        // Both arms of an L, in one.
        let l = format!("<path d='M10 10h{thick}v20h20v{thick}h-{}Z'/>", 20.0 + thick);
        is_one(&lines(&l), thick);
    }
    for thick in [0.26, 0.5, 3.0] {
        assert_eq!(lines(&format!("<path d='M10 10h30v{thick}h-30Z'/>")), [0.0; 0], "{thick}");
        assert_eq!(lines(&ring(10.0, thick)), [0.0; 0], "{thick}");
    }
}

#[test]
fn strokes_are_known_exactly_after_every_transform() {
    let stroke = "<path d='M10 10C40 10 20 60 60 80' fill='none' stroke='#124' stroke-width='0.2'/>";
    assert_eq!(lines(stroke), [f64::from(0.2_f32)]);
    assert_eq!(lines_after(stroke, Affine::scale(0.5)), [f64::from(0.2_f32) / 2.0]);
    assert_eq!(lines_after(stroke, Affine::scale(1.5)), [0.0; 0]);
    // Squeezed in one direction, as thin as where it is thinnest.
    let squeezed = lines_after(stroke, Affine::rotate(0.7) * Affine::scale_non_uniform(4.0, 0.5));
    assert!((squeezed[0] - 0.1).abs() < 1e-6, "{squeezed:?}");
    let inner = format!("<g transform='scale(2)'>{}</g>", stroke.replace("0.2", "0.1"));
    assert!((lines(&inner)[0] - 0.2).abs() < 1e-6);
}

#[test]
fn tips_corners_and_specks_are_no_lines() {
    let star: Vec<String> = (0..10)
        .map(|n| {
            let (r, a) = ([20.0, 7.6][n % 2], std::f64::consts::PI * n as f64 / 5.0);
            format!("{},{}", 50.0 + r * a.sin(), 50.0 - r * a.cos())
        })
        .collect();
    assert_eq!(lines(&format!("<polygon points='{}'/>", star.join(" "))), [0.0; 0]);
    // A leaf of two arcs, a spike of 9°, a speck.
    assert_eq!(lines("<path d='M20 50Q50 30 80 50Q50 70 20 50Z'/>"), [0.0; 0]);
    assert_eq!(lines("<path d='M20 50L50 47.6V52.4Z'/>"), [0.0; 0]);
    assert_eq!(lines("<path d='M20 50h0.2v0.2h-0.2Z'/>"), [0.0; 0]);
    // A crescent's horns, a spike of 2°.
    assert_eq!(lines("<path d='M20 50A30 30 0 0 1 80 50A34 34 0 0 0 20 50Z'/>"), [0.0; 0]);
    assert_eq!(lines("<path d='M20 50L50 49.5V50.5Z'/>"), [0.0; 0]);
    // A hair that ends in a tip is a line; so is a spike that is thin for longer than 40 limits.
    assert_eq!(lines("<path d='M20 50L30 49.95H60V50.05H30Z'/>").len(), 1);
    assert_eq!(lines("<path d='M20 50L80 49.5V50.5Z'/>").len(), 1);
}

#[test]
fn a_thin_part_counts_where_it_is_seen_as_a_line() {
    let hair = "<path fill='#124' d='M10 50h80v0.1h-80Z'/>";
    is_one(&lines(hair), 0.1);
    // On its own color, beside it, or under something.
    for hidden in [
        format!("<path fill='#124' d='M5 40h90v20h-90Z'/>{hair}"),
        format!("<path fill='#124' d='M5 50.1h90v20h-90Z'/>{hair}"),
        format!("{hair}<path fill='#c33' d='M5 40h90v20h-90Z'/>"),
        hair.replace("#124", "#fff"),
    ] {
        assert_eq!(lines(&hidden), [0.0; 0], "{hidden}");
    }
    is_one(&lines(&format!("<path fill='#c33' d='M5 40h90v20h-90Z'/>{hair}")), 0.1);
    // A stroke around a shape of its own color only makes it larger.
    let edged = "<path d='M10 10h30v30h-30Z' fill='#124' stroke='#124' stroke-width='.1'/>";
    assert_eq!(lines(edged), [0.0; 0]);
    assert_eq!(lines(&edged.replace("fill='#124'", "fill='#fed'")).len(), 1);
}

#[test]
fn gaps_are_as_wide_as_they_are() {
    for wide in [0.02, 0.1, 0.2, 0.24] {
        let bars = format!("<path d='M10 10h10v30h-10Z'/><path d='M{} 10h10v30h-10Z'/>", 20.0 + wide);
        is_one(&gaps(&bars), wide);
        // Two circles are that near at one point only; up to 0.2 for long enough.
        if wide <= 0.2 {
            let circles = circle(25.0, 20.0) + &circle(65.0 + wide, 20.0);
            is_one(&gaps(&circles), wide);
        }
        // A slit in one shape.
        is_one(&gaps(&format!("<path d='M10 10h30v20h-10v-10h-{wide}v10h-{}Z'/>", 20.0 - wide)), wide);
    }
    for wide in [0.0, 0.001, 0.26, 1.0] {
        let bars = format!("<path d='M10 10h10v30h-10Z'/><path d='M{} 10h10v30h-10Z'/>", 20.0 + wide);
        assert_eq!(gaps(&bars), [0.0; 0], "{wide}");
    }
    // Circles that overlap leave two notches, and a line is no gap.
    assert_eq!(gaps(&(circle(30.0, 20.0) + &circle(69.0, 20.0))), [0.0; 0]);
    assert_eq!(gaps("<path d='M10 10h30v0.1h-30Z'/>"), [0.0; 0]);
}

#[test]
fn a_hostile_drawing_is_left_out_and_not_waited_for() {
    let comb: String = (0..20_000).map(|n| format!("V{}H{}", 50 - n % 2, 10.0 + f64::from(n) * 0.002)).collect();
    let measured = motif(&format!("<path d='M10 50{comb}V90H10Z'/>")).ink().thin_lines(
        Affine::IDENTITY,
        LIMIT,
        None,
        &Cell::new(100_000),
    );
    assert!(measured.left_out && measured.found.is_empty());
}
