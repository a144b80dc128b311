//! While files are made: a bar on a terminal, and an ear for Ctrl-C.
//!
//! A first Ctrl-C (or a polite `kill`) stops between two strips of the tile, and the drafts are
//! taken away; a second one ends at once.

use std::fmt::Write;
use std::sync::atomic::{AtomicBool, Ordering};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressState, ProgressStyle};
use seamfast::raster::Progress;

/// Set by Ctrl-C.
static STOP: AtomicBool = AtomicBool::new(false);

/// Progress on standard error; nothing is drawn where that is no terminal.
pub(super) struct Watch {
    bar: ProgressBar,
}

impl Watch {
    /// Begins to listen, with so many pixels to do.
    pub(super) fn new(pixels: u64) -> Watch {
        // Where no ear can be had, Ctrl-C ends the program as it always does.
        let _ = ctrlc::set_handler(|| {
            if STOP.swap(true, Ordering::Relaxed) {
                std::process::exit(2);
            }
        });
        let bar = ProgressBar::with_draw_target(Some(pixels), ProgressDrawTarget::stderr());
        if let Ok(style) = ProgressStyle::with_template("{bar:30} {percent:>3} %  {done}, {rate}, {eta} left") {
            bar.set_style(style.with_key("done", done).with_key("rate", rate));
        }
        Watch { bar }
    }
}

impl Progress for Watch {
    fn pixels(&self, count: u64) {
        self.bar.inc(count);
    }

    fn stopped(&self) -> bool {
        STOP.load(Ordering::Relaxed)
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
        self.bar.finish_and_clear();
    }
}
