//! A folder to work in, two small jobs, and a look at all files of a folder.

use std::collections::BTreeMap;
use std::fs;
use std::ops::Deref;
use std::path::Path;
use std::process::Output;

use sha2::{Digest, Sha256};

use crate::scratch::Scratch;

/// A scratch folder, and what is done in it.
pub(crate) struct Desk(Scratch);

impl Deref for Desk {
    type Target = Scratch;

    fn deref(&self) -> &Scratch {
        &self.0
    }
}

/// All files of a folder by their paths.
pub(crate) type Files = BTreeMap<String, Vec<u8>>;

const PRICES: &str = "supplier,part,size,system,price,sold as,pack,per\nMill (invented),tube,1/2,pex,31.40,coil,100 ft,pack\n\
                      Mill (invented),clamp ring,1/2,,12.00,bag,25,pack\n";

impl Desk {
    /// An empty folder; each test names its own.
    pub(crate) fn new(name: &str) -> Self {
        Self(Scratch::new("whole", name))
    }

    pub(crate) fn names(&self, folder: &str) -> Vec<String> {
        files(&self.path(folder)).into_keys().collect()
    }

    /// A job of one run of so many feet, whose prices lie beside it. `more` has a table of its own.
    pub(crate) fn job(&self, name: &str, feet: u32, more: bool) {
        self.write("lists/mill.csv", PRICES);
        self.write(
            &format!("{name}/job.csv"),
            "item,for,value\nname,,a small house\nprice list,,../lists\nwater system,,pex-clamp\n",
        );
        let runs = "run,service,size,length,pattern,joins,to\nM1,cold,1/2";
        self.write(&format!("{name}/runs.csv"), &format!("{runs},{feet},fixture supply,main,sink\n"));
        if more {
            self.write(&format!("{name}/suppliers.csv"), "supplier,delivery fee\nMill (invented),15\n");
        }
    }

    /// Runs the program; gives its exit status and what it said.
    pub(crate) fn run(&self, words: &[&str]) -> (i32, String) {
        said(&self.command(words).output().unwrap())
    }

    /// Runs the program, which must be able to do it.
    pub(crate) fn done(&self, words: &[&str]) -> String {
        let (status, said) = self.run(words);
        assert!(status <= 1, "{words:?}: {said}");
        said
    }
}

/// The exit status of a run (-1 where a signal ended it), and all that it said.
pub(crate) fn said(output: &Output) -> (i32, String) {
    let text = [&output.stdout, &output.stderr].map(|bytes| String::from_utf8_lossy(bytes).into_owned());
    (output.status.code().unwrap_or(-1), text.concat())
}

/// All files below a folder; none where it is not there. An empty folder is one with a name that ends with `/`.
pub(crate) fn files(folder: &Path) -> Files {
    let mut all = Files::new();
    gather(folder, "", &mut all);
    all
}

fn gather(folder: &Path, front: &str, all: &mut Files) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    let before = all.len();
    for entry in entries {
        let path = entry.unwrap().path();
        let name = format!("{front}{}", path.file_name().unwrap().to_string_lossy());
        match path.is_dir() {
            true => gather(&path, &format!("{name}/"), all),
            false => drop(all.insert(name, fs::read(&path).unwrap_or_default())),
        }
    }
    if all.len() == before && !front.is_empty() {
        all.insert(front.to_owned(), Vec::new());
    }
}

/// Makes a folder hold what [`files`] found in it.
pub(crate) fn put_back(all: &Files, folder: &Path) {
    let _ = fs::remove_dir_all(folder);
    for (name, bytes) in all {
        let path = folder.join(name);
        match name.ends_with('/') {
            true => fs::create_dir_all(path).unwrap(),
            false => {
                fs::create_dir_all(path.parent().unwrap()).unwrap();
                fs::write(path, bytes).unwrap();
            }
        }
    }
}

/// Asks that a folder holds one whole set and nothing else: the files that its mark lists, each with the fingerprint there.
pub(crate) fn assert_one_whole_set(folder: &Path, mark: &str) {
    let all = files(folder);
    let json: serde_json::Value = serde_json::from_slice(&all[mark]).unwrap();
    let mut listed = vec![mark.to_owned()];
    for file in json["files"].as_array().unwrap() {
        let name = file["name"].as_str().unwrap();
        let sum: String = Sha256::digest(&all[name]).iter().map(|byte| format!("{byte:02x}")).collect();
        assert_eq!(file["sha256"], sum, "{name}");
        listed.push(name.to_owned());
    }
    listed.sort();
    assert_eq!(all.into_keys().collect::<Vec<_>>(), listed);
}
