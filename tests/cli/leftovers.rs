//! What a killed run leaves behind is taken away by the next one, and nothing else.

use std::fs::File;

use crate::shop::Shop;

#[test]
fn leftovers_that_nobody_holds_are_taken_away() {
    let shop = Shop::new();
    for name in
        ["0123456789abcdef.lock", "0123456789abcdef-deadX1.draft", "00000000deadbeef-X.draft", "fedcba9876543210.lock"]
    {
        shop.write(&format!("out/.seamfast-{name}"), "half a file");
    }
    // Held by a run that is still at work.
    shop.write("out/.seamfast-aaaaaaaaaaaaaaaa-held00.draft", "half a file");
    shop.write("out/.seamfast-aaaaaaaaaaaaaaaa.lock", "");
    let held = File::open(shop.path("out/.seamfast-aaaaaaaaaaaaaaaa.lock")).unwrap();
    held.lock().unwrap();
    shop.write("out/.seamfast-notes.txt", "a person's own");
    shop.done(&["make", "buoy.svg", "--as", "svg"]);
    let kept = [
        ".seamfast-aaaaaaaaaaaaaaaa-held00.draft",
        ".seamfast-aaaaaaaaaaaaaaaa.lock",
        ".seamfast-notes.txt",
        "buoy.svg",
    ];
    assert_eq!(shop.names("out"), kept);
    drop(held);
    // A program that another test starts just now may hold the lock with us for a moment.
    for _ in 0..40 {
        shop.done(&["make", "buoy.svg", "--as", "svg"]);
        if shop.names("out") == kept[2..] {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(50));
    }
    assert_eq!(shop.names("out"), kept[2..]);
}
