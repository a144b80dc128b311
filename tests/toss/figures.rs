//! Figures to be looked at, with any motifs: `MOTIFS=folder cargo test --release --test toss figures -- --ignored --nocapture`.

use std::path::PathBuf;
use std::time::Instant;

use seamfast::toss::{Dart, darts, toss};

use crate::common::{Cloth, coverage, kinds, motif, wishes};

/// Coverage against blind throwing, and what it takes from 50 to 5 000 motifs.
#[test]
#[ignore = "takes minutes, and asserts nothing: a table is printed"]
fn figures_of_a_folder_of_motifs() {
    let folder = PathBuf::from(std::env::var("MOTIFS").expect("MOTIFS names a folder of SVG files"));
    let every: usize = std::env::var("EVERY").map_or(600, |n| n.parse().unwrap());
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.retain(|path| path.extension().is_some_and(|e| e == "svg"));
    files.sort();
    let silhouettes: Vec<_> = files.iter().step_by(every).map(|path| motif(path)).collect();
    let sides: usize = silhouettes.iter().flat_map(|s| &s.contours).map(Vec::len).sum();
    println!("{} motifs, {} sides each on average", silhouettes.len(), sides / silhouettes.len());
    for count in [50, 158, 500, 1580, 5000] {
        let cloth = Cloth::square((f64::from(count) * 1.3).sqrt());
        let wishes = wishes(kinds(silhouettes.clone(), [1.0, 1.0]), 0.12, 3);
        let torus = cloth.torus();
        let begun = Instant::now();
        let tossed = toss(&torus, &wishes, &|_| false).unwrap();
        let seconds = begun.elapsed().as_secs_f64();
        let ours = coverage(&wishes.kinds, &tossed.laid, cloth.area());
        let [least, mean, spread] = cloth.gaps(&wishes, &tossed.laid);
        print!(
            "{} laid in {seconds:.1} s: coverage {ours:.3}; gaps least {least:.4} mean {mean:.4} spread {spread:.3}",
            tossed.laid.len()
        );
        if count <= 500 {
            let outlines = darts(&torus, &wishes, Dart::Outlines { patience: 20_000 }).unwrap();
            let circles = darts(&torus, &wishes, Dart::Circles).unwrap();
            let [outlines, circles] = [outlines, circles].map(|laid| coverage(&wishes.kinds, &laid, cloth.area()));
            print!(
                "; darts by outlines {outlines:.3} ({:.2}), by circles {circles:.3} ({:.2})",
                ours / outlines,
                ours / circles
            );
        }
        println!();
    }
}
