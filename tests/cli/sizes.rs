//! `seamfast size` in all directions, with the facts of the trade.

use super::shop::Shop;

fn size(args: &[&str]) -> String {
    Shop::new().done(&[&["size"], args].concat())
}

fn json(args: &[&str]) -> serde_json::Value {
    Shop::new().json(&[&["size"], args].concat())
}

#[test]
fn pixels_to_length() {
    assert_eq!(size(&["2048px", "--dpi", "300"]), "2048 px at 300 dpi is 6.827in = 173.397mm\n");
    let mm = json(&["2048px", "--dpi", "300"])["width"]["in"].as_f64().unwrap();
    assert!((mm - 2048.0 / 300.0).abs() < 1e-6, "{mm}");
}

#[test]
fn length_to_pixels() {
    assert_eq!(size(&["640mm", "--dpi", "254"]), "25.197in = 640mm at 254 dpi is 6400 px, exactly\n");
    assert_eq!(
        size(&["640mm"]),
        "25.197in = 640mm at 150 dpi is 3779.528 px; whole pixels make it 3780 px = 25.2in = 640.08mm
  each tile is 80 µm longer (1.25 mm in 10 m of cloth)
  at 150 dpi these are whole: 3779 px = 25.193in = 639.911mm, or 3780 px = 25.2in = 640.08mm
  this length is whole at 127, 254 or 381 dpi
"
    );
    let width = &json(&["640mm"])["width"];
    assert_eq!(width["px"], 3780);
    assert_eq!(width["mm"], 640.08);
    assert!((width["um_per_tile"].as_f64().unwrap() - 80.0).abs() < 0.05);
    assert!((width["mm_per_10_m"].as_f64().unwrap() - 1.25).abs() < 0.005);
    assert_eq!(width["exact_dpi"], serde_json::json!([127.0, 254.0, 381.0]));
    assert_eq!([&width["exact_sizes"][0]["px"], &width["exact_sizes"][1]["px"]], [3779, 3780]);
}

#[test]
fn length_and_pixels_to_resolution() {
    assert_eq!(size(&["8in", "2400px"]), "2400 px over 8in = 203.2mm is 300 dpi\n");
    assert_eq!(size(&["2400px", "8in"]), size(&["8in", "2400px"]));
    assert_eq!(
        size(&["8x10in", "2400x3000px"]),
        "across: 2400 px over 8in = 203.2mm is 300 dpi\ndown:   3000 px over 10in = 254mm is 300 dpi\n"
    );
    assert_eq!(json(&["8in", "2400px"])["dpi"], 300.0);
}

#[test]
fn both_sides_and_what_a_layout_asks() {
    assert_eq!(
        size(&["20x25cm", "--layout", "drop=1/3"]),
        "across: 7.874in = 200mm at 150 dpi is 1181.102 px; whole pixels make it 1182 px = 7.88in = 200.152mm
  each tile is 152 µm longer (7.6 mm in 10 m of cloth)
  at 150 dpi these are whole: 1179 px = 7.86in = 199.644mm, or 1182 px = 7.88in = 200.152mm
  this length is whole at 381, 762 or 1143 dpi
down:   9.843in = 250mm at 150 dpi is 1476.378 px; whole pixels make it 1476 px = 9.84in = 249.936mm
  each tile is 64 µm shorter (2.56 mm in 10 m of cloth)
  at 150 dpi these are whole: 1476 px = 9.84in = 249.936mm, or 1479 px = 9.86in = 250.444mm
  this length is whole at 381, 762 or 1143 dpi
Pixels of a drop=1/3 tile: a multiple of 3 across and of 3 down.
"
    );
    let json = json(&["8in", "--layout", "half-drop"]);
    assert_eq!([&json["width"]["multiple_px"], &json["height"]["multiple_px"]], [2, 2]);
}

#[test]
fn tiles_on_a_cloth() {
    assert!(
        size(&["8in", "--cloth", "54inx3yd"])
            .ends_with("On the cloth: 6.75 tiles across and 13.5 down; 78 of them whole.\n")
    );
    let group = json(&["8in", "--symmetry", "p2gg"]);
    assert_eq!([&group["layout"], &group["width"]["multiple_px"]], [&"p2gg".into(), &serde_json::json!(2)]);
    let both = json(&["8in", "--layout", "half-drop", "--symmetry", "p2"]);
    assert_eq!(
        [&both["layout"], &both["height"]["multiple_px"]],
        [&"half-drop, p2 (turn)".into(), &serde_json::json!(2)]
    );
    let cloth = &json(&["8in", "--cloth", "54inx3yd"])["tiles_on_cloth"];
    assert_eq!(*cloth, serde_json::json!({ "across": 6.75, "down": 13.5, "whole_tiles": 78 }));
}

#[test]
fn what_can_not_be_answered() {
    let shop = Shop::new();
    let refuses = |args: &[&str], words: &str| shop.refuses(&[&["size"], args].concat(), &format!("error: {words}"));
    refuses(&["8"], "\"8\" has no unit; write 8mm, 8cm or 8in");
    refuses(&["nan"], "\"nan\" is not a length; write a number and a unit, for example 8in, 7 1/2in or 20.5cm");
    refuses(&["0in"], "\"0in\" is not more than zero; write a length above zero, for example 8in");
    refuses(&["10.5px"], "\"10.5px\" is not a whole number of pixels above zero; write for example 2048px");
    refuses(
        &["8in", "10in"],
        "\"8in\" and \"10in\" are not a length and its pixels\n |\n = help: write for example seamfast size 8in 2400px; two sides of one size are written 8x10in",
    );
    refuses(
        &["7", "1/2in"],
        "\"7\" and \"1/2in\" are one length, and came as two\n |\n = help: write it in quotes: seamfast size \"7 1/2in\"",
    );
    refuses(
        &["8x10in", "2400px"],
        "8x10in and 2400px come to 300 dpi across and 240 dpi down, and a pixel is square\n |\n = help: write for example 2400x3000px",
    );
    refuses(
        &["8in", "2400px", "--dpi", "300"],
        "--dpi: a length and its pixels have one resolution already\n |\n = help: leave out --dpi, or the length, or the pixels",
    );
    refuses(&["8in", "--dpi", "nan"], "--dpi: \"nan\" is not a resolution; write for example 150, 300dpi or 10px/mm");
    refuses(
        &["8in", "--layout", "brick", "--symmetry", "p4mm"],
        "--symmetry: p4mm brings its own steps and can't be laid out as brick; leave the layout out",
    );
    refuses(&["8in", "--cloth", "900px"], "--cloth: \"900px\" is in pixels; write for example 54inx3yd");
    refuses(
        &["1001px", "--layout", "brick"],
        "1001 px can't be divided by 2 as the layout needs; write 1000px or 1002px",
    );
    let layouts = "straight, half-drop, brick, drop=1/3, brick=1/3, mirror, mirror-across, mirror-down, mirror-drop, turn, turn-drop, pinwheel, ogee, diamond, hexagonal, satin=5, stripes, rows, checker or border";
    refuses(&["8in", "--layout", "plaid"], &format!("--layout: \"plaid\" is not a layout; write {layouts}"));
}
