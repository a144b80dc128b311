//! `seamfast new`: a commented design file from motifs.

use std::fs::OpenOptions;
use std::io::Write;
use std::path::{Path, PathBuf};

use seamfast::artwork::{Intake, Motif};
use seamfast::design::starter;
use serde_json::json;

use super::args::NewArgs;
use super::say::{Failure, Outcome, failure, line};

/// Writes NAME.toml here; an existing file is never replaced.
pub(super) fn run(args: &NewArgs) -> Outcome {
    let first = args.files.first().and_then(|f| f.file_stem()).map(|s| s.to_string_lossy().into_owned());
    let Some(name) = args.name.clone().or(first) else {
        return Err(Failure::Other("no motif is named".into(), Some("write for example: seamfast new limpet.svg".into())));
    };
    if name.is_empty() || name.contains(['/', '\\']) {
        return Err(failure(format!("--name: {name:?} is not a plain name; write for example shore")));
    }
    let intake = Intake::new();
    for file in &args.files {
        // A design that could not be made later is no good start.
        Motif::read(file, &intake).map_err(|e| Failure::Other(e.to_string(), Some(e.hint())))?;
    }
    let path = PathBuf::from(format!("{name}.toml"));
    let files: Vec<String> = args.files.iter().map(|f| f.to_string_lossy().into_owned()).collect();
    write_new(&path, &starter(&name, &files))?;
    if args.json {
        return line(&json!({ "file": path, "motifs": files }).to_string());
    }
    line(&format!("{}: a design with {} motifs. Look it over, then: seamfast make {0}", path.display(), files.len()))
}

fn write_new(path: &Path, text: &str) -> Outcome {
    let opened = OpenOptions::new().write(true).create_new(true).open(path);
    opened.and_then(|mut file| file.write_all(text.as_bytes())).map_err(|e| {
        let hint = match e.kind() {
            std::io::ErrorKind::AlreadyExists => Some("choose another with --name; nothing is overwritten".into()),
            _ => None,
        };
        Failure::Other(format!("{}: {e}", path.display()), hint)
    })
}
