//! A finished raster tile → its check, held against the plainest search for what repeats in it.

use std::path::Path;

use seamfast::artwork::Finished;
use seamfast::join::{Image, Join, Side, Steps, Verdict, inner, judge};
use seamfast::limits::{Limit, Limits};
use seamfast::proof::{Judged, Subject, Wanted};

use super::pick;
use super::svg::said;

/// Pixels beyond which a tile is not looked at; every boundary in it is measured.
const MOST_PIXELS: u64 = 1 << 12;
/// Every step of tiles up to this size is tried, one of larger ones.
const ALL_STEPS: usize = 1 << 10;

/// PNG, JPEG, TIFF or WebP as a tile: its report is sound, and its repeat is what it is, wherever
/// the tile begins and however often it lies in the file.
pub fn tile(data: &[u8]) {
    if data.len() > 64 << 10 {
        return;
    }
    let usual = Limits::default();
    let limits = Limits { tile: Limit { most: MOST_PIXELS, ..usual.tile }, ..usual };
    let finished = match Finished::from_bytes("fuzz", data.to_vec(), &limits) {
        Ok(finished) => finished,
        Err(e) => return said(&e).unwrap_or_default(),
    };
    let pixels = Straight::of(&finished);
    let file = Path::new("fuzz");
    let subject = |finished| Subject::of_finished(file, finished, &Wanted::new(150.0)).expect("the usual limits");
    let judged = Judged::of(&subject(finished));
    assert_eq!([judged.width, judged.height], [pixels.width, pixels.height]);
    report(&judged);
    let pick = pick(data);
    if pick.is_multiple_of(16) {
        let again = Finished::from_bytes("fuzz", data.to_vec(), &limits).expect("again");
        assert_eq!(format!("{judged:?}"), format!("{:?}", Judged::of(&subject(again))), "judged twice");
    }

    let image = pixels.image();
    let (steps, _) = inner(&image);
    maps_onto_itself(&image, steps, pick);
    let [width, height] = [pixels.width, pixels.height];
    let [x, y] = [pick % width, pick / 128 % height];
    let rolled = pixels.laid(width, height, |i, j| [i + x, j + y]);
    assert_eq!(inner(&rolled).0, steps, "rolled by {x}, {y}");
    let four = pixels.laid(2 * width, 2 * height, |i, j| [i, j]);
    assert_eq!(inner(&four).0, steps, "four times in one file");
    proven(&four);
    if height.is_multiple_of(2) {
        let dropped = pixels.laid(2 * width, height, |i, j| [i, j + i / width * height / 2]);
        assert!(inner(&dropped).0.hold(width as i64, height as i64 / 2), "laid as a half-drop");
        proven(&dropped);
    }
}

/// Its pixels as they are in the file.
struct Straight {
    width: usize,
    height: usize,
    channels: usize,
    bytes: Vec<u8>,
}

impl Straight {
    fn of(finished: &Finished) -> Straight {
        let (pixels, channels) = (&finished.pixels, finished.channels());
        let [width, height] = [pixels.width, pixels.height].map(|side| side as usize);
        assert!(width * height <= MOST_PIXELS as usize && [3, 4].contains(&channels));
        assert_eq!(pixels.bytes.len(), width * height * channels);
        Straight { width, height, channels, bytes: pixels.bytes.clone() }
    }

    fn image(&self) -> Image {
        self.laid(self.width, self.height, |x, y| [x, y])
    }

    /// An image of another size; `from` says which pixel of the endless cloth is where.
    fn laid(&self, width: usize, height: usize, from: impl Fn(usize, usize) -> [usize; 2]) -> Image {
        let mut bytes = Vec::with_capacity(width * height * self.channels);
        for y in 0..height {
            for x in 0..width {
                let [i, j] = from(x, y);
                let at = (j % self.height * self.width + i % self.width) * self.channels;
                bytes.extend_from_slice(&self.bytes[at..at + self.channels]);
            }
        }
        Image::new(width, height, self.channels, bytes)
    }
}

/// What is said is finite, in words, and within the tile.
fn report(judged: &Judged) {
    assert_eq!(judged.joins.iter().map(|join| join.side).collect::<Vec<_>>(), Side::BOTH);
    let whole = |value: f64| value.is_finite() && value > 0.0;
    assert!(judged.dpi.is_none_or(|dpi| dpi.into_iter().all(whole)), "{:?}", judged.dpi);
    for join in &judged.joins {
        let told = match join.verdict {
            Verdict::Seamless => join.faults.is_empty() && join.doubt.is_none(),
            Verdict::Unsure => join.faults.is_empty() && join.doubt.as_ref().is_some_and(|doubt| !doubt.is_empty()),
            Verdict::Fault => !join.faults.is_empty(),
        };
        assert!(told && join.slip.is_none_or(f64::is_finite), "{join:?}");
        for fault in &join.faults {
            assert!(fault.amount.is_finite() && !fault.areas.is_empty(), "{fault:?}");
            assert!(!fault.what(join.side).is_empty() && !fault.remedy(join.side).is_empty());
            for area in &fault.areas {
                assert!(area.width > 0 && area.height > 0, "{area:?}");
                assert!(area.x + area.width <= judged.width && area.y + area.height <= judged.height, "{area:?}");
            }
        }
    }
    assert_eq!(Some(judged.verdict()), judged.joins.iter().map(|join| join.verdict).max());
    let even = format!("{:?}", judged.evenness);
    assert!(!even.contains("NaN") && !even.contains("inf"), "{even}");
    let inner = &judged.inner;
    assert!(inner.lattice.into_iter().all(|step| step.is_finite() && step >= 0.0), "{inner:?}");
    let area = inner.block[0] * inner.block[1] * inner.blocks as f64;
    assert!((area - (judged.width * judged.height) as f64).abs() < 1e-6 * area, "{inner:?}");
    assert!(!inner.layout.is_empty() && !inner.upload().is_empty());
    assert!(judged.findings.iter().all(|f| ![f.code, &f.what, &f.remedy].contains(&"")), "{:?}", judged.findings);
}

/// A step is one of the lattice if, and only if, every pixel is the same that far on.
fn maps_onto_itself(image: &Image, steps: Steps, pick: usize) {
    let [width, height] = [image.width(), image.height()];
    assert!(width.is_multiple_of(steps.across) && height.is_multiple_of(steps.down) && steps.shift < steps.across);
    let same = |x: usize, y: usize| {
        (0..height).all(|j| (0..width).all(|i| image.pixel(i, j) == image.pixel((i + x) % width, (j + y) % height)))
    };
    let agrees = |x: usize, y: usize| {
        assert_eq!(same(x, y), steps.hold(x as i64, y as i64), "{steps:?} of {width} × {height}: {x}, {y}");
    };
    if width * height <= ALL_STEPS {
        (0..height).for_each(|y| (0..width).for_each(|x| agrees(x, y)));
    }
    agrees(steps.across % width, 0);
    agrees(steps.shift, steps.down % height);
    agrees(pick % width, pick / 128 % height);
}

/// Joins beside which the same lies inside the tile have no fault.
fn proven(image: &Image) {
    let sound = |join: &Join| join.proven && join.verdict == Verdict::Seamless && join.faults.is_empty();
    let (steps, inner) = inner(image);
    let joins = judge(image, steps, &inner);
    assert!(joins.iter().all(sound), "{joins:?}");
}
