//! Every command of the pages runs as it stands.

use std::fs;
use std::process::Command;

use super::worked::jobs;
use super::{PAGES, page, scratch};

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

#[test]
fn every_command_of_the_pages_runs_as_it_stands() {
    let mut ran = 0;
    for path in PAGES {
        let text = page(path);
        let scratch = scratch(&format!("commands of {}", path.replace('/', " ")));
        // What the page says to write by hand is written.
        for job in jobs(path, &text) {
            job.write(&scratch);
        }
        for line in commands(&text) {
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
                assert!(!output.stdout.is_empty(), "{line}");
                fs::write(scratch.join(to), output.stdout).unwrap();
            }
            ran += 1;
        }
        fs::remove_dir_all(scratch).unwrap();
    }
    assert!(ran > 15, "{ran}");
}

/// How to begin, and what a shell takes from the program, stand on the first page.
#[test]
fn the_readme_shows_how_to_begin_and_to_install() {
    let commands = commands(&page("README.md"));
    for begins in ["estimate examples/", "check first", "estimate first", "completions ", "man "] {
        assert!(commands.iter().any(|line| line.starts_with(begins)), "{begins}: {commands:?}");
    }
    assert!(page("README.md").contains("cargo install --path ."));
}

#[test]
fn command_lines_are_parted_as_a_shell_parts_them() {
    let of = |line: &str| words(line);
    assert_eq!(of("explain job \"tee 3/4 x 1/2\" # why").0, ["explain", "job", "tee 3/4 x 1/2"]);
    assert_eq!(of("new --table parts > my parts.csv").1.as_deref(), Some("my"));
    assert_eq!(commands("```sh\ncoilstick check a\ncargo test\n```\ncoilstick not this\n"), ["check a"]);
}
