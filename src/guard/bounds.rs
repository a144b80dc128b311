//! What the system does for the guard, each where there is such a thing.

use std::io;
use std::process::{Child, Command, ExitStatus};

/// Memory that a painting thread may have beside the limit: its stack, which counts whole, and what
/// it paints on.
const THREAD_BYTES: u64 = 64 << 20;
/// Memory beside the limit for what the program needs before it takes in anything: what the
/// allocator keeps ready, and the stack that drawings are worked out on.
const OWN_BYTES: u64 = 128 << 20;
/// The allocator asks the system for memory in pieces of this many KiB. The kernel counts a piece
/// whole, so pieces of a gigabyte, which are usual, would leave nothing of a smaller limit.
const ALLOCATOR_KIB: (&str, &str) = ("MIMALLOC_ARENA_RESERVE", "65536");

/// This program, to be started again, with the same name in lists of programs.
pub(super) fn this_program() -> io::Result<Command> {
    let (name, value) = ALLOCATOR_KIB;
    // The link is to the very file that runs, also where another has taken its name meanwhile.
    #[cfg(target_os = "linux")]
    let mut command = {
        use std::os::unix::process::CommandExt;
        let mut command = Command::new("/proc/self/exe");
        command.arg0("seamfast");
        command
    };
    #[cfg(not(target_os = "linux"))]
    let mut command = Command::new(std::env::current_exe()?);
    command.env(name, value);
    Ok(command)
}

/// Lets this process have so many bytes, and some for each of so many threads. Less than the
/// system lets it have is not undone; where nothing is counted, nothing is bounded.
#[cfg(target_os = "linux")]
pub(super) fn bound_memory(bytes: u64, threads: usize) {
    use rustix::process::{Resource, Rlimit, getrlimit, setrlimit};
    let most = bytes.saturating_add(OWN_BYTES + THREAD_BYTES.saturating_mul(threads as u64));
    let now = getrlimit(Resource::Data);
    let current = Some(now.maximum.map_or(most, |hard| most.min(hard)));
    let _ = setrlimit(Resource::Data, Rlimit { current, maximum: now.maximum });
}

#[cfg(not(target_os = "linux"))]
pub(super) fn bound_memory(_: u64, _: usize) {
    let _ = (THREAD_BYTES, OWN_BYTES);
}

/// Ends this process when the watcher ends. Without such a thing it ends when it next tells
/// something and nobody listens.
#[cfg(target_os = "linux")]
pub(super) fn end_with(watcher: u32) {
    use rustix::process::{Signal, getppid, set_parent_process_death_signal};
    let _ = set_parent_process_death_signal(Some(Signal::KILL));
    // It may have ended before.
    if getppid().is_none_or(|parent| parent.as_raw_nonzero().get().unsigned_abs() != watcher) {
        std::process::abort();
    }
}

#[cfg(not(target_os = "linux"))]
pub(super) fn end_with(_: u32) {}

/// Asks a worker to stop. On a console of Windows it hears Ctrl-C itself.
pub(super) fn ask_to_stop(child: &Child) {
    #[cfg(unix)]
    let _ = rustix::process::kill_process(rustix::process::Pid::from_child(child), rustix::process::Signal::TERM);
    #[cfg(not(unix))]
    let _ = child;
}

/// A process ended by one of the signals that ask it to: interrupt, terminate, hang up.
pub(super) fn was_asked_to_stop(status: ExitStatus) -> bool {
    #[cfg(unix)]
    {
        use rustix::process::Signal;
        let asks = [Signal::INT, Signal::TERM, Signal::HUP].map(Signal::as_raw);
        std::os::unix::process::ExitStatusExt::signal(&status).is_some_and(|signal| asks.contains(&signal))
    }
    #[cfg(not(unix))]
    {
        let _ = status;
        false
    }
}

/// The processor time of this process, in seconds; without such a clock, `None`.
pub(super) fn processor_time() -> Option<f64> {
    #[cfg(unix)]
    {
        let time = rustix::time::clock_gettime(rustix::time::ClockId::ProcessCPUTime);
        Some(time.tv_sec as f64 + time.tv_nsec as f64 / 1e9)
    }
    #[cfg(not(unix))]
    None
}

/// How a process ended that did not end by itself.
pub(super) fn how(status: ExitStatus) -> String {
    #[cfg(unix)]
    if let Some(signal) = std::os::unix::process::ExitStatusExt::signal(&status) {
        let name = match signal {
            4 => "an illegal instruction",
            6 => "it gave up",
            7 | 11 => "a wrong address",
            9 => "another program ended it, or the system did when memory ran out",
            _ => "a signal",
        };
        return format!("{name} (signal {signal})");
    }
    status.to_string()
}
