//! `seamfast proof`: which files come, that they come together, and what is asked for when something is missing.

use serde_json::Value;

use crate::shop::Shop;

const FILES: [&str; 7] = [
    "ring-proof.html",
    "ring-proof.pdf",
    "ring-loupe.png",
    "ring-distance.png",
    "ring-evenness.png",
    "ring-cloth.png",
    "ring-shifted.png",
];

/// A small tile with a resolution.
fn made(shop: &Shop, kinds: &str) {
    let words = "make buoy.svg --motif-width 30mm --tile 40mm --dpi 127 --ground linen --name ring --out . --as";
    let done = shop.run(&words.split(' ').chain([kinds]).collect::<Vec<_>>());
    assert_eq!(done.code, Some(0), "{}", done.err);
}

#[test]
fn evidence_comes_in_seven_files_the_same_each_time() {
    let shop = Shop::new();
    made(&shop, "png");
    let done = shop.run(&["proof", "ring.png", "--cloth", "30x20cm", "--out", "evidence"]);
    assert_eq!((done.code, &*done.err), (Some(0), ""), "{}", done.out);
    assert!(done.out.starts_with("ring.png: seamless\n  evidence/ring-proof.html\n"), "{}", done.out);
    let read = |name: &str| std::fs::read(shop.path("evidence").join(name)).unwrap();
    let first: Vec<Vec<u8>> = FILES.map(read).into();
    let done = shop.run(&["proof", "ring.png", "--cloth", "30x20cm", "--out", "evidence", "--json"]);
    let answer: Value = serde_json::from_str(&done.out).unwrap();
    assert_eq!((&answer["verdict"], answer["files"].as_array().unwrap().len()), (&"seamless".into(), FILES.len()));
    assert_eq!(FILES.map(read).to_vec(), first);
    // Nothing else is left there.
    assert_eq!(std::fs::read_dir(shop.path("evidence")).unwrap().count(), FILES.len());
}

#[test]
fn the_page_holds_everything_and_asks_for_nothing() {
    let shop = Shop::new();
    shop.run(&["proof", "page.svg", "--dpi", "96"]);
    let page = std::fs::read_to_string(shop.path("out/page-proof.html")).unwrap();
    // A mark that hangs over the right edge is cut: the fault is said, and shown by a loupe of its own.
    for words in
        ["class=\"verdict fault\"", "left-right", "moved by half of itself", "The cloth", "data:image/png;base64,"]
    {
        assert!(page.contains(words), "{words} is not there");
    }
    for outside in ["http://", "https://", "<script", "src=\"/", "url("] {
        assert!(!page.contains(outside), "{outside} is there");
    }
}

#[test]
fn a_join_that_nothing_crosses_is_said_to_be_one() {
    let shop = Shop::new();
    let page = |layout: &str| {
        let make = "make buoy.svg --motif-width 10mm --tile 40mm --dpi 127 --as png --out . --layout";
        assert_eq!(shop.run(&make.split(' ').chain([layout]).collect::<Vec<_>>()).code, Some(0));
        assert_eq!(shop.run(&["proof", "buoy.png"]).code, Some(0));
        std::fs::read_to_string(shop.path("out/buoy-proof.html")).unwrap()
    };
    let bare = "the left-right join: nothing crosses it, one color all along";
    assert!(page("straight").contains(bare));
    // Its other motif lies on the join.
    assert!(!page("brick").contains(bare));
}

#[test]
fn a_picture_without_a_resolution_is_asked_for_it() {
    let shop = Shop::new();
    // 8 × 8 grey pixels, without pHYs.
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, 8, 8);
    encoder.set_color(png::ColorType::Grayscale);
    encoder.write_header().unwrap().write_image_data(&[120; 64]).unwrap();
    std::fs::write(shop.path("plain.png"), bytes).unwrap();
    let done = shop.run(&["proof", "plain.png"]);
    assert_eq!((done.code, &*done.out), (Some(2), ""));
    assert!(done.err.contains("plain.png: has no true size"), "{}", done.err);
    assert!(done.err.contains("write --dpi 300"), "{}", done.err);
    assert!(!shop.path("out").exists());
    let done = shop.run(&["proof", "plain.png", "--dpi", "100"]);
    assert_eq!((done.code, &*done.err), (Some(0), ""), "{}", done.out);
}

#[test]
fn a_resolution_that_the_file_says_itself_goes_before_the_one_that_is_typed() {
    let shop = Shop::new();
    made(&shop, "png");
    let done = shop.run(&["proof", "ring.png", "--dpi", "300", "--out", "other"]);
    assert_eq!(done.code, Some(0), "{}", done.err);
    assert!(done.err.contains("--dpi: ring.png says itself that it has 127 dpi"), "{}", done.err);
    assert_eq!(shop.run(&["proof", "ring.png", "--dpi", "127", "--out", "same"]).err, "");
}

#[test]
fn wrong_wishes_are_named() {
    let shop = Shop::new();
    made(&shop, "png");
    let cases: [(&[&str], &str); 6] = [
        (&["--name", "../ring"], "--name:"),
        (&["--cloth", "200x100px"], "--cloth: \"200x100px\" is in pixels; write for example 54inx1yd"),
        (&["--cloth", "1x1km"], "--cloth:"),
        (&["--cloth", "200mx1m"], "of goods"),
        (&["--paper", "a3"], "--paper: \"a3\" is no page that is known"),
        (&["--dpi", "none"], "--dpi:"),
    ];
    for (flags, words) in cases {
        let done = shop.run(&[&["proof", "ring.png"][..], flags].concat());
        assert_eq!((done.code, &*done.out), (Some(2), ""), "{flags:?}");
        assert!(done.err.contains(words), "{flags:?}: {}", done.err);
        assert!(!shop.path("out").exists(), "{flags:?}");
    }
}

#[test]
fn evidence_never_replaces_what_it_is_of() {
    let shop = Shop::new();
    made(&shop, "png");
    let tile = std::fs::read(shop.path("ring.png")).unwrap();
    std::fs::rename(shop.path("ring.png"), shop.path("ring-cloth.png")).unwrap();
    let done = shop.run(&["proof", "ring-cloth.png", "--name", "ring", "--out", "."]);
    assert_eq!(done.code, Some(2), "{}", done.out);
    assert!(done.err.contains("would replace the design's own"), "{}", done.err);
    assert_eq!(std::fs::read(shop.path("ring-cloth.png")).unwrap(), tile);
}
