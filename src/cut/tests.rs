use kurbo::{Affine, BezPath, Circle, Shape as _};

use super::*;
use crate::artwork::Rule;

fn square(x: f64, y: f64, side: f64) -> BezPath {
    kurbo::Rect::new(x, y, x + side, y + side).to_path(0.1)
}

#[test]
fn squares() {
    let mut plane = Plane::new();
    let a = plane.lay(&square(0.0, 0.0, 2e6), Rule::NonZero);
    let b = plane.lay(&square(1e6, 1e6, 2e6), Rule::NonZero);
    let union = Region::union([&a, &b]);
    assert_eq!(union.area(), 7e12);
    assert_eq!(a.within(&b).area(), 1e12);
    assert_eq!(a.against(&b).area(), 6e12);
    for o in plane.outlines(&union, 0.0) {
        println!("{} {:?}", o.path.to_svg(), o.hole);
    }
    let frame = a.without(&plane.lay(&square(5e5, 5e5, 1e6), Rule::NonZero));
    for by in [1e5, -1e5] {
        for corner in [Corner::Round, Corner::Mitre(4.0)] {
            let grown = plane.grown(&frame, by, corner);
            println!("{by} {corner:?} {}", grown.area() / 1e12);
        }
    }
}

#[test]
fn flowers() {
    let mut plane = Plane::new();
    let mut flower = BezPath::new();
    for i in 0..21 {
        let petal = Affine::rotate(f64::from(i) * std::f64::consts::TAU / 5.0)
            * BezPath::from_svg("M0 0C-6 -4 -6 -14 0 -14 6 -14 6 -4 0 0Z").unwrap();
        if i < 5 {
            flower.extend(petal);
        }
    }
    flower.extend(Circle::new((0.0, 0.0), 4.0).to_path(1e-3));
    let flower = Affine::scale(36_000.0) * flower;
    let count: usize = std::env::var("COUNT").ok().and_then(|n| n.parse().ok()).unwrap_or(200);
    let mut seed = 1_u64;
    let mut random = || {
        seed = seed.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
        (seed >> 33) as f64 / (1u64 << 31) as f64
    };
    let side = 300.0 * 36_000.0 * (count as f64 / 200.0).sqrt();
    let start = std::time::Instant::now();
    let regions: Vec<Region> = (0..count)
        .map(|_| {
            let to = Affine::translate((random() * side, random() * side)) * Affine::rotate(random() * 6.0);
            plane.lay(&(to * &flower), Rule::NonZero)
        })
        .collect();
    println!("laid {:?}", start.elapsed());
    let weld = Region::union(&regions);
    println!("weld {:?} edges {}", start.elapsed(), weld.rings().map(|r| r.len()).sum::<usize>());
    let out = plane.outlines(&weld, 0.0);
    println!(
        "outlines {:?}: {} rings, {} elements, chords {}",
        start.elapsed(),
        out.len(),
        out.iter().map(|o| o.path.elements().len()).sum::<usize>(),
        out.iter().filter(|o| o.chords).count()
    );
    let grown = plane.grown(&weld, 36_000.0 * 2.0, Corner::Round);
    println!("grown {:?}", start.elapsed());
    let out = plane.outlines(&grown, 0.0);
    println!(
        "outlines {:?}: {} rings, {} elements, chords {}",
        start.elapsed(),
        out.len(),
        out.iter().map(|o| o.path.elements().len()).sum::<usize>(),
        out.iter().filter(|o| o.chords).count()
    );
}
