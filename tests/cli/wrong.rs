//! Wrong input by flags: what, where, the value and what to write instead; nothing is left behind.

use super::shop::Shop;

#[test]
fn motifs_that_are_none() {
    let shop = Shop::new();
    shop.write("empty.svg", "");
    shop.write("folder.svg/in.txt", "");
    shop.write("picture.svg", b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR");
    shop.write("moving.svg", b"GIF89a");
    shop.write("page.html", "<html><body/></html>");
    shop.write("zero.svg", r#"<svg xmlns="http://www.w3.org/2000/svg" width="0" height="10mm"/>"#);
    shop.write("less.svg", r#"<svg xmlns="http://www.w3.org/2000/svg" width="-3mm" height="10mm"/>"#);
    // The drawing's own words are the artwork room's; here each must be named and refused.
    for (file, word) in [
        ("nothere.svg", "nothere"),
        ("empty.svg", "empty"),
        ("folder.svg", "is a folder"),
        ("picture.svg", "the PNG cannot be read"),
        ("moving.svg", "a GIF picture"),
        ("page.html", "<html>"),
        ("zero.svg", "width=\"0\""),
        ("less.svg", "width=\"-3mm\""),
    ] {
        let before = shop.files();
        let done = shop.run(&["make", "buoy.svg", file]);
        assert_eq!((done.code, &*done.out), (Some(2), ""), "{file}");
        assert!(done.err.starts_with("error: ") && done.err.contains(word), "{file}: {}", done.err);
        assert!(done.err.contains("= help: "), "{file}: {}", done.err);
        assert_eq!(shop.files(), before, "{file}");
    }
}

#[test]
fn a_motif_without_size_asks_for_its_width() {
    Shop::new().refuses(
        &["make", "sizeless.svg"],
        "error: sizeless.svg: the drawing does not say how large it is\n |\n = help: write --motif-width 2.5in",
    );
    let shop = Shop::new();
    let mut png = Vec::new();
    let mut writer = png::Encoder::new(&mut png, 1, 1).write_header().expect("a header");
    writer.write_image_data(&[9]).expect("a pixel");
    writer.finish().expect("an end");
    shop.write("shell.png", png);
    shop.refuses(
        &["make", "shell.png"],
        "error: shell.png: the picture does not say how large it is\n |\n = help: write --motif-width 2.5in",
    );
}

#[test]
fn each_value_is_named_by_its_flag() {
    let shop = Shop::new();
    let make = |flags: &[&str], words: &str| {
        shop.refuses(&[&["make", "buoy.svg"], flags].concat(), &format!("error: {words}"))
    };
    let layouts = "straight, half-drop, brick, drop=1/3, brick=1/3, mirror, mirror-across, mirror-down, mirror-drop, turn, turn-drop, pinwheel, ogee, diamond, hexagonal, satin=5, stripes, rows, checker or border";
    make(
        &["--layout", "halfdrop"],
        &format!("--layout: \"halfdrop\" is not a layout; write {layouts}\n |\n = help: did you mean half-drop?"),
    );
    make(&["--layout", "plaid"], &format!("--layout: \"plaid\" is not a layout; write {layouts}"));
    make(
        &["--layout", "dorp=1/3"],
        &format!("--layout: \"dorp=1/3\" is not a layout; write {layouts}\n |\n = help: did you mean drop=1/3?"),
    );
    make(
        &["--layout", "drop=3/0"],
        "--layout: \"drop=3/0\" needs a fraction between 0 and 1 with a denominator up to 64; write for example drop=1/3",
    );
    make(
        &["--tile", "nan"],
        "--tile: \"nan\" is not a length; write a number and a unit, for example 8in, 7 1/2in or 20.5cm",
    );
    make(&["--tile", "8"], "--tile: \"8\" has no unit; write 8mm, 8cm or 8in");
    make(&["--tile", "-5in"], "--tile: \"-5in\" is not more than zero; write a length above zero, for example 8in");
    make(&["--tile", "0in"], "--tile: \"0in\" is not more than zero; write a length above zero, for example 8in");
    make(&["--tile", "1000000in"], "--tile: \"1000000in\" is too long; a length is at most 10 km");
    make(
        &["--tile", "3000ft"],
        "--tile: 36000in is 5400000 px at 150 dpi; a side has at most 200000 px: write a smaller size or a lower resolution",
    );
    make(&["--tile", "1001px"], "--tile: 1001 px can't be divided by 2 as the layout needs; write 1000px or 1002px");
    make(
        &["--block", "1001px", "--layout", "drop=1/3"],
        "--block: 1001 px can't be divided by 3 as the layout needs; write 999px or 1002px",
    );
    make(
        &["--tile", "640mm", "--exact"],
        "--tile: 640mm at 150 dpi is not a whole number of pixels for this layout: 3779.528 px; the nearest that is: 25.2in = 3780 px",
    );
    make(
        &["--tile", "8in", "--block", "3in"],
        "--tile: a half-drop tile is 2 × 1 blocks or a whole multiple of that, and this tile is not\n |\n = help: write tile 6in×9in for these blocks, or leave out tile or block; the other follows",
    );
    make(
        &["--block", "4x100px", "--tile", "9px"],
        "--tile: a half-drop tile is 2 × 1 blocks or a whole multiple of that, and this tile is not\n |\n = help: write tile 8px×100px for these blocks, or leave out tile or block; the other follows",
    );
    make(&["--tile", "1px"], "--tile: 1 px can't be divided by 2 as the layout needs; write 2px");
    make(&["--dpi", "nan"], "--dpi: \"nan\" is not a resolution; write for example 150, 300dpi or 10px/mm");
    make(&["--dpi", "-150"], "--dpi: -150 dpi is out of range; write a resolution from 1 to 10000 dpi");
    make(&["--dpi", "0"], "--dpi: 0 dpi is out of range; write a resolution from 1 to 10000 dpi");
    make(
        &["--motif-width", "300px"],
        "--motif-width: \"300px\" is in pixels, which have no true size\n |\n = help: write a length, for example 2.5in or 60mm",
    );
    make(
        &["--motif-width", "-1in"],
        "--motif-width: \"-1in\" is not more than zero; write a length above zero, for example 8in",
    );
    make(
        &["--motif-width", "9km"],
        "--motif-width: \"km\" in \"9km\" is not a unit; write in, mm, cm, m, pt, px, yd or ft",
    );
    make(
        &["--motif-width", "1000in"],
        "--motif-width: the ink of buoy reaches over 225 blocks across and 112 down; at most 20 are made\n |\n = help: write a smaller size, or look for a stray object far off its page",
    );
    make(
        &["--ground", "f0f"],
        "--ground: \"f0f\" is not a color; write a color such as #f3eee3 or linen, or none\n |\n = help: write \"#f0f\"",
    );
    make(
        &["--ground", "#ff00ff80"],
        "--ground: \"#ff00ff80\" lets through what is under it; write a color such as #f3eee3 or linen, or none",
    );
    make(
        &["--as", "svg,pgn"],
        "--as: \"pgn\" is not known; write svg, png, tiff, jpeg, pdf, pattern-svg, pattern-pdf or plain-svg\n |\n = help: did you mean png?",
    );
    make(
        &["--as", ""],
        "--as: \"\" is not known; write svg, png, tiff, jpeg, pdf, pattern-svg, pattern-pdf or plain-svg",
    );
    make(&["--packing", "zip"], "--packing: \"zip\" is not known; write deflate, lzw or none");
    make(
        &["--name", "a/b"],
        "--name: \"a/b\" can't be the name of a file\n |\n = help: write a plain name without a folder, for example limpets",
    );
    make(
        &["--name", " "],
        "--name: \"\" is empty\n |\n = help: write a plain name without a folder, for example limpets",
    );
    let done = shop.run(&["make", "buoy.svg", "--allow", "scrip"]);
    assert!(
        done.err.starts_with("error: --allow: \"scrip\" is not the code of a loss; write animation, "),
        "{}",
        done.err
    );
    assert!(done.err.ends_with("= help: did you mean script?\n"), "{}", done.err);
}

#[test]
fn flags_that_do_not_go_together() {
    let shop = Shop::new();
    shop.write("shore.toml", "[[motif]]\nfile = \"buoy.svg\"\n");
    shop.refuses(
        &["make", "shore.toml", "buoy.svg"],
        "error: a design file is made alone, without motifs or other designs\n |\n = help: write seamfast make shore.toml, and name the motifs in the design",
    );
    shop.refuses(
        &["make", "shore.toml", "--motif-width", "2in"],
        "error: --motif-width: goes with motifs, not with a design file\n |\n = help: write width = \"2.5in\" under [[motif]] in the design",
    );
    shop.refuses(
        &["make", "shore.toml", "--croquis"],
        "error: --croquis: goes with motifs, not with a design file\n |\n = help: write croquis = \"page.svg\" in the design",
    );
    shop.refuses(
        &["make", "page.svg", "buoy.svg", "--croquis"],
        "error: --croquis: takes one page, and 2 files are named\n |\n = help: make each page by itself, or leave out --croquis",
    );
    shop.refuses(
        &["make", "page.svg", "--croquis", "--motif-width", "2in"],
        "error: --motif-width: does not go with --croquis\n |\n = help: give the page's size with --block or --tile",
    );
    shop.refuses(
        &["make", "page.svg", "--croquis", "--tile", "80x30mm"],
        "error: --tile: the page would be squeezed; its width is 1.333 of its height\n |\n = help: write 3.15inx2.362in",
    );
}

#[test]
fn what_clap_refuses_is_a_two_as_well() {
    let shop = Shop::new();
    for args in [
        &["make"][..],
        &["mkae", "buoy.svg"],
        &["make", "buoy.svg", "--tyle", "8in"],
        &["make", "buoy.svg", "--threads", "0"],
        &[],
    ] {
        let done = shop.run(args);
        assert_eq!((done.code, &*done.out), (Some(2), ""), "{args:?}");
        assert!(!done.err.is_empty(), "{args:?}");
    }
}

#[cfg(unix)]
#[test]
fn folders_that_cannot_be_written_to() {
    let shop = Shop::new();
    shop.write("taken", "a file");
    shop.write("out/buoy.png/in.txt", "a folder has the file's name");
    let help = "\n |\n = help: a file has the folder's name; choose another folder with --out";
    shop.refuses(&["make", "buoy.svg", "--out", "taken"], &format!("error: taken: file exists{help}"));
    shop.refuses(&["make", "buoy.svg", "--out", "taken/deep"], &format!("error: taken/deep: not a directory{help}"));
    shop.refuses(
        &["make", "buoy.svg", "--out", "out"],
        "error: out/buoy.png: is a directory\n |\n = help: a folder has the file's name; choose another name with --name, or another folder with --out",
    );
}

#[cfg(target_os = "linux")]
#[test]
fn a_file_system_that_gives_no_folder() {
    // Read-only rights don't hold against root; no one makes a folder in /proc.
    Shop::new().refuses(
        &["make", "buoy.svg", "--out", "/proc/seamfast"],
        "error: /proc/seamfast: no such file or directory\n |\n = help: choose a folder that you may write to, with --out",
    );
}

#[test]
fn a_source_is_never_replaced() {
    let shop = Shop::new();
    let help = "\n |\n = help: choose another folder with --out, or another name with --name";
    shop.refuses(
        &["make", "buoy.svg", "--out", "."],
        &format!("error: ./buoy.svg would replace the design's own buoy.svg{help}"),
    );
    shop.refuses(
        &["make", "page.svg", "--croquis", "--out", "."],
        &format!("error: ./page.svg would replace the design's own page.svg{help}"),
    );
    shop.write("shore.toml", "name = \"buoy\"\n[[motif]]\nfile = \"buoy.svg\"\n");
    shop.refuses(
        &["make", "shore.toml", "--out", "."],
        &format!("error: ./buoy.svg would replace the design's own buoy.svg{help}"),
    );
}

#[cfg(unix)]
#[test]
fn a_source_is_never_replaced_by_another_of_its_names() {
    let shop = Shop::new();
    std::fs::create_dir(shop.path("out")).unwrap();
    std::os::unix::fs::symlink(shop.path("buoy.svg"), shop.path("out/float.svg")).unwrap();
    shop.refuses(
        &["make", "buoy.svg", "--name", "float"],
        "error: out/float.svg would replace the design's own buoy.svg\n |\n = help: choose another folder with --out, or another name with --name",
    );
}
