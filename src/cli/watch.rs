//! While files are made: a bar on a terminal, and an ear for Ctrl-C.
//!
//! A first Ctrl-C (or a polite `kill`) stops between two strips of the tile, and the drafts are
//! taken away; what does not stop so is ended, at a second one at once.

use std::fmt::Write;
use std::sync::atomic::{AtomicBool, AtomicU8, Ordering};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressState, ProgressStyle};

/// How often Ctrl-C was heard.
pub(super) static STOPS: AtomicU8 = AtomicU8::new(0);

/// There is no watcher that would end this process.
static ALONE: AtomicBool = AtomicBool::new(false);

/// Begins to listen for Ctrl-C.
#[expect(clippy::exit, reason = "who asks twice does not want to wait")]
pub(super) fn listen() {
    // Where no ear can be had, Ctrl-C ends the program as it always does.
    let _ = ctrlc::set_handler(|| {
        let before = STOPS.swap(1, Ordering::Relaxed);
        STOPS.store(before.saturating_add(1), Ordering::Relaxed);
        if before > 0 && ALONE.load(Ordering::Relaxed) {
            std::process::exit(2);
        }
    });
}

/// From now on a second Ctrl-C ends this process.
pub(super) fn end_at_second_stop() {
    ALONE.store(true, Ordering::Relaxed);
}

/// Progress on standard error; nothing is drawn where that is no terminal.
#[derive(Clone)]
pub(super) struct Bar(ProgressBar);

impl Bar {
    /// Nothing is seen before the pixels are counted.
    pub(super) fn new() -> Bar {
        Bar(ProgressBar::hidden())
    }

    /// So many pixels are done, of so many.
    pub(super) fn hear(&self, done: u64, total: Option<u64>) {
        if let Some(total) = total {
            self.0.set_length(total);
            self.0.set_draw_target(ProgressDrawTarget::stderr());
            if let Ok(style) = ProgressStyle::with_template("{bar:30} {percent:>3} %  {done}, {rate}, {eta} left") {
                self.0.set_style(style.with_key("done", show_done).with_key("rate", show_rate));
            }
            self.0.reset();
        }
        self.0.set_position(done);
    }

    /// Takes the bar away, so that words can be said.
    pub(super) fn clear(&self) {
        self.0.finish_and_clear();
    }
}

/// `118 of 262 megapixels`.
fn show_done(state: &ProgressState, out: &mut dyn Write) {
    let _ = write!(out, "{:.0} of {:.0} megapixels", mega(state.pos()), mega(state.len().unwrap_or(0)));
}

/// `91 a second`.
fn show_rate(state: &ProgressState, out: &mut dyn Write) {
    let _ = write!(out, "{:.0} a second", state.per_sec() / 1e6);
}

fn mega(pixels: u64) -> f64 {
    pixels as f64 / 1e6
}
