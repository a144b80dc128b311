//! Pictures to be looked at, and figures; run by name.

use std::fmt::Write;
use std::path::Path;

use seamfast::toss::{Dart, Kind, Laid, darts, toss};

use crate::common::{coverage, gaps, kinds, motif, outlines, square, wishes};

fn draw(name: &str, side: f64, kinds: &[Kind], laid: &[Laid]) {
    let mut path = String::new();
    for outline in outlines(kinds, laid) {
        for (dx, dy) in (-1..2).flat_map(|x| (-1..2).map(move |y| (x, y))) {
            for contour in &outline.contours {
                for (n, p) in contour.iter().enumerate() {
                    let _ = write!(path, "{}{:.3} {:.3}", if n == 0 { "M" } else { "L" }, p[0] + side * f64::from(dx), p[1] + side * f64::from(dy));
                }
                path.push('Z');
            }
        }
    }
    let text = format!("<svg xmlns='http://www.w3.org/2000/svg' width='900' height='900' viewBox='0 0 {0} {0}'><rect width='{0}' height='{0}' fill='#f3eee3'/><path d='{path}' fill='#24476b'/><rect width='{0}' height='{0}' fill='none' stroke='red' stroke-width='0.02'/></svg>", side);
    std::fs::write(format!("target/{name}.svg"), text).expect("written");
}

fn from(folder: &str, names: &[&str]) -> Vec<seamfast::toss::Silhouette> {
    names.iter().map(|name| motif(Path::new(&format!("{folder}/{name}.svg")))).collect()
}

#[test]
#[ignore]
fn look_at_motifs() {
    let ours = ["anchor", "buoy", "crab", "kelp", "limpet", "mussel", "starfish", "tern", "lighthouse", "dory", "rope-knot"];
    let icons = ["anchor", "fish", "sail-boat", "ferry", "lighthouse", "waves", "umbrella", "star", "leaf", "hook", "compass", "heart"];
    let n: f64 = std::env::var("N").map_or(100.0, |n| n.parse().expect("a number"));
    let gap: f64 = std::env::var("GAP").map_or(0.12, |n| n.parse().expect("a number"));
    for (name, folder, names) in [("ours", "motifs", &ours[..]), ("icons", "target/mdi/node_modules/@mdi/svg/svg", &icons[..])] {
        let kinds = kinds(from(folder, names), [1.0, 1.0]);
        let side = (n * 0.9).sqrt();
        let wishes = wishes(kinds, gap, 3);
        let (torus, block) = (square(side), side * side);
        let steps = [[side, 0.0], [0.0, side]];
        let mut said = |what: &str, laid: &[Laid], seconds: f64| {
            let cover = coverage(&wishes.kinds, laid, block);
            let [least, mean, spread] = gaps(steps, &[kurbo::Affine::IDENTITY], &wishes.kinds, laid);
            println!("{name} {what}: {} cover {cover:.4}; gaps least {least:.4} mean {mean:.4} spread {spread:.3}; {seconds:.1} s", laid.len());
            draw(&format!("{name}-{what}"), side, &wishes.kinds, laid);
            cover
        };
        let begun = std::time::Instant::now();
        let tossed = toss(&torus, &wishes, &|_| false).expect("a toss");
        let a = said("toss", &tossed.laid, begun.elapsed().as_secs_f64());
        let begun = std::time::Instant::now();
        let laid = darts(&torus, &wishes, Dart::Outlines { patience: 20_000 }).expect("darts");
        let b = said("darts", &laid, begun.elapsed().as_secs_f64());
        let begun = std::time::Instant::now();
        let laid = darts(&torus, &wishes, Dart::Circles).expect("darts");
        let c = said("circles", &laid, begun.elapsed().as_secs_f64());
        println!("{name}: {:.3} of darts by outline, {:.3} of darts by circles", a / b, a / c);
    }
}
