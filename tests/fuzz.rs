//! The fuzz targets as ordinary tests: their corpus, every input that was once a finding, and some
//! thousand variants of both, the same on every run. `FUZZ=100` takes a hundred times as many.
//!
//! No coverage leads these variants; `fuzz/run` does that, for as long as one likes.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test says what is wrong by failing")]
#![allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "pictures are small")]

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::mpsc::{self, RecvTimeoutError};
use std::sync::{Arc, Mutex, Once};
use std::time::Duration;

#[path = "../fuzz/src/lib.rs"]
mod targets;

use targets::{TARGETS, tolerate_the_reader};

/// A single input that takes longer than this hangs. It takes milliseconds; a busy machine may
/// stand still for a minute.
const HANGS: Duration = Duration::from_secs(300);

#[test]
fn cuts() {
    run("cut", 1_000);
}

#[test]
fn designs() {
    run("design", 5_000);
}

#[test]
fn lengths() {
    run("length", 30_000);
}

#[test]
fn pages() {
    run("page", 5_000);
}

#[test]
fn pictures() {
    run("picture", 5_000);
}

#[test]
fn drawings() {
    run("svg", 5_000);
}

#[test]
fn tiles() {
    run("tile", 5_000);
}

/// Each target has its test above, and a corpus to begin with.
#[test]
fn no_target_is_left_out() {
    let names: Vec<&str> = TARGETS.iter().map(|(name, _)| *name).collect();
    assert_eq!(names, ["cut", "design", "length", "page", "picture", "svg", "tile"]);
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("fuzz/fuzz_targets");
    let mut built: Vec<PathBuf> = std::fs::read_dir(folder).expect("targets").map(|e| e.expect("one").path()).collect();
    built.sort();
    assert_eq!(built.iter().map(|p| p.file_stem().expect("a name")).collect::<Vec<_>>(), names);
}

/// All inputs of a target, and so many variants of them.
fn run(name: &'static str, variants: usize) {
    let (_, target) = *TARGETS.iter().find(|(n, _)| *n == name).expect("a target");
    let inputs = inputs(name);
    assert!(inputs.len() >= 5, "only {} inputs for {name}", inputs.len());
    let more: usize = std::env::var("FUZZ").map_or(1, |n| n.parse().expect("FUZZ is a number"));
    let count = variants * more;
    let all = inputs.len() + count;
    static ONCE: Once = Once::new();
    ONCE.call_once(tolerate_the_reader);
    let (done, heard) = mpsc::channel();
    let now = Arc::new(Mutex::new(Vec::new()));
    let at_hand = Arc::clone(&now);
    std::thread::spawn(move || {
        let mut random = Random(20_261_125);
        let variants = (0..count).map(|n| variant(&inputs[n % inputs.len()], &inputs, &mut random));
        for input in inputs.iter().cloned().chain(variants) {
            at_hand.lock().expect("not poisoned").clone_from(&input);
            // The panic itself was printed; the channel closes, and the input is written down.
            if catch_unwind(AssertUnwindSafe(|| target(&input))).is_err() || done.send(()).is_err() {
                return;
            }
        }
    });
    let mut taken = 0;
    loop {
        match heard.recv_timeout(HANGS) {
            Ok(()) => taken += 1,
            Err(RecvTimeoutError::Timeout) => panic!("{name} hangs; its input is {}", kept(name, &now)),
            Err(RecvTimeoutError::Disconnected) => break,
        }
    }
    assert!(taken == all, "a finding of {name}; its input is {}", kept(name, &now));
}

/// Writes the input at hand down, to be run again by `fuzz/run` or made a regression.
fn kept(name: &str, input: &Mutex<Vec<u8>>) -> String {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("fuzz-{name}"));
    std::fs::write(&path, &*input.lock().expect("not poisoned")).expect("a place for it");
    path.display().to_string()
}

/// Corpus and former findings, sorted, so that variants are the same on every run.
fn inputs(name: &str) -> Vec<Vec<u8>> {
    let project = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut folders = vec![project.join("fuzz/corpus").join(name), project.join("fuzz/regressions").join(name)];
    if matches!(name, "svg" | "page") {
        folders
            .extend(["ink", "losses", "patterns", "croquis"].map(|f| project.join("tests/artwork/drawings").join(f)));
    }
    if name == "tile" {
        folders.push(project.join("fuzz/corpus/picture"));
    }
    let files = folders.iter().flat_map(|folder| std::fs::read_dir(folder).into_iter().flatten());
    let mut files: Vec<PathBuf> = files.map(|e| e.expect("an entry").path()).filter(|p| p.is_file()).collect();
    files.sort();
    let is_picture = |p: &Path| p.extension().is_some_and(|e| e == "png") && !matches!(name, "picture" | "tile");
    files.iter().filter(|p| !is_picture(p)).map(|p| std::fs::read(p).expect("readable")).collect()
}

/// Numbers that look random and are the same on every run (xorshift64*).
struct Random(u64);

impl Random {
    fn below(&mut self, most: usize) -> usize {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        (self.0.wrapping_mul(0x2545_f491_4f6c_dd1d) >> 33) as usize % most.max(1)
    }
}

/// One to four changes: bits, bytes, numbers, a part taken out, doubled, or from another input.
fn variant(input: &[u8], all: &[Vec<u8>], random: &mut Random) -> Vec<u8> {
    const NUMBERS: [&str; 8] = ["0", "-1", "1e38", "1e-9", "65536", "999999999999999", "NaN", ".5"];
    let mut bytes = input.to_vec();
    for _ in 0..=random.below(4) {
        let at = random.below(bytes.len());
        let end = (at + 1 + random.below(24)).min(bytes.len());
        let at = at.min(end);
        match random.below(7) {
            0 if at < end => bytes[at] ^= 1 << random.below(8),
            1 if at < end => bytes[at] = random.below(256) as u8,
            2 => _ = bytes.drain(at..end),
            3 => {
                let part = bytes[at..end].to_vec();
                bytes.splice(at..at, part);
            }
            4 => {
                let digit = bytes[at..].iter().position(u8::is_ascii_digit).map(|n| at + n);
                let number = NUMBERS[random.below(NUMBERS.len())].bytes();
                digit.into_iter().for_each(|at| _ = bytes.splice(at..=at, number.clone()));
            }
            5 => {
                let other = &all[random.below(all.len())];
                let from = random.below(other.len());
                let part = &other[from..(from + 1 + random.below(60)).min(other.len())];
                bytes.splice(at..end, part.iter().copied());
            }
            _ => bytes.truncate(end),
        }
    }
    bytes
}
