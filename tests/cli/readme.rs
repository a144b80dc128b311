//! The README's first command, and what the README says it answers.

use std::path::Path;

use crate::shop::Shop;

fn project(name: &str) -> Vec<u8> {
    std::fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join(name)).unwrap()
}

#[test]
fn the_first_command_answers_as_the_readme_says() {
    let readme = String::from_utf8(project("README.md")).unwrap();
    let command = readme.lines().find_map(|line| line.strip_prefix("cargo run --release -- ")).unwrap();
    let command = command.split(" # ").next().unwrap().replace('\'', "");
    let args: Vec<&str> = command.split_whitespace().collect();
    let answer = readme.split("```text\n").nth(1).unwrap().split("```").next().unwrap();
    let shop = Shop::new();
    shop.write("motifs/limpet.svg", project("motifs/limpet.svg"));
    assert_eq!(shop.done(&args), answer);
}
