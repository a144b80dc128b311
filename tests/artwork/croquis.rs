//! Pages taken apart: how many pieces, which ground, and that all pieces painted one over
//! the other are the page.

use seamfast::artwork::{ArtworkError, Croquis, Intake, Motif};

use crate::common::{drawings, paint, stem};

/// A page's file, its ground and the names of its pieces.
type Expected = (&'static str, Option<[u8; 3]>, &'static [&'static str]);

/// Every page in `tests/artwork/drawings/croquis` that has objects.
const PAGES: &[Expected] = &[
    ("classes", None, &["1", "2", "3"]),
    ("entities", None, &["1", "2"]),
    ("flat", None, &["1", "2", "tern"]),
    ("ground", Some([0xf4, 0xef, 0xe6]), &["1", "2"]),
    ("ground-in-a-group", Some([0xf4, 0xef, 0xe6]), &["1", "2"]),
    ("ground-in-a-layer", Some([0x20, 0x40, 0x60]), &["1", "2"]),
    ("ground-see-through", None, &["1", "2"]),
    ("ground-too-small", None, &["1", "2"]),
    ("layers", None, &["1", "2", "3"]),
    ("lone-motif", None, &["limpet"]),
    ("lone-wrapper", None, &["limpet", "rope"]),
    ("masks-and-filters", None, &["1", "2", "3"]),
    ("prefixed", None, &["1", "2"]),
    ("referred-objects", None, &["fish", "2", "3", "4", "5"]),
    ("root-background", Some([0xf0, 0xe0, 0xd0]), &["1", "2"]),
    ("root-with-opacity", None, &["1"]),
    ("switch", None, &["a", "b"]),
    ("wrapper-with-an-effect-by-class", None, &["layer1", "2"]),
    ("wrapper-with-opacity", None, &["layer1", "2"]),
];

#[test]
fn a_page_is_its_ground_and_its_pieces() {
    let mut seen = Vec::new();
    for path in drawings("croquis") {
        let name = stem(&path);
        if name == "nothing" {
            continue;
        }
        let (_, ground, pieces) =
            PAGES.iter().find(|(page, ..)| *page == name).unwrap_or_else(|| panic!("{name} is not in the table"));
        let croquis = Croquis::read(&path, &Intake::new()).unwrap_or_else(|e| panic!("{e}\n{}", e.hint()));
        assert_eq!(croquis.ground, *ground, "{name}");
        let names: Vec<String> = croquis.pieces.iter().map(|p| p.name().to_owned()).collect();
        assert_eq!(names, pieces.iter().map(|p| format!("{name}/{p}")).collect::<Vec<_>>());
        let page = Motif::read(&path, &Intake::new()).expect("the page as a motif");
        for piece in &croquis.pieces {
            assert_eq!((piece.page_px(), piece.size()), (page.page_px(), page.size()), "{name}");
        }
        assert_eq!((croquis.page.px, croquis.page.size), (page.page_px(), page.size()));
        seen.push(name);
    }
    seen.sort();
    assert_eq!(seen, PAGES.iter().map(|(name, ..)| name.to_string()).collect::<Vec<_>>());
}

/// The pieces over the ground, painted one after the other, are the page but for rounding.
#[test]
fn all_pieces_together_are_the_page() {
    for path in drawings("croquis") {
        let Ok(croquis) = Croquis::read(&path, &Intake::new()) else {
            assert_eq!(stem(&path), "nothing");
            continue;
        };
        let page = Motif::read(&path, &Intake::new()).expect("the page as a motif");
        let whole = paint(&[page.tree()]);
        let trees: Vec<&usvg::Tree> = croquis.pieces.iter().map(Motif::tree).collect();
        let together = paint(&trees);
        let mut worst = 0;
        for (a, b) in whole.pixels().iter().zip(together.pixels()) {
            if croquis.ground.is_some() && b.alpha() < 255 {
                continue; // the ground shows through, which is not among the pieces
            }
            let difference = [(a.red(), b.red()), (a.green(), b.green()), (a.blue(), b.blue()), (a.alpha(), b.alpha())];
            worst = difference.iter().map(|(a, b)| a.abs_diff(*b)).max().unwrap_or(0).max(worst);
        }
        assert!(worst <= 2, "{}: pixels differ by {worst}", stem(&path));
        let painted = together.pixels().iter().filter(|p| p.alpha() > 0).count();
        assert!(painted > 1000, "{}: {painted} pixels painted", stem(&path));
    }
}

#[test]
fn a_page_without_objects_is_refused() {
    let path = drawings("croquis").into_iter().find(|p| stem(p) == "nothing").expect("the empty page");
    let error = Croquis::read(&path, &Intake::new()).expect_err("nothing on it");
    assert_eq!(error.to_string(), format!("{}: the page has nothing drawn on it", path.display()));
    assert_eq!(error.hint(), "draw the motifs as visible objects on the page");
}

#[test]
fn losses_of_a_page_are_all_named() {
    let svg = "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 9 9'>\n<script/>\n<text id='a' font-family='No Such Face'>Tern</text>\n<text id='b' font-family='No Such Face'>Kelp</text></svg>";
    let Err(ArtworkError::Losses { losses, .. }) = Croquis::from_svg("page", svg.as_bytes(), &Intake::new()) else {
        panic!("taken")
    };
    let said: Vec<String> = losses.iter().map(ToString::to_string).collect();
    assert_eq!(
        said,
        [
            "line 2: script: <script>",
            "line 3, #a: missing-font: \"No Such Face\" for \"Tern\"",
            "line 4, #b: missing-font: \"No Such Face\" for \"Kelp\""
        ]
    );
}

/// 2 000 objects, each with a gradient and a class of its own, must not take 2 000 times as long.
#[test]
fn a_big_page_is_taken_in_quickly() {
    let mut svg = String::from("<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 1000 1000'><style>");
    for i in 0..2_000 {
        svg += &format!(".c{i}{{fill:url(#g{i})}}\n");
    }
    svg += "</style><defs>";
    for i in 0..2_000 {
        svg += &format!(
            "<linearGradient id='g{i}'><stop stop-color='red'/><stop offset='1' stop-color='blue'/></linearGradient>"
        );
    }
    svg += "</defs><g id='Layer_1'>";
    for i in 0..2_000 {
        let (x, y) = (i % 50 * 20, i / 50 * 25);
        svg += &format!(
            "<path class='c{i}' stroke='navy' d='M{x} {y}c5 -5 10 0 10 8s-3 12 -9 9s2 -3 4 -6s-9 -1 -5 -11z'/>"
        );
    }
    svg += "</g></svg>";
    let start = std::time::Instant::now();
    let croquis = Croquis::from_svg("page", svg.as_bytes(), &Intake::new()).expect("a page");
    assert_eq!(croquis.pieces.len(), 2_000);
    let took = start.elapsed();
    assert!(took.as_secs() < 10, "{took:?}");
}
