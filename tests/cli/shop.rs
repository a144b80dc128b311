//! A folder with a few small drawings, and the program run in it.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use tempfile::TempDir;

/// One drawing, 20 mm × 20 mm.
pub const BUOY: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm" viewBox="0 0 20 20"><circle cx="10" cy="10" r="9" fill="#c33"/></svg>"##;
/// One that does not say how large it is.
pub const SIZELESS: &str =
    r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 20 20"><path d="M2 2h16v8z"/></svg>"#;
/// A page by hand with a mark over its right edge, 40 mm × 30 mm.
pub const PAGE: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="30mm" viewBox="0 0 40 30"><rect width="40" height="30" fill="#fed"/><circle cx="40" cy="15" r="5"/></svg>"##;

/// A folder that goes away with the test.
pub struct Shop {
    folder: TempDir,
}

/// What a run came to.
#[derive(Debug)]
pub struct Done {
    pub code: Option<i32>,
    pub out: String,
    pub err: String,
}

impl Shop {
    /// With `buoy.svg`, `sizeless.svg` and `page.svg`.
    pub fn new() -> Shop {
        let shop = Shop { folder: TempDir::new().unwrap() };
        shop.write("buoy.svg", BUOY);
        shop.write("sizeless.svg", SIZELESS);
        shop.write("page.svg", PAGE);
        shop
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn write(&self, name: &str, text: impl AsRef<[u8]>) {
        let path = self.path(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }

    pub fn read(&self, name: &str) -> String {
        fs::read_to_string(self.path(name)).unwrap()
    }

    /// The program in this folder, not yet started.
    pub fn command(&self, args: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_seamfast"));
        command.args(args).current_dir(self.folder.path()).stdin(Stdio::null());
        command
    }

    pub fn run(&self, args: &[&str]) -> Done {
        let output = self.command(args).output().unwrap();
        Done {
            code: output.status.code(),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
        }
    }

    /// Runs what must be done, in silence on standard error; gives what it said.
    pub fn done(&self, args: &[&str]) -> String {
        let done = self.run(args);
        assert_eq!((done.code, &*done.err), (Some(0), ""), "{args:?} said {}", done.out);
        done.out
    }

    /// The same with `--json`: one object and nothing else.
    pub fn json(&self, args: &[&str]) -> serde_json::Value {
        let out = self.done(&[args, &["--json"]].concat());
        let value: serde_json::Value = serde_json::from_str(&out).unwrap();
        assert!(value.is_object(), "{out}");
        value
    }

    /// Runs what can't be done: exit code 2, nothing on standard output, these words on
    /// standard error, and every file and folder as it was; with `--json` just the same.
    pub fn refuses(&self, args: &[&str], words: &str) {
        let before = self.files();
        for json in [&[][..], &["--json"]] {
            let done = self.run(&[args, json].concat());
            assert_eq!(done.err.trim_end(), words.trim_end(), "{args:?}");
            assert_eq!((done.code, &*done.out), (Some(2), ""), "{args:?}");
            assert_eq!(self.files(), before, "{args:?} left something behind");
        }
    }

    /// Every file with its bytes, and every folder.
    pub fn files(&self) -> BTreeMap<PathBuf, Option<Vec<u8>>> {
        fn walk(folder: &Path, found: &mut BTreeMap<PathBuf, Option<Vec<u8>>>) {
            for entry in fs::read_dir(folder).unwrap() {
                let path = entry.unwrap().path();
                if path.is_dir() {
                    found.insert(path.clone(), None);
                    walk(&path, found);
                } else {
                    let bytes = fs::read(&path).unwrap();
                    found.insert(path, Some(bytes));
                }
            }
        }
        let mut found = BTreeMap::new();
        walk(self.folder.path(), &mut found);
        assert!(!found.is_empty());
        found
    }

    /// The names in a folder, sorted.
    pub fn names(&self, folder: &str) -> Vec<String> {
        let entries = fs::read_dir(self.path(folder)).unwrap();
        let mut names: Vec<String> = entries.map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }
}
