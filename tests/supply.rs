//! What Seamfast is built from: licences, versions, features and build scripts as deny.toml allows
//! them, and the table of dependencies in DEVELOPERS.md as Cargo.toml gives their reasons.
//!
//! The same file is read by cargo-deny, where it is installed. Neither looks here for known faults:
//! that takes a database from the network.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test says what is wrong by failing")]

use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;
use std::process::Command;

use serde_json::Value;

fn project(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(name)
}

fn read(name: &str) -> String {
    std::fs::read_to_string(project(name)).expect(name)
}

/// deny.toml, as JSON.
fn rules() -> Value {
    toml::from_str(&read("deny.toml")).expect("deny.toml")
}

/// What cargo resolved, for the machine that deny.toml names.
fn resolved() -> Value {
    let target = rules()["graph"]["targets"][0].as_str().expect("a target").to_owned();
    let mut cargo = Command::new(env!("CARGO"));
    cargo.args(["metadata", "--format-version", "1", "--locked", "--filter-platform", &target]);
    let out = cargo.current_dir(project("")).output().expect("cargo runs");
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    serde_json::from_slice(&out.stdout).expect("JSON")
}

fn list(value: &Value) -> &[Value] {
    value.as_array().expect("a list")
}

fn text(value: &Value) -> &str {
    value.as_str().unwrap_or_default()
}

fn texts(value: &Value) -> BTreeSet<&str> {
    list(value).iter().map(text).collect()
}

#[test]
fn licences_are_those_that_are_allowed() {
    let (rules, resolved) = (rules(), resolved());
    let allowed = texts(&rules["licenses"]["allow"]);
    let packages = list(&resolved["packages"]);
    assert!(packages.len() > 50, "only {} packages: is the reader broken?", packages.len());
    let mut needed = BTreeSet::new();
    for package in packages {
        let licence = text(&package["license"]);
        let taken = satisfied(licence, &allowed);
        assert!(taken.is_some(), "{} is under {licence:?}, which deny.toml does not allow", package["name"]);
        needed.extend(taken.unwrap_or_default());
    }
    assert_eq!(needed, allowed.iter().map(ToString::to_string).collect(), "deny.toml allows what nobody needs");
}

/// The licences of an SPDX expression that suffice, if they are allowed. `/` is an old `OR`.
fn satisfied(expression: &str, allowed: &BTreeSet<&str>) -> Option<BTreeSet<String>> {
    let spaced = expression.replace('/', " OR ").replace('(', " ( ").replace(')', " ) ");
    let words: Vec<&str> = spaced.split_whitespace().collect();
    let mut at = 0;
    let sum = any(&words, &mut at, allowed);
    assert_eq!(at, words.len(), "{expression:?} is not read to its end");
    sum
}

fn any(words: &[&str], at: &mut usize, allowed: &BTreeSet<&str>) -> Option<BTreeSet<String>> {
    let mut first = all(words, at, allowed);
    while words.get(*at) == Some(&"OR") {
        *at += 1;
        let next = all(words, at, allowed);
        first = first.or(next);
    }
    first
}

fn all(words: &[&str], at: &mut usize, allowed: &BTreeSet<&str>) -> Option<BTreeSet<String>> {
    let mut sum = one(words, at, allowed);
    while words.get(*at) == Some(&"AND") {
        *at += 1;
        let next = one(words, at, allowed);
        sum = sum.zip(next).map(|(a, b)| a.into_iter().chain(b).collect());
    }
    sum
}

fn one(words: &[&str], at: &mut usize, allowed: &BTreeSet<&str>) -> Option<BTreeSet<String>> {
    let word = *words.get(*at)?;
    *at += 1;
    if word == "(" {
        let inside = any(words, at, allowed);
        *at += 1;
        return inside;
    }
    let with = words.get(*at) == Some(&"WITH");
    *at += if with { 2 } else { 0 };
    (allowed.contains(word) && !with).then(|| BTreeSet::from([word.to_owned()]))
}

#[test]
fn expressions_of_licences_are_read() {
    let allowed = BTreeSet::from(["MIT", "Zlib", "IJG"]);
    for (expression, taken) in [
        ("MIT", "MIT"),
        ("GPL-3.0-only OR MIT", "MIT"),
        ("Apache-2.0/MIT", "MIT"),
        ("(MIT OR Apache-2.0) AND IJG", "IJG MIT"),
        ("GPL-3.0-only AND MIT OR Zlib", "Zlib"),
    ] {
        let found: Vec<String> = satisfied(expression, &allowed).expect(expression).into_iter().collect();
        assert_eq!(found.join(" "), taken, "{expression}");
    }
    for expression in ["", "GPL-3.0-only", "MIT AND GPL-3.0-only", "MIT WITH some-exception", "(GPL-3.0-only)"] {
        assert_eq!(satisfied(expression, &allowed), None, "{expression}");
    }
}

/// The crates that deny.toml bans, without those that only their named wrappers use.
fn banned<'a>(rules: &'a Value, resolved: &Value) -> BTreeSet<&'a str> {
    let users = |name: &str| -> BTreeSet<String> {
        let nodes = list(&resolved["resolve"]["nodes"]).iter();
        let uses =
            |node: &&Value| list(&node["deps"]).iter().any(|dep| text(&dep["pkg"]).contains(&format!("#{name}@")));
        nodes.filter(uses).map(|node| name_of(text(&node["id"])).to_owned()).collect()
    };
    let allowed = |ban: &Value| -> BTreeSet<String> {
        let wrappers = ban.get("wrappers").map(list).unwrap_or_default();
        wrappers.iter().map(|wrapper| text(wrapper).to_owned()).collect()
    };
    let bans = list(&rules["bans"]["deny"]).iter();
    bans.filter(|ban| ban.get("wrappers").is_none() || users(text(&ban["crate"])) != allowed(ban))
        .map(|ban| text(&ban["crate"]))
        .collect()
}

/// The crate's name in cargo's id of a package, `…#name@version`.
fn name_of(id: &str) -> &str {
    id.rsplit('#').next().and_then(|rest| rest.split('@').next()).unwrap_or_default()
}

#[test]
fn only_known_sources_versions_and_build_scripts() {
    let (rules, resolved) = (rules(), resolved());
    let banned = banned(&rules, &resolved);
    let scripts = texts(&rules["bans"]["build"]["allow-build-scripts"]);
    let mut versions: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    let mut with_script = BTreeSet::new();
    for package in list(&resolved["packages"]) {
        let name = text(&package["name"]);
        versions.entry(name).or_default().push(text(&package["version"]));
        assert!(!banned.contains(name), "{name} is banned by deny.toml");
        let source = text(&package["source"]);
        assert!(source.starts_with("registry+") || name == "seamfast", "{name} comes from {source:?}");
        if list(&package["targets"]).iter().any(|t| texts(&t["kind"]).contains("custom-build")) {
            with_script.insert(name);
        }
    }
    assert_eq!(with_script, scripts, "crates that run code while building");
    let twice = versions.iter().filter(|(_, all)| all.len() > 1);
    let older =
        twice.flat_map(|(name, all)| all[..all.len() - 1].iter().map(move |version| format!("{name}@{version}")));
    let skipped = list(&rules["bans"]["skip"]).iter().map(|skip| text(&skip["crate"]).to_owned());
    assert_eq!(older.collect::<BTreeSet<_>>(), skipped.collect(), "crates in two versions, the older ones");
}

#[test]
fn readers_of_strangers_files_have_no_feature_too_many() {
    let (rules, resolved) = (rules(), resolved());
    let nodes = list(&resolved["resolve"]["nodes"]);
    let rules = list(&rules["bans"]["features"]);
    assert!(!rules.is_empty());
    for rule in rules {
        let name = text(&rule["crate"]);
        let node = nodes.iter().find(|n| text(&n["id"]).contains(&format!("#{name}@"))).expect(name);
        assert_eq!(texts(&node["features"]), texts(&rule["allow"]), "features of {name}");
    }
}

#[test]
fn no_unsafe_code_of_our_own() {
    let manifest: toml::Table = toml::from_str(&read("Cargo.toml")).expect("Cargo.toml");
    assert_eq!(manifest["lints"]["rust"]["unsafe_code"].as_str(), Some("forbid"));
}

/// `MAKE=1` writes the table anew.
#[test]
fn the_table_of_dependencies_is_cargo_tomls() {
    let manifest = read("Cargo.toml");
    let mut table = String::from("| crates | what for |\n| --- | --- |\n");
    let (mut reason, mut names, mut inside): (Vec<&str>, Vec<String>, bool) = Default::default();
    let mut count = 0;
    for line in manifest.lines().chain(["[end]"]) {
        let starts_next = line.starts_with(['#', '[']);
        if starts_next && !names.is_empty() {
            count += names.len();
            table += &format!("| {} | {} |\n", names.join(", "), reason.join(" "));
            reason.clear();
            names.clear();
        }
        match line.split_once(" = ") {
            _ if line.starts_with('[') => inside = line.ends_with("dependencies]"),
            _ if !inside => {}
            Some((name, _)) if !line.starts_with('#') => names.push(format!("`{name}`")),
            _ => reason.extend(line.strip_prefix("# ")),
        }
        assert!(names.is_empty() || !reason.is_empty(), "{line}: Cargo.toml does not say why");
    }
    let all: toml::Table = toml::from_str(&manifest).unwrap();
    let keys = |section: &toml::Value| section.as_table().unwrap().len();
    let unix = keys(&all["target"]["cfg(unix)"]["dependencies"]);
    let count_again = keys(&all["dependencies"]) + keys(&all["dev-dependencies"]) + unix;
    assert_eq!(count, count_again, "the reader of Cargo.toml is broken");
    let page = read("DEVELOPERS.md");
    let start = page.find("| crates | what for |").expect("the table in DEVELOPERS.md");
    let end = page[start..].find("\n\n").map_or(page.len(), |n| start + n + 1);
    if std::env::var_os("MAKE").is_some() {
        std::fs::write(project("DEVELOPERS.md"), format!("{}{table}{}", &page[..start], &page[end..])).unwrap();
        return;
    }
    assert_eq!(&page[start..end], table, "DEVELOPERS.md is not Cargo.toml's; MAKE=1 makes it anew");
}
