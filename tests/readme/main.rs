//! The pages kept true, README.md and those of the folders `templates`, `price-lists` and `examples`: their commands run as
//! they stand, their worked examples are jobs without a mistake, their lists are those of the program, their pictures and links
//! lead somewhere.
//!
//! `README=write cargo test --test readme` writes the lists anew between their marks.

#![allow(clippy::unwrap_used, reason = "a test fails by it")]

mod commands;
mod generated;
mod links;
mod prices;
mod worked;

use std::fs;
use std::path::{Path, PathBuf};

/// The pages, by their paths.
const PAGES: [&str; 4] = ["README.md", "templates/README.md", "price-lists/README.md", "examples/README.md"];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn page(path: &str) -> String {
    fs::read_to_string(root().join(path)).unwrap()
}

/// A copy of the repository's jobs and price lists, so that a command may write beside them.
fn scratch(name: &str) -> PathBuf {
    let scratch = Path::new(env!("CARGO_TARGET_TMPDIR")).join("readme").join(name);
    let _ = fs::remove_dir_all(&scratch);
    for folder in ["examples", "price-lists"] {
        copy(&root().join(folder), &scratch.join(folder));
    }
    scratch
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        let target = to.join(path.file_name().unwrap());
        if path.is_dir() {
            copy(&path, &target);
        } else {
            fs::copy(&path, &target).unwrap();
        }
    }
}

/// README.md is one page: what is longer belongs to another.
#[test]
fn the_readme_is_one_page() {
    let long = page("README.md").len();
    assert!(long <= 10_240, "{long} bytes");
}
