//! Layouts, symmetries and borders at the counter.

use super::shop::Shop;

/// What is said of what can't be done; nothing is left behind.
fn refused(shop: &Shop, args: &[&str]) -> String {
    let (before, done) = (shop.files(), shop.run(args));
    assert_eq!((done.code, &*done.out), (Some(2), ""), "{args:?}");
    assert_eq!(shop.files(), before, "{args:?} left something behind");
    done.err
}

/// Without a place, a motif under mirrors and turns lies where it has room; the size is said as it was asked.
#[test]
fn a_group_brings_its_own_steps_and_cell() {
    let shop = Shop::new();
    let json = shop.json(&[
        "make",
        "buoy.svg",
        "--symmetry",
        "p4mm",
        "--as",
        "svg",
        "--tile",
        "8in",
        "--motif-width",
        "0.4in",
    ]);
    assert_eq!((&json["layout"], &json["symmetry"]), (&"p4mm (kaleidoscope)".into(), &"p4mm".into()));
    assert_eq!((&json["copies"], &json["hexagonal_ppm"]), (&8.into(), &serde_json::Value::Null));
    assert_eq!(json["lattice"], serde_json::json!([[1200, 0], [0, 1200]]));
    let json = shop.json(&["make", "buoy.svg", "--symmetry", "kaleidoscope", "--as", "svg", "--dpi", "100"]);
    assert_eq!(json["symmetry"], "p4mm");
}

/// 8 in at 150 dpi may be 1198, 1200 or 1202 px; 1202 × 2082 is the nearest to √3 (36 ppm).
#[test]
fn hexagons_say_how_true_they_are() {
    let shop = Shop::new();
    let said = shop.done(&["make", "buoy.svg", "--layout", "hexagonal", "--as", "svg"]);
    let lines: Vec<&str> = said.lines().collect();
    assert_eq!(lines[0], "buoy: hexagonal tile, 8.013 × 13.88 in (20.354 × 35.255 cm), 1202 × 2082 px at 150 dpi");
    assert!(lines[1].contains("; asked 8in across: each tile is 338.7 µm longer"), "{said}");
    assert_eq!(lines[2], "  Hexagons are 36 ppm higher than true, as near as whole pixels come");
    let json = shop.json(&["make", "buoy.svg", "--layout", "hexagonal", "--as", "svg", "--exact"]);
    assert_eq!((&json["tile"]["width_px"], &json["tile"]["height_px"]), (&1200.into(), &2078.into()));
    let ppm = json["hexagonal_ppm"].as_f64().unwrap();
    assert!((ppm - (2078.0 / (1200.0 * 3f64.sqrt()) - 1.0) * 1e6).abs() < 1e-6, "{ppm}");
    assert!(
        shop.done(&["size", "8in", "--layout", "hexagonal", "--dpi", "300"]).contains("Hexagons are 1.5 ppm higher")
    );
}

#[test]
fn motifs_named_at_the_counter_take_the_places_in_turn() {
    let shop = Shop::new();
    for (layout, tile) in [("stripes", [900, 300]), ("rows", [300, 900]), ("checker", [900, 900])] {
        let motifs = ["buoy.svg", "page.svg", "buoy.svg"];
        let flags = ["--layout", layout, "--block", "2in", "--motif-width", "1in", "--as", "svg"];
        let json = shop.json(&[&["make"], &motifs[..], &flags].concat());
        assert_eq!(
            [&json["tile"]["width_px"], &json["tile"]["height_px"]],
            tile.map(serde_json::Value::from).each_ref()
        );
        assert_eq!(json["layout"], format!("{layout}=3"));
    }
    let json =
        shop.json(&["make", "buoy.svg", "page.svg", "--alternate", "columns", "--as", "svg", "--motif-width", "1in"]);
    assert_eq!(json["layout"], "half-drop, columns=2");
}

#[test]
fn a_border_is_judged_by_its_one_join() {
    let shop = Shop::new();
    let said = shop.done(&[
        "make",
        "buoy.svg",
        "--layout",
        "border",
        "--tile",
        "8x3in",
        "--motif-width",
        "1in",
        "--as",
        "png",
    ]);
    assert!(said.ends_with("It is a border: repeat it across only. Above and below nothing joins.\n"), "{said}");
    let json = shop.json(&["check", "out/buoy.png", "--border"]);
    let [file] = &json["files"].as_array().unwrap()[..] else { panic!("{json}") };
    assert_eq!(file["joins"].as_array().unwrap().len(), 1);
    assert_eq!((&file["joins"][0]["join"], &file["inner"]["layout"]), (&"left-right".into(), &"border".into()));
    shop.write("frieze.toml", "[repeat]\nlayout = \"border\"\nsymmetry = \"p2mg\"\nblock = \"4x2in\"\n[[motif]]\nfile = \"buoy.svg\"\nwidth = \"0.5in\"\nat = [\"12%\", \"5%\"]\n");
    let json = shop.json(&["check", "frieze.toml"]);
    assert_eq!(json["files"][0]["joins"].as_array().unwrap().len(), 1);
    let json = shop.json(&["make", "frieze.toml", "--as", "png"]);
    assert_eq!(json["layout"], "border, p2mg");
    // Its picture doesn't know what it is, and is asked for.
    let hint = "if it is a border, repeated across only, say so: --border";
    let done = shop.run(&["check", "out/frieze.png"]);
    assert!(done.code == Some(1) && done.out.contains(hint), "{}", done.out);
    let done = shop.run(&["check", "out/frieze.png", "--border"]);
    assert!(done.code == Some(0) && !done.out.contains(hint), "{}", done.out);
    let warnings = json["warnings"].to_string();
    assert!(warnings.contains("over the border's upper edge, and is cut there"), "{warnings}");
}

#[test]
fn what_does_not_go_together_is_refused_with_the_reason() {
    let shop = Shop::new();
    for (flags, said) in [
        (
            &["--symmetry", "p4", "--block", "4x5in"][..],
            "--block: p4 (pinwheel) needs a block as wide as it is high, and 4in × 5in is not",
        ),
        (
            &["--symmetry", "p3", "--block", "4x5in"],
            "--block: p3 needs a block √3 times as high as it is wide, and 4in × 5in is not",
        ),
        (
            &["--symmetry", "p3", "--layout", "brick"],
            "--symmetry: p3 brings its own steps and can't be laid out as brick; leave the layout out",
        ),
        (
            &["--symmetry", "p2", "--layout", "mirror"],
            "--symmetry: mirror mirrors or turns already and takes no p2 besides; leave one of them out",
        ),
        (
            &["--symmetry", "p4", "--layout", "border"],
            "--symmetry: a border can't have p4; write one of the seven that it can: p1, p211",
        ),
        (&["--symmetry", "p5"], "--symmetry: \"p5\" is not a plane group; write p1, p2 (turn), pm (turnover), pg"),
        (
            &["--layout", "pinwheel", "--alternate", "rows"],
            "--alternate: motifs alternate where blocks only step; pinwheel mirrors or turns them",
        ),
        (
            &["--alternate", "diagonals"],
            "--alternate: \"diagonals\" does not say how motifs alternate; write columns, rows or checker",
        ),
        (
            &["--alternate", "columns=65"],
            "--alternate: \"columns=65\" needs a whole number from 2 to 64; write for example columns=3",
        ),
        (
            &["--layout", "satin=8/4"],
            "--layout: \"satin=8/4\" is no satin: the step must have no divisor in common with the ends",
        ),
    ] {
        let error = refused(&shop, &[&["make", "buoy.svg"], flags].concat());
        assert!(error.contains(said), "{flags:?}: {error}");
    }
    shop.write("place.toml", "[[motif]]\nfile = \"buoy.svg\"\nplace = 2\n");
    let error = refused(&shop, &["make", "place.toml"]);
    assert!(
        error.contains("this layout has one kind of place")
            && error.contains("write alternate = \"columns\" under [repeat]"),
        "{error}"
    );
}
