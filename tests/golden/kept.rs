//! The files of an example as texts that can be kept and read as a difference: CSV as it is, a workbook cell by cell as
//! another reader sees it, JSON a row a line. It judges nothing; the golden tests and those of a revision call it.

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::io::Cursor;
use std::path::Path;

use calamine::{Data, Reader, Xlsx};
use serde_json::Value;

/// Lines of JSON are opened from this length on.
const WIDE: usize = 160;

/// The name under which a file is kept, and its text.
pub(crate) fn kept(name: &str, bytes: Vec<u8>) -> (String, String) {
    match name.rsplit_once('.') {
        Some((stem, "xlsx")) => (format!("{stem}.xlsx.txt"), cells(bytes)),
        Some((_, "json")) => (name.to_owned(), rows(&bytes)),
        Some((stem, "html")) => (format!("{}.html", stem.replace('/', "-")), marks(bytes)),
        Some(_) | None => (name.to_owned(), String::from_utf8(bytes).unwrap()),
    }
}

/// Whether this run writes what it would otherwise compare.
pub(crate) fn writes() -> bool {
    std::env::var_os("GOLDEN").is_some_and(|value| value == "write")
}

/// Compares texts with those in a folder, or writes them there; a file of the folder that no text is kept under is wrong
/// too.
pub(crate) fn are_as_kept(folder: &Path, texts: &[(String, String)]) {
    if writes() {
        let _ = std::fs::remove_dir_all(folder);
        std::fs::create_dir_all(folder).unwrap();
    }
    let mut wrong = Vec::new();
    for (name, found) in texts {
        let path = folder.join(name);
        if writes() {
            std::fs::write(&path, found).unwrap();
            continue;
        }
        let kept = std::fs::read_to_string(&path).unwrap_or_default();
        if kept != *found {
            wrong.push(format!("{}\n{}", path.display(), difference(&kept, found)));
        }
    }
    for entry in std::fs::read_dir(folder).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        if !texts.iter().any(|(known, _)| *known == name) {
            wrong.push(format!("{name} is kept and is no file of the program any more"));
        }
    }
    assert!(wrong.is_empty(), "{}\n(GOLDEN=write takes the new results)", wrong.join("\n\n"));
}

/// The lines that only one side has, as a reviewer reads them: `-` as kept, `+` as found. Of a long difference the
/// beginning.
pub(crate) fn difference(kept: &str, found: &str) -> String {
    const MOST: usize = 60;
    let (old, new): (BTreeSet<&str>, BTreeSet<&str>) = (kept.lines().collect(), found.lines().collect());
    let only = |text: &str, other: &BTreeSet<&str>, mark: char| -> Vec<String> {
        let lines = text.lines().enumerate().filter(|(_, line)| !other.contains(line));
        let mut lines: Vec<String> = lines.map(|(at, line)| format!("{mark} {:>4} {line}", at + 1)).collect();
        let more = lines.len().saturating_sub(MOST);
        lines.truncate(MOST);
        lines.extend((more > 0).then(|| format!("{mark} and {more} more")));
        lines
    };
    let mut lines = only(kept, &new, '-');
    lines.extend(only(found, &old, '+'));
    if lines.is_empty() && kept != found {
        return "the same lines in another order, another number of times or with other endings".to_owned();
    }
    lines.join("\n")
}

/// What a page shows, a line a row, a heading or a paragraph: the look of all pages is the same.
fn marks(bytes: Vec<u8>) -> String {
    const BEGIN_A_LINE: [&str; 9] =
        ["<tr", "<h2", "<p", "<li", "<figure", "<section", "<div", "<address", "<footer"];
    let page = String::from_utf8(bytes).unwrap();
    let (_, body) = page.split_once("<body").unwrap();
    let parted = |text: String, mark: &&str| text.replace(*mark, &format!("\n{mark}"));
    BEGIN_A_LINE.iter().fold(body.to_owned(), parted)
}

/// Every sheet of a workbook: its name, then a line a cell, `A1 what it shows` or `A1 what it shows = FORMULA`.
fn cells(bytes: Vec<u8>) -> String {
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).unwrap();
    let mut text = String::new();
    for sheet in book.sheet_names() {
        writeln!(text, "# {sheet}").unwrap();
        let values = book.worksheet_range(&sheet).unwrap();
        let formulas = book.worksheet_formula(&sheet).unwrap();
        let (from_row, from_column) = values.start().unwrap_or_default();
        let (last_row, last_column) = values.end().unwrap_or_default();
        for row in from_row..=last_row {
            for column in from_column..=last_column {
                let shown = match values.get_value((row, column)) {
                    None | Some(Data::Empty) => String::new(),
                    Some(value) => one_line(&value.to_string()),
                };
                match formulas.get_value((row, column)).filter(|formula| !formula.is_empty()) {
                    Some(formula) => writeln!(text, "{} {shown} = {formula}", address(row, column)).unwrap(),
                    None if shown.is_empty() => {}
                    None => writeln!(text, "{} {shown}", address(row, column)).unwrap(),
                }
            }
        }
    }
    writeln!(text, "# names").unwrap();
    let mut names = book.defined_names().to_vec();
    names.sort();
    for (name, means) in names {
        writeln!(text, "{name} = {means}").unwrap();
    }
    text
}

/// `B7` of a row and a column counted from nothing.
fn address(row: u32, column: u32) -> String {
    let mut letters = String::new();
    let mut left = column + 1;
    while left > 0 {
        letters.insert(0, char::from(b'A' + u8::try_from((left - 1) % 26).unwrap()));
        left = (left - 1) / 26;
    }
    format!("{letters}{}", row + 1)
}

fn one_line(text: &str) -> String {
    text.replace('\\', "\\\\").replace('\n', "\\n").replace('\r', "\\r")
}

/// JSON with what is short on a line of its own, the keys of an object by name.
fn rows(bytes: &[u8]) -> String {
    let mut text = String::new();
    write_value(&serde_json::from_slice(bytes).unwrap(), 0, &mut text);
    text.push('\n');
    text
}

fn write_value(value: &Value, depth: usize, text: &mut String) {
    let compact = value.to_string();
    let gap = "\n".to_owned() + &" ".repeat(depth + 1);
    match value {
        Value::Array(list) if depth == 0 || compact.len() > WIDE => {
            text.push('[');
            for (at, one) in list.iter().enumerate() {
                text.push_str(if at == 0 { "" } else { "," });
                text.push_str(&gap);
                write_value(one, depth + 1, text);
            }
            text.push(']');
        }
        Value::Object(fields) if depth == 0 || compact.len() > WIDE => {
            text.push('{');
            for (at, (key, one)) in fields.iter().enumerate() {
                text.push_str(if at == 0 { "" } else { "," });
                text.push_str(&gap);
                write!(text, "{}: ", Value::from(key.as_str())).unwrap();
                write_value(one, depth + 1, text);
            }
            text.push('}');
        }
        Value::Null
        | Value::Bool(_)
        | Value::Number(_)
        | Value::String(_)
        | Value::Array(_)
        | Value::Object(_) => text.push_str(&compact),
    }
}

#[test]
fn a_difference_shows_the_lines_of_both_sides() {
    assert_eq!(difference("a\nb\nc\n", "a\nx\nc\n"), "-    2 b\n+    2 x");
    assert!(difference("a\nb\n", "b\na\n").contains("another order"));
}

#[test]
fn columns_are_named_as_a_spreadsheet_names_them() {
    let names: Vec<String> = [0, 25, 26, 701, 702].into_iter().map(|column| address(6, column)).collect();
    assert_eq!(names, ["A7", "Z7", "AA7", "ZZ7", "AAA7"]);
}
