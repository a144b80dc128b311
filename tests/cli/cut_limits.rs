//! What a cut may ask for is refused before memory is taken for it.

use super::shop::Shop;

/// Buoys of 20 mm, cut so, with these words.
fn refuses(flags: &[&str], words: &str) {
    let shop = Shop::new();
    shop.refuses(&[&["cut", "buoy.svg", "--tile", "20mm", "--layout", "straight"], flags].concat(), words);
}

#[test]
fn more_copies_than_are_worked_out() {
    let help = "cut fewer tiles at once, or a smaller --cloth; or allow more with --limit cloth-copies=1000000";
    let said = |count: &str| {
        format!("error: the goods come to some {count} copies of motifs; the most is 500000\n |\n = help: {help}")
    };
    refuses(&["--cloth", "100mx100m"], &said("25000000"));
    refuses(&["--tiles", "1000x1000", "--mode", "inlay"], &said("1000000"));
}

#[test]
fn more_lines_than_memory_is_kept_for() {
    // Some 240 chords a buoy.
    refuses(
        &["--tiles", "300x300"],
        "error: the curves of all copies come to more than 3000000 short lines\n |\n = help: cut fewer tiles at once, or a smaller --cloth; or allow more with --limit cut-lines=6000000",
    );
    refuses(
        &["--tiles", "3x3", "--limit", "cut-lines=1000"],
        "error: the curves of all copies come to more than 1000 short lines\n |\n = help: cut fewer tiles at once, or a smaller --cloth; or allow more with --limit cut-lines=2000",
    );
}

#[test]
fn copies_that_only_could_reach_the_goods_do_not_count() {
    let shop = Shop::new();
    // One buoy is 200 to 300 lines; of the eight around it none reaches the tile, though a thread beside it does.
    let thread = super::shop::BUOY.replace("</svg>", r#"<path d="M-0.5 2h0.4v0.4h-0.4z"/></svg>"#);
    shop.write("buoy.svg", thread);
    let most = ["--limit", "cut-lines=500", "--least-piece", "0"];
    shop.done(&[&["cut", "buoy.svg", "--tile", "20mm", "--layout", "straight"], &most[..]].concat());
}
