//! Wishes that come out otherwise, heroes that overlap, borders, and how a toss is begun.

use super::shop::Shop;

/// A design on this layout, with this much more in it.
fn design(layout: &str, toss: &str, more: &str) -> Shop {
    let shop = Shop::new();
    let text = format!(
        "[repeat]\nlayout = \"{layout}\"\nblock = \"80mm x 60mm\"\n[toss]\ngap = \"2mm\"\n{toss}\n[[toss.motif]]\n\
         file = \"buoy.svg\"\nwidth = \"14mm\"\nshare = 2\n[[toss.motif]]\nfile = \"sizeless.svg\"\nwidth = \"12mm\"\n\
         {more}\n[[deliver]]\nas = [\"png\"]\ndpi = 60\n"
    );
    shop.write("shore.toml", text);
    shop
}

#[test]
fn shares_that_come_out_otherwise_are_said() {
    let shop = design("straight", "apart = \"24mm\"", "");
    let said = shop.json(&["toss", "shore.toml"]);
    let counts: Vec<u64> = (0..2).map(|n| said["motifs"][n]["count"].as_u64().unwrap()).collect();
    let all = (counts[0] + counts[1]) as f64;
    assert!((said["motifs"][0]["shared"].as_f64().unwrap() - all * 2.0 / 3.0).abs() < 0.01, "{said}");
    assert!(counts[0] < 2 * counts[1], "{said}");
    let note = said["warnings"][0].as_str().unwrap();
    assert!(note.starts_with(&format!("the shares came out otherwise, buoy.svg {} instead of ", counts[0])), "{note}");
    assert!(note.ends_with(
        "; apart keeps own kinds away from each other: write a shorter apart, smaller widths or a larger block"
    ));
    let many = design("straight", "apart = \"24mm\"\ncount = 500", "").json(&["toss", "shore.toml"]);
    let note = many["warnings"][0].as_str().unwrap();
    assert!(note.contains(" of 500 motifs found a place: write a smaller gap, apart, width or count, or "), "{note}");
    // The same, where nothing keeps them apart.
    let free = design("straight", "", "").json(&["toss", "shore.toml"]);
    assert_eq!(free["warnings"], serde_json::json!([]));
}

#[test]
fn heroes_overlap_only_where_it_is_meant() {
    let hero = |x: &str, more: &str| {
        format!("[[motif]]\nfile = \"buoy.svg\"\nwidth = \"20mm\"\nat = [\"{x}\", \"30mm\"]\n{more}")
    };
    let shop = design("straight", "", &(hero("40mm", "") + &hero("50mm", "")));
    let done = shop.run(&["toss", "shore.toml"]);
    assert!(done.err.starts_with("error: buoy.svg and buoy.svg overlap\n"), "{}", done.err);
    let help = "= help: move one of them, or write a gap smaller than 2mm; or overlap = true under it, if it is meant";
    assert!(done.err.contains(help), "{}", done.err);
    let meant = design("straight", "", &(hero("40mm", "") + &hero("50mm", "overlap = true\n")));
    let json = meant.json(&["toss", "shore.toml"]);
    assert!(json["fixed"] == 2 && json["laid"].as_u64().unwrap() > 5, "{json}");
    assert!(json["gaps"]["least_mm"].as_f64().unwrap() >= 2.0, "{json}");
    assert!(meant.read("shore.toml").contains("overlap = true\n"));
}

#[test]
fn a_hero_and_its_own_copies() {
    let hero = |width: &str, more: &str| {
        format!(
            "[[motif]]\nfile = \"buoy.svg\"\nwidth = \"{width}\"\nheight = \"20mm\"\nat = [\"40mm\", \"30mm\"]\n{more}"
        )
    };
    // The ink is 0.9 of the width: 79.2 mm of 80.
    let shop = design("straight", "", &hero("88mm", ""));
    let done = shop.run(&["toss", "shore.toml"]);
    let what = "error: buoy.svg and its own copy a step away are 0.8mm apart, nearer than the gap\n";
    assert!(done.err.starts_with(what), "{}", done.err);
    assert!(done.err.contains("write a smaller width or a larger block, or a gap smaller than 2mm; or overlap = true"));
    design("straight", "", &hero("88mm", "overlap = true\n")).done(&["toss", "shore.toml"]);
    // Mirrored images meet on purpose: in the mirrored cloth the next copy of the same hand lies two blocks away.
    design("mirror-across", "", &hero("88mm", "")).done(&["toss", "shore.toml"]);
}

#[test]
fn make_says_where_a_motif_overlaps_its_own_copies() {
    let made = |width: &str, layout: &str, more: &str| {
        let shop = Shop::new();
        let design = format!(
            "[repeat]\nlayout = \"{layout}\"\nblock = \"40mm\"\n[[motif]]\nfile = \"buoy.svg\"\nwidth = \"{width}\"\n\
             {more}\n[[deliver]]\nas = [\"svg\"]\ndpi = 254\n"
        );
        shop.write("shore.toml", design);
        let done = shop.run(&["make", "shore.toml"]);
        assert_eq!(done.code, Some(0), "{}", done.err);
        done.err
    };
    let words = "warning: buoy overlaps its own copies in the next blocks: write a smaller width or a larger block, \
                 or in the design overlap = true where it is meant\n";
    // A disc of 0.9 of the width: it touches its copies at 44.4 mm.
    assert_eq!(made("45mm", "straight", ""), words);
    assert_eq!(made("44.4mm", "straight", ""), "");
    assert_eq!(made("45mm", "straight", "overlap = true"), "");
    // Dropped by half it lies farther from its copies beside it, and as far from those below.
    assert_eq!(made("45mm", "half-drop", ""), words);
    assert_eq!(made("44mm", "half-drop", ""), "");
    // A border has no copies below.
    assert!(!made("20mm", "border", "height = \"60mm\"").contains("overlaps"));
    // Mirrored images meet on purpose.
    assert_eq!(made("60mm", "mirror", ""), "");
}

/// Where motifs alternate, a motif on all kinds of place has copies nearer than the next of its own kind.
#[test]
fn make_says_where_a_motif_overlaps_its_copy_on_another_kind_of_place() {
    let made = |layout: &str, more: &str| {
        let shop = Shop::new();
        let design = format!(
            "[repeat]\nlayout = \"{layout}\"\nblock = \"40mm x 60mm\"\n[[motif]]\nfile = \"buoy.svg\"\nwidth = \"50mm\"\n\
             height = \"50mm\"\n{more}\n[[deliver]]\nas = [\"svg\"]\ndpi = 254\n"
        );
        shop.write("shore.toml", design);
        shop.run(&["make", "shore.toml"]).err
    };
    // A disc of 45 mm, 40 mm from that in the next column, and 80 mm from the next of its own kind.
    assert!(made("stripes", "").starts_with("warning: buoy overlaps its own copies in the next blocks"));
    assert_eq!(made("stripes", "overlap = true"), "");
    assert_eq!(made("stripes", "place = 1"), "warning: place 2 holds no motif, and stays bare\n");
    // By rows it is 60 mm to the next, but 40 mm to that of its own kind beside it.
    assert!(made("rows", "").contains("overlaps its own copies"));
    assert!(made("checker", "").contains("overlaps its own copies"));
    assert!(!made("checker", "place = 1").contains("overlaps"));
}

/// Where motifs alternate, each kind of place has a toss of its own, around what lies fixed there, and keeps its gap to
/// the others over every edge.
#[test]
fn an_alternating_layout_is_strewn_place_by_place() {
    let heroes = "[[motif]]\nfile = \"buoy.svg\"\nwidth = \"44mm\"\nheight = \"44mm\"\nplace = 1\n[[motif]]\nfile = \
                  \"sizeless.svg\"\nwidth = \"16mm\"\nplace = 2\n";
    for (layout, kinds) in [
        ("stripes", 2),
        ("rows", 2),
        ("checker", 2),
        ("half-drop\"\nalternate = \"columns=3", 3),
        ("brick=1/3\"\nalternate = \"checker", 2),
        ("border\"\nalternate = \"columns", 2),
    ] {
        let shop = design(layout, "", heroes);
        let json = shop.json(&["toss", "shore.toml"]);
        assert!(json["fixed"] == 2 && json["gaps"]["least_mm"].as_f64().unwrap() >= 2.0, "{layout}: {json}");
        assert!((0.2..0.7).contains(&json["coverage"].as_f64().unwrap()), "{layout}: {json}");
        let text = shop.read("shore.toml");
        let tossed: Vec<&str> = text.split("[[motif]]").filter(|section| section.contains("tossed = true")).collect();
        let on = |kind: usize| tossed.iter().filter(|s| s.contains(&format!("\nplace = {kind}\n"))).count();
        let counts: Vec<usize> = (1..=kinds).map(on).collect();
        assert_eq!(counts.iter().sum::<usize>(), tossed.len(), "{layout}: {text}");
        // The large hero leaves less room than the small one, and a bare block has most.
        assert!(counts[0] > 2 && counts[0] < counts[1], "{layout}: {counts:?}");
        assert!(kinds == 2 || counts[2] > counts[1], "{layout}: {counts:?}");
        assert_eq!(shop.run(&["make", "shore.toml"]).err, "", "{layout}");
    }
    // On all kinds of place: a disc of 39.6 mm, and its copies 40 mm off in the next columns.
    let near = "[[motif]]\nfile = \"buoy.svg\"\nwidth = \"88mm\"\nheight = \"50mm\"\n";
    let done = design("stripes", "", near).run(&["toss", "shore.toml"]);
    let what = "error: buoy.svg and its own copy a step away are 0.8mm apart, nearer than the gap\n";
    assert!(done.err.starts_with(what), "{}", done.err);
    let meant = format!("{near}overlap = true\n");
    let json = design("stripes", "", &meant).json(&["toss", "shore.toml"]);
    assert!(json["fixed"] == 1 && json["gaps"]["least_mm"].as_f64().unwrap() >= 2.0, "{json}");
}

#[test]
fn a_border_is_strewn_between_its_edges() {
    let shop = design("border", "", "");
    let json = shop.json(&["toss", "shore.toml"]);
    assert!(json["laid"].as_u64().unwrap() >= 8 && json["gaps"]["least_mm"].as_f64().unwrap() >= 2.0, "{json}");
    assert!((0.2..0.7).contains(&json["coverage"].as_f64().unwrap()), "{json}");
    // A disc of 12.6 mm, upright on the page: its middle lies at least that half and half a gap from the edges.
    let text = shop.read("shore.toml");
    let places = text.split("[[motif]]").skip(1).filter(|section| section.contains("buoy.svg"));
    let ys: Vec<f64> = places
        .map(|section| {
            let at = section.split("at = [").nth(1).unwrap().split('"').nth(3).unwrap();
            at.trim_end_matches("mm").parse().unwrap()
        })
        .collect();
    assert!(ys.len() > 4 && ys.iter().all(|y| (7.3..=52.7).contains(y)), "{ys:?}");
    // `make` warns of what a border's edges cut: nothing.
    shop.done(&["make", "shore.toml"]);
}

/// A block whose pixels are not quite square as asked: what leaves all as it is was once not the identity to the last
/// bit, so that every motif lay on its own image, and none was laid.
#[test]
fn whole_pixels_that_are_not_quite_square_make_no_images() {
    for layout in ["half-drop", "brick", "mirror-drop"] {
        let shop = design(layout, "", "");
        shop.write("shore.toml", shop.read("shore.toml").replace("80mm x 60mm", "120mm"));
        let json = shop.json(&["toss", "shore.toml"]);
        assert!(json["laid"].as_u64().unwrap() > 25, "{layout}: {json}");
    }
}

/// Two that cross where neither has a point to feel with: with a gap so small it once stayed unseen.
#[test]
fn a_tiny_gap_is_kept() {
    let shop = design("straight", "", "");
    shop.write("shore.toml", shop.read("shore.toml").replace("gap = \"2mm\"", "gap = \"0.05mm\""));
    let json = shop.json(&["toss", "shore.toml"]);
    assert!(json["gaps"]["least_mm"].as_f64().unwrap() >= 0.05, "{json}");
}

#[test]
fn where_nothing_can_be_laid_the_file_stays() {
    let low = design("border", "", "");
    low.write("shore.toml", low.read("shore.toml").replace("80mm x 60mm", "80mm x 4mm"));
    let done = low.run(&["toss", "shore.toml"]);
    // Not two millimetres are left between the edges.
    let words =
        ["no motif found a place; the file stays as it is", "buoy.svg does not fit into the border, wherever it lies"];
    assert!(done.code == Some(2) && words.iter().any(|words| done.err.contains(words)), "{}", done.err);
    let apart = design("straight", "apart = \"70mm\"", "");
    let done = apart.run(&["toss", "shore.toml"]);
    let what = "error: apart: own kinds are to be 70mm apart, and a motif's own copy is no farther off than 60mm, the block's shortest step\n";
    assert!(done.err.starts_with(what), "{}", done.err);
}

#[test]
fn a_drawing_is_no_design() {
    Shop::new().refuses(
        &["toss", "buoy.svg"],
        "error: buoy.svg: toss wants a design file (.toml), which says what is strewn and how\n |\n = help: begin one with: seamfast new buoy.svg; its [toss] explains itself",
    );
}

/// What `new` writes about strewing is a design when its lines are taken in.
#[test]
fn a_new_designs_toss_decides() {
    let shop = Shop::new();
    shop.done(&["new", "buoy.svg", "--name", "shore"]);
    let text = shop.read("shore.toml");
    let (head, rest) = text.split_once("then: seamfast toss shore.toml\n").unwrap();
    let (block, tail) = rest.split_once("\n\n").unwrap();
    let lines: Vec<&str> = block.lines().map(|line| line.strip_prefix("# ").unwrap()).collect();
    assert_eq!(lines.len(), 6);
    shop.write("shore.toml", format!("{head}taken in\n{}\n\n{tail}", lines.join("\n")));
    let json = shop.json(&["toss", "shore.toml"]);
    assert!(json["fixed"] == 1 && json["laid"].as_u64().unwrap() > 5, "{json}");
}
