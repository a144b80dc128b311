//! What is made, and how it is said.

use serde_json::Value;
use sha2::{Digest, Sha256};

use super::shop::Shop;

#[test]
fn a_motif_becomes_a_half_drop_tile() {
    let shop = Shop::new();
    let said = shop.done(&["make", "buoy.svg", "--ground", "linen"]);
    assert_eq!(shop.names("out"), ["buoy.png", "buoy.svg", "buoy.tif"]);
    let lines: Vec<&str> = said.lines().collect();
    assert_eq!(lines[0], "buoy: half-drop tile, 8 × 8 in (20.32 × 20.32 cm), 1200 × 1200 px at 150 dpi");
    assert_eq!(lines[1], "  1 motif, 2 copies on a tile; the size is exactly as asked");
    for (line, file) in lines[2..5].iter().zip(["out/buoy.svg", "out/buoy.png", "out/buoy.tif"]) {
        let (path, size) = line.trim().split_once(' ').unwrap();
        assert_eq!(path, file);
        let (number, unit) = size.trim().split_once(' ').unwrap();
        let times = match unit {
            "B" => 1.0,
            "kB" => 1e3,
            "MB" => 1e6,
            _ => panic!("{line}"),
        };
        let bytes = std::fs::metadata(shop.path(file)).unwrap().len() as f64;
        assert!((number.parse::<f64>().unwrap() * times - bytes).abs() <= 0.05 * times + 0.5, "{line}: {bytes}");
    }
    assert_eq!(lines[5..], ["Have it printed as a straight repeat: the half-drop is already inside the tile."]);
}

#[test]
fn what_the_pixels_change_is_said() {
    let shop = Shop::new();
    let said = |tile: &str, layout: &str| {
        let said = shop.done(&["make", "buoy.svg", "--as", "svg", "--tile", tile, "--layout", layout]);
        said.lines().nth(1).unwrap().trim().to_owned()
    };
    assert_eq!(
        said("640mm", "straight"),
        "1 motif, 1 copy on a tile; asked 640mm × 640mm: each tile is 80 µm longer (1.25 mm in 10 m of cloth) both ways"
    );
    assert_eq!(
        said("640x254mm", "straight"),
        "1 motif, 1 copy on a tile; asked 640mm × 10in: each tile is 80 µm longer (1.25 mm in 10 m of cloth) across"
    );
    assert_eq!(
        said("254x639.9mm", "straight"),
        "1 motif, 1 copy on a tile; asked 10in × 639.9mm: each tile is 10.7 µm longer (0.17 mm in 10 m of cloth) down"
    );
    assert!(!shop.done(&["make", "buoy.svg", "--layout", "straight"]).contains("Have it printed"));
}

#[test]
fn json_holds_every_promised_fact() {
    let shop = Shop::new();
    let json = shop.json(&["make", "buoy.svg", "page.svg", "--tile", "640x320mm", "--dpi", "150", "--layout", "brick"]);
    let tile = &json["tile"];
    assert_eq!(
        [&tile["width_px"], &tile["height_px"], &tile["dpi"]],
        [&Value::from(3780), &1890.into(), &150.0.into()]
    );
    assert_eq!([&tile["width_in"], &tile["height_in"]], [&Value::from(25.2), &12.6.into()]);
    assert_eq!(json["lattice"], serde_json::json!([[3780, 0], [1890, 945]]));
    assert_eq!(json["block_px"], serde_json::json!([3780, 945]));
    assert_eq!(json["layout"], "brick");
    assert_eq!(json["motifs"], 2);
    assert!(json["copies"].as_u64().unwrap() >= 4);
    assert_eq!(json["warnings"], serde_json::json!([]));
    let um = json["remainder"]["um_per_tile"][0].as_f64().unwrap();
    assert!((um - 80.0).abs() < 0.05, "{um}");
    let files = json["files"].as_array().unwrap();
    let kinds: Vec<&str> = files.iter().map(|file| file["kind"].as_str().unwrap()).collect();
    assert_eq!(kinds, ["svg", "png", "tiff"]);
    for file in files {
        let bytes = std::fs::read(shop.path(file["path"].as_str().unwrap())).unwrap();
        assert_eq!(file["bytes"], bytes.len());
        let hash: String = Sha256::digest(&bytes).iter().map(|byte| format!("{byte:02x}")).collect();
        assert_eq!(file["sha256"], hash);
    }
}

#[test]
fn same_in_same_out_on_any_number_of_threads() {
    let shop = Shop::new();
    let digests = |out: &str, threads: &str| -> Vec<Value> {
        let json = shop.json(&["make", "buoy.svg", "page.svg", "--out", out, "--threads", threads]);
        json["files"].as_array().unwrap().iter().map(|file| file["sha256"].clone()).collect()
    };
    let one = digests("one", "1");
    assert_eq!(one.len(), 3);
    assert_eq!(one, digests("three", "3"));
}

#[test]
fn warnings_go_to_standard_error_or_into_the_json() {
    let shop = Shop::new();
    shop.write("blank.svg", r#"<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm"><g/></svg>"#);
    let args = ["make", "blank.svg", "buoy.svg", "--as", "svg"];
    let done = shop.run(&args);
    assert_eq!(done.code, Some(0));
    assert_eq!(done.err, "warning: blank: has no ink; nothing of it will be seen\n");
    assert!(done.out.starts_with("blank: half-drop tile"));
    let json = shop.json(&args);
    assert_eq!(json["warnings"], serde_json::json!(["blank: has no ink; nothing of it will be seen"]));
}

#[test]
fn a_flag_that_changes_nothing_is_said() {
    let shop = Shop::new();
    let flags = ["--quality", "80", "--packing", "lzw", "--colors", "grey", "--clip"];
    let none = |flag: &str, kind: &str| {
        format!("warning: --{flag} is for {kind}, and none is made: add {kind} to --as, or leave --{flag} out\n")
    };
    let said = |kinds: &str| {
        let done = shop.run(&[&["make", "buoy.svg", "--ground", "linen", "--as", kinds], &flags[..]].concat());
        assert_eq!(done.code, Some(0), "{}", done.err);
        done.err
    };
    assert_eq!(said("jpeg"), none("packing", "tiff") + &none("colors", "png") + &none("clip", "svg"));
    assert_eq!(said("svg,tiff"), none("colors", "png") + &none("quality", "jpeg"));
    // One delivery of a design that makes it is enough for a flag; what the design says of one is of that one.
    let motif = "ground = \"linen\"\n[[motif]]\nfile = \"buoy.svg\"\n";
    shop.write(
        "shore.toml",
        format!("{motif}[[deliver]]\nas = [\"svg\"]\nquality = 80\n[[deliver]]\nas = [\"jpeg\"]\n"),
    );
    let done = shop.run(&["make", "shore.toml", "--clip"]);
    assert_eq!(
        (done.code, &*done.err),
        (
            Some(0),
            "warning: quality is for jpeg, and this delivery makes svg only: add \"jpeg\" to its as, or take quality out\n"
        )
    );
}

#[test]
fn what_the_artwork_would_lose_is_refused_until_it_is_allowed_by_name() {
    let shop = Shop::new();
    shop.write("net.svg", r#"<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm"><script>1</script><path d="M2 2h16v8z"/></svg>"#);
    shop.refuses(
        &["make", "net.svg"],
        "error: net.svg: 1 thing in the drawing cannot be kept
 |
 = line 1: script: <script>
 = help: script: remove the script and draw what it would draw
         or allow it by name: script",
    );
    let args = ["make", "net.svg", "--allow", "script", "--as", "svg"];
    let done = shop.run(&args);
    assert_eq!((done.code, &*done.err), (Some(0), "warning: net: left out as allowed: line 1: script: <script>\n"));
    assert_eq!(shop.json(&args)["warnings"], serde_json::json!(["net: left out as allowed: line 1: script: <script>"]));
}

#[test]
fn trimmed_the_ink_is_the_motif() {
    let shop = Shop::new();
    shop.write("shell.svg", r#"<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="40mm" viewBox="0 0 40 40"><path d="M4 4h10v5h-10z"/></svg>"#);
    let first = |trim: &[&str]| {
        shop.done(
            &[&["make", "shell.svg", "--layout", "straight", "--tile", "1in", "--dpi", "254", "--as", "svg"], trim]
                .concat(),
        );
        let svg = shop.read("out/shell.svg");
        let (copies, translate) = (svg.matches("<use ").count(), svg.split("translate(").nth(1).unwrap());
        let [x, y]: [f64; 2] = translate
            .split(')')
            .next()
            .unwrap()
            .split(' ')
            .map(|n| n.parse().unwrap())
            .collect::<Vec<_>>()
            .try_into()
            .unwrap();
        // From CSS pixels to millimetres: where the motif's middle is, from the page's corner.
        (copies, [-x * 25.4 / 96.0, -y * 25.4 / 96.0].map(|n| (n * 1e4).round() / 1e4))
    };
    assert_eq!(first(&[]), (4, [20.0, 20.0]));
    assert_eq!(first(&["--trim"]), (1, [9.0, 6.5]));
    shop.refuses(
        &["make", "page.svg", "--croquis", "--trim"],
        "error: --trim: does not go with --croquis\n |\n = help: a page by hand is the block, all of it",
    );
}

#[test]
fn a_font_may_stand_in_for_another() {
    let shop = Shop::new();
    shop.write("sign.svg", r#"<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="20mm"><text y="40" font-weight="bold" font-family="Harbour Script">Tern</text></svg>"#);
    let done = shop.run(&["make", "sign.svg", "--as", "svg", "--font", "harbour script = DejaVu Serif"]);
    let said = "warning: sign: another font, as asked: line 1: missing-font: \"Harbour Script\" bold for \"Tern\"; DejaVu Serif is taken\n";
    assert_eq!((done.code, &*done.err), (Some(0), said));
    shop.refuses(
        &["make", "sign.svg", "--font", "DejaVu Serif"],
        "error: --font: \"DejaVu Serif\" has no =\n |\n = help: write the font as the drawing names it, = and the other: --font 'Harbour Script=DejaVu Serif'",
    );
}

#[test]
fn what_is_said_is_plain_where_there_is_no_terminal() {
    let shop = Shop::new();
    for args in
        [&["make", "buoy.svg"][..], &["make", "nothere.svg"], &["make", "--help"], &["mkae"], &["size", "640mm"]]
    {
        let done = shop.run(args);
        assert!(!(done.out.clone() + &done.err).contains('\u{1b}'), "{args:?}: {done:?}");
        assert!(!(done.out + &done.err).is_empty());
    }
}

#[test]
fn a_croquis_keeps_its_own_size_and_ground_and_is_repeated_straight() {
    let shop = Shop::new();
    let json = shop.json(&["make", "page.svg", "--croquis", "--dpi", "254"]);
    assert_eq!(json["layout"], "straight");
    assert_eq!([&json["tile"]["width_px"], &json["tile"]["height_px"]], [&Value::from(400), &300.into()]);
    // The circle over the right edge comes in again by the left.
    assert_eq!(json["copies"], 2);
    assert!(shop.read("out/page.svg").contains("fill=\"#ffeedd\""));
}

#[test]
fn names_with_spaces_and_letters_of_all_kinds() {
    let shop = Shop::new();
    shop.write("Muster für Lübeck/Möwe & Tau (2).svg", super::shop::BUOY);
    let said =
        shop.done(&["make", "Muster für Lübeck/Möwe & Tau (2).svg", "--out", "für den Druck", "--as", "svg,png"]);
    assert!(said.contains("  für den Druck/Möwe & Tau (2).svg  "), "{said}");
    assert_eq!(shop.names("für den Druck"), ["Möwe & Tau (2).png", "Möwe & Tau (2).svg"]);
}

#[test]
fn the_same_kind_or_motif_twice_is_no_fault() {
    let shop = Shop::new();
    shop.done(&["make", "buoy.svg", "buoy.svg", "--as", "svg,svg,tif,tiff", "--layout", " Half-Drop "]);
    assert_eq!(shop.names("out"), ["buoy.svg", "buoy.tif"]);
}

#[test]
fn five_hundred_motifs() {
    let shop = Shop::new();
    let names: Vec<String> = (0..500).map(|n| format!("m{n}.svg")).collect();
    for name in &names {
        shop.write(name, super::shop::BUOY);
    }
    let mut args = vec!["make", "--motif-width", "5mm", "--as", "svg"];
    args.extend(names.iter().map(|name| &**name));
    let json = shop.json(&args);
    assert_eq!(json["motifs"], 500);
    assert!(json["copies"].as_u64().unwrap() >= 1000);
}

#[test]
fn an_old_file_is_replaced_and_its_neighbors_stay() {
    let shop = Shop::new();
    shop.write("out/buoy.svg", "old");
    shop.write("out/notes.txt", "mine");
    shop.done(&["make", "buoy.svg", "--as", "svg"]);
    assert!(shop.read("out/buoy.svg").starts_with("<svg"));
    assert_eq!(shop.read("out/notes.txt"), "mine");
    assert_eq!(shop.names("out"), ["buoy.svg", "notes.txt"]);
}

#[cfg(unix)]
#[test]
fn delivered_files_have_the_rights_of_any_new_file() {
    use std::os::unix::fs::PermissionsExt;
    let shop = Shop::new();
    shop.done(&["make", "buoy.svg", "--as", "svg"]);
    let rights = |name: &str| std::fs::metadata(shop.path(name)).unwrap().permissions().mode() & 0o777;
    assert_eq!(rights("out/buoy.svg"), rights("buoy.svg"));
}

#[cfg(unix)]
#[test]
fn a_closed_pipe_is_no_error() {
    use std::process::Stdio;
    let shop = Shop::new();
    for args in
        [&["schema"][..], &["size", "640mm"], &["man"], &["completions", "zsh"], &["make", "buoy.svg", "--json"]]
    {
        let mut command = shop.command(args);
        let mut child = command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
        drop(child.stdout.take());
        let output = child.wait_with_output().unwrap();
        assert_eq!((output.status.code(), &*output.stderr), (Some(0), &b""[..]), "{args:?}");
    }
}

#[cfg(target_os = "linux")]
#[test]
fn an_answer_that_cannot_be_written_is_a_failure() {
    let shop = Shop::new();
    let full = std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
    let output = shop.command(&["schema"]).stdout(full).stderr(std::process::Stdio::piped()).output().unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8(output.stderr).unwrap().starts_with("error: can't write the answer: "));
}
