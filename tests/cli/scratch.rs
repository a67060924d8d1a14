//! A folder to work in, shared by the tests that run the program: each test names its own.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// A scratch folder.
pub(crate) struct Scratch {
    pub(crate) folder: PathBuf,
}

impl Scratch {
    /// An empty folder of one of the tests of a kind.
    pub(crate) fn new(kind: &str, name: &str) -> Self {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(kind).join(name);
        let _ = fs::remove_dir_all(&folder);
        fs::create_dir_all(&folder).unwrap();
        Self { folder }
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.folder.join(name)
    }

    /// Writes a file, its folders too.
    pub(crate) fn write(&self, name: &str, text: &str) {
        let path = self.path(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }

    pub(crate) fn read(&self, name: &str) -> String {
        fs::read_to_string(self.path(name)).unwrap_or_else(|why| panic!("{name}: {why}"))
    }

    /// The program with some words, as typed in the folder.
    pub(crate) fn command(&self, words: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_coilstick"));
        command.args(words).current_dir(&self.folder).stdin(Stdio::null()).env_remove("NO_COLOR");
        command
    }
}

impl Drop for Scratch {
    /// It goes when the test ends; of one that failed it stays to be looked at.
    fn drop(&mut self) {
        if !std::thread::panicking() {
            let _ = fs::remove_dir_all(&self.folder);
        }
    }
}
