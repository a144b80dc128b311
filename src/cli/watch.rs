//! While files are made: a bar on a terminal, and an ear for Ctrl-C.
//!
//! At Ctrl-C, or a polite `kill`, the workers stop between two strips of the tile and take their
//! drafts away. What looks up less often (one huge painting, reading a file back) is not waited for:
//! after half a second the drafts are taken away from here, and the program ends.

use std::fmt::Write;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressState, ProgressStyle};
use seamfast::design::{DeliverError, abandon};
use seamfast::raster::Progress;

use super::say::Failure;

/// Set by Ctrl-C.
static STOP: AtomicBool = AtomicBool::new(false);
/// Set when the work has ended, well or not; what came of it is being said.
static ENDED: AtomicBool = AtomicBool::new(false);

/// How long the workers may take to stop by themselves.
const GRACE: Duration = Duration::from_millis(500);

/// Progress on standard error; nothing is drawn where that is no terminal.
pub(super) struct Watch {
    bar: ProgressBar,
}

impl Watch {
    /// Begins to listen, with so many pixels to do.
    pub(super) fn new(pixels: u64) -> Watch {
        let bar = ProgressBar::with_draw_target(Some(pixels), ProgressDrawTarget::stderr());
        if let Ok(style) = ProgressStyle::with_template("{bar:30} {percent:>3} %  {done}, {rate}, {eta} left") {
            bar.set_style(style.with_key("done", done).with_key("rate", rate));
        }
        let drawn = bar.clone();
        // Where no ear can be had, Ctrl-C ends the program as it always does.
        let _ = ctrlc::set_handler(move || {
            STOP.store(true, Ordering::SeqCst);
            std::thread::sleep(GRACE);
            // Too late once files come to their places: that takes no time worth a stop.
            if !ENDED.load(Ordering::SeqCst) && abandon() {
                drawn.finish_and_clear();
                Failure::from(DeliverError::Stopped).print();
                std::process::exit(2);
            }
        });
        Watch { bar }
    }
}

impl Progress for Watch {
    fn pixels(&self, count: u64) {
        self.bar.inc(count);
    }

    fn stopped(&self) -> bool {
        STOP.load(Ordering::SeqCst)
    }
}

/// `118 of 262 megapixels`.
fn done(state: &ProgressState, out: &mut dyn Write) {
    let _ = write!(out, "{:.0} of {:.0} megapixels", mega(state.pos()), mega(state.len().unwrap_or(0)));
}

/// `91 a second`.
fn rate(state: &ProgressState, out: &mut dyn Write) {
    let _ = write!(out, "{:.0} a second", state.per_sec() / 1e6);
}

fn mega(pixels: u64) -> f64 {
    pixels as f64 / 1e6
}

impl Drop for Watch {
    fn drop(&mut self) {
        ENDED.store(true, Ordering::SeqCst);
        self.bar.finish_and_clear();
    }
}
