//! The house keeps its arrows: each room imports only the rooms that DEVELOPERS.md says it may.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

fn project() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Room → the rooms it may know, as the table in DEVELOPERS.md has it.
fn table() -> BTreeMap<String, BTreeSet<String>> {
    let page = std::fs::read_to_string(project().join("DEVELOPERS.md")).expect("DEVELOPERS.md");
    let mut rooms = BTreeMap::new();
    for line in page.lines().filter(|line| line.starts_with("| `")) {
        let cells: Vec<&str> = line.trim_matches('|').split('|').map(str::trim).collect();
        let [room, _, may_know] = cells[..] else { continue };
        let name = |text: &str| text.trim().trim_matches('`').trim_end_matches('/').trim_end_matches(".rs").to_string();
        let knows: BTreeSet<String> = may_know.split(',').map(name).filter(|room| room != "–").collect();
        rooms.insert(name(room), knows);
    }
    rooms
}

/// Every Rust file of `src` with its room: `src/raster/png.rs` and `src/raster.rs` are of `raster`.
fn files() -> Vec<(String, PathBuf)> {
    let src = project().join("src");
    let mut files = Vec::new();
    let mut folders = vec![src.clone()];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).expect("src") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|e| e == "rs") {
                let first = path.strip_prefix(&src).expect("in src").iter().next().expect("a name");
                let room = first.to_string_lossy().trim_end_matches(".rs").to_string();
                files.push((room, path));
            }
        }
    }
    files.sort();
    files
}

/// The code without comment lines.
fn code(path: &Path) -> String {
    let text = std::fs::read_to_string(path).expect("a source file");
    text.lines().filter(|line| !line.trim_start().starts_with("//")).collect::<Vec<_>>().join("\n")
}

/// The names behind a prefix: `raster` in `crate::raster::paint`, both in `crate::{raster, wrap}`.
fn named<'a>(code: &'a str, prefix: &str) -> Vec<&'a str> {
    let word = |text: &'a str| text.split(|c: char| !c.is_alphanumeric() && c != '_').next().unwrap_or_default();
    code.split(prefix)
        .skip(1)
        .flat_map(|rest| match rest.strip_prefix('{') {
            Some(list) => list.split('}').next().unwrap_or_default().split(',').map(|t| word(t.trim())).collect(),
            None => vec![word(rest)],
        })
        .collect()
}

#[test]
fn rooms_know_only_what_they_may() {
    let table = table();
    assert!(table.len() >= 9, "the table of rooms in DEVELOPERS.md was not found");
    let mut wrong = Vec::new();
    let mut arrows = 0;
    for (room, path) in files() {
        if room == "lib" || room == "main" {
            continue;
        }
        let Some(may_know) = table.get(&room) else {
            wrong.push(format!("{room} is a room that DEVELOPERS.md does not have"));
            continue;
        };
        let code = code(&path);
        for known in named(&code, "crate::").into_iter().chain(named(&code, "seamfast::")) {
            if known == room || !table.contains_key(known) {
                continue;
            }
            arrows += 1;
            let library = may_know.contains("the library") && known != "cli" && known != "page";
            if !may_know.contains(known) && !library {
                wrong.push(format!("{} imports {known}, which {room} may not know", path.display()));
            }
        }
    }
    assert!(arrows > 20, "only {arrows} imports were found: is the reader broken?");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn third_parties_come_in_by_their_door() {
    let doors: [(&str, &[&str]); 10] = [
        ("usvg::", &["artwork", "raster", "vector"]),
        ("resvg::", &["raster"]),
        ("tiny_skia::", &["raster"]),
        ("pdf_writer::", &["vector"]),
        ("hayro_syntax::", &["vector"]),
        ("clap::", &["cli"]),
        ("indicatif::", &["cli"]),
        ("rustix::", &["guard"]),
        ("hyper::", &["page"]),
        ("tokio::", &["page"]),
    ];
    let files = files();
    for (crate_name, rooms) in doors {
        let users: Vec<_> = files.iter().filter(|(_, path)| code(path).contains(crate_name)).collect();
        assert!(!users.is_empty(), "nobody uses {crate_name}");
        for (room, path) in users {
            assert!(
                rooms.contains(&room.as_str()),
                "{} uses {crate_name}, which is only for {rooms:?}",
                path.display()
            );
        }
    }
}

#[test]
fn files_say_what_they_are_and_stay_readable() {
    for (_, path) in files() {
        let text = std::fs::read_to_string(&path).expect("a source file");
        let test_code = path.ends_with("tests.rs");
        assert!(test_code || text.starts_with("//!"), "{} does not say what it is", path.display());
        assert!(text.lines().count() <= 400, "{} has more than 400 lines: is it still one thing?", path.display());
    }
}
