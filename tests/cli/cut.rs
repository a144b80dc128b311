//! Paths for a blade or laser: what is made, what is said, and wrong wishes.

use super::shop::Shop;

/// A ring around a dot of another ink, 20 mm × 20 mm.
const RING: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm" viewBox="0 0 20 20"><path fill="#c33" fill-rule="evenodd" d="M2 2h16v16h-16z M5 5h10v10h-10z"/><rect x="7" y="7" width="6" height="6" fill="#36c"/></svg>"##;
/// A plain ground all over.
const GROUND: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm" viewBox="0 0 20 20"><rect width="20" height="20" fill="#c33"/></svg>"##;
/// A square beside what is no shape: a picture, a blur, a veil and a line of very many dashes.
const NO_SHAPES: [(&str, &str, &str); 4] = [
    (
        "picture",
        r#"<image x="12" y="12" width="4" height="4" href="data:image/png;base64,iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg=="/>"#,
        "a picture made of pixels at 45, 45 of the drawing, 15 × 15 px large",
    ),
    (
        "filter",
        r#"<filter id="f" x="0" y="0" width="1" height="1"><feGaussianBlur stdDeviation="1"/></filter><path id="lamp" d="M12 12h4v4h-4z" filter="url(#f)"/>"#,
        "a filter, such as a blur or a shadow (lamp) at 45, 45 of the drawing, 15 × 15 px large",
    ),
    (
        "soft-mask",
        r##"<mask id="veil"><rect width="20" height="20" fill="#888"/></mask><path d="M12 12h4v4h-4z" mask="url(#veil)"/>"##,
        "a mask that lets things half through (veil) at 45, 45 of the drawing, 15 × 15 px large",
    ),
    (
        "dashes",
        r##"<path id="rope" d="M12 12h4" stroke="#c33" stroke-dasharray="0.000001"/>"##,
        "a line of too many dashes (rope) at 45, 43 of the drawing, 15 × 4 px large",
    ),
];

/// One tile of 20 mm × 20 mm.
fn cut(file: &str, more: &[&str]) -> Vec<String> {
    let tile = ["cut", file, "--tile", "20mm", "--layout", "straight"];
    tile.iter().chain(more).map(|word| (*word).to_owned()).collect()
}

fn shop() -> Shop {
    let shop = Shop::new();
    shop.write("ring.svg", RING);
    shop.write("ground.svg", GROUND);
    shop
}

fn refuses(file: &str, more: &[&str], words: &str) {
    let args = cut(file, more);
    shop().refuses(&args.iter().map(String::as_str).collect::<Vec<_>>(), words);
}

fn json(shop: &Shop, file: &str, more: &[&str]) -> serde_json::Value {
    let args = cut(file, &[more, &["--json"]].concat());
    let done = shop.run(&args.iter().map(String::as_str).collect::<Vec<_>>());
    assert_eq!(done.code, Some(0), "{}", done.err);
    serde_json::from_str(&done.out).unwrap()
}

#[test]
fn each_kind_has_a_file_of_its_own() {
    let shop = shop();
    json(&shop, "ring.svg", &["--as", "svg,dxf,dxf-r12,pdf,hpgl,svg"]);
    let names = ["ring-cut-r12.dxf", "ring-cut.dxf", "ring-cut.pdf", "ring-cut.plt", "ring-cut.svg"];
    assert_eq!(shop.names("out"), names);
    // Sheets are counted, and each ink has its own.
    let shop = self::shop();
    let sheets = ["--mode", "inlay", "--tiles", "2x1", "--sheet", "24x24mm", "--margin", "2mm"];
    json(&shop, "ring.svg", &sheets);
    assert_eq!(shop.names("out"), ["ring-cut-3366cc.svg", "ring-cut-cc3333-1.svg", "ring-cut-cc3333-2.svg"]);
}

#[test]
fn an_ink_s_name_never_leads_out_of_the_folder() {
    let shop = shop();
    let gradient = r##"<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm" viewBox="0 0 20 20"><linearGradient id="../../a.b"><stop stop-color="#c33"/><stop offset="1"/></linearGradient><linearGradient id="a/b"><stop stop-color="#c33"/><stop offset="1"/></linearGradient><path d="M2 2h5v5h-5z" fill="url(#../../a.b)"/><path d="M9 9h5v5h-5z" fill="url(#a/b)"/></svg>"##;
    shop.write("shade.svg", gradient);
    json(&shop, "shade.svg", &["--mode", "stacked", "--sheet", "14x14mm", "--margin", "2mm"]);
    assert_eq!(shop.names("out"), ["shade-cut-gradient-a-b-again-1.svg", "shade-cut-gradient-a-b.svg"]);
}

#[test]
fn the_same_cut_gives_the_same_bytes() {
    let made = || {
        let shop = shop();
        json(&shop, "buoy.svg", &["--tiles", "2x2", "--kerf", "0.2mm", "--as", "svg,dxf,dxf-r12,pdf,hpgl"]);
        let files = shop.files().into_iter().filter(|(path, _)| path.to_string_lossy().contains("-cut"));
        files.map(|(path, bytes)| (path.file_name().map(ToOwned::to_owned), bytes)).collect::<Vec<_>>()
    };
    let first = made();
    assert_eq!(first.len(), 5);
    assert!(first == made(), "other bytes");
}

#[test]
fn facts_for_a_program() {
    let shop = shop();
    let facts = json(&shop, "ring.svg", &["--mode", "inlay"]);
    let layers = &facts["sheets"][0]["layers"];
    // A square of 16 mm without one of 10 mm, and one of 6 mm: areas and ways by hand.
    assert_eq!((&layers[0]["name"], &layers[1]["name"]), (&"cc3333".into(), &"3366cc".into()));
    assert_eq!((layers[0]["area_mm2"].as_f64(), layers[1]["area_mm2"].as_f64()), (Some(156.0), Some(36.0)));
    assert_eq!((layers[0]["cut_mm"].as_f64(), layers[1]["cut_mm"].as_f64()), (Some(104.0), Some(24.0)));
    assert_eq!((layers[0]["paths"].as_u64(), layers[0]["pieces"].as_u64()), (Some(2), Some(1)));
    assert_eq!(facts["sheets"][0]["width_mm"].as_f64(), Some(20.0));
    assert_eq!((&facts["name"], &facts["mode"]), (&"ring".into(), &"inlay".into()));
    assert_eq!(facts["cautions"].as_array().map(Vec::len), Some(4));
    assert_eq!(facts["warnings"], serde_json::json!([]));
    assert!(facts["files"][0]["sha256"].as_str().is_some_and(|sum| sum.len() == 64));
}

#[test]
fn the_inner_edge_comes_first() {
    let shop = shop();
    json(&shop, "ring.svg", &[]);
    let text = shop.read("out/ring-cut.svg");
    let first = |start: &str| text.find(start).unwrap_or_else(|| panic!("{start} is not in {text}"));
    assert!(first("M7 7") < first("M5 5") && first("M5 5") < first("M2 2"), "{text}");
}

#[test]
fn what_is_no_shape_is_refused_or_left_out_by_name() {
    for (kind, thing, told) in NO_SHAPES {
        let shop = shop();
        let svg = r#"<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm" viewBox="0 0 20 20">"#;
        shop.write("wreck.svg", format!("{svg}<path d=\"M2 2h5v5h-5z\"/>{thing}</svg>"));
        let before = shop.files();
        let args = cut("wreck.svg", &[]);
        let args: Vec<&str> = args.iter().map(String::as_str).collect();
        let done = shop.run(&args);
        assert_eq!((done.code, &*done.out), (Some(2), ""), "{kind}");
        let start = "error: what is no shape can't be cut\n |\n = wreck: ";
        assert!(done.err.starts_with(&format!("{start}{told}\n")), "{}", done.err);
        assert!(done.err.trim_end().ends_with(&format!("; or leave it out: --skip {kind}")), "{}", done.err);
        assert_eq!(shop.files(), before);
        let done = shop.run(&[&args[..], &["--skip", kind]].concat());
        assert_eq!(done.code, Some(0));
        assert!(done.err.starts_with(&format!("warning: left out, as allowed: wreck: {told}\n")), "{}", done.err);
    }
}

#[test]
fn wrong_lengths() {
    let refused = |flag: &str, value: &str, words: &str| {
        refuses("ring.svg", &[flag, value], &format!("error: {flag}: {words}"));
    };
    refused(
        "--kerf",
        "-1mm",
        "\"-1mm\" is too small\n |\n = help: write a length that is not less than nothing, for example 2mm",
    );
    refused("--kerf", "101m", "\"101m\" is too large\n |\n = help: write at most 100m");
    refused(
        "--kerf",
        "5px",
        "\"5px\" is in pixels, which have no true size\n |\n = help: write a length, for example 2mm",
    );
    refused("--kerf", "inf", "\"inf\" is not a length; write a number and a unit, for example 8in, 7 1/2in or 20.5cm");
    refused("--simplify", "", "a length is missing; write for example 8in, 20cm or 200mm");
    refused("--weed-border", "0", "\"0\" is too small\n |\n = help: write a length above zero, for example 2mm");
    refused("--weed-lines", "0.5mm", "\"0.5mm\" is too small\n |\n = help: write at least 1mm");
    refused("--speed", "0mm", "\"0mm\" is too small\n |\n = help: write a length above zero, for example 2mm");
}

#[test]
fn wrong_words() {
    let refused = |flags: &[&str], words: &str| refuses("ring.svg", flags, &format!("error: {words}"));
    let tiles = "is no count of tiles\n |\n = help: write tiles across and down, each 1 to 1000, for example 3x2";
    for wrong in ["0x1", "1001x1", "3", "-1x2", ""] {
        refused(&["--tiles", wrong], &format!("--tiles: {wrong:?} {tiles}"));
    }
    let modes = "silhouette, stacked, inlay, outline or stencil";
    refused(&["--mode", "flat"], &format!("--mode: \"flat\" is not known\n |\n = help: write {modes}"));
    refused(&["--as", "png"], "--as: \"png\" is not known\n |\n = help: write svg, dxf, dxf-r12, pdf or hpgl");
    refused(&["--tool", "axe"], "--tool: \"axe\" is no tool that is known\n |\n = help: write blade or laser");
    refused(
        &["--skip", "text"],
        "--skip: \"text\" is not known\n |\n = help: write picture, filter, soft-mask or dashes",
    );
    refused(
        &["--overlap", "1mm"],
        "--overlap: goes with --mode inlay, not with --mode silhouette\n |\n = help: write --mode inlay, or leave out --overlap",
    );
    refused(
        &["--mode", "stencil", "--bridge", "2mm"],
        "--bridge: goes with --islands bridge\n |\n = help: write --islands bridge, or leave out --bridge",
    );
    refused(&["--cloth", "101mx1m"], "--cloth: 101mx1m is too large\n |\n = help: write at most 100m each way");
}

#[test]
fn cuts_that_can_not_be() {
    refuses(
        "ring.svg",
        &["--mode", "outline", "--distance", "-50mm"],
        "error: the outline lies so far inside the ink that nothing is left\n |\n = help: write a --distance nearer to zero",
    );
    let islands = "hold them with --islands bridge, or let them go with --islands list";
    refuses(
        "ring.svg",
        &["--mode", "stencil"],
        &format!("error: 1 part of the stencil would fall out: 5, 5 mm, 10 × 10 mm large\n |\n = help: {islands}"),
    );
    refuses(
        "ground.svg",
        &["--mode", "stencil", "--cut-out", "ground"],
        "error: the ink covers all of the cloth, so there is no ground to cut out\n |\n = help: write --cut-out ink, or name a motif without a ground",
    );
    refuses(
        "ground.svg",
        &["--mode", "stencil", "--frame", "0"],
        "error: the ink covers all of the cloth, so nothing of the stencil is left\n |\n = help: write a --frame, for example 10mm, or name a motif without a ground",
    );
    refuses(
        "ring.svg",
        &["--sheet", "30x30mm"],
        "error: a piece at 2, 2 mm, 16 × 16 mm large does not fit a sheet of 10mm × 10mm\n |\n = help: write a larger --sheet or a smaller --margin, or cut fewer tiles at once",
    );
    refuses(
        "ring.svg",
        &["--sheet", "30x30mm", "--roll"],
        "error: the cloth does not fit a sheet of 10mm × 10mm as it lies, and the lines of a roll can't be laid anew\n |\n = help: write a larger --sheet or a smaller --margin, or leave out --roll",
    );
}

#[test]
fn bridges_leave_one_piece() {
    let shop = shop();
    // Squares that touch in corners only: what lies between them hangs on nothing, and touches too.
    let checks: String = (0..16)
        .filter(|n| (n / 4 + n % 4) % 2 == 0)
        .map(|n| format!("M{} {}h4v4h-4z", 2 + n % 4 * 4, 2 + n / 4 * 4))
        .collect();
    let svg = r#"<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm" viewBox="0 0 20 20">"#;
    shop.write("checks.svg", format!("{svg}<path d=\"{checks}\"/></svg>"));
    for cut_out in ["ink", "ground"] {
        let more = ["--mode", "stencil", "--islands", "bridge", "--cut-out", cut_out];
        assert_eq!(json(&shop, "checks.svg", &more)["sheets"][0]["layers"][0]["pieces"], 1, "{cut_out}");
    }
}

#[test]
fn a_roll_s_lines_end_at_its_edges_with_a_kerf_too() {
    for kerf in ["0", "0.4mm"] {
        let shop = shop();
        json(&shop, "ground.svg", &["--roll", "--tiles", "2x2", "--kerf", kerf]);
        let text = shop.read("out/ground-cut.svg");
        let lines: Vec<&str> = text.lines().filter(|line| line.starts_with("<path")).collect();
        // The left and the right edge, open, and nothing along the upper and lower.
        assert_eq!(lines.len(), 2, "{text}");
        assert!(lines.iter().all(|line| !line.contains('Z')), "{text}");
    }
}

#[test]
fn a_roll_s_ends_meet() {
    let shop = shop();
    for mode in ["silhouette", "outline"] {
        let args = ["cut", "buoy.svg", "--tile", "13x17mm", "--roll", "--mode", mode, "--simplify", "0.1mm", "--json"];
        assert_eq!(shop.run(&args).code, Some(0));
        let text = shop.read("out/buoy-cut.svg");
        let height = text.split("height=\"").nth(1).and_then(|rest| rest.split("mm").next()).unwrap();
        let (mut above, mut below) = (Vec::new(), Vec::new());
        let paths = text.split("<path d=\"").skip(1).filter_map(|rest| rest.split('"').next());
        for path in paths.filter(|path| !path.contains('Z')) {
            let numbers: Vec<&str> =
                path.split(|c: char| c.is_alphabetic() || c == ' ').filter(|n| !n.is_empty()).collect();
            for end in [&numbers[..2], &numbers[numbers.len() - 2..]] {
                let place = end[0].to_owned();
                if end[1] == "0" { above.push(place) } else { below.push((place, end[1].to_owned())) }
            }
        }
        assert!(below.iter().all(|(_, y)| y == height), "{mode}: {text}");
        let mut below: Vec<String> = below.into_iter().map(|(x, _)| x).collect();
        above.sort();
        below.sort();
        assert!(!above.is_empty() && above == below, "{mode}: {above:?} {below:?}");
    }
}

#[test]
fn the_page_holds_the_kerf() {
    let shop = shop();
    let facts = json(&shop, "ground.svg", &["--kerf", "0.4mm"]);
    assert_eq!(facts["sheets"][0]["width_mm"].as_f64(), Some(20.4));
    let text = shop.read("out/ground-cut.svg");
    assert!(text.lines().filter(|line| line.starts_with("<path")).all(|line| !line.contains('-')), "{text}");
}

#[test]
fn marks_and_the_weed_border_lie_on_the_sheet() {
    let shop = shop();
    let lines = ["--sheet", "60x60mm", "--margin", "0", "--marks", "--weed-border", "4mm"];
    json(&shop, "ground.svg", &lines);
    // 10 mm for marks and 4 mm for the border are kept, so the border begins where marks end.
    assert!(shop.read("out/ground-cut.svg").contains("M10 10L"));
}
