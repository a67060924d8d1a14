//! The worked examples of DEVELOPERS.md stay true: each is a change to files as they are, and touches as many as it says.

use std::collections::BTreeSet;
use std::fs;

use super::root;

/// A change as it stands in DEVELOPERS.md: what it adds, how many files it says that takes, and its parts by file.
struct Example {
    what: String,
    said: usize,
    parts: Vec<(String, Vec<String>)>,
}

/// `**a run column** (one file)` with the block of changes that follows it.
fn examples(text: &str) -> Vec<Example> {
    let mut examples: Vec<Example> = Vec::new();
    let mut inside = false;
    for line in text.lines() {
        let said = ["(one file)", "(two files)"].iter().position(|said| line.contains(said));
        if let (Some(at), Some(what)) =
            (said, line.strip_prefix("**").and_then(|rest| rest.split("**").next()))
        {
            examples.push(Example { what: what.to_owned(), said: at + 1, parts: Vec::new() });
        }
        match (line, examples.last_mut()) {
            ("```diff", _) => inside = true,
            ("```", _) => inside = false,
            (line, Some(example)) if inside => match (line.strip_prefix("--- "), example.parts.last_mut()) {
                (Some(file), _) => example.parts.push((file.to_owned(), Vec::new())),
                (None, Some((_, lines))) => lines.push(line.to_owned()),
                (None, None) => panic!("{}: a change names its file first", example.what),
            },
            _ => {}
        }
    }
    examples
}

/// Whether the lines of a change that are there already, those that it takes away among them, stand in a text, one behind
/// the other.
fn fits(change: &[String], text: &str) -> bool {
    let known = change.iter().filter(|line| !line.starts_with('+'));
    let known: Vec<&str> = known.map(|line| line.get(1..).unwrap_or("").trim()).collect();
    let lines: Vec<&str> = text.lines().map(str::trim).collect();
    !known.is_empty() && lines.windows(known.len()).any(|window| window == known)
}

#[test]
fn the_worked_examples_are_changes_to_files_as_they_are() {
    let text = fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    let examples = examples(&text);
    let asked = ["a run column", "a job item", "a notice", "an output column", "an output file", "a sheet"];
    for what in asked {
        assert!(examples.iter().any(|example| example.what == what), "{what} has no worked example");
    }
    for Example { what, said, parts } in examples {
        let files: BTreeSet<&str> = parts.iter().map(|(file, _)| file.as_str()).collect();
        assert_eq!(files.len(), said, "{what} touches {files:?}");
        for (file, change) in parts {
            assert!(change.iter().any(|line| line.starts_with('+')), "{what} adds nothing to {file}");
            match fs::read_to_string(root().join(&file)) {
                Ok(text) => assert!(fits(&change, &text), "{what}: {file} is not as the example has it"),
                // A new file is added whole.
                Err(_) => {
                    assert!(change.iter().all(|line| line.starts_with('+')), "{what}: there is no {file}")
                }
            }
        }
    }
}
