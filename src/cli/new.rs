//! `seamfast new`: a commented design file from motifs.

use std::fs::OpenOptions;
use std::io::{ErrorKind, Write};
use std::path::{Component, Path, PathBuf};

use seamfast::artwork::{Intake, Motif};
use seamfast::design::{StarterMotif, starter};
use seamfast::progress::{Progress, Task};
use serde_json::json;

use super::args::NewArgs;
use super::say::{Failure, Outcome, failure, failure_with, line, reason};
use crate::guard::Worker;

/// Writes NAME.toml here; an existing file is never replaced.
pub(super) fn run(args: &NewArgs, worker: &Worker) -> Outcome {
    let limits = super::input::limited(&args.limits).limits()?;
    worker.hold(&limits, 1);
    let first = args.files.first().and_then(|file| file.file_stem()).map(|stem| stem.to_string_lossy().into_owned());
    let Some(name) = args.name.clone().or(first) else {
        return Err(failure_with("no motif is named", "write for example: seamfast new limpet.svg"));
    };
    let here = std::env::current_dir().map_err(failure)?;
    let intake = Intake::new().with_limits(limits);
    let mut motifs = Vec::new();
    for file in &args.files {
        // A design that could not be made later is no good start.
        let progress: &dyn Progress = worker;
        let _busy = progress.busy(Task::Reading(file));
        let motif = Motif::read(file, &intake).map_err(|e| failure_with(&e, e.hint()))?;
        motifs.push(StarterMotif { file: from_folder(&here, file), size: motif.size() });
    }
    let text = starter(name.trim(), &motifs)?;
    let path = PathBuf::from(format!("{}.toml", name.trim()));
    write_new(&path, &text)?;
    if args.json {
        let files: Vec<&str> = motifs.iter().map(|motif| &*motif.file).collect();
        return line(&json!({ "file": path, "motifs": files }).to_string());
    }
    let motifs = match motifs.len() {
        0 => "no motif yet".into(),
        1 => "1 motif".into(),
        many => format!("{many} motifs"),
    };
    line(&format!("{}: a half-drop design with {motifs}. Look it over, then: seamfast make {0}", path.display()))
}

/// The way to a file from the folder that the design lies in, so that both can be moved
/// together; a file on another drive keeps its whole path.
pub(super) fn from_folder(folder: &Path, file: &Path) -> String {
    if file.is_relative() {
        return with_slashes(file);
    }
    let (from, to): (Vec<Component>, Vec<Component>) = (folder.components().collect(), file.components().collect());
    let shared = from.iter().zip(&to).take_while(|(a, b)| a == b).count();
    if shared == 0 {
        return with_slashes(file);
    }
    let up = from[shared..].iter().map(|_| Component::ParentDir);
    with_slashes(&up.chain(to[shared..].iter().copied()).collect::<PathBuf>())
}

fn with_slashes(path: &Path) -> String {
    let text = path.to_string_lossy();
    if cfg!(windows) { text.replace('\\', "/") } else { text.into_owned() }
}

fn write_new(path: &Path, text: &str) -> Outcome {
    let opened = OpenOptions::new().write(true).create_new(true).open(path);
    opened.and_then(|mut file| file.write_all(text.as_bytes())).map_err(|e| -> Failure {
        let path = path.display();
        match e.kind() {
            ErrorKind::AlreadyExists => {
                failure_with(format!("{path}: is there already, and stays as it is"), "choose another name with --name")
            }
            _ => failure(format!("{path}: {}", reason(&e))),
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[cfg(unix)]
    #[test]
    fn a_design_names_its_motifs_from_its_own_folder() {
        let from = |file: &str| from_folder(Path::new("/home/mara/shore"), Path::new(file));
        assert_eq!(from("motifs/kelp.svg"), "motifs/kelp.svg");
        assert_eq!(from("/home/mara/shore/kelp.svg"), "kelp.svg");
        assert_eq!(from("/home/mara/motifs/kelp.svg"), "../motifs/kelp.svg");
        assert_eq!(from("/srv/kelp.svg"), "../../../srv/kelp.svg");
    }
}
