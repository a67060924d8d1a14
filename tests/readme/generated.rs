//! The lists of the pages are those of the program: each stands between two marks and is made of the one list in the code.

use std::collections::BTreeSet;
use std::fs;

use coilstick::report;
use coilstick::table::{Limits, Shape};
use coilstick::trade::{CLOSED, ITEMS, SHAPES, TABLES};

use super::worked::jobs;
use super::{PAGES, page, root};

/// What stands before and behind the name of a list, and behind the list.
const MARKS: (&str, &str, &str) = ("<!-- generated: ", " -->\n", "<!-- /generated -->");

#[test]
fn the_lists_of_the_pages_are_those_of_the_program() {
    let mut named: BTreeSet<String> = BTreeSet::new();
    for path in PAGES {
        let text = page(path);
        let expected = written(path, &text, &mut named);
        if std::env::var("README").is_ok_and(|word| word == "write") {
            fs::write(root().join(path), expected).unwrap();
        } else {
            assert!(text == expected, "{path}: README=write cargo test --test readme writes its lists anew");
        }
    }
    let all = [
        "columns", "counts", "files", "fixtures", "limits", "parts", "patterns", "prices", "systems",
        "tables", "words",
    ];
    assert_eq!(named.iter().map(String::as_str).collect::<Vec<_>>(), all);
}

/// A page with its lists as they should be.
fn written(path: &str, text: &str, named: &mut BTreeSet<String>) -> String {
    let worked = jobs(path, text);
    let mut out = String::new();
    let mut rest = text;
    while let Some((front, begun)) = rest.split_once(MARKS.0) {
        let (name, begun) = begun.split_once(MARKS.1).unwrap();
        let (_, back) = begun.split_once(MARKS.2).expect("a list has its end");
        out += front;
        let heading =
            out.lines().rfind(|line| line.starts_with("##")).unwrap().trim_start_matches(['#', ' ']);
        let list = match name {
            "counts" => worked.iter().find(|job| job.title == heading).unwrap().counts(),
            name => list(name),
        };
        named.insert(name.to_owned());
        out += &[MARKS.0, name, MARKS.1, &list, MARKS.2].concat();
        rest = back;
    }
    out + rest
}

/// A list by its name.
fn list(name: &str) -> String {
    match name {
        "tables" => SHAPES.into_iter().filter(|shape| shape.name != "prices").map(table).collect(),
        "prices" => SHAPES.into_iter().filter(|shape| shape.name == "prices").map(columns_of).collect(),
        "limits" => rows(
            ["limit", "goes without saying", "of what"],
            Limits::ALL.map(|(name, usual, help)| [name.to_owned(), usual.to_string(), help.to_owned()]),
        ),
        "words" => words(),
        "systems" => built_in("systems", ["system", "side", "tube", "fit", "joint", "sold in", "in words"]),
        "patterns" => patterns(),
        "parts" => parts(),
        "fixtures" => fixtures(),
        "files" => rows(
            ["file", "written by", "what it is"],
            report::output_files().into_iter().map(|file| {
                [format!("`{}`", file.name), format!("`{}`", file.command), file.about.to_owned()]
            }),
        ),
        "columns" => columns(),
        name => panic!("no list is called {name}"),
    }
}

/// A table of a page.
fn rows<const N: usize>(heads: [&str; N], rows: impl IntoIterator<Item = [String; N]>) -> String {
    let row = |cells: &[String]| {
        let cells: Vec<String> = cells.iter().map(|cell| cell.replace('|', "\\|")).collect();
        format!("| {} |\n", cells.join(" | "))
    };
    let mut text = format!("\n{}|{}\n", row(&heads.map(str::to_owned)), "---|".repeat(N));
    rows.into_iter().for_each(|cells| text += &row(&cells));
    text + "\n"
}

/// A table that a job may hold, with its columns; of the job also what it can say.
fn table(shape: &Shape) -> String {
    let mut text = format!("\n### `{}`\n{}", shape.name, columns_of(shape));
    if shape.name == "job" {
        let items = ITEMS.iter().map(|item| [item.name.to_owned(), item.help()]);
        text += &rows(["item", "what it says"], items);
    }
    // A list ends with an empty line already.
    text.trim_end_matches('\n').to_owned() + "\n"
}

fn columns_of(shape: &Shape) -> String {
    let columns = shape.columns.iter().map(|column| {
        let heading =
            if column.required { format!("**{}**", column.heading) } else { column.heading.to_owned() };
        let also = if column.also.is_empty() {
            String::new()
        } else {
            format!(" (also {})", column.also.join(", "))
        };
        [format!("{heading}{also}"), column.holds.words().to_owned(), column.help.to_owned()]
    });
    rows(["column", "holds", "what it says"], columns)
}

/// The closed lists of trade words.
fn words() -> String {
    let words = CLOSED.iter().flat_map(|list| list.words().map(move |(word, means)| (list, word, means)));
    let row = words
        .map(|(list, word, means)| [list.table.to_owned(), list.column.to_owned(), word.to_owned(), means]);
    rows(["table", "column", "word", "means"], row)
}

/// The columns of the files that are written.
fn columns() -> String {
    let mut text = String::new();
    for file in report::output_files() {
        assert!(!file.about.is_empty(), "{}", file.name);
        assert_eq!(
            file.name.ends_with(".csv"),
            !file.columns.is_empty(),
            "{}: every CSV file has columns",
            file.name
        );
        if file.columns.is_empty() {
            continue;
        }
        for (heading, help) in &file.columns {
            assert!(!help.is_empty(), "{} says nothing of {heading}", file.name);
        }
        let columns = file.columns.iter().map(|(heading, help)| [*heading, *help].map(str::to_owned));
        let table = rows(["column", "what it says"], columns);
        text += &format!("\n### `{}`\n{}", file.name, table.trim_end_matches('\n'));
        text.push('\n');
    }
    text + "\n"
}

/// The rows of a built-in table: what stands under some of its headings.
fn cells<const N: usize>(name: &str, heads: [&str; N]) -> Vec<[String; N]> {
    let (_, text) = TABLES.iter().find(|(table, _)| *table == name).unwrap();
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let places = {
        let known = reader.headers().unwrap();
        heads.map(|head| known.iter().position(|heading| heading == head).unwrap())
    };
    let rows = reader.records().map(Result::unwrap);
    rows.map(|row| places.map(|place| row[place].to_owned())).collect()
}

fn built_in<const N: usize>(name: &str, heads: [&str; N]) -> String {
    rows(heads, cells(name, heads))
}

/// Rows of one name as one: what they say in each other column, each once.
fn gathered<const N: usize>(all: Vec<[String; N]>, between: &str) -> Vec<[String; N]> {
    let mut list: Vec<(String, [Vec<String>; N])> = Vec::new();
    for row in all {
        let at = list.iter().position(|(name, _)| *name == row[0]).unwrap_or_else(|| {
            list.push((row[0].clone(), std::array::from_fn(|_| Vec::new())));
            list.len() - 1
        });
        for (said, cell) in list[at].1.iter_mut().zip(row) {
            if !cell.is_empty() && !said.contains(&cell) {
                said.push(cell);
            }
        }
    }
    list.into_iter().map(|(_, said)| said.map(|cells| cells.join(between))).collect()
}

fn patterns() -> String {
    let all = gathered(cells("patterns", ["pattern", "part"]), ", ");
    rows(["pattern", "what it brings"], all)
}

fn parts() -> String {
    let all = cells("parts", ["part", "also called", "variant", "class"]);
    rows(["part", "also called", "variants", "class"], gathered(all, "; "))
}

fn fixtures() -> String {
    let of_water = cells("fixtures", ["fixture"]).into_iter().map(|[name]| [name, String::new()]);
    let all = of_water.chain(cells("drain units", ["fixture", "also called"])).collect();
    rows(["fixture", "also called"], gathered(all, "; "))
}
