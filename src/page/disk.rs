//! Looks at the disk now and then: an editor or drawing program may have saved something.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::Arc;
use std::thread;
use std::time::{Duration, SystemTime};

use super::house::House;

/// How often; a person who saves and looks up does not wait.
const OFTEN: Duration = Duration::from_millis(250);

/// Watches from a thread of its own for as long as the program runs.
pub(super) fn watch(house: Arc<House>) {
    thread::spawn(move || {
        let mut known: BTreeMap<PathBuf, Option<(u64, SystemTime)>> = BTreeMap::new();
        loop {
            thread::sleep(OFTEN);
            let now: BTreeMap<_, _> = house.sources().into_iter().map(|path| (path.clone(), stamp(&path))).collect();
            let changed = now.iter().any(|(path, stamp)| known.get(path).is_some_and(|old| old != stamp));
            known = now;
            house.look_at_disk(changed);
        }
    });
}

fn stamp(path: &std::path::Path) -> Option<(u64, SystemTime)> {
    let about = std::fs::metadata(path).ok()?;
    Some((about.len(), about.modified().ok()?))
}
