//! Strewing: what is written back, what is said, and wishes that contradict themselves.

use super::shop::Shop;

const SHORE: &str = r##"# Our shore.
name   = "shore"

[repeat]
layout = "half-drop"
block  = "80mm x 120mm"   # small

[toss]
gap   = "3mm"
seed  = 7   # a good one

[[toss.motif]]
file  = "buoy.svg"
width = ["14mm", "22mm"]
share = 2
[[toss.motif]]
file  = "sizeless.svg"
width = "15mm"

# the large one stays
[[motif]]
file  = "buoy.svg"
width = "30mm"
at    = ["50%", "50%"]  # here

[[deliver]]
as  = ["png"]
dpi = 60
"##;

fn shop(text: &str) -> Shop {
    let shop = Shop::new();
    shop.write("shore.toml", text);
    shop
}

#[test]
fn places_are_written_back_and_all_else_stays() {
    let shop = shop(SHORE);
    let said = shop.done(&["toss", "shore.toml"]);
    let text = shop.read("shore.toml");
    let (before, after) = SHORE.split_once("\n[[deliver]]").unwrap();
    assert!(text.starts_with(before) && text.ends_with(after), "{text}");
    let count = text.matches("\ntossed = true\n").count();
    assert!(count >= 10, "{text}");
    assert!(said.starts_with(&format!("shore.toml: {count} motifs strewn around 1 that is fixed; ")), "{said}");
    assert!(
        said.contains("mm at least (3mm asked)") && said.ends_with("Look at it: seamfast make shore.toml\n"),
        "{said}"
    );
    // The same again, byte for byte; another seed is another toss, and is written down.
    let json = shop.json(&["toss", "shore.toml"]);
    assert_eq!(shop.read("shore.toml"), text);
    assert_eq!((&json["replaced"], &json["fixed"], &json["seed"]), (&count.into(), &1.into(), &7.into()));
    assert_eq!(json["laid"], count);
    assert!(json["gaps"]["least_mm"].as_f64().unwrap() >= 3.0 && json["gaps"]["pairs"].as_u64().unwrap() > 5, "{json}");
    assert_eq!(json["warnings"], serde_json::json!([]));
    shop.done(&["toss", "shore.toml", "--seed", "8"]);
    let other = shop.read("shore.toml");
    assert!(other.contains("seed  = 8   # a good one\n") && other.starts_with("# Our shore.\n"), "{other}");
    assert_ne!(other.replace("seed  = 8", "seed  = 7"), text);
    assert_eq!(shop.names("."), ["buoy.svg", "page.svg", "shore.toml", "sizeless.svg"]);
    // It is a design like any other.
    let made = shop.json(&["make", "shore.toml"]);
    assert_eq!(made["layout"], "half-drop");
}

#[test]
fn a_motif_whose_line_is_taken_out_stays_where_it_is() {
    let shop = shop(SHORE);
    shop.done(&["toss", "shore.toml"]);
    let text = shop.read("shore.toml").replacen("tossed = true\n", "# kept\n", 1);
    shop.write("shore.toml", &text);
    let json = shop.json(&["toss", "shore.toml", "--seed", "11"]);
    assert_eq!(json["fixed"], 2);
    let kept = text[..text.find("# kept").unwrap()].rsplit("[[motif]]").next().unwrap().to_owned();
    assert!(shop.read("shore.toml").contains(&kept), "{kept}");
}

#[test]
fn lines_end_as_they_did_and_notes_above_tossed_motifs_stay() {
    let tossed = "\n# strewn, don't touch\n[[motif]]\nfile = \"buoy.svg\"\ntossed = true\n";
    let shop = shop(&(SHORE.to_owned() + tossed).replace('\n', "\r\n"));
    shop.done(&["toss", "shore.toml"]);
    let text = shop.read("shore.toml");
    assert_eq!(text.matches('\n').count(), text.matches("\r\n").count());
    assert!(text.contains("\r\n# strewn, don't touch\r\n[[motif]]\r\nfile = "), "{text}");
}

#[test]
fn what_does_not_go_in_is_said() {
    let shop = shop(&SHORE.replace("seed  = 7", "count = 200\nseed  = 7"));
    let done = shop.run(&["toss", "shore.toml"]);
    assert_eq!(done.code, Some(0), "{}", done.err);
    let laid = shop.read("shore.toml").matches("tossed = true").count();
    let said = format!(
        "warning: {laid} of 200 motifs found a place: write a smaller gap, width or count, or a larger block, or try another seed"
    );
    assert_eq!(done.err.trim_end(), said);
}

/// The message's first line and its help, for the design with one text replaced.
fn short(old: &str, new: &str, what: &str, help: &str) {
    assert!(SHORE.contains(old), "{old}");
    let text = SHORE.replacen(old, new, 1);
    let shop = shop(&text);
    let done = shop.run(&["toss", "shore.toml"]);
    assert_eq!((done.code, &*done.out), (Some(2), ""), "{text}");
    assert_eq!(done.err.lines().next(), Some(&*format!("error: {what}")), "{}", done.err);
    let helped = done.err.lines().find_map(|line| line.trim_start().strip_prefix("= help: "));
    assert_eq!(helped.unwrap_or_default(), help, "{}", done.err);
    assert_eq!(shop.read("shore.toml"), text);
}

#[test]
fn contradictory_wishes_are_refused_with_their_place() {
    let gap = "gap   = \"3mm\"";
    short(
        gap,
        "gap   = \"120mm\"",
        "gap: 120mm is no shorter than the block's shortest step, 100mm",
        "write a smaller gap, or a larger block",
    );
    short(gap, "gap   = 3", "here must stand text in quotes, for example \"8in\"", "");
    short(
        gap,
        "gap   = \"-3mm\"",
        "gap: \"-3mm\" is not more than zero; write a length above zero, for example 8in",
        "",
    );
    short(gap, "count = 9", "gap is missing under this heading", "write for example gap = \"3mm\"");
    let width = "[\"14mm\", \"22mm\"]";
    short(
        width,
        "[\"22mm\", \"14mm\"]",
        "width: 22mm is more than 14mm",
        "write the least first: [\"14mm\", \"22mm\"]",
    );
    short(width, "[\"22mm\"]", "width: one width or two are wanted, not 1", "write [\"0.8in\", \"1.4in\"]");
    short(
        width,
        "\"130mm\"",
        "buoy.svg overlaps its own copies, wherever it lies",
        "write a smaller width or gap, or a larger block",
    );
    short(
        "seed  = 7",
        "turns = \"upright\"",
        "turns: \"upright\" is not known; write one-way, two-way, four-way or any",
        "",
    );
    short(
        "seed  = 7",
        "count = 0",
        "count: 0 is no number of motifs",
        "write for example 40, or leave it out for as many as go in",
    );
    short("seed  = 7", "seed  = -7", "seed: -7 is less than zero; write a whole number such as 7", "");
    short(
        "share = 2\n[[toss.motif]]\nfile  = \"sizeless.svg\"\n",
        "share = 0\n[[toss.motif]]\nshare = 0\nfile  = \"sizeless.svg\"\n",
        "share: the shares sum to nothing",
        "write share = 1 for one of them at least, and for one filler if there are any",
    );
    short("share = 2", "share = -2", "share: -2 is less than zero; write for example 2, or 0 for none", "");
    short(
        "[[deliver]]",
        "[[motif]]\nfile = \"buoy.svg\"\nwidth = \"20mm\"\nat = [\"40mm\", \"36mm\"]\n[[deliver]]",
        "buoy.svg and buoy.svg are 1.5mm apart, nearer than the gap",
        "move one of them, or write a gap smaller than 3mm; or overlap = true under it, if it is meant",
    );
}

#[test]
fn a_design_without_a_toss_and_a_toss_without_motifs() {
    let shop = Shop::new();
    shop.write("shore.toml", "[[motif]]\nfile = \"buoy.svg\"\n");
    shop.refuses(
        &["toss", "shore.toml"],
        "error: shore.toml: the design has no [toss]\n |\n = help: write [toss] with gap = \"3mm\", and [[toss.motif]] with file = \"limpet.svg\"",
    );
    shop.write("shore.toml", "[toss]\ngap = \"3mm\"\n");
    shop.refuses(
        &["toss", "shore.toml"],
        "error: no motif is to be strewn\n --> shore.toml:2:7\n  |\n2 | gap = \"3mm\"\n  |       ^^^^^\n  |\n  = help: add [[toss.motif]] with file = \"limpet.svg\" and width = \"1in\"",
    );
    shop.write("shore.toml", "[toss]\ngap = \"3mm\"\n[[toss.motif]]\nfile = \"buoy.svg\"\n");
    shop.refuses(
        &["make", "shore.toml"],
        "error: the design's motifs are not strewn yet\n --> shore.toml:2:7\n  |\n2 | gap = \"3mm\"\n  |       ^^^^^\n  |\n  = help: strew them first, with seamfast toss",
    );
}

/// Strewing thousands takes long; it ends soon after the signal, with what there is.
#[cfg(unix)]
#[test]
fn ctrl_c_keeps_the_best_so_far() {
    use std::process::Stdio;
    use std::time::{Duration, Instant};

    let shop = shop(&SHORE.replace("80mm x 120mm", "800mm x 1200mm"));
    let before = shop.read("shore.toml");
    let child = shop.command(&["toss", "shore.toml"]).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    std::thread::sleep(Duration::from_secs(12));
    let begun = Instant::now();
    let sent = std::process::Command::new("kill").args(["-INT", &child.id().to_string()]).status().unwrap();
    assert!(sent.success());
    let output = child.wait_with_output().unwrap();
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(begun.elapsed() < Duration::from_secs(60), "{:?}", begun.elapsed());
    match output.status.code() {
        Some(0) => {
            assert!(said.contains("warning: stopped; the best so far is written\n"), "{said}");
            assert!(shop.read("shore.toml").matches("tossed = true").count() > 100);
        }
        // On a machine so slow that nothing had found its place yet.
        code => {
            assert_eq!((code, &*said), (Some(2), "error: stopped; no file was changed\n"));
            assert_eq!(shop.read("shore.toml"), before);
        }
    }
    assert_eq!(shop.names("."), ["buoy.svg", "page.svg", "shore.toml", "sizeless.svg"]);
}
