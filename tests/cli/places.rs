//! Places that a file must not take, each with its sentence, and unusual ones that it may.
#![cfg(unix)]

use std::fs;
use std::os::unix::fs::{PermissionsExt, symlink};
use std::process::Stdio;
use std::time::{Duration, Instant};

use super::shop::{BUOY, Shop};

const HELP: &str = "\n |\n = help: move it away, or choose another folder with --out, or another name with --name";

#[test]
fn a_link_is_neither_replaced_nor_written_through() {
    let shop = Shop::new();
    shop.write("elsewhere/old.svg", "old");
    fs::create_dir(shop.path("out")).unwrap();
    for (to, said) in
        [("../elsewhere/old.svg", "../elsewhere/old.svg"), ("nowhere", "nowhere"), ("buoy.svg", "buoy.svg")]
    {
        symlink(to, shop.path("out/buoy.svg")).unwrap();
        let done = shop.run(&["make", "buoy.svg"]);
        assert_eq!(done.err.trim_end(), format!("error: out/buoy.svg is a link to {said}{HELP}"));
        assert_eq!((done.code, shop.names("out")), (Some(2), vec!["buoy.svg".to_owned()]));
        assert_eq!(fs::read_link(shop.path("out/buoy.svg")).unwrap().to_str(), Some(to));
        fs::remove_file(shop.path("out/buoy.svg")).unwrap();
    }
    assert_eq!(shop.read("elsewhere/old.svg"), "old");
}

#[test]
fn a_linked_folder_is_a_folder_and_one_that_leads_nowhere_is_none() {
    let shop = Shop::new();
    fs::create_dir(shop.path("real")).unwrap();
    symlink("real", shop.path("out")).unwrap();
    shop.done(&["make", "buoy.svg", "--as", "svg"]);
    assert_eq!(shop.names("real"), ["buoy.svg"]);
    symlink("gone", shop.path("lost")).unwrap();
    let done = shop.run(&["make", "buoy.svg", "--out", "lost"]);
    assert_eq!(
        (done.code, done.err.trim_end()),
        (Some(2), &*format!("error: lost is a link that leads nowhere{HELP}"))
    );
}

#[test]
fn a_file_that_is_marked_read_only_stays() {
    let shop = Shop::new();
    shop.write("out/buoy.png", "the proof that was sent");
    // Also for root, whom the system would let.
    fs::set_permissions(shop.path("out/buoy.png"), fs::Permissions::from_mode(0o444)).unwrap();
    shop.refuses(&["make", "buoy.svg"], &format!("error: out/buoy.png is read-only{HELP}"));
}

#[test]
fn a_new_file_has_the_rights_of_the_one_it_replaces() {
    let shop = Shop::new();
    shop.write("out/buoy.svg", "old");
    for mode in [0o600, 0o664, 0o640] {
        fs::set_permissions(shop.path("out/buoy.svg"), fs::Permissions::from_mode(mode)).unwrap();
        shop.done(&["make", "buoy.svg", "--as", "svg"]);
        assert_eq!(shop.path("out/buoy.svg").metadata().unwrap().permissions().mode() & 0o777, mode);
        assert!(shop.read("out/buoy.svg").starts_with("<svg"));
    }
}

#[test]
fn a_pipe_stays() {
    let shop = Shop::new();
    fs::create_dir(shop.path("out")).unwrap();
    let made = std::process::Command::new("mkfifo").arg(shop.path("out/buoy.tif")).status().unwrap();
    assert!(made.success());
    let done = shop.run(&["make", "buoy.svg"]);
    assert_eq!(done.err.trim_end(), format!("error: out/buoy.tif is a pipe or a device, not a file{HELP}"));
    assert_eq!((done.code, shop.names("out")), (Some(2), vec!["buoy.tif".to_owned()]));
}

#[test]
fn a_source_by_a_hard_link_is_not_replaced() {
    let shop = Shop::new();
    fs::create_dir(shop.path("out")).unwrap();
    fs::hard_link(shop.path("buoy.svg"), shop.path("out/float.svg")).unwrap();
    shop.refuses(
        &["make", "buoy.svg", "--name", "float"],
        "error: out/float.svg would replace the design's own buoy.svg\n |\n = help: choose another folder with --out, or another name with --name",
    );
}

#[test]
fn a_source_inside_the_folder_is_left_alone() {
    let shop = Shop::new();
    shop.write("out/buoy.svg", BUOY);
    shop.write("out/shore.toml", "[[motif]]\nfile = \"buoy.svg\"\n");
    shop.done(&["make", "out/shore.toml", "--as", "svg,png"]);
    assert_eq!(shop.names("out"), ["buoy.svg", "shore.png", "shore.svg", "shore.toml"]);
    assert_eq!(shop.read("out/buoy.svg"), BUOY);
}

#[test]
fn names_that_some_disk_takes_for_one_are_refused() {
    let shop = Shop::new();
    let two = |one: &str, other: &str| {
        let deliver = |name: &str| format!("[[deliver]]\nname = \"{name}\"\nas = [\"png\"]\n");
        shop.write("shore.toml", format!("[[motif]]\nfile = \"buoy.svg\"\n{}{}", deliver(one), deliver(other)));
        shop.run(&["make", "shore.toml"])
    };
    for (one, other) in [("Tern", "tern"), ("M\u{f6}we", "mo\u{308}we"), ("tau-ς", "tau-Σ")] {
        let done = two(one, other);
        assert_eq!(done.code, Some(2));
        assert!(done.err.starts_with(&format!("error: two deliveries would both write {other}.png\n")), "{}", done.err);
        assert!(!shop.path("out").exists());
    }
    assert_eq!(two("tern", "term").code, Some(0));
}

#[test]
fn names_as_long_as_the_disk_and_no_longer() {
    let shop = Shop::new();
    let longest = "w".repeat(200);
    shop.done(&["make", "buoy.svg", "--as", "svg", "--name", &longest]);
    assert_eq!(shop.names("out"), [format!("{longest}.svg")]);
    // 100 letters of two bytes.
    let wide = "ö".repeat(100);
    shop.done(&["make", "buoy.svg", "--as", "svg,png", "--out", "wide", "--name", &wide]);
    assert_eq!(shop.names("wide"), [format!("{wide}.png"), format!("{wide}.svg")]);
    let deep = "d".repeat(256);
    shop.refuses(
        &["make", "buoy.svg", "--as", "svg", "--out", &deep],
        &format!("error: {deep}: file name too long\n |\n = help: choose a shorter name with --name, or another folder with --out"),
    );
}

#[test]
fn a_leading_dash_and_a_newline() {
    let shop = Shop::new();
    shop.write("--ground.svg", BUOY);
    shop.write("two\nlines/buoy.svg", BUOY);
    shop.done(&["make", "--as", "svg", "--out=-o", "--", "--ground.svg"]);
    assert_eq!(shop.names("-o"), ["--ground.svg"]);
    shop.done(&["make", "two\nlines/buoy.svg", "--as", "svg", "--out", "two\nlines/out"]);
    assert_eq!(shop.names("two\nlines/out"), ["buoy.svg"]);
    // A name that is given; one that a file has loses its ends that can't be seen.
    shop.refuses(
        &["make", "buoy.svg", "--name", "two\nlines"],
        "error: --name: \"two\\nlines\" can't be the name of a file\n |\n = help: write a plain name without a folder, for example limpets",
    );
    shop.write("buoy\n.svg", BUOY);
    shop.done(&["make", "buoy\n.svg", "--as", "svg", "--out", "plain"]);
    assert_eq!(shop.names("plain"), ["buoy.svg"]);
}

/// Begins a tile that takes long, and waits until its drafts are there.
fn at_work(shop: &Shop, kinds: &str) -> std::process::Child {
    let args = ["make", "buoy.svg", "page.svg", "--tile", "100in", "--dpi", "300", "--as", kinds];
    let child = shop.command(&args).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    let begun = (0..1000).any(|_| {
        std::thread::sleep(Duration::from_millis(20));
        let mut names = fs::read_dir(shop.path("out")).into_iter().flatten().flatten().map(|e| e.file_name());
        names.any(|name| name.to_string_lossy().ends_with(".draft"))
    });
    assert!(begun, "no draft was begun");
    child
}

#[test]
fn a_file_that_another_run_makes_is_refused_and_its_neighbors_are_made() {
    let shop = Shop::new();
    let mut other = at_work(&shop, "png,svg");
    let done = shop.run(&["make", "buoy.svg", "--as", "tiff,png"]);
    assert_eq!(
        (done.code, done.err.trim_end()),
        (
            Some(2),
            "error: out/buoy.png is being made by another run\n |\n = help: wait until that is done, or choose another folder with --out, or another name with --name"
        )
    );
    shop.done(&["make", "buoy.svg", "--as", "tiff"]);
    shop.done(&["make", "buoy.svg", "--as", "png", "--name", "float"]);
    other.kill().unwrap();
    other.wait().unwrap();
    // A killed run holds nothing, and what it left is gone with the next. Its worker ends with it, but on a busy
    // machine the system takes a moment for that.
    let begun = Instant::now();
    loop {
        let done = shop.run(&["make", "buoy.svg", "--as", "png"]);
        if done.code == Some(0) && shop.names("out") == ["buoy.png", "buoy.tif", "float.png"] {
            break;
        }
        assert!(begun.elapsed() < Duration::from_secs(20), "{done:?} and left behind: {:?}", shop.names("out"));
        std::thread::sleep(Duration::from_millis(50));
    }
}
