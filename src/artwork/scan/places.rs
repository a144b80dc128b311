//! Where things are in a drawing's file.

use std::collections::HashMap;
use std::hash::{DefaultHasher, Hash, Hasher};

/// Where things are in the file that was read, for losses that show only in the tree.
#[derive(Default)]
pub(crate) struct Places {
    ids: HashMap<String, u32>,
    /// By what they say, without blanks.
    texts: HashMap<String, Vec<u32>>,
    /// By what they hold.
    images: HashMap<u64, u32>,
    /// The first blend.
    pub(super) blend: Option<u32>,
}

impl Places {
    /// The first of an id counts.
    pub(super) fn add_id(&mut self, id: &str, line: u32) {
        self.ids.entry(id.to_owned()).or_insert(line);
    }

    pub(super) fn add_text(&mut self, words: &str, line: u32) {
        self.texts.entry(solid(words)).or_default().push(line);
    }

    pub(super) fn add_image(&mut self, data: &[u8], line: u32) {
        self.images.entry(fingerprint(data)).or_insert(line);
    }

    /// The line of an element.
    pub(crate) fn line(&self, id: &str) -> Option<u32> {
        self.ids.get(id).copied()
    }

    /// The line of the text that says these words the `nth` time, counted from 0.
    pub(crate) fn text_line(&self, words: &str, nth: usize) -> Option<u32> {
        let lines = self.texts.get(&solid(words))?;
        lines.get(nth).or(lines.last()).copied()
    }

    /// The line of the image that holds these bytes.
    pub(crate) fn image_line(&self, data: &[u8]) -> Option<u32> {
        self.images.get(&fingerprint(data)).copied()
    }
}

/// Without blanks, which are kept or not as styles say.
fn solid(text: &str) -> String {
    text.split_whitespace().collect()
}

fn fingerprint(data: &[u8]) -> u64 {
    let mut hasher = DefaultHasher::new();
    data.hash(&mut hasher);
    hasher.finish()
}
