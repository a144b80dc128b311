//! A worker that stays: it is asked again and again, keeps what it has taken in, and is started anew
//! when a stranger's file has ended it.

use std::ffi::OsString;
use std::io::{self, BufRead, BufReader, Read, Write};
use std::process::{Child, ChildStdin, ChildStdout, Stdio};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;

use super::message::{Doing, Message};
use super::watcher::{all, joined, time, why};
use super::{GuardError, Mark, bounds};

/// A worker of these words, started when it is first asked.
///
/// It is started and heard by one thread, which stays: a worker ends with the thread that started it.
pub(crate) struct Standing(Sender<Asked>);

/// A question, and where its answer goes.
type Asked = (String, Sender<Result<Vec<u8>, GuardError>>);

struct Running {
    child: Child,
    questions: ChildStdin,
    heard: Receiver<Heard>,
    words: thread::JoinHandle<Vec<u8>>,
    known: Arc<Mutex<Known>>,
}

/// What it is at, and how much memory it may have.
#[derive(Default)]
struct Known {
    doing: Doing,
    memory: u64,
}

enum Heard {
    Answer(Vec<u8>),
    Late(Doing, u64),
}

impl Standing {
    /// Nothing is started yet.
    pub(crate) fn new(words: Vec<OsString>) -> Standing {
        let (ask, asked) = channel::<Asked>();
        thread::spawn(move || {
            let mut running = None;
            for (question, reply) in asked {
                // Who asked may have gone.
                let _ = reply.send(answer(&mut running, &words, &question));
            }
            running.iter_mut().for_each(Running::end);
        });
        Standing(ask)
    }

    /// Asks one question, which is one line, and waits for the answer.
    ///
    /// # Errors
    /// That the worker took too long, or ended, and why. The next question goes to a new one.
    pub(crate) fn ask(&self, question: String) -> Result<Vec<u8>, GuardError> {
        let lost = || GuardError::Lost(io::ErrorKind::BrokenPipe.into());
        let (reply, answered) = channel();
        self.0.send((question, reply)).map_err(|_| lost())?;
        answered.recv().map_err(|_| lost())?
    }
}

/// The answer of the worker that runs, or of a new one; one that failed does not run any more.
fn answer(kept: &mut Option<Running>, words: &[OsString], question: &str) -> Result<Vec<u8>, GuardError> {
    let mut running = match kept.take() {
        Some(running) => running,
        None => Running::start(words).map_err(GuardError::Lost)?,
    };
    let asked = writeln!(running.questions, "{question}").and_then(|()| running.questions.flush());
    match running.heard.recv() {
        Ok(Heard::Answer(answer)) if asked.is_ok() => {
            *kept = Some(running);
            Ok(answer)
        }
        Ok(Heard::Late(doing, most)) => {
            running.end();
            Err(time(doing, most, false))
        }
        _ => Err(running.why()),
    }
}

impl Running {
    fn start(words: &[OsString]) -> io::Result<Running> {
        let mark = Mark { watcher: std::process::id(), colored: false };
        let mut command = bounds::this_program()?;
        command.arg(mark.word()).args(words);
        let mut child = command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn()?;
        let (Some(questions), Some(out), Some(err)) = (child.stdin.take(), child.stdout.take(), child.stderr.take())
        else {
            return Err(io::ErrorKind::BrokenPipe.into());
        };
        let known = Arc::new(Mutex::new(Known::default()));
        let (tell, heard) = channel();
        let learned = known.clone();
        thread::spawn(move || {
            let mut out = BufReader::new(out);
            while let Some(heard) = hear(&mut out, &learned) {
                if tell.send(heard).is_err() {
                    break;
                }
            }
        });
        let words = thread::spawn(move || all(err));
        Ok(Running { child, questions, heard, words, known })
    }

    fn end(&mut self) {
        // One that has ended already is no failure.
        let _ = self.child.kill().and_then(|()| self.child.wait());
    }

    fn why(mut self) -> GuardError {
        drop(self.questions);
        let status = match self.child.wait() {
            Ok(status) => status,
            Err(error) => return GuardError::Lost(error),
        };
        let words = joined(self.words);
        let known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        why(status, &words, known.doing.clone(), known.memory, false)
    }
}

/// The next answer, or that a task is late; what is only told is noted. `None` at the end.
fn hear(out: &mut BufReader<ChildStdout>, known: &Mutex<Known>) -> Option<Heard> {
    let mut line = Vec::new();
    loop {
        line.clear();
        if !matches!(out.read_until(b'\n', &mut line), Ok(count) if count > 0) {
            return None;
        }
        let mut known = known.lock().unwrap_or_else(PoisonError::into_inner);
        match Message::read(&line) {
            Some(Message::Answer(bytes)) => {
                drop(known);
                let mut answer = Vec::new();
                // Grown step by step it would be copied over and over.
                answer.try_reserve_exact(usize::try_from(bytes).ok()?).ok()?;
                let read = Read::by_ref(out).take(bytes).read_to_end(&mut answer).ok()?;
                return (read as u64 == bytes).then_some(Heard::Answer(answer));
            }
            Some(Message::Late(doing, most)) => return Some(Heard::Late(doing, most)),
            Some(Message::At(_, doing)) => known.doing = doing,
            Some(Message::Memory(bytes)) => known.memory = bytes,
            Some(Message::Begun | Message::Total(_)) | None => {}
        }
    }
}
