//! The worker that takes in strangers' files: what ends it, and what is then said.

use std::fs;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use super::shop::Shop;

/// A grey picture of so many pixels a side, which takes four bytes for each once it is taken in.
fn picture(side: u32) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, side, side);
    encoder.set_color(png::ColorType::Grayscale);
    let mut writer = encoder.write_header().unwrap();
    writer.write_image_data(&vec![200; (side * side) as usize]).unwrap();
    writer.finish().unwrap();
    bytes
}

#[test]
fn a_task_that_takes_too_long_is_ended_and_named() {
    let shop = Shop::new();
    shop.write("foam.svg", r#"<svg xmlns="http://www.w3.org/2000/svg" width="100" height="100"><filter id="f" x="0" y="0" width="1" height="1"><feTurbulence baseFrequency=".1" numOctaves="10"/></filter><rect width="100" height="100" filter="url(#f)"/></svg>"#);
    shop.refuses(
        &["make", "foam.svg", "--motif-width", "8in", "--dpi", "300", "--limit", "time=0.1", "--out", "new/deep"],
        "error: foam: painting it takes longer than 100ms; no file was changed\n |\n = help: write a smaller width or a lower resolution, or simplify the drawing; or allow more with --limit time=200ms",
    );
}

#[test]
fn what_painting_takes_is_counted_in_the_plan() {
    let shop = Shop::new();
    // 20 mm at 254 dpi: a disc of 36 000 square px, counted by its box of 180 px, on a tile of 400 px.
    let args = ["make", "buoy.svg", "--tile", "40mm", "--dpi", "254", "--as", "png", "--layout", "straight"];
    shop.refuses(
        &[&args[..], &["--limit", "painted-pixels=200000"]].concat(),
        "error: the tile comes to 2.3e5 painted pixels, most of them of buoy; the most is 200000\n |\n = help: write a lower resolution, or simplify the drawing; or allow more with --limit painted-pixels=400000",
    );
    shop.done(&[&args[..], &["--limit", "painted-pixels=300000"]].concat());
}

#[test]
fn limits_are_set_in_the_design_and_by_flags_and_flags_win() {
    let shop = Shop::new();
    let nested = "<g>".repeat(9) + "<path d='M0 0H9V9z'/>" + &"</g>".repeat(9);
    shop.write("deep.svg", format!("<svg xmlns='http://www.w3.org/2000/svg' width='9mm' height='9mm'>{nested}</svg>"));
    shop.write("deep.toml", "[limits]\ndepth = 5\n[[motif]]\nfile = \"deep.svg\"\n[[deliver]]\nas = [\"svg\"]\n");
    let help = "simplify the drawing, or cut it into several; or allow more with --limit depth=10";
    let done = shop.run(&["make", "deep.toml"]);
    assert!(done.err.starts_with("error: deep.svg: elements inside one another: 11; the most is 5"), "{}", done.err);
    assert!(done.err.contains(help), "{}", done.err);
    shop.done(&["make", "deep.toml", "--limit", "depth=20"]);
    shop.refuses(
        &["new", "deep.svg", "--limit", "depth=5"],
        &format!("error: deep.svg: elements inside one another: 11; the most is 5\n |\n = help: {help}"),
    );
    shop.refuses(
        &["make", "deep.svg", "--limit", "dept=5"],
        "error: --limit: \"dept\" is not the name of a limit\n |\n = help: did you mean depth?",
    );
    shop.write("wrong.toml", "[limits]\nmemory = \"plenty\"\n[[motif]]\nfile = \"deep.svg\"\n");
    let done = shop.run(&["make", "wrong.toml"]);
    assert!(
        done.err.contains(
            "limit: \"plenty\" is not a value for memory; write for example memory = \"1800MB\"\n --> wrong.toml:2:10"
        ),
        "{}",
        done.err
    );
}

#[test]
fn all_limits_are_printed_with_value_and_meaning() {
    let shop = Shop::new();
    let said = shop.done(&["limits"]);
    let json = shop.json(&["limits"]);
    let all = seamfast::limits::Limits::default();
    assert_eq!(said.lines().count(), all.all().len());
    assert_eq!(json["limits"].as_array().unwrap().len(), all.all().len());
    for (limit, line) in all.all().iter().zip(said.lines()) {
        assert!(
            line.starts_with(limit.name) && line.contains(&limit.show()) && line.ends_with(limit.meaning),
            "{line}"
        );
    }
    // The schema offers the same names to editors.
    let schema: serde_json::Value = serde_json::from_str(&shop.done(&["schema"])).unwrap();
    let words = schema["properties"]["limits"]["properties"].as_object().unwrap();
    assert!(all.all().iter().all(|limit| words.contains_key(limit.name)) && words.len() == all.all().len());
}

#[cfg(target_os = "linux")]
#[test]
fn memory_is_bounded_and_its_end_is_said() {
    let shop = Shop::new();
    shop.write("large.png", picture(8_000));
    shop.refuses(
        &["make", "large.png", "--motif-width", "2in", "--threads", "1", "--limit", "memory=1MB", "--out", "new/deep"],
        "error: large.png: reading it takes more memory than 1MB; no file was changed\n |\n = help: simplify the drawing; or allow more with --limit memory=2MB",
    );
    shop.done(&["make", "large.png", "--motif-width", "2in", "--threads", "1", "--limit", "memory=600MB"]);
}

/// A run that takes long, and its worker's process once that is painting.
#[cfg(target_os = "linux")]
fn painting(shop: &Shop) -> (Child, String) {
    let args = ["make", "buoy.svg", "--tile", "100in", "--dpi", "300", "--as", "png", "--out", "new/deep"];
    let child = shop.command(&args).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    let worker = worker_of(shop, child.id());
    (child, worker)
}

/// Waits until the worker of a run has written strips of the tile.
#[cfg(target_os = "linux")]
fn worker_of(shop: &Shop, watcher: u32) -> String {
    let begun = Instant::now();
    loop {
        assert!(begun.elapsed() < Duration::from_secs(120), "no draft was begun");
        let worker = fs::read_to_string(format!("/proc/{watcher}/task/{watcher}/children")).unwrap().trim().to_owned();
        let mut drafts = fs::read_dir(shop.path("new/deep")).into_iter().flatten().flatten();
        if !worker.is_empty() && drafts.any(|draft| draft.metadata().is_ok_and(|m| m.len() > 1 << 16)) {
            return worker;
        }
        std::thread::sleep(Duration::from_millis(10));
    }
}

#[cfg(target_os = "linux")]
fn send(signal: &str, process: &str) {
    assert!(Command::new("kill").args([signal, process]).status().unwrap().success());
}

#[cfg(target_os = "linux")]
#[test]
fn a_crash_of_the_worker_is_said_and_leaves_nothing() {
    let shop = Shop::new();
    let before = shop.files();
    for (signal, how) in [
        ("-ABRT", "it gave up (signal 6)"),
        ("-KILL", "another program ended it, or the system did when memory ran out (signal 9)"),
    ] {
        let (child, worker) = painting(&shop);
        send(signal, &worker);
        let output = child.wait_with_output().unwrap();
        let said = String::from_utf8(output.stderr).unwrap();
        assert!(said.contains(&format!("ended Seamfast's worker: {how}; no file was changed")), "{said}");
        assert!(said.contains("please report it with the drawing"), "{said}");
        assert_eq!((output.status.code(), output.stdout.len()), (Some(2), 0));
        assert_eq!(shop.files(), before);
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_worker_does_not_outlive_its_watcher() {
    let shop = Shop::new();
    let (mut child, worker) = painting(&shop);
    child.kill().unwrap();
    child.wait().unwrap();
    let begun = Instant::now();
    while fs::metadata(format!("/proc/{worker}")).is_ok() {
        assert!(begun.elapsed() < Duration::from_secs(10), "the worker lives on");
        std::thread::sleep(Duration::from_millis(10));
    }
}

#[cfg(unix)]
#[test]
fn ctrl_c_is_heard_while_a_file_is_read() {
    let shop = Shop::new();
    // A pipe that nobody writes to is read for ever.
    assert!(Command::new("mkfifo").arg(shop.path("endless.svg")).status().unwrap().success());
    let mut child = shop.command(&["make", "endless.svg"]).stderr(Stdio::piped()).spawn().unwrap();
    std::thread::sleep(Duration::from_millis(500));
    let sent = Instant::now();
    assert!(Command::new("kill").args(["-INT", &child.id().to_string()]).status().unwrap().success());
    while child.try_wait().unwrap().is_none() {
        assert!(sent.elapsed() < Duration::from_secs(20), "it is not heard");
        std::thread::sleep(Duration::from_millis(10));
    }
    let output = child.wait_with_output().unwrap();
    assert_eq!(String::from_utf8(output.stderr).unwrap(), "error: stopped; no file was changed\n");
    assert_eq!(output.status.code(), Some(2));
}

/// Started by the system's loader, the program does not find itself: it works in one process and says so.
#[cfg(all(target_os = "linux", target_arch = "x86_64", target_env = "gnu"))]
#[test]
fn without_a_second_process_it_works_and_says_what_is_missing() {
    let shop = Shop::new();
    let mut command = Command::new("/lib64/ld-linux-x86-64.so.2");
    command.arg(env!("CARGO_BIN_EXE_seamfast")).args(["make", "buoy.svg", "--as", "png"]).current_dir(shop.path(""));
    let output = command.output().unwrap();
    let said = String::from_utf8(output.stderr).unwrap();
    assert_eq!(
        said,
        "warning: memory is not bounded, since no second process can be started: what was started in its place is another program\n"
    );
    assert_eq!(output.status.code(), Some(0));
    assert_eq!(shop.names("out"), ["buoy.png"]);
}
