//! Stopped in the middle: no file is changed and no draft stays.
#![cfg(unix)]

use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use super::shop::Shop;

/// Begins a tile that takes long, waits until it is being written, and sends the signal.
fn stopped_by(signal: &str, folder: &str) {
    let shop = Shop::new();
    shop.write("out/buoy.png", "the old file");
    let before = shop.files();
    let args = [
        "make", "buoy.svg", "page.svg", "--tile", "100in", "--dpi", "300", "--as", "png,svg", "--name", "buoy",
        "--out", folder,
    ];
    let child = shop.command(&args).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    let begun = Instant::now();
    while !draft_is_written(&shop, folder) {
        assert!(begun.elapsed() < Duration::from_secs(120), "no draft was begun");
        std::thread::sleep(Duration::from_millis(20));
    }
    let sent = Command::new("kill").args([signal, &child.id().to_string()]).status().unwrap();
    assert!(sent.success());
    let output = child.wait_with_output().unwrap();
    assert_eq!(String::from_utf8(output.stderr).unwrap(), "error: stopped; no file was changed\n");
    assert_eq!((output.status.code(), &*output.stdout), (Some(2), &b""[..]));
    assert_eq!(shop.files(), before);
}

/// Strips of the tile have reached the disk.
fn draft_is_written(shop: &Shop, folder: &str) -> bool {
    let entries = std::fs::read_dir(shop.path(folder)).into_iter().flatten();
    entries
        .flatten()
        .any(|e| e.file_name().to_string_lossy().ends_with(".draft") && e.metadata().is_ok_and(|m| m.len() > 1 << 16))
}

#[test]
fn ctrl_c_stops_between_strips() {
    stopped_by("-INT", "out");
}

#[test]
fn a_polite_kill_stops_the_same_way_and_takes_new_folders_away() {
    stopped_by("-TERM", "new/deep");
}
