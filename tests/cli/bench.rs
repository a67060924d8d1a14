//! A folder to work in and the program run there.

use std::fs;
use std::ops::Deref;
use std::path::{Path, PathBuf};

use serde_json::Value;

use crate::scratch::Scratch;

/// A scratch folder, and what is done in it.
pub(crate) struct Bench(Scratch);

impl Deref for Bench {
    type Target = Scratch;

    fn deref(&self) -> &Scratch {
        &self.0
    }
}

/// What came of one run.
#[derive(Debug)]
pub(crate) struct Ran {
    pub(crate) status: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl Bench {
    /// An empty folder; each test names its own.
    pub(crate) fn new(name: &str) -> Self {
        Self(Scratch::new("cli", name))
    }

    /// Everything below the folder with its bytes: what a command must leave as it was.
    pub(crate) fn everything(&self) -> Vec<(PathBuf, Vec<u8>)> {
        let mut all = Vec::new();
        gather(&self.folder, &mut all);
        all.sort();
        all
    }

    pub(crate) fn names(&self, folder: &str) -> Vec<String> {
        let entries = fs::read_dir(self.path(folder)).unwrap();
        let mut names: Vec<String> =
            entries.map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned()).collect();
        names.sort();
        names
    }

    pub(crate) fn run(&self, words: &[&str]) -> Ran {
        let output = self.command(words).output().unwrap();
        let ran = Ran {
            status: output.status.code().unwrap_or(-1),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
        };
        // Whatever is tested, these hold of every run.
        assert!((0..=2).contains(&ran.status), "{words:?}: {ran:?}");
        for text in [&ran.out, &ran.err] {
            // A shell's own script is indented by tabs.
            let tabs = words.first() == Some(&"completions");
            let stays = |c: char| c == '\n' || tabs && c == '\t';
            let acts = text.chars().find(|c| !stays(*c) && acts_or_hides(*c));
            assert!(acts.is_none(), "{words:?}: {acts:?} reaches the terminal: {text:?}");
            assert!(!text.contains("panicked"), "{words:?}: {text}");
        }
        ran
    }

    /// The one document that the program prints for programs, and nothing beside it.
    pub(crate) fn document(&self, words: &[&str]) -> Value {
        let ran = self.run(&[words, &["--json"]].concat());
        assert_eq!(ran.err, "", "{words:?}: nothing stands beside the document");
        let document = serde_json::from_str(&ran.out);
        let document: Value = document.unwrap_or_else(|why| panic!("{words:?}: {why}: {}", ran.out));
        assert_eq!(ran.out.lines().count(), 1, "{words:?}: one line");
        let keys: Vec<&str> = document.as_object().unwrap().keys().map(String::as_str).collect();
        assert_eq!(keys, ["command", "format", "notices", "result", "status"], "{words:?}");
        assert_eq!((&document["format"], &document["status"]), (&Value::from(1), &Value::from(ran.status)));
        assert_eq!(document["result"].is_null(), ran.status == 2, "{words:?}: {document}");
        document
    }

    /// The notices of that document.
    pub(crate) fn notices(&self, words: &[&str]) -> Vec<Value> {
        self.document(words)["notices"].as_array().unwrap().clone()
    }

    /// The program must have been able to do it without an error.
    pub(crate) fn clean(&self, words: &[&str]) -> Ran {
        let ran = self.run(words);
        assert_eq!(ran.status, 0, "{words:?}: {ran:?}");
        ran
    }
}

/// Whether a character acts or hides instead of showing: control and format characters, ends of lines and paragraphs, what
/// Unicode ignores by default, what is no character. A list of its own, from the names of Unicode 15.
pub(crate) fn acts_or_hides(c: char) -> bool {
    let code = u32::from(c);
    let among = |ranges: &[(u32, u32)]| ranges.iter().any(|(from, to)| (*from..=*to).contains(&code));
    let control = [(0, 0x1f), (0x7f, 0x9f)];
    let bidirectional = [(0x61c, 0x61c), (0x200e, 0x200f), (0x202a, 0x202e), (0x2066, 0x2069)];
    let hidden = [
        (0xad, 0xad),
        (0x180b, 0x180f),
        (0x200b, 0x200d),
        (0x2028, 0x2029),
        (0x2060, 0x2065),
        (0x206a, 0x206f),
    ];
    let more = [(0xfe00, 0xfe0f), (0xfeff, 0xfeff), (0xfff0, 0xfffb), (0xfffe, 0xffff), (0xe0000, 0xe0fff)];
    among(&control) || among(&bidirectional) || among(&hidden) || among(&more)
}

fn gather(folder: &Path, all: &mut Vec<(PathBuf, Vec<u8>)>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            gather(&path, all);
        } else {
            let bytes = fs::read(&path).unwrap();
            all.push((path, bytes));
        }
    }
}

/// A small house without a mistake: one run, both systems, every part priced by nobody but counted.
pub(crate) const SMALL: &str =
    "run,service,size,length,pattern,joins,to\nM1,cold,1/2,10,fixture supply,main,sink\n";
