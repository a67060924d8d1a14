//! Checks: a sound house in which each of many cells breaks one rule and no other, the same house with all of them at once,
//! and the examples, of which none fails. `planted.csv` says the cells: the table, the row by its first cell (of a name that
//! several rows have its number among them, of a table without names its number), the heading and what is typed instead.

#![allow(clippy::unwrap_used, reason = "a test fails by it")]

mod forgotten;
mod laws;

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use coilstick::checks::{Check, Checks, Verdict, check};
use coilstick::estimate::estimate;
use coilstick::trade::Job;

const TABLES: [&str; 8] =
    ["job", "runs", "places", "patterns", "drain units", "code rules", "supports", "turnings"];

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/checks")
}

/// The cells of a CSV text, headings first.
fn cells(text: &str) -> Vec<Vec<String>> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(text.as_bytes());
    reader.records().map(|record| record.unwrap().iter().map(str::to_owned).collect()).collect()
}

fn text(rows: &[Vec<String>]) -> String {
    let mut writer = csv::WriterBuilder::new().flexible(true).from_writer(Vec::new());
    rows.iter().for_each(|row| writer.write_record(row).unwrap());
    String::from_utf8(writer.into_inner().unwrap()).unwrap()
}

/// A job by its tables, so that a cell can be typed over.
#[derive(Clone)]
pub(crate) struct Tables(BTreeMap<&'static str, Vec<Vec<String>>>);

impl Tables {
    pub(crate) fn mended() -> Self {
        let read = |name: &&'static str| {
            let path = folder().join("mended").join(format!("{name}.csv"));
            (*name, cells(&std::fs::read_to_string(path).unwrap()))
        };
        Self(TABLES.iter().map(read).collect())
    }

    /// Types into a cell; it held something else.
    pub(crate) fn typed(mut self, table: &str, row: &str, heading: &str, instead: &str) -> Self {
        let rows = self.0.get_mut(table).unwrap();
        let column = rows[0].iter().position(|one| one == heading).unwrap_or_else(|| panic!("{heading}"));
        // Rows of a pattern go by their part, and rows without a name by their number.
        let key = usize::from(table == "patterns" || table == "supports");
        let (name, number) =
            row.rsplit_once(' ').filter(|(_, n)| n.parse::<usize>().is_ok()).unwrap_or((row, "1"));
        let named: Vec<usize> = match table {
            "turnings" => vec![row.parse().unwrap()],
            _ => (1..rows.len())
                .filter(|at| rows[*at][key] == name || rows[*at][fixture(table)] == name)
                .collect(),
        };
        let number: usize = if table == "turnings" { 1 } else { number.parse().unwrap() };
        let cell = &mut rows[named[number - 1]][column];
        assert_ne!(cell, instead, "{table} {row} {heading}");
        instead.clone_into(cell);
        self
    }

    pub(crate) fn without_row(mut self, table: &str, name: &str) -> Self {
        let rows = self.0.get_mut(table).unwrap();
        let before = rows.len();
        rows.retain(|row| row[0] != name);
        assert_eq!(rows.len() + 1, before, "{table} {name}");
        self
    }

    pub(crate) fn job(&self) -> Job {
        let texts: Vec<(&str, String)> = self.0.iter().map(|(name, rows)| (*name, text(rows))).collect();
        let texts: Vec<(&str, &str)> = texts.iter().map(|(name, text)| (*name, text.as_str())).collect();
        Job::from_texts(&texts)
    }

    pub(crate) fn checks(&self) -> Checks {
        let job = self.job();
        check(&job, &estimate(&job))
    }
}

/// The column by which a table also goes: the fixture of drain units.
fn fixture(table: &str) -> usize {
    usize::from(table == "drain units")
}

/// A row of `planted.csv`.
struct Planted {
    cell: [String; 4],
    check: String,
    what: String,
}

fn planted() -> Vec<Planted> {
    let rows = cells(&std::fs::read_to_string(folder().join("planted.csv")).unwrap());
    let of = |row: &Vec<String>| Planted {
        cell: [0, 1, 2, 3].map(|at| row[at].clone()),
        check: row[4].clone(),
        what: row[5].clone(),
    };
    rows.iter().skip(1).map(of).collect()
}

fn plant(tables: Tables, planted: &Planted) -> Tables {
    let [table, row, heading, instead] = &planted.cell;
    tables.typed(table, row, heading, instead)
}

fn failed(checks: &Checks) -> Vec<String> {
    checks.failed().map(|check| format!("{}: {}; {}", check.of.word(), check.saw, check.asks)).collect()
}

#[test]
fn the_mended_house_breaks_no_rule_and_is_without_an_error() {
    let tables = Tables::mended();
    let job = tables.job();
    let estimate = estimate(&job);
    let errors: Vec<_> = estimate.told.iter().filter(|notice| notice.is_error()).collect();
    assert!(errors.is_empty(), "{errors:#?}");
    let checks = tables.checks();
    assert_eq!(failed(&checks), Vec::<String>::new());
    assert!(checks.count(Verdict::Holds) > 150, "{}", checks.count(Verdict::Holds));
}

#[test]
fn each_planted_cell_fires_its_check_and_no_other() {
    let mended = Tables::mended();
    let mut kinds = BTreeSet::new();
    let mut wrong = Vec::new();
    for planted in planted() {
        let checks = plant(mended.clone(), &planted).checks();
        let fired: BTreeSet<&str> = checks.failed().map(|check| check.of.word()).collect();
        if fired != BTreeSet::from([planted.check.as_str()]) {
            wrong.push((planted.what.clone(), planted.check.clone(), failed(&checks)));
        }
        for check in checks.failed() {
            told_whole(check);
        }
        kinds.insert(planted.check);
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert!(kinds.len() >= 20, "{} kinds of checks fire", kinds.len());
}

/// What fails says what it saw, where, by which rule of whose, and what would satisfy it.
fn told_whole(check: &Check) {
    let rule = check.rule.as_ref().unwrap();
    let told = [&check.what, &check.saw, &check.asks, &check.remedy, &rule.source];
    assert!(told.iter().all(|text| !text.is_empty()), "{check:#?}");
    assert!(check.spots.iter().all(|spot| spot.row > 0), "{check:#?}");
}

#[test]
fn a_house_with_all_of_them_at_once_fails_more_than_twenty() {
    // Cells that stand for one another: of two in one cell the first is planted.
    let mut seen = BTreeSet::new();
    let once = planted().into_iter().filter(|one| seen.insert([0, 1, 2].map(|at| one.cell[at].clone())));
    let all: Vec<Planted> = once.collect();
    let failing = all.iter().fold(Tables::mended(), plant);
    let checks = failing.checks();
    assert!(checks.failed().count() >= 20, "{:#?}", failed(&checks));
    let kinds: BTreeSet<&str> = checks.failed().map(|check| check.of.word()).collect();
    assert!(kinds.len() >= 18, "{kinds:?}");
    // Mended cell by cell, it is the sound house again.
    let mended = Tables::mended();
    for planted in &all {
        let [table, ..] = &planted.cell;
        assert_ne!(failing.0[table.as_str()], mended.0[table.as_str()]);
    }
}

/// In a picture it stands below, with its number, beside what the notices say.
#[test]
fn what_fails_is_marked_in_the_picture() {
    let job = Tables::mended().typed("runs", "D7", "slope", "1/8").job();
    let checks = check(&job, &estimate(&job));
    let mut map = coilstick::estimate::map(&job);
    let drawn = |map: &coilstick::estimate::Map| {
        String::from_utf8(coilstick::report::drawing_bytes(&job, map)).unwrap()
    };
    assert!(!drawn(&map).contains("D7 of 2 falls 1/8"));
    map.told.extend(checks.failed().map(Check::marked));
    assert!(drawn(&map).contains("D7 of 2 falls 1/8"), "the failing check is told below the picture");
}

#[test]
fn no_example_breaks_a_rule_of_the_family_that_it_names() {
    for name in [
        "courtyard-manifold",
        "courtyard-trunk",
        "guest-lodge",
        "lake-cabin",
        "counted-by-eye",
        "orchard-house",
        "ferry-house",
        "mill-cottage",
    ] {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples").join(name);
        let job = Job::read(&path).unwrap();
        let checks = check(&job, &estimate(&job));
        assert_eq!(failed(&checks), Vec::<String>::new(), "{name}");
        assert!(!checks.list.is_empty(), "{name}");
    }
}
