//! What a killed run leaves behind is taken away by a later one, and nothing else.

use std::fs::File;
use std::time::{Duration, SystemTime};

use crate::shop::Shop;

#[test]
fn old_drafts_that_nobody_holds_are_taken_away() {
    let shop = Shop::new();
    for name in ["held", "young", "dead"] {
        shop.write(&format!("out/.seamfast-{name}.draft"), "half a file");
    }
    shop.write("out/.seamfast-notes.txt", "a person's own");
    let old = SystemTime::now() - Duration::from_secs(3600);
    for name in ["held", "dead"] {
        File::options()
            .write(true)
            .open(shop.path(&format!("out/.seamfast-{name}.draft")))
            .unwrap()
            .set_modified(old)
            .unwrap();
    }
    let held = File::open(shop.path("out/.seamfast-held.draft")).unwrap();
    held.lock().unwrap();
    shop.done(&["make", "buoy.svg", "--as", "svg"]);
    let mut names: Vec<String> =
        std::fs::read_dir(shop.path("out")).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    assert_eq!(names, [".seamfast-held.draft", ".seamfast-notes.txt", ".seamfast-young.draft", "buoy.svg"]);
}
