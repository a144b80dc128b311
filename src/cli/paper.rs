//! Completions and man pages, from the same definitions as the commands.

use std::io;
use std::path::Path;

use clap::Command;
use clap_complete::Shell;

use super::say::{Outcome, failure, failure_with, line, reason};

/// Prints a shell's completions.
pub(super) fn completions(shell: Shell, command: &mut Command) -> Outcome {
    let mut out = Vec::new();
    clap_complete::generate(shell, command, "seamfast", &mut out);
    line(String::from_utf8_lossy(&out).trim_end())
}

/// Prints the man page, or writes one for each command.
pub(super) fn man(folder: Option<&Path>, command: Command) -> Outcome {
    match folder {
        Some(folder) => {
            std::fs::create_dir_all(folder).and_then(|()| clap_mangen::generate_to(command, folder)).map_err(|e| {
                failure_with(format!("{}: {}", folder.display(), reason(&e)), "choose a folder that you may write to")
            })
        }
        None => {
            let mut out: Vec<u8> = Vec::new();
            let made: io::Result<()> = clap_mangen::Man::new(command).render(&mut out);
            made.map_err(failure)?;
            line(String::from_utf8_lossy(&out).trim_end())
        }
    }
}
