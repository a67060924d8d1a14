//! Each kind of notice has a case: the kinds are read from the sources that give notices, and each must stand in a case of
//! the folders here, or in a test of the files named below.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// Kinds that no job of a few CSV lines can show (files, folders, workbooks), and where their test is instead.
const ELSEWHERE: [(&str, &[&str]); 12] = [
    (
        "tests/door/csv.rs",
        &[
            "empty-table",
            "large-table",
            "long-cell",
            "long-row",
            "many-alike",
            "no-heading",
            "not-text",
            "old-encoding",
            "twice-column",
            "unclosed-quote",
            "unknown-column",
            "unknown-unit",
            "workbook-named-csv",
            "broken-encoding",
        ],
    ),
    (
        "tests/door/workbooks.rs",
        &[
            "day-instead",
            "fault-in-cell",
            "formula-without-result",
            "fraction-for-percent",
            "no-such-cell",
            "row-out-of-order",
            "twice-cell",
            "hidden-column",
            "hidden-rows",
            "number-format",
        ],
    ),
    ("tests/door/damaged.rs", &["damaged-workbook", "no-such-sheet", "password"]),
    ("tests/door/finding.rs", &["no-tables", "other-kind", "twice-table", "unreadable-table"]),
    ("tests/trade/examples.rs", &["no-run-list"]),
    ("tests/extremes/largest.rs", &["sums-too-large"]),
    ("tests/trade/limits.rs", &["changed-meanwhile", "no-plain-file"]),
    ("tests/trade/workbooks.rs", &["hidden-run-list", "hidden-sheets", "hidden-table"]),
    ("tests/whole/hostile.rs", &["broken-off", "damaged-inputs"]),
    ("tests/whole/foreign.rs", &["kept-output"]),
    ("tests/whole/inputs.rs", &["edited-inputs"]),
    ("tests/cli/doors.rs", &["no-price-list-there", "no-used-sheet", "no-reader"]),
];

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// All sources of the program.
fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            found.push(path);
        }
    }
}

/// The kinds that a source gives: the first text of each `error(`, `warning(` and `remark(`. In a file of words, `words.rs`
/// or `words_*.rs`, also what looks like one: words of small letters with hyphens between, or one word behind its weight.
fn kinds_of(source: &str, of_words: bool) -> BTreeSet<String> {
    let is_word = |text: &str| {
        !text.is_empty()
            && text.starts_with(|c: char| c.is_ascii_lowercase())
            && !text.ends_with('-')
            && text.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-')
    };
    let code: String =
        source.lines().map(|line| line.split("//").next().unwrap_or("")).collect::<Vec<_>>().join("\n");
    let parts: Vec<&str> = code.split('"').collect();
    let mut kinds = BTreeSet::new();
    // Between two quotes stands a text; of texts with escaped quotes the parts are no words.
    for pair in parts.windows(2) {
        let (before, text) = (pair[0].trim_end(), pair[1]);
        let of_call = ["error(", "warning(", "remark("].iter().any(|call| {
            let name = before.strip_suffix(call);
            name.is_some_and(|front| !front.ends_with(|c: char| c.is_alphanumeric() || "_.:".contains(c)))
        });
        let behind_weight = ["Error,", "Warning,", "Remark,"].iter().any(|weight| before.ends_with(weight));
        let behind_mark = before.ends_with(['(', ',', '{', '=']) && text.contains('-');
        if is_word(text) && (of_call || of_words && (behind_weight || behind_mark)) {
            kinds.insert(text.to_owned());
        }
    }
    kinds
}

/// The kinds that a source gives its findings: the first thing that `error(`, `warning(` and `remark(` are given, as it
/// stands or as a constant of the file.
fn kinds_found(source: &str) -> BTreeSet<String> {
    let mut kinds = BTreeSet::new();
    for weight in ["error(", "warning(", "remark("] {
        for (at, _) in source.match_indices(weight) {
            let given = source[at + weight.len()..].trim_start();
            let by_itself = !source[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_');
            let end = given.find(|c: char| !c.is_ascii_uppercase() && c != '_').unwrap_or(0);
            let constant = format!("const {}: &str = \"", &given[..end]);
            let text = match given.strip_prefix('"') {
                Some(text) => Some(text),
                None if end > 1 => source.split_once(&constant).map(|(_, text)| text),
                None => None,
            };
            kinds.extend(
                text.filter(|_| by_itself).and_then(|text| text.split('"').next()).map(str::to_owned),
            );
        }
    }
    kinds
}

/// All kinds of all notices.
fn kinds() -> BTreeSet<String> {
    let mut files = Vec::new();
    sources(&root().join("src"), &mut files);
    let of_words = |path: &Path| path.file_name().unwrap().to_string_lossy().starts_with("words");
    let kinds = files.iter().flat_map(|path| {
        let text = fs::read_to_string(path).unwrap();
        kinds_found(&text).into_iter().chain(kinds_of(&text, of_words(path)))
    });
    kinds.collect()
}

/// The kinds that cases show, each with one of its cases.
fn shown() -> BTreeMap<String, String> {
    let mut shown = BTreeMap::new();
    for (folder, name, path) in super::cases() {
        let text = fs::read_to_string(path).unwrap();
        let (_, notices) = super::sections(&text);
        for line in notices.unwrap_or_default().lines() {
            let kind = line.split(' ').nth(1).unwrap_or_default().to_owned();
            shown.insert(kind, format!("{folder}/{name}"));
        }
    }
    shown
}

#[test]
fn each_kind_of_notice_has_a_case() {
    let (kinds, shown) = (kinds(), shown());
    assert!(kinds.len() > 170, "{}", kinds.len());
    for (kind, case) in &shown {
        assert!(kinds.contains(kind), "{kind}, of the case {case}, is not found in the sources");
    }
    let elsewhere: Vec<&str> = ELSEWHERE.iter().flat_map(|(_, kinds)| kinds.iter().copied()).collect();
    let without: Vec<&String> = kinds
        .iter()
        .filter(|kind| !shown.contains_key(*kind) && !elsewhere.contains(&kind.as_str()))
        .collect();
    assert!(without.is_empty(), "no case shows {without:?}");
    for (file, of_file) in ELSEWHERE {
        let text = fs::read_to_string(root().join(file)).unwrap();
        for kind in of_file {
            assert!(kinds.contains(*kind), "{kind} is no kind of notice any more");
            assert!(!shown.contains_key(*kind), "{kind} has a case");
            assert!(text.contains(&format!("\"{kind}")), "{file} has no test of {kind}");
        }
    }
}

#[test]
fn what_the_page_of_tables_accepts_are_kinds_of_notices() {
    let kinds = kinds();
    let page = fs::read_to_string(root().join("templates/README.md")).unwrap();
    let accepted = page.lines().filter_map(|line| line.strip_prefix("accept,")?.split(',').next());
    let accepted: Vec<String> = accepted.map(|kind| kind.replace(' ', "-")).collect();
    assert!(!accepted.is_empty());
    assert!(accepted.iter().all(|kind| kinds.contains(kind)), "{accepted:?}");
}
