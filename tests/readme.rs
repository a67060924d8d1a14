//! The README kept true: its commands run as they stand, and its tables of columns are those that the program reads
//! and writes.
//!
//! `README=write cargo test --test readme` writes the tables anew between their two marks.

#![allow(clippy::unwrap_used, reason = "a test fails by it")]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use coilstick::report;
use coilstick::table::{Limits, Shape};
use coilstick::trade::ITEMS;
use coilstick::trade::SHAPES;

const MARKS: (&str, &str) = ("<!-- columns -->\n", "<!-- /columns -->");

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn readme() -> String {
    fs::read_to_string(root().join("README.md")).unwrap()
}

/// The commands in the code blocks of a text: those that begin with the program's name, or run it through cargo.
fn commands(text: &str) -> Vec<String> {
    let mut commands = Vec::new();
    let mut inside = false;
    for line in text.lines() {
        if line.starts_with("```") {
            inside = !inside;
        } else if inside {
            let line = line.strip_prefix("$ ").unwrap_or(line);
            let words =
                line.strip_prefix("cargo run --release -- ").or_else(|| line.strip_prefix("coilstick "));
            commands.extend(words.map(str::to_owned));
        }
    }
    commands
}

/// A command line in words, as a shell parts them: double and single quotes hold a word together, `#` begins a remark,
/// `>` names the file that takes the output.
fn words(line: &str) -> (Vec<String>, Option<String>) {
    let mut words: Vec<String> = Vec::new();
    let (mut word, mut quote, mut begun) = (String::new(), None, false);
    for c in line.chars().chain([' ']) {
        match (quote, c) {
            (Some(open), c) if c == open => quote = None,
            (Some(_), c) => word.push(c),
            (None, '"' | '\'') => (quote, begun) = (Some(c), true),
            (None, ' ') => {
                if begun || !word.is_empty() {
                    words.push(std::mem::take(&mut word));
                }
                begun = false;
            }
            (None, '#') if word.is_empty() && !begun => break,
            (None, '|' | ';' | '&' | '$' | '`' | '\\') => panic!("a shell is needed for: {line}"),
            (None, c) => word.push(c),
        }
    }
    let to = words.iter().position(|word| word == ">").map(|at| words.split_off(at).swap_remove(1));
    (words, to)
}

/// A copy of the repository's jobs and price lists, so that a command may write beside them.
fn scratch() -> PathBuf {
    let scratch = Path::new(env!("CARGO_TARGET_TMPDIR")).join("readme");
    let _ = fs::remove_dir_all(&scratch);
    for folder in ["examples", "price-lists", "templates"] {
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

#[test]
fn every_command_of_the_readme_runs_as_it_stands() {
    let commands = commands(&readme());
    assert!(
        commands.len() >= 2,
        "the README shows at least how to estimate an example and how to begin: {commands:?}"
    );
    let scratch = scratch();
    for line in commands {
        let (words, to) = words(&line);
        let output = Command::new(env!("CARGO_BIN_EXE_coilstick"))
            .args(&words)
            .current_dir(&scratch)
            .output()
            .unwrap();
        let err = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "{line}: {err}");
        assert!(!err.contains("panicked"), "{line}: {err}");
        if let Some(to) = to {
            fs::write(scratch.join(to), output.stdout).unwrap();
        }
    }
    fs::remove_dir_all(scratch).unwrap();
}

#[test]
fn command_lines_are_parted_as_a_shell_parts_them() {
    let of = |line: &str| words(line);
    assert_eq!(of("explain job \"tee 3/4 x 1/2\" # why").0, ["explain", "job", "tee 3/4 x 1/2"]);
    assert_eq!(of("new --table parts > my parts.csv").1.as_deref(), Some("my"));
    assert_eq!(commands("```sh\ncoilstick check a\ncargo test\n```\ncoilstick not this\n"), ["check a"]);
}

/// The tables of columns, as the README has them.
fn columns() -> String {
    let mut text = String::new();
    for shape in SHAPES {
        text += &table(shape);
        if shape.name == "job" {
            text += &items();
        }
    }
    text + &limits() + &files()
}

/// How much of a job is read.
fn limits() -> String {
    let mut text = String::from(
        "\n### How much is read\n\nWhat lies beyond a limit is not read, and a notice says so. `--limit NAME=N` gives more, or less.\n\n| limit | goes without saying | of what |\n|---|---|---|\n",
    );
    for (name, usual, help) in Limits::ALL {
        text += &format!("| {name} | {usual} | {help} |\n");
    }
    text
}

/// The columns of the files that are written; those of the others are the systems of the job.
fn files() -> String {
    let mut text = String::from("\n### The columns of the files\n");
    for file in report::FILES {
        let columns = report::columns(file);
        if !columns.is_empty() {
            text += &format!("\n#### `{file}`\n\n| column | what it says |\n|---|---|\n");
        }
        for (heading, help) in columns {
            assert!(!help.is_empty(), "{file} says nothing of {heading}");
            text += &format!("| {heading} | {help} |\n");
        }
    }
    text
}

/// What the table `job` can say.
fn items() -> String {
    let mut text = String::from("\n| item | what it says |\n|---|---|\n");
    for item in &ITEMS {
        text += &format!("| {} | {} |\n", item.name, item.help().replace('|', "\\|"));
    }
    text
}

fn table(shape: &Shape) -> String {
    let mut text = format!("\n#### `{}`\n\n| column | holds | what it says |\n|---|---|---|\n", shape.name);
    for column in shape.columns {
        let heading =
            if column.required { format!("**{}**", column.heading) } else { column.heading.to_owned() };
        let also = if column.also.is_empty() {
            String::new()
        } else {
            format!(" (also {})", column.also.join(", "))
        };
        let cell = |words: &str| words.replace('|', "\\|");
        text += &format!("| {heading}{also} | {} | {} |\n", column.holds.words(), cell(column.help));
    }
    text
}

#[test]
fn the_tables_of_columns_are_those_that_the_program_reads() {
    let text = readme();
    let (front, rest) =
        text.split_once(MARKS.0).expect("the README has the mark before its tables of columns");
    let (between, _) =
        rest.split_once(MARKS.1).expect("the README has the mark behind its tables of columns");
    let expected = format!("{}\n", columns());
    if std::env::var("README").is_ok_and(|word| word == "write") {
        let back = &rest[between.len()..];
        fs::write(root().join("README.md"), format!("{front}{}{expected}{back}", MARKS.0)).unwrap();
    } else {
        assert!(
            between == expected,
            "README=write cargo test --test readme writes the tables of columns anew"
        );
    }
}
