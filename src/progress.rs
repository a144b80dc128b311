//! What is being done just now, told by the craft to whoever waits for it, and whether to go on.

use std::path::Path;

/// Hears how far the work is, and may stop it.
pub trait Progress: Sync {
    /// So many more pixels of the tile are done.
    fn pixels(&self, _count: u64) {}

    /// Should the work stop?
    fn stopped(&self) -> bool {
        false
    }

    /// The calling thread begins a task; how long it takes, a stranger's file may decide.
    fn begins(&self, _task: Task<'_>) {}

    /// The calling thread is done with the task that it began last.
    fn ends(&self) {}
}

/// Hears nothing.
impl Progress for () {}

/// What a thread is busy with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Task<'a> {
    /// A file is taken in.
    Reading(&'a Path),
    /// A finished tile that is judged is taken in.
    Tile(&'a Path),
    /// The copies on the tile are decided.
    Planning,
    /// What is cut is worked out.
    Cutting,
    /// One painting, or a piece of one, of the motif with this name.
    Painting(&'a str),
    /// The finished files are put in their places; a stop is not heard any more.
    Placing,
}

/// A task that ends when this is dropped.
pub struct Busy<'a>(&'a dyn Progress);

impl dyn Progress + '_ {
    /// Says that the calling thread is busy with a task for as long as the result lives.
    #[must_use]
    pub fn busy<'a>(&'a self, task: Task<'_>) -> Busy<'a> {
        self.begins(task);
        Busy(self)
    }
}

impl Drop for Busy<'_> {
    fn drop(&mut self) {
        self.0.ends();
    }
}
