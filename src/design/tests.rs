//! What an order decides: every default, every way to say a place, a size or a resolution.

use std::collections::BTreeSet;
use std::path::Path;

use tempfile::TempDir;

use super::slips::SECTIONS;
use super::*;
use crate::repeat::{PARTS, Placement};

/// 20 mm × 10 mm, 20 × 10 px.
const MOTIF: &str = r#"<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="10mm" viewBox="0 0 20 10"><path d="M0 0h20v10z"/></svg>"#;

/// Decides a design of this text; a motif, `a.svg`, lies beside it.
fn try_decide(text: &str) -> Result<Order, DesignError> {
    let folder = TempDir::new().unwrap();
    std::fs::write(folder.path().join("a.svg"), MOTIF).unwrap();
    Order::decide(&Design::parse(text, Path::new("shore.toml"))?, folder.path(), "shore")
}

fn decide(text: &str) -> Order {
    try_decide(text).unwrap_or_else(|e| panic!("{e}\n{text}"))
}

/// The placements of a design's first delivery, with these lines under its one motif; the
/// block is 4 in × 8 in at 100 dpi, so that a pixel is a hundredth of an inch.
fn placed(lines: &str) -> (Placement, [f64; 2]) {
    let text =
        format!("repeat = {{ block = \"4x8in\" }}\n[[motif]]\nfile = \"a.svg\"\n{lines}\n[[deliver]]\ndpi = 100");
    let order = decide(&text);
    let placement = order.deliveries[0].repeat.placements[0];
    let page = order.motifs[0].page_px();
    // The page's width and height on the goods, in inches, whatever its own pixels.
    let [xx, yx, xy, yy] = placement.linear;
    (placement, [xx.hypot(yx) * page.width / 100.0, xy.hypot(yy) * page.height / 100.0])
}

fn spot(at: &str) -> [f64; 2] {
    placed(&format!("at = {at}")).0.at.units()
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-9
}

#[test]
fn defaults_are_a_half_drop_of_8_in_at_150_dpi_in_three_kinds() {
    let order = decide("[[motif]]\nfile = \"a.svg\"");
    assert_eq!((order.name.as_str(), order.arrangement.to_string().as_str()), ("shore", "half-drop"));
    let [delivery] = &order.deliveries[..] else { panic!("{} deliveries", order.deliveries.len()) };
    assert_eq!([delivery.grid.width(), delivery.grid.height()], [1200, 1200]);
    assert_eq!(delivery.grid.resolution().to_string(), "150");
    assert_eq!(delivery.repeat.block, [600, 1200]);
    assert_eq!(delivery.kinds, [Kind::Svg, Kind::Png, Kind::Tiff]);
    assert_eq!((delivery.stem.as_str(), delivery.repeat.ground, delivery.svg.clip), ("shore", None, false));
    // Its middle in the block's, at its own true size.
    let (placement, [width, height]) = placed("");
    assert_eq!(placement.at.units(), [200.0, 400.0]);
    assert!(near(width, 20.0 / 25.4) && near(height, 10.0 / 25.4), "{width} × {height}");
}

#[test]
fn a_croquis_is_repeated_straight_at_its_own_size() {
    let order = decide("croquis = \"a.svg\"\n[[deliver]]\ndpi = 254");
    assert_eq!(order.arrangement.to_string(), "straight");
    let delivery = &order.deliveries[0];
    assert_eq!([delivery.grid.width(), delivery.grid.height()], [200, 100]);
    // Scaled by its tile, dropped by its layout: the page is the block.
    let text =
        "croquis = \"a.svg\"\nrepeat = { layout = \"half-drop\", block = \"4in x 2in\" }\n[[deliver]]\ndpi = 100";
    let delivery = &decide(text).deliveries[0];
    assert_eq!([delivery.grid.width(), delivery.grid.height()], [800, 200]);
    assert_eq!(delivery.repeat.block, [400, 200]);
    let wrong = try_decide("croquis = \"a.svg\"\nrepeat = { tile = \"4in\" }").unwrap_err();
    assert_eq!(wrong.to_string(), "tile: the page would be squeezed; its width is 2.000 of its height");
    assert_eq!(wrong.hint(), Some("write 4inx2in"));
}

#[test]
fn tile_and_block_follow_from_one_another() {
    let grid = |repeat: &str| {
        let delivery = decide(&format!("repeat = {{ {repeat} }}\n[[motif]]\nfile = \"a.svg\"")).deliveries.remove(0);
        ([delivery.grid.width(), delivery.grid.height()], delivery.repeat.block)
    };
    assert_eq!(grid("tile = \"4in\""), ([600, 600], [300, 600]));
    assert_eq!(grid("block = \"4in\""), ([1200, 600], [600, 600]));
    assert_eq!(grid("block = \"4in\", layout = \"brick=1/3\""), ([600, 1800], [600, 600]));
    assert_eq!(grid("block = \"4in\", layout = \"mirror\""), ([1200, 1200], [600, 600]));
    // Both: a tile of as many blocks as the layout can bear.
    assert_eq!(grid("tile = \"8in\", block = \"2in x 4in\""), ([1200, 1200], [300, 600]));
    assert!(try_decide("repeat = { tile = \"8in\", block = \"3in\" }\n[[motif]]\nfile = \"a.svg\"").is_err());
}

#[test]
fn pixels_are_counted_at_the_first_resolution_and_are_a_length_at_others() {
    let order = decide(
        "repeat = { tile = \"1200px\" }\n[[motif]]\nfile = \"a.svg\"\n[[deliver]]\ndpi = 150\n[[deliver]]\ndpi = 300\nname = \"large\"",
    );
    let widths: Vec<i64> = order.deliveries.iter().map(|delivery| delivery.grid.width()).collect();
    assert_eq!(widths, [1200, 2400]);
    assert_eq!(order.deliveries[0].grid.size(), order.deliveries[1].grid.size());
    assert_eq!(order.deliveries[1].stem, "large");
}

#[test]
fn a_place_is_a_share_of_the_block_or_a_length_from_its_corner() {
    assert_eq!(spot("[\"50%\", \"25%\"]"), [200.0, 200.0]);
    assert_eq!(spot("[\"1in\", \"3 1/2in\"]"), [100.0, 350.0]);
    assert_eq!(spot("[\"25.4mm\", \"-1in\"]"), [100.0, -100.0]);
    assert_eq!(spot("[\"0%\", \"150%\"]"), [0.0, 1200.0]);
    // A third of 400 px is kept to the nearest 1/256 px.
    let [x, _] = spot("[\"33.3333333%\", \"0%\"]");
    assert_eq!(x, (400.0 / 3.0 * PARTS as f64).round() / PARTS as f64);
}

#[test]
fn widths_heights_and_scales() {
    let size = |lines: &str| placed(lines).1;
    let is =
        |[w, h]: [f64; 2], want: [f64; 2]| assert!(near(w, want[0]) && near(h, want[1]), "{w} × {h}, not {want:?}");
    is(size("width = \"2in\""), [2.0, 1.0]);
    is(size("height = \"2in\""), [4.0, 2.0]);
    is(size("width = \"2in\"\nheight = \"3in\""), [2.0, 3.0]);
    is(size("scale = 2.54"), [2.0, 1.0]);
}

#[test]
fn turns_are_clockwise_and_flips_come_first() {
    // Signs and places of the matrix's columns: where the motif's own x and y point.
    let points = |lines: &str| placed(lines).0.linear.map(|n| if n.abs() < 1e-9 { 0.0 } else { n.signum() });
    assert_eq!(points(""), [1.0, 0.0, 0.0, 1.0]);
    assert_eq!(points("turn = 90"), [0.0, 1.0, -1.0, 0.0]);
    assert_eq!(points("turn = -90"), [0.0, -1.0, 1.0, 0.0]);
    assert_eq!(points("flip = \"across\""), [-1.0, 0.0, 0.0, 1.0]);
    assert_eq!(points("flip = \"down\""), [1.0, 0.0, 0.0, -1.0]);
    assert_eq!(points("flip = \"both\""), [-1.0, 0.0, 0.0, -1.0]);
    assert_eq!(points("flip = \"across\"\nturn = 90"), [0.0, -1.0, -1.0, 0.0]);
}

#[test]
fn layers_are_kept_and_painted_in_order() {
    let text =
        "[[motif]]\nfile = \"a.svg\"\nlayer = 2\n[[motif]]\nfile = \"a.svg\"\n[[motif]]\nfile = \"a.svg\"\nlayer = -1";
    let order = decide(text);
    assert_eq!(order.motifs.len(), 1, "one file is read once");
    let repeat = &order.deliveries[0].repeat;
    assert_eq!(repeat.placements.iter().map(|p| p.layer).collect::<Vec<_>>(), [2, 0, -1]);
    let copies = crate::wrap::Copies::plan(repeat, &order.motifs);
    assert_eq!(copies.marks().iter().map(|mark| mark.placement).collect::<Vec<_>>(), [2, 1, 0]);
}

#[test]
fn a_ground_is_an_opaque_color_or_none() {
    let ground =
        |text: &str| decide(&format!("ground = \"{text}\"\n[[motif]]\nfile = \"a.svg\"")).deliveries[0].repeat.ground;
    assert_eq!(ground("#f3eee3"), Some([0xf3, 0xee, 0xe3]));
    assert_eq!(ground("linen"), Some([250, 240, 230]));
    assert_eq!(ground("None"), None);
}

#[test]
fn sources_are_all_files_that_were_read() {
    let order = decide("[[motif]]\nfile = \"a.svg\"\n[[motif]]\nfile = \"a.svg\"");
    assert_eq!(order.sources.len(), 1);
    assert!(order.sources[0].ends_with("a.svg"));
}

#[test]
fn motifs_without_a_place_are_spread_and_others_stay() {
    let mut design = Design::parse(
        "repeat = { tile = \"8in\" }\n[[motif]]\nfile = \"a.svg\"\nat = [\"1in\", \"1in\"]\n[[motif]]\nfile = \"b.svg\"",
        Path::new("shore.toml"),
    )
    .unwrap();
    design.spread().unwrap();
    let places: Vec<Vec<&str>> = design
        .motifs
        .iter()
        .map(|m| m.at.iter().flat_map(|at| at.get_ref()).map(|text| text.get_ref().as_str()).collect())
        .collect();
    assert_eq!(places, [["1in", "1in"], ["50%", "75%"]]);
}

/// The ink of `a.svg` fills its page; in `b.svg` it is 10 mm × 5 mm of it, off the middle.
#[test]
fn a_trimmed_motif_is_as_large_as_its_ink_and_lies_by_its_middle() {
    let folder = TempDir::new().unwrap();
    let wide = MOTIF.replace("d=\"M0 0h20v10z\"", "d=\"M8 4h10v5z\"");
    std::fs::write(folder.path().join("b.svg"), wide).unwrap();
    let text = "repeat = { block = \"4x8in\" }\n[[motif]]\nfile = \"b.svg\"\ntrim = true\n[[motif]]\nfile = \"b.svg\"\n[[motif]]\nfile = \"b.svg\"\ntrim = true\nwidth = \"2in\"\n[[deliver]]\ndpi = 100";
    let design = Design::parse(text, Path::new("shore.toml")).unwrap();
    let order = Order::decide(&design, folder.path(), "shore").unwrap();
    assert_eq!(order.motifs.len(), 2, "read once as it is, once trimmed");
    let sizes: Vec<String> = order.motifs.iter().map(|m| m.size().unwrap().to_string()).collect();
    assert_eq!(sizes, ["10mm × 5mm", "20mm × 10mm"]);
    // Where the ink comes to lie, in inches from the block's middle.
    let repeat = &order.deliveries[0].repeat;
    let copies = crate::wrap::Copies::plan(repeat, &order.motifs);
    let lies = |mark: usize| {
        let mark = &copies.marks()[mark];
        let motif = &order.motifs[mark.motif];
        let ink = motif.ink().bounds(mark.to_units(motif, [0, 0])).unwrap();
        [(ink.x0 - 200.0) / 100.0, (ink.y0 - 400.0) / 100.0, ink.width() / 100.0, ink.height() / 100.0]
    };
    let mm = |n: f64| n / 25.4;
    for (mark, wanted) in [
        (0, [mm(-5.0), mm(-2.5), mm(10.0), mm(5.0)]),
        (1, [mm(-2.0), mm(-1.0), mm(10.0), mm(5.0)]),
        (2, [-1.0, -0.5, 2.0, 1.0]),
    ] {
        let found = lies(mark);
        // The reader keeps places in f32.
        assert!(found.iter().zip(wanted).all(|(a, b)| (a - b).abs() < 1e-6), "{mark}: {found:?}, not {wanted:?}");
    }
}

#[test]
fn a_font_stands_in_for_a_missing_one() {
    let folder = TempDir::new().unwrap();
    let text = "<text x=\"2\" y=\"8\" font-size=\"8\" font-weight=\"bold\" font-family=\"Harbour Script\">Tern</text>";
    std::fs::write(folder.path().join("a.svg"), MOTIF.replace("<path d=\"M0 0h20v10z\"/>", text)).unwrap();
    let decide = |fonts: &str| {
        let text = format!("{fonts}\n[[motif]]\nfile = \"a.svg\"");
        Order::decide(&Design::parse(&text, Path::new("shore.toml")).unwrap(), folder.path(), "shore")
    };
    assert!(decide("").unwrap_err().to_string().contains("missing-font"));
    let order = decide("[fonts]\n\"Harbour Script\" = \"DejaVu Serif\"").unwrap();
    assert_eq!(
        order.warnings,
        [
            "a: another font, as asked: line 1: missing-font: \"Harbour Script\" bold for \"Tern\"; DejaVu Serif is taken"
        ]
    );
}

#[test]
fn the_sections_named_in_messages_are_those_of_the_schema() {
    let schema: serde_json::Value = serde_json::from_str(&schema()).unwrap();
    let words = |of: &serde_json::Value| -> BTreeSet<String> {
        of["properties"].as_object().unwrap().keys().cloned().collect()
    };
    let defs = &schema["$defs"];
    let found = ["CheckEntry", "AcceptEntry", "RepeatEntry", "Entry", "TossEntry", "TossMotif", "Deliver"]
        .map(|section| words(&defs[section]));
    let found = [words(&schema)].into_iter().chain(found);
    for ((place, known), words) in SECTIONS.iter().zip(found) {
        assert_eq!(known.iter().map(|word| (*word).to_owned()).collect::<BTreeSet<_>>(), words, "{place}");
    }
}

#[test]
fn the_values_that_editors_offer_are_taken() {
    let schema: serde_json::Value = serde_json::from_str(&schema()).unwrap();
    let mut tried = 0;
    for (section, heading) in [
        ("CheckEntry", "[check]"),
        ("RepeatEntry", "[repeat]"),
        ("Entry", "[[motif]]\nfile = \"a.svg\""),
        ("TossEntry", "[toss]\ngap = \"3mm\""),
        ("TossMotif", "[toss]\ngap = \"3mm\"\n[[toss.motif]]\nfile = \"a.svg\""),
        ("Deliver", "[[deliver]]"),
    ] {
        for (word, about) in schema["$defs"][section]["properties"].as_object().unwrap() {
            for example in about["examples"].as_array().into_iter().flatten() {
                // A value that the heading brings gives way.
                let heading = heading.replace(&format!("{word} = \"3mm\""), "");
                let motif = if section == "Entry" { "" } else { "[[motif]]\nfile = \"a.svg\"\n" };
                decide(&format!("{motif}{heading}\n{word} = {example}"));
                tried += 1;
            }
        }
    }
    assert!(tried >= 25, "only {tried} examples");
}
