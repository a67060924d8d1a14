//! The house kept in order: the floors and who may use which library, the size and head of files, what stands at the
//! top of the repository. It reads the sources as text and knows no part of the program.

#![allow(clippy::unwrap_used, reason = "a test fails by it")]

mod modules;
mod twice;
mod worked;

use std::fs;
use std::path::{Path, PathBuf};

/// The floors from the ground up: a module uses only floors below its own. `checks` and `doubts` stand above the estimate.
const FLOORS: [&str; 9] =
    ["search", "ground", "table", "trade", "estimate", "checks", "doubts", "report", "cli"];

const MOST_LINES: usize = 500;

/// What a visitor sees at the top of the repository; all else is hidden, or made by building and trying.
const TOP: [&str; 10] = [
    "Cargo.lock",
    "Cargo.toml",
    "DEVELOPERS.md",
    "LICENSE",
    "README.md",
    "examples",
    "price-lists",
    "src",
    "templates",
    "tests",
];

/// A source file: its path from the root of the repository, and its text.
struct Source {
    path: String,
    text: String,
}

impl Source {
    /// The floor it stands on; none for `main.rs` and `lib.rs`, which stand above all.
    fn floor(&self) -> Option<usize> {
        let inside = self.path.strip_prefix("src/")?;
        let (floor, _) = inside.split_once('/')?;
        Some(FLOORS.iter().position(|known| *known == floor).expect("a folder of src is a floor"))
    }

    /// How many modules deep it is: `src/a/mod.rs` one, `src/a/b.rs` two.
    fn depth(&self) -> usize {
        let steps = self.path.matches('/').count();
        if self.path.ends_with("/mod.rs") { steps - 1 } else { steps }
    }

    /// Its lines of code with their numbers, comments taken out (a text that holds `//` loses its rest: it names no
    /// path anyway).
    fn code(&self) -> impl Iterator<Item = (usize, &str)> {
        let code = |line: &'_ str| line.find("//").map_or(line.len(), |at| at);
        self.text.lines().enumerate().map(move |(index, line)| (index + 1, &line[..code(line)]))
    }
}

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn sources(of: &str) -> Vec<Source> {
    let mut list = Vec::new();
    gather(&root().join(of), &mut list);
    list.sort_by(|a, b| a.path.cmp(&b.path));
    assert!(!list.is_empty());
    list
}

fn gather(folder: &Path, list: &mut Vec<Source>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            gather(&path, list);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            let shown = path.strip_prefix(root()).unwrap().to_string_lossy().replace('\\', "/");
            list.push(Source { path: shown, text: fs::read_to_string(&path).unwrap() });
        }
    }
}

/// The identifier that begins a text.
fn word(text: &str) -> &str {
    let end = text.find(|c: char| !c.is_alphanumeric() && c != '_').unwrap_or(text.len());
    &text[..end]
}

/// The first names of the paths that stand after `crate::` (or after as many `super::` as lead there): one, or those of
/// a list in braces.
fn names_after(rest: &str) -> Vec<&str> {
    let Some(inside) = rest.strip_prefix('{') else { return vec![word(rest)] };
    let mut depth = 0;
    let mut names = vec![word(inside.trim_start())];
    for (at, c) in inside.char_indices() {
        match c {
            '{' => depth += 1,
            '}' if depth == 0 => break,
            '}' => depth -= 1,
            ',' if depth == 0 => names.push(word(inside[at + 1..].trim_start())),
            _ => {}
        }
    }
    names
}

/// The floors that a file names, each with its line.
fn floors_named(source: &Source) -> Vec<(usize, &str)> {
    let mut named = Vec::new();
    for (number, line) in source.code() {
        for (at, found) in line.match_indices("crate::") {
            if !line[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_') {
                named.extend(names_after(&line[at + found.len()..]).into_iter().map(|name| (number, name)));
            }
        }
        for (at, _) in line.match_indices("super::") {
            let mut rest = &line[at..];
            let mut up = 0;
            while let Some(next) = rest.strip_prefix("super::") {
                (rest, up) = (next, up + 1);
            }
            if !line[..at].ends_with("super::") && up >= source.depth() {
                // A test module stands one deeper: there this may be a neighbour, which is no floor.
                let names = names_after(rest).into_iter().filter(|name| FLOORS.contains(name));
                named.extend(names.map(|name| (number, name)));
            }
        }
    }
    named
}

/// Whether a line of code uses a library: `name::` not as a part of a longer path or word.
fn uses(line: &str, library: &str) -> bool {
    let path = format!("{library}::");
    let alone = |at: usize| !line[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_' || c == ':');
    line.match_indices(&path).any(|(at, _)| alone(at)) || line.trim() == format!("use {library};")
}

/// Places that break a rule, with their file and line.
fn places(of: &str, breaks: impl Fn(&Source, &str) -> bool) -> Vec<String> {
    let list = sources(of);
    let broken = list.iter().flat_map(|source| {
        let lines = source.code().filter(|(_, line)| breaks(source, line));
        lines.map(|(number, line)| format!("{}:{number}: {}", source.path, line.trim())).collect::<Vec<_>>()
    });
    broken.collect()
}

#[test]
fn a_floor_uses_only_floors_below_it() {
    let mut wrong = Vec::new();
    let mut seen = 0;
    for source in sources("src") {
        let Some(own) = source.floor() else { continue };
        for (number, name) in floors_named(&source) {
            seen += 1;
            match FLOORS.iter().position(|floor| *floor == name) {
                Some(other) if other <= own => {}
                Some(_) => wrong.push(format!("{}:{number} uses {name}", source.path)),
                None => wrong.push(format!("{}:{number} names {name}, which is no floor", source.path)),
            }
        }
    }
    assert!(seen > 100, "paths are found at all");
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn the_solvers_use_no_other_floor_and_only_buying_asks_them() {
    for source in sources("src") {
        for (number, name) in floors_named(&source) {
            let of_search = source.path.starts_with("src/search/");
            let asks = of_search || source.path.starts_with("src/estimate/buying/");
            assert!(!of_search || name == "search", "{}:{number} uses {name}", source.path);
            assert!(name != "search" || asks, "{}:{number} asks a solver", source.path);
        }
    }
}

#[test]
fn paths_to_floors_are_found_in_every_way_they_can_be_written() {
    let text = "use crate::{ground::Length, trade::{Job, Run}, cli};\nfn f(x: crate::table::Row) {}\n\
                use super::super::report::write; // crate::estimate\nuse super::near;\n";
    let source = Source { path: "src/trade/run.rs".to_owned(), text: text.to_owned() };
    let names: Vec<&str> = floors_named(&source).into_iter().map(|(_, name)| name).collect();
    assert_eq!(names, ["ground", "trade", "cli", "table", "report"]);
}

#[test]
fn the_folders_of_the_sources_are_the_floors() {
    for entry in fs::read_dir(root().join("src")).unwrap() {
        let name = entry.unwrap().file_name().to_string_lossy().into_owned();
        assert!(FLOORS.contains(&name.as_str()) || name == "main.rs" || name == "lib.rs", "{name}");
    }
}

#[test]
fn each_library_of_files_is_used_on_its_floor_alone() {
    for (library, floors) in [
        ("csv", &["src/table/", "src/report/"][..]),
        ("calamine", &["src/table/"]),
        ("zip", &["src/table/"]),
        ("encoding_rs", &["src/table/"]),
        ("rust_xlsxwriter", &["src/report/"]),
        ("clap", &["src/cli/"]),
    ] {
        let wrong = places("src", |source, line| {
            uses(line, library) && !floors.iter().any(|floor| source.path.starts_with(floor))
        });
        assert!(wrong.is_empty(), "{library}: {wrong:#?}");
    }
}

#[test]
fn only_the_screen_prints() {
    let prints = ["print!", "println!", "eprint!", "eprintln!", "dbg!"];
    let wrong = places("src", |source, line| {
        let whole = |at: usize| !line[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_');
        source.path != "src/cli/screen.rs"
            && prints.iter().any(|print| line.match_indices(print).any(|(at, _)| whole(at)))
    });
    assert!(wrong.is_empty(), "{wrong:#?}");
    // Streams are opened by the screen, and by the child that hands a workbook to its parent.
    let wrong = places("src", |source, line| {
        (line.contains("io::stdout()") || line.contains("io::stderr()"))
            && !["src/cli/screen.rs", "src/table/guard_child.rs"].contains(&source.path.as_str())
    });
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn floats_live_where_workbooks_are_read_and_written_and_in_the_search_for_columns() {
    // The compiler's own check keeps arithmetic to the files that allow it; this keeps those files, and those that hand
    // a float on, a short list.
    let holders = |source: &Source| {
        source.code().any(|(_, line)| {
            ["f64", "f32"].iter().any(|float| {
                line.match_indices(float).any(|(at, _)| {
                    !line[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_')
                        && !line[at + 3..].starts_with(|c: char| c.is_alphanumeric() || c == '_')
                })
            })
        })
    };
    let allowed = [
        "src/checks/",
        "src/search/cutting/",
        "src/report/book/",
        "src/report/form/",
        "src/report/starter.rs",
        "src/table/",
    ];
    for source in sources("src") {
        let named = allowed.iter().any(|path| source.path.starts_with(path));
        assert!(named || !holders(&source), "{} holds a float", source.path);
        let allows = source.text.contains("allow(clippy::float_arithmetic");
        let may = ["src/checks/", "src/search/cutting/"].iter().any(|path| source.path.starts_with(path));
        assert!(!allows || may && holders(&source), "{} allows float arithmetic", source.path);
    }
}

#[test]
fn files_are_short() {
    for source in sources("src") {
        let lines = source.text.lines().count();
        assert!(lines <= MOST_LINES, "{} has {lines} lines", source.path);
    }
}

#[test]
fn one_file_of_the_estimate_reads_the_table_of_joints() {
    let reads = |source: &Source, line: &str| {
        let own = ["src/estimate/joint_rows.rs", "src/estimate/buying/tests/fixture.rs"];
        let above = source.floor() >= FLOORS.iter().position(|floor| *floor == "estimate");
        above && !own.contains(&source.path.as_str()) && line.contains("catalog.joints")
    };
    let found = places("src", reads);
    assert!(found.is_empty(), "{}", found.join("\n"));
    assert!(sources("src").iter().any(|source| source.text.contains("catalog.joints")));
}

#[test]
fn every_file_begins_by_saying_what_it_is() {
    for source in sources("src").iter().chain(&sources("tests")) {
        assert!(source.text.starts_with("//! "), "{}", source.path);
    }
}

#[test]
fn nothing_is_put_off_and_no_test_is_passed_over() {
    // Written apart, so that this file does not find itself.
    let words = ["todo", "unimplemented", "dbg"].map(|word| format!("{word}!"));
    let ignored = format!("#[{}", "ignore");
    for of in ["src", "tests"] {
        let wrong = places(of, |_, line| {
            words.iter().any(|word| {
                line.match_indices(word.as_str())
                    .any(|(at, _)| !line[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_'))
                    && !line.contains(&format!("\"{word}"))
            }) || line.contains(&ignored)
        });
        assert!(wrong.is_empty(), "{wrong:#?}");
    }
}

#[test]
fn the_visible_top_level_is_exactly_what_the_readme_lists() {
    let mut seen: Vec<String> = fs::read_dir(root())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
        .filter(|name| !name.starts_with('.') && name != "target" && name != "out")
        .collect();
    seen.sort();
    assert_eq!(seen, TOP);
}

#[test]
fn every_dependency_says_in_one_line_why_it_is_there() {
    let text = fs::read_to_string(root().join("Cargo.toml")).unwrap();
    let mut section = "";
    let mut dependencies = 0;
    for line in text.lines().map(str::trim).filter(|line| !line.is_empty() && !line.starts_with('#')) {
        if line.starts_with('[') {
            section = line;
        } else if section.contains("dependencies") {
            dependencies += 1;
            let reason = line.rsplit_once('#').map_or("", |(_, reason)| reason.trim());
            assert!(reason.split_whitespace().count() >= 3, "no reason: {line}");
        }
    }
    assert!(dependencies >= 10, "{dependencies} dependencies are found");
}
