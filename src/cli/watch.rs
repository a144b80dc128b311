//! While files are made: a bar on a terminal, and an ear for Ctrl-C.
//!
//! At Ctrl-C, or a polite `kill`, the painters stop between two strips of the tile and take their
//! drafts away. What looks up less often (one huge painting, reading a file back) is not waited for:
//! after half a second the drafts are taken away from here, and the program ends.

use std::fmt::Write;
use std::sync::atomic::{AtomicBool, AtomicU8, Ordering};
use std::time::Duration;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressState, ProgressStyle};
use seamfast::design::{DeliverError, abandon};

use super::say::Failure;

/// How often Ctrl-C was heard.
pub(super) static STOPS: AtomicU8 = AtomicU8::new(0);
/// The work has ended, well or not; what came of it is being said.
static ENDED: AtomicBool = AtomicBool::new(false);

/// How long the painters may take to stop by themselves.
const GRACE: Duration = Duration::from_millis(500);

/// Begins to count the times that Ctrl-C is heard.
pub(super) fn listen() {
    // Where no ear can be had, Ctrl-C ends the program as it always does.
    let _ = ctrlc::set_handler(count);
}

/// Begins to listen where the work is done: what has not stopped after a grace is ended.
#[expect(clippy::exit, reason = "the painters have had their time")]
pub(super) fn listen_and_end(bar: Option<Bar>) {
    let _ = ctrlc::set_handler(move || {
        count();
        std::thread::sleep(GRACE);
        // Too late once files come to their places: that takes no time worth a stop.
        if !ENDED.load(Ordering::SeqCst) && abandon() {
            bar.iter().for_each(Bar::clear);
            Failure::from(DeliverError::Stopped).print();
            std::process::exit(2);
        }
    });
}

fn count() {
    STOPS.store(STOPS.load(Ordering::SeqCst).saturating_add(1), Ordering::SeqCst);
}

/// The work has ended: a stop comes too late.
pub(super) fn ended() {
    ENDED.store(true, Ordering::SeqCst);
}

/// Progress on standard error; nothing is drawn where that is no terminal.
#[derive(Clone)]
pub(super) struct Bar {
    bar: ProgressBar,
    look: &'static str,
}

impl Bar {
    /// Nothing is seen before the pixels are counted.
    pub(super) fn new() -> Bar {
        Bar { bar: ProgressBar::hidden(), look: "{bar:30} {percent:>3} %  {done}, {rate}, {eta} left" }
    }

    /// The same, where what is counted are no pixels.
    pub(super) fn of_steps() -> Bar {
        Bar { look: "{bar:30} {percent:>3} %", ..Bar::new() }
    }

    /// So many pixels are done, of so many.
    pub(super) fn hear(&self, done: u64, total: Option<u64>) {
        if let Some(total) = total {
            self.bar.set_length(total);
            self.bar.set_draw_target(ProgressDrawTarget::stderr());
            if let Ok(style) = ProgressStyle::with_template(self.look) {
                self.bar.set_style(style.with_key("done", show_done).with_key("rate", show_rate));
            }
            self.bar.reset();
        }
        self.bar.set_position(done);
    }

    /// Takes the bar away, so that words can be said.
    pub(super) fn clear(&self) {
        self.bar.finish_and_clear();
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
