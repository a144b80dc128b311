//! Starting a design, the schema, help, completions and man pages.

use std::collections::BTreeSet;

use serde_json::Value;

use super::shop::Shop;

#[test]
fn new_begins_a_design_that_make_takes_as_it_is() {
    let shop = Shop::new();
    shop.write("motifs/kelp.svg", super::shop::BUOY);
    let said = shop.done(&["new", "buoy.svg", "motifs/kelp.svg", "sizeless.svg", "--name", "shore"]);
    assert_eq!(said, "shore.toml: a half-drop design with 3 motifs. Look it over, then: seamfast make shore.toml\n");
    let json = shop.json(&["make", "shore.toml"]);
    assert_eq!([&json["name"], &json["layout"]], ["shore", "half-drop"]);
    assert_eq!([&json["tile"]["width_in"], &json["tile"]["height_in"], &json["tile"]["dpi"]], [8.0, 8.0, 150.0]);
    assert_eq!(json["motifs"], 3);
    assert_eq!(shop.names("out"), ["shore.png", "shore.svg", "shore.tif"]);
}

#[test]
fn a_new_design_explains_itself() {
    let shop = Shop::new();
    let json = shop.json(&["new", "buoy.svg", "sizeless.svg"]);
    assert_eq!(json, serde_json::json!({ "file": "buoy.toml", "motifs": ["buoy.svg", "sizeless.svg"] }));
    assert_eq!(
        shop.read("buoy.toml"),
        r##"# A Seamfast design. Make its files with: seamfast make buoy.toml

name   = "buoy"
ground = "#f3eee3"      # the background; "none" leaves it out

[repeat]
layout = "half-drop"    # or straight, brick, drop=1/3, mirror, ogee, hexagonal, checker …: README.md has them all
block  = "4in x 8in"    # two of them side by side, one dropped by half, make the 8 in tile

[[motif]]
file  = "buoy.svg"
# width = "2.5in"       # without it the drawing's own, 0.787in
at    = ["50%", "25%"]  # its middle on the block: shares, or lengths such as "2in"
turn  = 0               # degrees, clockwise

[[motif]]
file  = "sizeless.svg"
width = "2.5in"         # the drawing does not say its own
at    = ["50%", "75%"]  # its middle on the block: shares, or lengths such as "2in"
turn  = 0               # degrees, clockwise

# Motifs can be strewn around those above: take the first # off these lines, then: seamfast toss buoy.toml
# [toss]
# gap   = "3mm"                # between outlines, at least
# turns = "any"                # one-way, two-way, four-way or any
# [[toss.motif]]               # one section for each; take out a [[motif]] above that is not to stay there
# file  = "buoy.svg"
# width = ["0.8in", "1.4in"]   # or one width; share = 2: two of it to one of another

[[deliver]]
as  = ["svg", "png", "tiff"]
dpi = 150               # 150 is usual for cloth, 300 for paper
"##
    );
}

#[test]
fn new_writes_over_nothing_and_takes_no_motif_that_make_would_refuse() {
    let shop = Shop::new();
    shop.write("buoy.toml", "mine");
    shop.refuses(
        &["new", "buoy.svg"],
        "error: buoy.toml: is there already, and stays as it is\n |\n = help: choose another name with --name",
    );
    shop.refuses(&["new"], "error: no motif is named\n |\n = help: write for example: seamfast new limpet.svg");
    shop.refuses(
        &["new", "page.svg", "--name", "a/b"],
        "error: --name: \"a/b\" can't be the name of a file\n |\n = help: write a plain name without a folder, for example limpets",
    );
    let done = shop.run(&["new", "nothere.svg"]);
    assert_eq!(done.code, Some(2));
    assert!(!shop.path("nothere.toml").exists());
}

/// Every word that a design may hold, by section.
fn schema() -> Vec<(String, BTreeSet<String>)> {
    let schema: Value = serde_json::from_str(&Shop::new().done(&["schema"])).unwrap();
    let words = |of: &Value| of["properties"].as_object().unwrap().keys().cloned().collect();
    let defs = schema["$defs"].as_object().unwrap();
    let sections = [
        ("RepeatEntry", "[repeat]"),
        ("Entry", "[[motif]]"),
        ("TossEntry", "[toss]"),
        ("TossMotif", "[[toss.motif]]"),
        ("Deliver", "[[deliver]]"),
    ];
    let mut found = vec![(String::new(), words(&schema))];
    found.extend(sections.map(|(name, heading)| (heading.to_owned(), words(&defs[name]))));
    found
}

#[test]
fn every_word_of_a_new_design_is_in_the_schema() {
    let shop = Shop::new();
    shop.done(&["new", "buoy.svg", "sizeless.svg"]);
    let schema = schema();
    let (mut heading, mut seen) = (String::new(), BTreeSet::new());
    for line in shop.read("buoy.toml").lines().map(|line| line.trim_start_matches("# ").trim()) {
        if line.starts_with('[') {
            heading = line.split(" #").next().unwrap().trim().into();
        } else if let Some((word, _)) = line.split_once(" =").filter(|(word, _)| !word.trim().contains(' ')) {
            let (_, words) = schema.iter().find(|(name, _)| *name == heading).unwrap();
            assert!(words.contains(word.trim()), "{word} is not in the schema under {heading:?}");
            seen.insert(word.trim().to_owned());
        }
    }
    let wanted = ["as", "at", "block", "dpi", "file", "gap", "ground", "layout", "name", "turn", "turns", "width"];
    assert_eq!(seen.into_iter().collect::<Vec<_>>(), wanted);
}

/// The words after `seamfast` of every command that there is.
fn commands(shop: &Shop) -> Vec<String> {
    let help = shop.done(&["--help"]);
    let listed = help.split_once("Commands:\n").unwrap().1.split("\n\n").next().unwrap();
    let names = listed.lines().filter_map(|line| line.split_whitespace().next()).map(String::from);
    let names: Vec<String> = names.filter(|name| name != "help").collect();
    assert!(names.len() >= 6 && names.contains(&"make".into()), "{names:?}");
    names
}

#[test]
fn the_help_of_every_command_has_an_example() {
    let shop = Shop::new();
    let mut lines = vec![(String::from("seamfast"), shop.done(&["--help"]))];
    lines.extend(commands(&shop).into_iter().map(|name| (format!("seamfast {name}"), shop.done(&[&name, "--help"]))));
    for (command, help) in lines {
        let (_, after) = help.split_once("Example").unwrap_or_else(|| panic!("{command} has no example:\n{help}"));
        assert!(after.contains(&command), "{command}:\n{after}");
    }
}

#[test]
fn completions_know_every_command() {
    let shop = Shop::new();
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let text = shop.done(&["completions", shell]);
        for command in commands(&shop) {
            assert!(text.contains(&command), "{shell}: {command}");
        }
        assert!(text.contains("motif-width"), "{shell}");
    }
    assert_eq!(shop.run(&["completions", "abacus"]).code, Some(2));
}

#[test]
fn man_pages_for_every_command() {
    let shop = Shop::new();
    let page = shop.done(&["man"]);
    assert!(page.contains(".TH seamfast 1"), "{page}");
    assert_eq!(shop.done(&["man", "--out", "man"]), "");
    let pages = shop.names("man");
    for command in commands(&shop) {
        assert!(pages.contains(&format!("seamfast-{command}.1")), "{command}: {pages:?}");
    }
}
