//! `seamfast check`: what is said of tiles, and how it ends.

use serde_json::Value;

use crate::shop::Shop;

/// A half-drop of buoys, made here.
fn made(shop: &Shop) {
    let done = shop.run(&[
        "make",
        "buoy.svg",
        "--motif-width",
        "30mm",
        "--tile",
        "40mm",
        "--dpi",
        "127",
        "--as",
        "svg,png,jpeg",
        "--ground",
        "linen",
        "--name",
        "ring",
        "--out",
        ".",
    ]);
    assert_eq!(done.code, Some(0), "{}", done.err);
}

#[test]
fn a_tile_of_our_own_is_seamless_and_says_how_to_upload_it() {
    let shop = Shop::new();
    made(&shop);
    let done = shop.run(&["check", "ring.png", "--ppi", "127"]);
    assert_eq!((done.code, &*done.err), (Some(0), ""), "{}", done.out);
    assert_eq!(
        done.out,
        "ring.png: seamless
  200 × 200 px, 1.575 × 1.575 in at 127 dpi
  left-right  seamless  what lies on it also lies whole inside the tile, and matches it
  top-bottom  seamless  what lies on it also lies whole inside the tile, and matches it
  repeat      half-drop: 2 blocks of 100 × 200 px (0.79 × 1.57 in)
  upload      choose the straight (basic) repeat: this file already holds its half-drop, and chosen again it would be dropped twice. A smaller file of 100 × 200 px would do with the printer's own half-drop
  evenness    27 % bare ground; largest bare circle 64 px (0.5 in, 1.27 cm), 1.1 times the usual one; widest straight bare band 6 px (0.04 in, 0.11 cm), at 45° (clockwise from level); four-way
"
    );
    let done = shop.run(&["check", "--dpi", "127", "ring.svg", "ring.jpg"]);
    assert_eq!(done.code, Some(0), "{}", done.out);
}

#[test]
fn a_cut_motif_is_a_fault_and_the_answer_is_one() {
    let shop = Shop::new();
    // A mark that hangs over the right edge, and nothing comes in at the left.
    let done = shop.run(&["check", "--json", "page.svg"]);
    assert_eq!((done.code, &*done.err), (Some(1), ""), "{}", done.out);
    let answer: Value = serde_json::from_str(&done.out).unwrap();
    let file = &answer["files"][0];
    assert_eq!((&file["file"], &file["verdict"]), (&"page.svg".into(), &"fault".into()));
    let joins = file["joins"].as_array().unwrap();
    assert_eq!(joins[0]["join"], "left-right");
    assert_eq!((&joins[0]["verdict"], &joins[1]["verdict"]), (&"fault".into(), &"seamless".into()));
    assert!(joins[0]["faults"][0]["height"].as_u64().unwrap() > 0, "{}", done.out);
}

#[test]
fn designs_are_judged_as_they_will_be_delivered() {
    let shop = Shop::new();
    shop.write(
        "shore.toml",
        "[repeat]\nblock = \"30mm\"\n[[motif]]\nfile = \"buoy.svg\"\nat = [\"0%\", \"50%\"]\n[[deliver]]\ndpi = 127\n",
    );
    let done = shop.run(&["check", "--json", "shore.toml"]);
    assert_eq!((done.code, &*done.err), (Some(0), ""), "{}", done.out);
    let answer: Value = serde_json::from_str(&done.out).unwrap();
    assert_eq!((&answer["files"][0]["kind"], &answer["files"][0]["dpi"]), (&"design".into(), &127.0.into()));
}

#[test]
fn what_cant_be_judged_is_said_and_the_answer_is_two() {
    let shop = Shop::new();
    made(&shop);
    let whole = std::fs::read(shop.path("ring.png")).unwrap();
    shop.write("cut.png", &whole[..whole.len() / 2]);
    shop.write("words.png", "not a picture");
    let mut huge = whole.clone();
    // 100 000 × 100 000 px, says its header; the checksum fits.
    huge[16..24].copy_from_slice(&[0, 1, 0x86, 0xa0, 0, 1, 0x86, 0xa0]);
    let sum = crc32fast::hash(&huge[12..29]).to_be_bytes();
    huge[29..33].copy_from_slice(&sum);
    shop.write("huge.png", &huge);
    let cases = [
        ("cut.png", "cut.png: the PNG cannot be read"),
        ("words.png", "words.png: is neither a PNG, TIFF, JPEG or WebP picture nor an SVG drawing"),
        ("huge.png", "huge.png: pixels of the picture: 100000 × 100000; the most is 300000000"),
        ("none.png", "none.png: cannot be read: no such file or directory"),
    ];
    for (file, said) in cases {
        let done = shop.run(&["check", "ring.png", file]);
        assert_eq!(done.code, Some(2), "{file}");
        assert!(done.out.starts_with("ring.png: seamless\n"), "{file}: the other one is judged: {}", done.out);
        assert!(done.err.contains(said), "{file}: {}", done.err);
    }
    let done = shop.run(&["check", "--json", "cut.png", "ring.png", "words.png"]);
    let answer: Value = serde_json::from_str(&done.out).unwrap();
    assert_eq!((done.code, &answer["files"][0]["file"]), (Some(2), &"ring.png".into()));
    assert_eq!(answer["files"].as_array().map(Vec::len), Some(1), "{}", done.out);
    for said in ["cut.png: ", "words.png: "] {
        assert!(done.err.contains(said), "every file is named: {}", done.err);
    }
    let none = shop.run(&["check", "--json", "cut.png"]);
    assert_eq!((none.code, &*none.out), (Some(2), ""), "{}", none.err);
}
