//! While files are made: a bar on a terminal, and an ear for Ctrl-C.
//!
//! A first Ctrl-C (or a polite `kill`) stops between two strips of the tile, and the drafts are
//! taken away; a second one ends at once.

use std::sync::atomic::{AtomicBool, Ordering};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use seamfast::raster::Progress;

/// Set by Ctrl-C.
static STOP: AtomicBool = AtomicBool::new(false);

/// Progress on standard error; nothing is drawn where that is no terminal.
pub(super) struct Watch {
    bar: ProgressBar,
}

impl Watch {
    /// Begins to listen, with so many rows to do.
    pub(super) fn new(rows: u64) -> Watch {
        // Where no ear can be had, Ctrl-C ends the program as it always does.
        let _ = ctrlc::set_handler(|| {
            if STOP.swap(true, Ordering::Relaxed) {
                std::process::exit(2);
            }
        });
        let bar = ProgressBar::with_draw_target(Some(rows), ProgressDrawTarget::stderr());
        if let Ok(style) = ProgressStyle::with_template("{bar:30} {percent:>3} %  {pos} of {len} rows, {eta} left") {
            bar.set_style(style);
        }
        Watch { bar }
    }
}

impl Progress for Watch {
    fn rows(&self, count: u64) {
        self.bar.inc(count);
    }

    fn stopped(&self) -> bool {
        STOP.load(Ordering::Relaxed)
    }
}

impl Drop for Watch {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}
