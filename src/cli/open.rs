//! `seamfast open`: the page.

use std::path::{Path, PathBuf};

use seamfast::design::stem;
use serde_json::json;

use super::args::OpenArgs;
use super::input::typed;
use super::say::{Failure, Outcome, failure, failure_with, line, warn};
use crate::page::{Opening, PageError, Server};

/// What a new design is called when nothing names it.
const NEW: &str = "cloth";

impl From<PageError> for Failure {
    fn from(error: PageError) -> Failure {
        match &error {
            PageError::NoDoor { port, .. } if *port != 0 => {
                failure_with(&error, "write another port, or leave out --port for any that is free")
            }
            PageError::Unreadable { .. } => failure_with(&error, "name a design file, motifs, or nothing"),
            _ => failure(error),
        }
    }
}

/// Serves until it is stopped.
pub(super) fn run(args: &OpenArgs) -> Outcome {
    let opening = opening(args)?;
    let file = opening.file.clone();
    let server = Server::bind(opening, vec!["open".into()])?;
    let address = server.address();
    if args.json {
        line(&json!({ "file": file, "address": address }).to_string())?;
    } else {
        let name = file.file_name().unwrap_or_default().to_string_lossy().into_owned();
        line(&format!(
            "{name} lies on the table: {address}\nCtrl-C ends it; what was changed is in {}",
            file.display()
        ))?;
    }
    if !args.no_browser
        && let Err(error) = open::that_detached(&address)
    {
        warn(&format!("no browser could be started ({error}); open the address above in one"));
    }
    Ok(server.serve()?)
}

fn opening(args: &OpenArgs) -> Result<Opening, Failure> {
    let is_design = |path: &PathBuf| path.extension().is_some_and(|e| e.eq_ignore_ascii_case("toml"));
    let port = args.port.unwrap_or(0);
    let new = |file: PathBuf, motifs: Vec<String>| -> Result<Opening, Failure> {
        let name = stem(&typed(&file.file_stem().unwrap_or_default().to_string_lossy()))?;
        Ok(Opening { file: whole(&file)?, name, motifs, port })
    };
    match &args.inputs[..] {
        [] => new(free(Path::new(""), NEW), Vec::new()),
        [design] if is_design(design) => new(design.clone(), Vec::new()),
        files => {
            if let Some(design) = files.iter().find(|file| is_design(file)) {
                return Err(failure_with(
                    "a design file is opened alone, without motifs or other designs",
                    format!("write seamfast open {}", design.display()),
                ));
            }
            if let Some(missing) = files.iter().find(|file| !file.is_file()) {
                return Err(failure_with(
                    format!("{}: there is no such file", missing.display()),
                    "name motifs (SVG, PNG, JPEG, TIFF, WebP) or a design file (.toml)",
                ));
            }
            let folder = files[0].parent().unwrap_or(Path::new("")).to_path_buf();
            let own = files[0].file_stem().unwrap_or_default().to_string_lossy().into_owned();
            let here = whole(&folder)?;
            let motif = |file: &PathBuf| Ok(super::new::from_folder(&here, &whole(file)?));
            new(free(&folder, &own), files.iter().map(motif).collect::<Result<_, Failure>>()?)
        }
    }
}

/// NAME.toml in a folder, or the next such name that is free.
fn free(folder: &Path, name: &str) -> PathBuf {
    let numbered = (2..).map(|number| folder.join(format!("{name}-{number}.toml")));
    let mut names = std::iter::once(folder.join(format!("{name}.toml"))).chain(numbered);
    names.find(|path| !path.exists()).unwrap_or_default()
}

fn whole(path: &Path) -> Result<PathBuf, Failure> {
    std::path::absolute(if path.as_os_str().is_empty() { Path::new(".") } else { path }).map_err(failure)
}
