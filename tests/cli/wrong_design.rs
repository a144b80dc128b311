//! Wrong input in a design file: the place is shown, with the nearest right word.

use super::shop::Shop;

const MOTIF: &str = "[[motif]]\nfile = \"buoy.svg\"\n";

/// The whole message for a design of this text.
fn said(text: impl AsRef<[u8]>, words: &str) {
    let shop = Shop::new();
    shop.write("shore.toml", text);
    shop.refuses(&["make", "shore.toml"], words);
}

/// The message's first line and its help, for a design of this text.
fn short(text: &str, what: &str, help: &str) {
    let shop = Shop::new();
    shop.write("shore.toml", text);
    let done = shop.run(&["make", "shore.toml"]);
    assert_eq!((done.code, &*done.out), (Some(2), ""), "{text}");
    assert_eq!(done.err.lines().next(), Some(&*format!("error: {what}")), "{text}");
    assert!(done.err.contains("--> shore.toml:"), "{text} has no place: {}", done.err);
    let helped = done.err.lines().find_map(|line| line.trim_start().strip_prefix("= help: "));
    assert_eq!(helped.unwrap_or_default(), help, "{text}");
}

#[test]
fn a_typo_is_shown_with_the_nearest_word() {
    said(
        "name = \"shore\"\ngrund = \"linen\"\n",
        "error: grund is not known here; write name, ground, croquis, allow, limits, fonts, check, accept, repeat, toss, motif or deliver
 --> shore.toml:2:1
  |
2 | grund = \"linen\"
  | ^^^^^
  |
  = help: did you mean ground?",
    );
    short(
        "[repeat]\nlayuot = \"brick\"\n",
        "layuot is not known here; write layout, symmetry, alternate, block or tile",
        "did you mean layout?",
    );
}

#[test]
fn a_word_under_the_wrong_heading_is_sent_to_its_own() {
    let top = "is not known here; write name, ground, croquis, allow, limits, fonts, check, accept, repeat, toss, motif or deliver";
    short("tile = \"8in\"\n", &format!("tile {top}"), "tile belongs under [repeat]");
    short("dpi = 300\n", &format!("dpi {top}"), "dpi belongs under [[deliver]]");
    short(
        "[repeat]\nground = \"linen\"\n",
        "ground is not known here; write layout, symmetry, alternate, block or tile",
        "ground belongs at the top, before the first section",
    );
}

#[test]
fn values_of_the_wrong_kind() {
    short("ground = 5\n", "here must stand text in quotes, for example \"8in\"", "");
    short("[repeat]\ntile = 8in\n", "text stands in quotes", "write \"8in\"");
    short("[[deliver]]\ndpi = true\n", "here must stand a resolution, for example 300 or \"10px/mm\"", "");
    short("[[deliver]]\nas = \"svg\"\n", "here must stand a list in brackets, for example [\"svg\", \"png\"]", "");
    short("[motif]\nfile = \"buoy.svg\"\n", "here must stand a section in double brackets, for example [[motif]]", "");
    short("repeat = 5\n", "here must stand a section of its own, for example [repeat]", "");
    short(&format!("{MOTIF}layer = 1.5\n"), "here must stand a whole number, for example 2", "");
    short(&format!("{MOTIF}turn = \"15\"\n"), "here must stand a number without quotes, for example 1.5", "");
    short("[[deliver]]\nexact = \"yes\"\n", "here must stand true or false, without quotes", "");
    short(
        "[[motif]]\nwidth = \"3in\"\n",
        "file is missing under this heading",
        "write for example file = \"limpet.svg\"",
    );
    for count in ["\"50%\"", "\"1in\", \"2in\", \"3in\""] {
        let number = count.matches(',').count() + 1;
        let what = format!("at: two values are wanted, not {number}");
        short(&format!("{MOTIF}at = [{count}]\n"), &what, "write for example at = [\"50%\", \"2in\"]");
    }
}

#[test]
fn what_is_no_toml() {
    short(
        "ground = \"linen\n",
        "a quote is missing",
        "text stands between two quotes on one line, for example \"8in\"",
    );
    short("ground = \"\"\"linen", "the text has no end", "end it with the three quotes that it began with");
    short("name = \"a\"\nname = \"b\"\n", "name is written twice", "keep one of them");
    short(
        "[repeat\ntile = \"8in\"",
        "a closing bracket is missing",
        "write for example [repeat], [[motif]] or [\"svg\", \"png\"]",
    );
    short("name =", "a value is missing", "write one word, = and its value, for example layout = \"half-drop\"");
    short("name", "a value is missing", "write one word, = and its value, for example layout = \"half-drop\"");
    short("[[deliver]]\nas = [\"svg\" \"png\"]", "a comma is missing", "write for example [\"svg\", \"png\"]");
}

/// What a person writes who doesn't know TOML, or whose editor or language means it otherwise.
#[test]
fn slips_of_the_pen() {
    short("[repeat]\nlayout = half-drop\n", "text stands in quotes", "write \"half-drop\"");
    short("[repeat]\nblock = 4in x 8in # small\n", "text stands in quotes", "write \"4in x 8in\"");
    let curly = "these are not the plain quotes";
    short("[repeat]\nlayout = “half-drop” # by a word processor\n", curly, "write \"half-drop\"");
    short("[repeat]\nlayout = ‘half-drop’\n", curly, "write \"half-drop\"");
    short("[[deliver]]\nas = [“svg”, “png”]\n", curly, "write \"svg\"");
    short("[fonts]\n“Harbour Script” = \"DejaVu Serif\"\n", curly, "write the plain ones, \"");
    short("ground = #f4efe6\n", "outside quotes, # begins a comment", "write \"#f4efe6\"");
    let missing = "write one word, = and its value, for example layout = \"half-drop\"";
    short("ground = # later\n", "a value is missing", missing);
    let colon = "a word and its value are joined by =, not by a colon";
    short("ground: \"linen\"\n", colon, "write ground = \"linen\"");
    short("ground = \"linen\",\n", "this comma joins nothing", "take it out; lists stand in brackets");
    short(&format!("{MOTIF}turn = -2,5\n"), "a number has a point, not a comma", "write -2.5");
    short(&format!("{MOTIF}at = [\"2,5in\", \"50%\"]\n"), "at: \"2,5in\" has a decimal comma; write 2.5in", "");
    short(
        &format!("[repeat]\nblock = \"4in, 8in\"\n{MOTIF}"),
        "block: \"4in, 8in\" is two lengths; write 4in x 8in",
        "",
    );
    let color = "ground: \"f4efe6\" is not a color; write a color such as #f3eee3 or linen, or none";
    short(&format!("ground = \"f4efe6\"\n{MOTIF}"), color, "write \"#f4efe6\"");
    short(
        &format!("{MOTIF}layer = 3000000000\n"),
        "3000000000 is too large, or too far below zero",
        "the largest whole number here is 2147483647",
    );
    for seed in ["9223372036854775808", "18446744073709551616", "1_000_000_000_000_000_000_000"] {
        let what = format!("{seed} is too large, or too far below zero");
        let most = "the largest whole number here is 9223372036854775807";
        short(&format!("[toss]\ngap = \"3mm\"\nseed = {seed}\n{MOTIF}"), &what, most);
    }
}

#[test]
fn values_that_cannot_be() {
    short(&format!("{MOTIF}turn = nan\n"), "turn: NaN is not usable; write a number from -1000000 to 1000000", "");
    short(&format!("{MOTIF}scale = nan\n"), "scale: NaN is not usable; write a number from -10000 to 10000", "");
    short(&format!("{MOTIF}scale = -1\n"), "scale: -1 is not more than zero; write for example 1.5", "");
    short(
        &format!("{MOTIF}scale = 2\nwidth = \"2in\"\n"),
        "scale: a motif has a scale, or a width and height, not both",
        "take one of them out",
    );
    short(
        &format!("{MOTIF}flip = \"acros\"\n"),
        "flip: \"acros\" is not known; write across, down, both or none",
        "did you mean across?",
    );
    let place = "write a share of the block such as 50%, or a length from its left or top edge such as 2in";
    for (at, what) in [
        ("nan", "\"nan\" is not a place"),
        ("nan%", "\"nan%\" is not a place"),
        ("50", "\"50\" has no unit"),
        ("50px", "\"50px\" is in pixels, which have no true size"),
        ("99999%", "\"99999%\" is more than a hundred blocks away"),
        ("5000m", "\"5000m\" is more than 100 m away"),
    ] {
        short(&format!("{MOTIF}at = [\"50%\", \"{at}\"]\n"), &format!("at: {what}"), place);
    }
    short(
        "[[motif]]\nfile = \"sizeless.svg\"\n",
        "sizeless.svg: the drawing does not say how large it is",
        "write width = \"2.5in\" beside it",
    );
    short(
        &format!("croquis = \"page.svg\"\n{MOTIF}"),
        "a croquis is the whole block; a design has a croquis or motifs, not both",
        "take the motifs out, or draw them on the page",
    );
    short(
        &format!("allow = [\"scrip\"]\n{MOTIF}"),
        &format!("allow: \"scrip\" is not the code of a loss; write {}", codes()),
        "did you mean script?",
    );
}

fn codes() -> String {
    let codes: Vec<&str> = seamfast::artwork::LOSSES.iter().map(|kind| kind.code).collect();
    let (last, head) = codes.split_last().unwrap();
    format!("{} or {last}", head.join(", "))
}

#[test]
fn two_deliveries_of_one_name() {
    let two = |name: &str| format!("{MOTIF}[[deliver]]\nas = [\"svg\"]\n[[deliver]]\nas = [\"svg\", \"png\"]\n{name}");
    short(
        &two(""),
        "two deliveries would both write shore.svg",
        "give one of them a name of its own, for example name = \"shore-large\"",
    );
    // On some disks letters' case does not tell files apart.
    short(
        &two("name = \"Shore\"\n"),
        "two deliveries would both write Shore.svg",
        "give one of them a name of its own, for example name = \"Shore-large\"",
    );
    let shop = Shop::new();
    shop.write("shore.toml", two("name = \"large\"\n"));
    shop.done(&["make", "shore.toml"]);
    assert_eq!(shop.names("out"), ["large.png", "large.svg", "shore.svg"]);
}

#[test]
fn the_place_is_shown_in_any_text() {
    // More than one byte a letter, a byte order mark, and lines as some systems end them.
    said(
        "\u{feff}name = \"grüße\"\r\n[repeat]\r\nlayout = \"ßtraight\"   # Maß\r\n",
        "error: layout: \"ßtraight\" is not a layout; write straight, half-drop, brick, drop=1/3, brick=1/3, mirror, mirror-across, mirror-down, mirror-drop, turn, turn-drop, pinwheel, ogee, diamond, hexagonal, satin=5, stripes, rows, checker or border
 --> shore.toml:3:10
  |
3 | layout = \"ßtraight\"   # Maß
  |          ^^^^^^^^^^
  |
  = help: did you mean straight?",
    );
    // Over several lines.
    said(
        format!("{MOTIF}at = [\n  \"50%\",\n]\n"),
        "error: at: two values are wanted, not 1
 --> shore.toml:3:6
  |
3 |   at = [
  |  ______^
4 | |   \"50%\",
5 | | ]
  | |_^
  |
  = help: write for example at = [\"50%\", \"2in\"]",
    );
    // At the very end of the file.
    said(
        "ground = \"öl",
        "error: a quote is missing
 --> shore.toml:1:12
  |
1 | ground = \"öl
  |            ^
  |
  = help: text stands between two quotes on one line, for example \"8in\"",
    );
}

#[test]
fn a_flag_in_place_of_a_field_is_named_as_the_flag() {
    let shop = Shop::new();
    shop.write("shore.toml", format!("[repeat]\ntile = \"8in\"\n{MOTIF}"));
    shop.refuses(&["make", "shore.toml", "--tile", "8"], "error: --tile: \"8\" has no unit; write 8mm, 8cm or 8in");
    shop.refuses(
        &["make", "shore.toml", "--dpi", "nan"],
        "error: --dpi: \"nan\" is not a resolution; write for example 150, 300dpi or 10px/mm",
    );
}

#[test]
fn design_files_that_are_none() {
    let help = "\n |\n = help: name a design file; a new one is begun with: seamfast new limpet.svg";
    let shop = Shop::new();
    shop.refuses(&["make", "nothere.toml"], &format!("error: nothere.toml: there is no such file{help}"));
    shop.write("folder.toml/in.txt", "");
    shop.refuses(&["make", "folder.toml"], &format!("error: folder.toml: is a folder{help}"));
    shop.write("utf16.toml", b"\xff\xfen\0");
    shop.refuses(&["make", "utf16.toml"], &format!("error: utf16.toml: is not UTF-8 text{help}"));
    said(
        "",
        "error: shore.toml: the design has no motif\n |\n = help: add [[motif]] with file = \"limpet.svg\", or croquis = \"page.svg\"",
    );
}
