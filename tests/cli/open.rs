//! Opening the page: what can't be opened is said, and nothing is left behind. What it then does is tried in a browser
//! (`tests/page`).

use std::net::TcpListener;

use super::shop::Shop;

#[test]
fn what_can_not_be_opened_is_said() {
    let shop = Shop::new();
    shop.write("broken.svg", "<svg");
    shop.write("folder.toml/in.txt", "");
    for (words, said) in [
        (&["nothere.svg"][..], "error: nothere.svg: there is no such file"),
        (&["buoy.svg", "nothere.svg"], "error: nothere.svg: there is no such file"),
        (&["buoy.svg", "shore.toml"], "error: a design file is opened alone, without motifs or other designs"),
        (&["broken.svg"], "broken.svg"),
        (&["folder.toml"], "folder.toml"),
    ] {
        let before = shop.files();
        let done = shop.run(&[&["open", "--no-browser"], words].concat());
        assert_eq!((done.code, &*done.out), (Some(2), ""), "{words:?}: {}", done.err);
        assert!(done.err.starts_with("error: ") && done.err.contains(said), "{words:?}: {}", done.err);
        assert_eq!(shop.files(), before, "{words:?}");
    }
}

#[test]
fn a_port_that_is_taken_is_named() {
    let shop = Shop::new();
    let taken = TcpListener::bind("127.0.0.1:0").unwrap();
    let port = taken.local_addr().unwrap().port().to_string();
    let done = shop.run(&["open", "--no-browser", "--port", &port]);
    assert_eq!((done.code, &*done.out), (Some(2), ""));
    assert!(done.err.contains(&format!("127.0.0.1, port {port}")), "{}", done.err);
    assert!(done.err.contains("= help: write another port"), "{}", done.err);
    assert_eq!(shop.run(&["open", "--port", "99999"]).code, Some(2));
}
