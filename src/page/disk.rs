//! Looks at the disk now and then: an editor or drawing program may have saved something.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::Arc;
use std::thread;
use std::time::{Duration, SystemTime};

use super::house::House;

/// How often; a person who saves and looks up does not wait.
const OFTEN: Duration = Duration::from_millis(150);

/// What tells a saved file from the one before.
type Stamps = BTreeMap<PathBuf, Option<(u64, SystemTime)>>;

/// Watches from a thread of its own for as long as the program runs.
pub(super) fn watch(house: Arc<House>) {
    thread::spawn(move || {
        let (mut taken, mut last) = (Stamps::new(), Stamps::new());
        loop {
            thread::sleep(OFTEN);
            let now: Stamps = house.sources().into_iter().map(|path| (path.clone(), stamp(&path))).collect();
            // What is still being written is not looked at.
            let rests = now == last;
            let changed = rests && now.iter().any(|(path, stamp)| taken.get(path).is_some_and(|old| old != stamp));
            if rests {
                taken.clone_from(&now);
            }
            last = now;
            house.look_at_disk(changed);
        }
    });
}

fn stamp(path: &std::path::Path) -> Option<(u64, SystemTime)> {
    let about = std::fs::metadata(path).ok()?;
    Some((about.len(), about.modified().ok()?))
}
