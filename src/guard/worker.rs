//! The worker's side: it counts what its tasks take, and tells how far it is.

use std::ffi::OsString;
use std::io::Write;
use std::sync::atomic::{AtomicU8, AtomicU64, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread::{self, ThreadId};
use std::time::{Duration, Instant};

use seamfast::limits::Limits;
use seamfast::progress::{Progress, Task};

use super::bounds;
use super::message::{Doing, Message};

/// How often it is looked what the tasks have taken.
const LOOK: Duration = Duration::from_millis(100);
/// A look that comes much later was slept through: the machine, or this program, was halted.
const LONGEST_LOOK: f64 = 0.5;
/// By the clock a task may take so many times its processor time; it may be waiting for a pipe.
const BY_THE_CLOCK: f64 = 10.0;
/// Stands before the words of the command line in a worker.
const MARK: &str = "\u{1}worker";

/// What a watcher lets its worker know.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Mark {
    /// The watcher's process.
    pub(super) watcher: u32,
    /// Failures will be seen on a terminal.
    pub(crate) colored: bool,
}

impl Mark {
    /// As a first word behind the program's name.
    pub(super) fn word(self) -> String {
        format!("{MARK} {} {}", self.watcher, self.colored)
    }

    /// Takes the mark from the words of a command line; without one this is no worker.
    pub(crate) fn take(words: &mut Vec<OsString>) -> Option<Mark> {
        let word = words.get(1)?.to_str()?;
        let (watcher, colored) = word.strip_prefix(MARK)?.trim_start().split_once(' ')?;
        let mark = Mark { watcher: watcher.parse().ok()?, colored: colored.parse().ok()? };
        words.remove(1);
        Some(mark)
    }
}

/// Works, and tells how far it is: to a watcher, or in this process to whoever listens.
pub(crate) struct Worker {
    state: Arc<State>,
}

struct State {
    done: AtomicU64,
    limits: Mutex<Limits>,
    tasks: Mutex<Vec<Running>>,
    stop: &'static AtomicU8,
    tell: Box<dyn Fn(Message) + Send + Sync>,
}

struct Running {
    thread: ThreadId,
    doing: Doing,
    processor: f64,
    clock: f64,
}

impl Worker {
    /// Under a watcher, in bounded memory.
    pub(crate) fn watched(mark: Mark, stop: &'static AtomicU8) -> Worker {
        bounds::end_with(mark.watcher);
        let tell = move |message: Message| {
            let mut out = std::io::stdout().lock();
            if out.write_all(message.line().as_bytes()).and_then(|()| out.flush()).is_err() {
                // Nobody listens any more.
                stop.store(1, Ordering::Relaxed);
            }
        };
        tell(Message::Begun);
        Worker::new(stop, Box::new(tell))
    }

    /// Without a watcher: how far it is goes to `hear` as pixels done and in all, and what
    /// takes too long to `late`, which does not come back.
    pub(crate) fn alone(
        stop: &'static AtomicU8,
        hear: impl Fn(u64, Option<u64>) + Send + Sync + 'static,
        late: impl Fn(super::GuardError) + Send + Sync + 'static,
    ) -> Worker {
        let tell = move |message: Message| match message {
            Message::Total(total) => hear(0, Some(total)),
            Message::At(done, _) => hear(done, None),
            Message::Late(doing, most) => late(super::watcher::time(doing, most, false)),
            Message::Begun | Message::Memory(_) | Message::Answer(_) => {}
        };
        Worker::new(stop, Box::new(tell))
    }

    fn new(stop: &'static AtomicU8, tell: Box<dyn Fn(Message) + Send + Sync>) -> Worker {
        let state = State { done: AtomicU64::new(0), limits: Mutex::default(), tasks: Mutex::default(), stop, tell };
        let state = Arc::new(state);
        let looking = state.clone();
        // Where no thread is to be had nothing is counted; the watcher still bounds memory.
        let _ = thread::Builder::new().name("watch".into()).stack_size(1 << 20).spawn(move || looking.look());
        Worker { state }
    }

    /// Sets the bounds, with so many threads that paint.
    pub(crate) fn hold(&self, limits: &Limits, threads: usize) {
        *self.state.limits.lock().unwrap_or_else(PoisonError::into_inner) = *limits;
        bounds::bound_memory(limits.memory.most, threads);
        (self.state.tell)(Message::Memory(limits.memory.most));
    }

    /// Answers a question of the watcher's, who asks again and again: both parts, one behind the other.
    pub(crate) fn answer(&self, parts: [&[u8]; 2]) -> std::io::Result<()> {
        let mut out = std::io::stdout().lock();
        let bytes: usize = parts.into_iter().map(<[u8]>::len).sum();
        out.write_all(Message::Answer(bytes as u64).line().as_bytes())?;
        parts.into_iter().try_for_each(|part| out.write_all(part))?;
        out.flush()
    }

    /// Says how many pixels there will be.
    pub(crate) fn total(&self, pixels: u64) {
        (self.state.tell)(Message::Total(pixels));
    }
}

impl State {
    /// What a task may take, in milliseconds.
    fn most(&self, doing: &Doing) -> u64 {
        doing.time(&self.limits.lock().unwrap_or_else(PoisonError::into_inner)).most
    }

    /// Charges each task its share of the processor time since the last look, until one is late.
    fn look(&self) {
        let (mut before, mut spent) = (Instant::now(), bounds::processor_time());
        loop {
            thread::sleep(LOOK);
            let (now, used) = (Instant::now(), bounds::processor_time());
            let clock = now.duration_since(before).as_secs_f64().min(LONGEST_LOOK);
            let processor = used.zip(spent).map_or(clock, |(used, spent)| used - spent);
            (before, spent) = (now, used);
            let (mut late, mut oldest) = (None, Doing::Own);
            {
                let mut tasks = self.tasks.lock().unwrap_or_else(PoisonError::into_inner);
                let share = processor / tasks.len().max(1) as f64;
                for task in tasks.iter_mut().filter(|task| task.doing != Doing::Placing) {
                    task.processor += share;
                    task.clock += clock;
                    let seconds = self.most(&task.doing) as f64 / 1e3;
                    if task.processor > seconds || task.clock > BY_THE_CLOCK * seconds {
                        late = Some(task.doing.clone());
                    }
                }
                if let Some(first) = tasks.iter().max_by(|a, b| a.clock.total_cmp(&b.clock)) {
                    oldest = first.doing.clone();
                }
            }
            if let Some(doing) = late {
                let most = self.most(&doing);
                return (self.tell)(Message::Late(doing, most));
            }
            (self.tell)(Message::At(self.done.load(Ordering::Relaxed), oldest));
        }
    }
}

impl Progress for Worker {
    fn pixels(&self, count: u64) {
        self.state.done.fetch_add(count, Ordering::Relaxed);
    }

    fn stopped(&self) -> bool {
        self.state.stop.load(Ordering::Relaxed) > 0
    }

    fn begins(&self, task: Task<'_>) {
        let doing = Doing::from(task);
        // Paintings come by the thousand and are told of at the next look; the others at once, so
        // that it is known what a crash was in.
        if !matches!(doing, Doing::Painting(_)) {
            (self.state.tell)(Message::At(self.state.done.load(Ordering::Relaxed), doing.clone()));
        }
        let task = Running { thread: thread::current().id(), doing, processor: 0.0, clock: 0.0 };
        self.state.tasks.lock().unwrap_or_else(PoisonError::into_inner).push(task);
    }

    fn ends(&self) {
        let mut tasks = self.state.tasks.lock().unwrap_or_else(PoisonError::into_inner);
        let own = thread::current().id();
        if let Some(at) = tasks.iter().rposition(|task| task.thread == own) {
            tasks.remove(at);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mark_is_taken_from_the_words_and_nothing_else_is_one() {
        let mark = Mark { watcher: 77, colored: true };
        let words = |first: &str| vec![OsString::from("seamfast"), first.into(), "make".into()];
        let mut marked = words(&mark.word());
        assert_eq!(Mark::take(&mut marked), Some(mark));
        assert_eq!(marked, ["seamfast", "make"]);
        for other in ["make", "--help", MARK, ""] {
            let mut plain = words(other);
            assert_eq!((Mark::take(&mut plain), plain), (None, words(other)));
        }
    }
}
