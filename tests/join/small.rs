//! Tiles that are too small to say much, or nothing at all: judged without a panic.

use seamfast::join::{Image, Verdict, inner, judge};

#[test]
fn any_size_is_judged() {
    for channels in [3, 4] {
        for width in [1, 2, 3, 5, 8, 13, 31, 32, 33, 64] {
            for height in [1, 2, 7, 16, 33, 50] {
                for flat in [true, false] {
                    let level = |i: usize| if flat { 200 } else { (i * 7919 % 251) as u8 };
                    let bytes = (0..width * height * channels).map(level).collect();
                    let image = Image::new(width, height, channels, bytes);
                    let (steps, inner) = inner(&image);
                    assert!(width % steps.across == 0 && height % steps.down == 0 && inner.blocks >= 1);
                    let joins = judge(&image, steps);
                    assert!(!flat || joins.iter().all(|join| join.verdict == Verdict::Seamless), "{width} × {height}");
                }
            }
        }
    }
}
