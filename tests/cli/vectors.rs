//! Vector files for other programs: what is made, what is said, and wrong wishes.

use super::shop::Shop;

/// A blurred lamp on a flat post, 20 mm × 20 mm.
const LAMP: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm" viewBox="0 0 20 20"><filter id="f"><feGaussianBlur stdDeviation="1"/></filter><path d="M9 8h2v10h-2z" fill="#17364f"/><circle cx="10" cy="6" r="4" fill="#e0a53b" filter="url(#f)"/></svg>"##;
/// A shade that fades, clipped, over the page's edge.
const SHADE: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm" viewBox="0 0 20 20"><linearGradient id="g"><stop stop-color="#c33"/><stop offset="1" stop-color="#c33" stop-opacity="0"/></linearGradient><clipPath id="c"><circle cx="12" cy="10" r="9"/><circle cx="8" cy="10" r="9"/></clipPath><g clip-path="url(#c)"><rect width="30" height="20" fill="url(#g)"/><path d="M0 10h20" stroke="#17364f" stroke-dasharray="2 1"/></g></svg>"##;

fn vectors(shop: &Shop, more: &[&str]) -> Vec<String> {
    let kinds = ["make", "buoy.svg", "--tile", "30x20mm", "--as", "svg,pdf,pattern-svg,pattern-pdf,plain-svg"];
    shop.done(&[&kinds[..], more].concat());
    shop.names("out")
}

#[test]
fn each_kind_has_a_file_of_its_own() {
    let shop = Shop::new();
    let tile = ["buoy-pattern.pdf", "buoy-pattern.svg", "buoy-plain.svg", "buoy.pdf", "buoy.svg"];
    assert_eq!(vectors(&shop, &[]), tile);
    let shop = Shop::new();
    let cloth = ["buoy-cloth-plain.svg", "buoy-cloth.pdf", "buoy-cloth.svg", "buoy-pattern.pdf", "buoy-pattern.svg"];
    assert_eq!(vectors(&shop, &["--cloth", "10x10cm"]), cloth);
    assert!(shop.read("out/buoy-cloth.svg").contains("width=\"100mm\" height=\"100mm\""));
}

#[test]
fn the_same_design_gives_the_same_bytes() {
    let made = |threads| {
        let shop = Shop::new();
        shop.write("shade.svg", SHADE);
        let args = ["make", "shade.svg", "--as", "pdf,pattern-pdf,pattern-svg,plain-svg", "--threads", threads];
        shop.done(&args);
        shop.files()
            .into_iter()
            .filter(|(path, _)| path.parent().is_some_and(|folder| folder.ends_with("out")))
            .map(|(path, bytes)| (path.file_name().map(ToOwned::to_owned), bytes))
            .collect::<Vec<_>>()
    };
    let first = made("1");
    assert_eq!(first.len(), 4);
    assert!(first == made("2"), "other bytes");
}

#[test]
fn plain_paths_hold_nothing_else() {
    let shop = Shop::new();
    shop.write("shade.svg", SHADE);
    shop.done(&["make", "shade.svg", "--tile", "60x40mm", "--ground", "linen", "--as", "plain-svg"]);
    let text = shop.read("out/shade-plain.svg");
    for word in ["<use", "<style", "style=", "class=", "clip", "transform=\"m", "stroke="] {
        assert!(!text.contains(word), "{word} stands in {text}");
    }
    assert!(text.contains("fill=\"url(#p1)\"") && text.contains("fill=\"#17364f\""));
}

#[test]
fn what_is_no_curve_is_said_in_words_and_in_json() {
    let shop = Shop::new();
    shop.write("lamp.svg", LAMP);
    let done = shop.run(&["make", "lamp.svg", "--as", "pdf,plain-svg", "--dpi", "200"]);
    let said = "warning: out/lamp.pdf: lamp: 1 filter can't be curves, and is painted at 200 dpi\n\
                warning: out/lamp-plain.svg: lamp: 3 filters stay filters\n";
    assert_eq!((done.code, &*done.err), (Some(0), said));
    let json = shop.json(&["make", "lamp.svg", "--as", "pdf"]);
    assert_eq!(
        json["warnings"],
        serde_json::json!(["out/lamp.pdf: lamp: 1 filter can't be curves, and is painted at 150 dpi"])
    );
}

#[test]
fn what_is_no_ink_of_its_own_is_said() {
    let shop = Shop::new();
    shop.write("shade.svg", SHADE);
    let done = shop.run(&["make", "shade.svg", "--as", "pdf", "--inks", "separation"]);
    let said = "warning: out/shade.pdf: shade: 1 gradient is no separation, and stays in sRGB\n";
    assert_eq!((done.code, &*done.err), (Some(0), said));
}

#[test]
fn wrong_bleeds() {
    let shop = Shop::new();
    let refused = |bleed: &str, words: &str| {
        shop.refuses(&["make", "buoy.svg", "--tile", "30x20mm", "--as", "pdf", "--bleed", bleed], words);
    };
    refused("-3mm", "error: --bleed: \"-3mm\" is not more than zero; write a length above zero, for example 8in");
    refused("0mm", "error: --bleed: \"0mm\" is not more than zero; write a length above zero, for example 8in");
    refused("3", "error: --bleed: \"3\" has no unit; write 3mm, 3cm or 3in");
    refused(
        "3px",
        "error: --bleed: \"3px\" is in pixels, which have no true size\n |\n = help: write a length, for example 2.5in or 60mm",
    );
    refused(
        "21mm",
        "error: --bleed: \"21mm\" is more than the tile, which is 30.1413mm × 19.9813mm\n |\n = help: write what the printer cuts away, for example 3mm",
    );
}

#[test]
fn wrong_cloths_and_inks() {
    let shop = Shop::new();
    let refused = |flag: &str, value: &str, words: &str| {
        shop.refuses(&["make", "buoy.svg", "--tile", "30x20mm", "--as", "pdf", flag, value], words);
    };
    refused("--cloth", "900x900px", "error: --cloth: \"900x900px\" is in pixels; write for example 54inx1yd");
    refused(
        "--cloth",
        "-1x2m",
        "error: --cloth: \"-1m\" is not more than zero; write a length above zero, for example 8in",
    );
    refused(
        "--cloth",
        "wide",
        "error: --cloth: \"wide\" is not a length; write a number and a unit, for example 8in, 7 1/2in or 20.5cm",
    );
    refused(
        "--cloth",
        "150cm x 900m",
        "error: --cloth: \"150cm x 900m\" comes to some 4594488 copies of motifs; the most is 500000\n |\n = help: show less of it, for example 54inx1yd; or allow more with --limit cloth-copies=1000000",
    );
    refused("--inks", "spot", "error: --inks: \"spot\" is not known; write srgb or separation");
}

#[test]
fn wishes_that_change_nothing_are_said() {
    let shop = Shop::new();
    let args = ["make", "buoy.svg", "--as", "png", "--bleed", "3mm", "--inks", "separation", "--cloth", "1x1m"];
    let done = shop.run(&args);
    let none = |flag: &str| {
        format!("warning: --{flag} is for pdf, and none is made: add pdf to --as, or leave --{flag} out\n")
    };
    assert_eq!((done.code, done.err), (Some(0), none("bleed") + &none("inks") + &none("cloth")));
    shop.write("shore.toml", "[[motif]]\nfile = \"buoy.svg\"\n[[deliver]]\nas = [\"pattern-svg\"]\nbleed = \"3mm\"\n");
    let done = shop.run(&["make", "shore.toml"]);
    let said = "warning: bleed is for pdf, and this delivery makes pattern-svg only: add \"pdf\" to its as, or take bleed out\n";
    assert_eq!((done.code, &*done.err), (Some(0), said));
}

#[test]
fn a_file_that_can_not_be_smaller_says_so() {
    let shop = Shop::new();
    let args = ["make", "buoy.svg", "--as", "pdf"];
    let bytes = shop.json(&args)["files"][0]["bytes"].as_u64().unwrap();
    shop.refuses(
        &[&args[..], &["--max-bytes", "1kB"]].concat(),
        &format!(
            "error: out/buoy.pdf would have {bytes} bytes, over the limit of 1000; no setting makes a PDF smaller: use simpler motifs or fewer of them"
        ),
    );
}
