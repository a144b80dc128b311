//! The watcher's side: it starts a worker, hears it, stops it when asked to, and says why it ended.

use std::ffi::OsString;
use std::io::{self, BufRead, BufReader, Read};
use std::path::PathBuf;
use std::process::{Child, ChildStderr, ChildStdout, ExitStatus, Stdio};
use std::sync::atomic::{AtomicU8, Ordering};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::thread::{self, JoinHandle};
use std::time::{Duration, Instant};

use seamfast::design::Aftermath;
use seamfast::limits::Limits;

use super::message::{Doing, Message, with};
use super::{Ended, GuardError, Mark, Said, bounds};

/// How long a worker may take to stop by itself.
const PATIENCE: Duration = Duration::from_millis(700);
/// How often it is looked whether to stop.
const LOOK: Duration = Duration::from_millis(50);

/// What is to be done, and how.
pub(crate) struct Job {
    /// The words of the command line behind the program's name.
    pub(crate) words: Vec<OsString>,
    /// Failures will be seen on a terminal.
    pub(crate) colored: bool,
    /// Where it writes, to clean up behind a worker that could not.
    pub(crate) folder: Option<PathBuf>,
    /// Counts the wishes to stop; at the second one the worker is ended at once.
    pub(crate) stops: &'static AtomicU8,
}

/// A worker and what is known of it.
struct Watched {
    child: Child,
    doing: Doing,
    memory: u64,
    begun: bool,
    placing: bool,
    writing: bool,
}

/// Does a job in a worker. `hear` gets the pixels that are done, and those in all when they are known.
pub(crate) fn watch(job: &Job, hear: &mut dyn FnMut(u64, Option<u64>)) -> Result<Ended, GuardError> {
    let aftermath = job.folder.as_deref().map(Aftermath::before);
    let mark = Mark { watcher: std::process::id(), colored: job.colored };
    let started = bounds::this_program().and_then(|mut command| {
        command.arg(mark.word()).args(&job.words).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn()
    });
    let mut child = match started {
        Ok(child) => child,
        Err(error) => return Ok(Ended::Alone(error)),
    };
    let (Some(out), Some(err)) = (child.stdout.take(), child.stderr.take()) else {
        return Err(GuardError::Lost(io::ErrorKind::BrokenPipe.into()));
    };
    let mut watched = Watched {
        child,
        doing: Doing::Own,
        memory: Limits::default().memory.most,
        begun: false,
        placing: false,
        writing: false,
    };
    let ended = watched.follow(job, out, err, hear);
    // One that ended by itself has left nothing; behind the others it is looked.
    if let (Err(_), Some(aftermath)) = (&ended, aftermath) {
        aftermath.clear();
    }
    match ended {
        // A loader or an emulator may stand where this program was thought to be.
        Ok(_) if !watched.begun => {
            Ok(Ended::Alone(io::Error::other("what was started in its place is another program")))
        }
        ended => ended.map(Ended::Said),
    }
}

/// A task that took too long.
pub(super) fn time(doing: Doing, most: u64, placing: bool) -> GuardError {
    GuardError::Time { limit: with(doing.time(&Limits::default()), most), doing, placing }
}

impl Watched {
    fn follow(
        &mut self,
        job: &Job,
        out: ChildStdout,
        err: ChildStderr,
        hear: &mut dyn FnMut(u64, Option<u64>),
    ) -> Result<Said, GuardError> {
        let words = thread::spawn(move || all(err));
        let (messages, answer) = listen(out);
        let mut asked = None;
        loop {
            match messages.recv_timeout(LOOK) {
                Ok(Message::Late(doing, most)) => {
                    self.kill()?;
                    return Err(time(doing, most, self.placing));
                }
                Ok(message) => self.take(message, hear),
                Err(RecvTimeoutError::Timeout) => {}
                Err(RecvTimeoutError::Disconnected) => break,
            }
            let stops = job.stops.load(Ordering::Relaxed);
            if stops == 0 {
                continue;
            }
            let since = *asked.get_or_insert_with(|| {
                bounds::ask_to_stop(&self.child);
                Instant::now()
            });
            // While it reads it does not hear; while it puts files in their places it may not be torn away.
            let deaf = !self.writing && !self.placing;
            if !self.placing && (deaf || stops > 1 || since.elapsed() > PATIENCE) {
                self.kill()?;
                return Err(GuardError::Stopped { placing: false });
            }
        }
        let status = self.child.wait().map_err(GuardError::Lost)?;
        let (answer, words) = (joined(answer), joined(words));
        match status.code().and_then(|code| u8::try_from(code).ok()) {
            Some(code) => Ok(Said { code, answer, words }),
            None => Err(why(status, &words, self.doing.clone(), self.memory, self.placing)),
        }
    }

    fn take(&mut self, message: Message, hear: &mut dyn FnMut(u64, Option<u64>)) {
        match message {
            Message::Begun => self.begun = true,
            Message::Memory(bytes) => self.memory = bytes,
            Message::Total(total) => {
                self.writing = true;
                hear(0, Some(total));
            }
            Message::At(done, doing) => {
                self.placing |= doing == Doing::Placing;
                self.doing = doing;
                hear(done, None);
            }
            Message::Late(..) | Message::Answer(_) => {}
        }
    }

    fn kill(&mut self) -> Result<(), GuardError> {
        self.child.kill().and_then(|()| self.child.wait()).map(|_| ()).map_err(GuardError::Lost)
    }
}

/// Why it ended: what it said last tells a refused request for memory from a crash.
pub(super) fn why(status: ExitStatus, words: &[u8], doing: Doing, memory: u64, placing: bool) -> GuardError {
    let words = String::from_utf8_lossy(words);
    // Ctrl-C reaches both, and perhaps the worker before it listens.
    if bounds::was_asked_to_stop(status) {
        return GuardError::Stopped { placing };
    }
    if words.contains("memory allocation of") {
        return GuardError::Memory { doing, limit: with(Limits::default().memory, memory), placing };
    }
    let overflow = words.contains("overflowed its stack");
    let how = if overflow { "its stack was too small".into() } else { bounds::how(status) };
    GuardError::Crash { doing, how, placing }
}

/// Tells messages from the answer, on a thread that ends with the worker's output.
fn listen(out: ChildStdout) -> (Receiver<Message>, JoinHandle<Vec<u8>>) {
    let (tell, messages) = channel();
    let listener = thread::spawn(move || {
        let mut out = BufReader::new(out);
        let (mut answer, mut line) = (Vec::new(), Vec::new());
        while matches!(out.read_until(b'\n', &mut line), Ok(count) if count > 0) {
            match Message::read(&line) {
                Some(message) => drop(tell.send(message)),
                None => answer.extend_from_slice(&line),
            }
            line.clear();
        }
        answer
    });
    (messages, listener)
}

pub(super) fn all(mut err: ChildStderr) -> Vec<u8> {
    let mut words = Vec::new();
    let _ = err.read_to_end(&mut words);
    words
}

pub(super) fn joined(thread: JoinHandle<Vec<u8>>) -> Vec<u8> {
    thread.join().unwrap_or_default()
}
