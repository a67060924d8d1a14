//! Whole jobs that a person worked out on paper, foot by foot and cent by cent, from the rules of counting alone. `worked.md`
//! beside each job is the paper; the expected tables are copied from it by hand. Nobody may regenerate them: where the
//! program differs, one of the two is wrong, and the rules say which.

#![allow(clippy::unwrap_used, reason = "a test fails by it")]

mod bid;
mod drains;
mod labor;
mod odd_ends;
mod one_meaning;
mod take_outs;
mod test_day;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use coilstick::estimate::estimate;
use coilstick::report;
use coilstick::trade::Job;
use rust_decimal::Decimal;

/// One way to build a job: the name of its column on paper, and what the table `job` says otherwise for it.
struct Case {
    name: &'static str,
    system: &'static str,
    job: &'static [(&'static str, &'static str)],
}

const CASES: [Case; 3] = [
    Case { name: "pex bend", system: "pex-clamp", job: &[] },
    Case {
        name: "copper",
        system: "copper-solder",
        job: &[
            ("water system,,pex-clamp", "water system,,copper-solder"),
            ("compare with,,copper-solder", "compare with,,pex-clamp"),
        ],
    },
    Case {
        name: "pex elbow",
        system: "pex-clamp",
        job: &[("water system,,pex-clamp,", "turns in plastic,,elbow,\nwater system,,pex-clamp,")],
    },
];

type Row = BTreeMap<String, String>;

fn folder(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/by-hand").join(name)
}

/// The rows of a CSV text, each cell by its heading.
fn rows(text: &str) -> Vec<Row> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let headings = reader.headers().unwrap().clone();
    let row = |record: csv::StringRecord| {
        headings.iter().zip(&record).map(|(heading, cell)| (heading.to_owned(), cell.to_owned())).collect()
    };
    reader.records().map(|record| row(record.unwrap())).collect()
}

/// Rows that were worked out on paper for one case.
fn expected(job: &str, table: &str, case: &Case) -> Vec<Row> {
    let text = std::fs::read_to_string(folder(job).join(table)).unwrap();
    rows(&text).into_iter().filter(|row| row["case"] == case.name).collect()
}

/// `takeoff.csv`, `order.csv` and `comparison.csv` as the program writes them for a case.
fn written(job: &str, case: &Case) -> [Vec<Row>; 3] {
    let mut tables = Vec::new();
    for name in ["job", "runs", "patterns", "parts", "prices", "on-hand"] {
        let Ok(mut text) = std::fs::read_to_string(folder(job).join(format!("{name}.csv"))) else { continue };
        if name == "job" {
            for (was, is) in case.job {
                assert!(text.contains(was), "{was}");
                text = text.replacen(was, is, 1);
            }
        }
        tables.push((name, text));
    }
    let texts: Vec<(&str, &str)> = tables.iter().map(|(name, text)| (*name, text.as_str())).collect();
    let job = Job::from_texts(&texts);
    let estimate = estimate(&job);
    let errors: Vec<_> = job.notices.iter().chain(&estimate.notices).filter(|n| n.is_error()).collect();
    assert!(errors.is_empty(), "{errors:#?}");
    let files = report::bytes(&job, &estimate).unwrap();
    let table = |name: &str| {
        let at = report::FILES.iter().position(|file| *file == name).unwrap();
        let mut rows = rows(std::str::from_utf8(&files[at]).unwrap());
        rows.iter_mut().for_each(as_on_paper);
        rows
    };
    [table("takeoff.csv"), table("order.csv"), table("comparison.csv")]
}

/// A row of the program in the words of the paper: a size without its inch mark, a price without zeros behind it.
fn as_on_paper(row: &mut Row) {
    if let Some(size) = row.get_mut("size") {
        *size = size.trim_end_matches('"').to_owned();
    }
    if let Some(price) = row.get_mut("price").filter(|price| !price.is_empty()) {
        *price = Decimal::from_str_exact(price).unwrap().normalize().to_string();
    }
}

/// Rows as lines to compare, whatever their order.
fn lines(rows: &[Row], columns: &[&str]) -> Vec<String> {
    let line = |row: &Row| columns.iter().map(|column| row[*column].as_str()).collect::<Vec<_>>().join(", ");
    let mut lines: Vec<String> = rows.iter().map(line).collect();
    lines.sort();
    lines
}

/// Fails with the lines that only one side has.
fn same(what: &str, paper: &[String], program: &[String]) {
    let only = |these: &[String], those: &[String]| -> Vec<String> {
        these.iter().filter(|line| !those.contains(line)).cloned().collect()
    };
    let (missing, extra) = (only(paper, program), only(program, paper));
    assert!(
        paper == program,
        "{what}\nonly on paper:\n  {}\nonly in the program:\n  {}",
        missing.join("\n  "),
        extra.join("\n  "),
    );
}

const TAKEOFF: [&str; 7] = ["phase", "service", "part", "size", "variant", "unit", "need"];

fn the_takeoff_is_as_on_paper(job: &str) {
    for case in &CASES {
        let paper = expected(job, "expected-takeoff.csv", case);
        let [mut program, ..] = written(job, case);
        program.retain(|row| row["alternative"] == case.system);
        assert!(paper.len() > 25, "{}", case.name);
        same(case.name, &lines(&paper, &TAKEOFF), &lines(&program, &TAKEOFF));
    }
}

/// What stands on every row of the order, whichever coil or stick is filled first.
const ORDER: [&str; 11] =
    ["supplier", "part", "size", "variant", "phase", "unit", "pack", "packs", "buy", "price", "extended"];
/// What is told apart among the packs of one line in more than one way, and is compared by line.
const SUMS: [&str; 4] = ["need", "allow", "on hand", "left over"];

/// The sums of the order by line.
fn sums(rows: &[Row]) -> Vec<String> {
    let mut sums: BTreeMap<[&str; 3], [Decimal; 4]> = BTreeMap::new();
    for row in rows {
        let sum = sums.entry(["part", "size", "variant"].map(|column| row[column].as_str())).or_default();
        for (sum, column) in sum.iter_mut().zip(SUMS) {
            *sum += Decimal::from_str_exact(&row[column]).unwrap();
        }
    }
    sums.iter()
        .map(|(key, sum)| {
            format!(
                "{} ({}): {}",
                key.join(" "),
                SUMS.join(", "),
                sum.map(|s| s.normalize().to_string()).join(", ")
            )
        })
        .collect()
}

fn the_order_is_as_on_paper(job: &str) {
    for case in &CASES {
        let mut paper = expected(job, "expected-order.csv", case);
        for row in &mut paper {
            row.entry("supplier".to_owned()).and_modify(|name| name.push_str(" Supply (invented)"));
            // On paper what is on hand is off the need already; the program shows the need before that.
            let of = |row: &Row, column: &str| Decimal::from_str_exact(&row[column]).unwrap();
            let need = of(row, "need") + of(row, "on hand");
            row.insert("need".to_owned(), need.to_string());
        }
        let [_, program, _] = written(job, case);
        same(case.name, &lines(&paper, &ORDER), &lines(&program, &ORDER));
        same(case.name, &sums(&paper), &sums(&program));
    }
}

/// A line of the paper as `comparison.csv` calls it, and what it says there. On the paper plates and insulation stand under
/// supports.
fn in_the_words_of_the_program<'a>(line: &'a str, value: &'a str) -> (&'a str, &'a str) {
    match (line, value) {
        ("supports", _) => ("supports, plates, insulation", value),
        ("joints", _) => ("joints to make", value),
        ("tube (ft)", _) => ("tube length", value),
        ("complete", "yes") => ("estimate", "complete"),
        (_, _) => (line, value),
    }
}

fn the_totals_are_as_on_paper(job: &str) {
    let paper = rows(&std::fs::read_to_string(folder(job).join("expected-totals.csv")).unwrap());
    for case in &CASES {
        let [_, _, program] = written(job, case);
        let found: BTreeMap<&str, &str> =
            program.iter().map(|row| (row["cost line"].as_str(), row[case.system].as_str())).collect();
        for row in &paper {
            let (line, value) = in_the_words_of_the_program(&row["line"], &row[case.name]);
            assert_eq!(found.get(line), Some(&value), "{}: {line}", case.name);
        }
    }
}

#[test]
fn the_takeoff_of_the_garden_room_is_as_on_paper() {
    the_takeoff_is_as_on_paper("garden-room");
}

#[test]
fn the_order_of_the_garden_room_is_as_on_paper() {
    the_order_is_as_on_paper("garden-room");
}

#[test]
fn the_totals_of_the_garden_room_are_as_on_paper() {
    the_totals_are_as_on_paper("garden-room");
}

#[test]
fn the_takeoff_of_the_corner_house_is_as_on_paper() {
    the_takeoff_is_as_on_paper("corner-house");
}

#[test]
fn the_order_of_the_corner_house_is_as_on_paper() {
    the_order_is_as_on_paper("corner-house");
}

#[test]
fn the_totals_of_the_corner_house_are_as_on_paper() {
    the_totals_are_as_on_paper("corner-house");
}

#[test]
fn the_takeoff_of_the_manifold_house_is_as_on_paper() {
    the_takeoff_is_as_on_paper("manifold-house");
}

#[test]
fn the_order_of_the_manifold_house_is_as_on_paper() {
    the_order_is_as_on_paper("manifold-house");
}

#[test]
fn the_totals_of_the_manifold_house_are_as_on_paper() {
    the_totals_are_as_on_paper("manifold-house");
}

/// Copper against plastic on paper: 525.57 - 493.37 = 32.20, 6.5 % of 493.37; 365.37 - 263.08 = 102.29, 38.9 %;
/// 1858.48 - 1163.61 = 694.87, 59.7 %.
#[test]
fn the_difference_between_the_systems_is_as_on_paper() {
    for (job, difference, percent) in [
        ("garden-room", "32.20", "6.5"),
        ("corner-house", "102.29", "38.9"),
        ("manifold-house", "694.87", "59.7"),
    ] {
        let [_, _, program] = written(job, &CASES[0]);
        let line = |name: &str| {
            program.iter().find(|row| row["cost line"] == name).unwrap()["copper-solder"].clone()
        };
        assert_eq!(
            (line("difference").as_str(), line("difference %").as_str()),
            (difference, percent),
            "{job}"
        );
    }
}
