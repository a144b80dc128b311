//! What laying out patterns leaves alone, and what it refuses.

use kurbo::Affine;
use resvg::tiny_skia::Color;
use resvg::usvg::{Options, Tree, WriteOptions};
use seamfast::artwork::{Croquis, Intake, Motif};

use crate::common::{drawings, stem};
use crate::patterns::{page, painted, take};

#[test]
fn a_drawing_without_patterns_stays_as_it_is() {
    for path in drawings("ink").into_iter().filter(|p| !stem(p).contains("text") && stem(p) != "pattern") {
        let text = std::fs::read(&path).expect("a drawing");
        let tree = Tree::from_data(&text, &Options::default()).expect("a tree");
        let motif = Motif::read(&path, &Intake::new()).expect("a motif");
        let written = |tree: &Tree| tree.to_string(&WriteOptions::default());
        assert!(written(motif.tree()) == written(&tree), "{}", path.display());
    }
}

/// A patterned speck beside the page makes a drawing be written anew. What else is on it,
/// with its clips, masks, filters, images and letters, is painted as before, to the last bit.
#[test]
fn the_rest_of_a_drawing_is_painted_as_before() {
    let speck = "<pattern id='speck' patternUnits='userSpaceOnUse' width='.5' height='.5'><rect width='.2' height='.2'/>\
                 </pattern><rect x='-5000' y='-5000' width='1' height='1' fill='url(#speck)'/></svg>";
    for path in drawings("ink").into_iter().filter(|p| stem(p) != "pattern") {
        let text = std::fs::read_to_string(&path).expect("a drawing");
        let end = text.rfind("</svg>").expect("an end");
        let (plain, rewritten) = (take(&text), take(&format!("{}{speck}", &text[..end])));
        assert!(rewritten.tree().patterns().is_empty());
        assert_eq!(plain.page_px(), rewritten.page_px());
        let pictures = [&plain, &rewritten].map(|motif| painted(motif, 2.0, Color::TRANSPARENT));
        assert!(pictures[0].data() == pictures[1].data(), "{}", path.display());
    }
}

#[test]
fn ids_do_not_clash() {
    let drawing = page(
        40,
        40,
        "<pattern id='laid-1' patternUnits='userSpaceOnUse' width='5' height='5'><rect id='laid-2' width='3' height='3'/></pattern>\
         <linearGradient id='laid-3'><stop stop-color='#f00'/><stop offset='1' stop-color='#00f'/></linearGradient>\
         <clipPath id='laid-4'><circle cx='20' cy='20' r='15'/></clipPath>\
         <g id='a&amp;b&quot;&lt;'><rect id='laid-5' width='40' height='20' fill='url(#laid-1)' clip-path='url(#laid-4)'/></g>\
         <rect y='20' id='laid-6' width='40' height='20' fill='url(#laid-3)' clip-path='url(#laid-4)'/>",
    );
    let picture = painted(&take(&drawing), 1.0, Color::TRANSPARENT);
    let at = |x, y| picture.pixel(x, y).expect("a pixel").alpha();
    assert_eq!([at(21, 11), at(24, 11), at(21, 30), at(1, 1), at(1, 39)], [255, 0, 255, 0, 0]);
}

#[test]
fn a_page_laid_by_hand_has_its_patterns_laid_out() {
    let drawing = page(
        100,
        100,
        "<pattern id='p' patternUnits='userSpaceOnUse' width='10.4' height='10'><rect width='5.2' height='10' fill='#1f2d4d'/></pattern>\
         <rect width='100' height='100' fill='#f4efe6'/>\
         <circle cx='30' cy='30' r='20' fill='url(#p)'/><circle cx='75' cy='75' r='20' fill='url(#p)'/>",
    );
    let page = Croquis::from_svg("harbor", drawing.as_bytes(), &Intake::new()).expect("a page");
    assert_eq!((page.pieces.len(), page.ground), (2, Some([0xf4, 0xef, 0xe6])));
    for piece in &page.pieces {
        assert!(piece.tree().patterns().is_empty() && !piece.ink().is_empty());
    }
    // Ink is the bars, not the disc: between two bars there is none.
    let between = kurbo::Rect::new(26.2, 20.0, 31.0, 40.0);
    assert!(!page.pieces[0].ink().touches(Affine::IDENTITY, between));
}

#[test]
fn too_much_is_refused() {
    let refused = |cell: &str, content: &str| {
        let drawing = page(
            300,
            300,
            &format!(
                "<pattern id='p' patternUnits='userSpaceOnUse' {cell}>{content}</pattern><rect width='300' height='300' fill='url(#p)'/>"
            ),
        );
        let error = Motif::from_svg("tern", drawing.as_bytes(), &Intake::new()).expect_err("a refusal");
        let hint = error.hint();
        assert!(
            hint.starts_with("simplify the drawing, or cut it into several; or allow more with --limit "),
            "{hint}"
        );
        error.to_string()
    };
    let dot = "<circle r='.2'/>";
    assert_eq!(
        refused("width='.5' height='.5'", dot),
        "tern: cells of patterns: 361201 more than are left; the most is 250000"
    );
    assert_eq!(refused("width='1e-6' height='5'", dot), "tern: cells of patterns: 18600000171; the most is 250000");
    let many = "<circle cx='1' cy='1' r='.5'/>".repeat(200);
    let said = "tern: elements of paths in all cells of patterns: more than 1000000; the most is 1000000";
    assert_eq!(refused("width='3' height='3'", &many), said);
}
