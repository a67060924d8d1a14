//! The guest lodge is an example that is one workbook. Its CSV tables stand in `tests/guest-lodge`; they are its source.

use std::path::Path;

use coilstick::trade::Job;

use crate::expected::results;
use crate::kept::difference;
use crate::{EXAMPLES, doubts, project};

const SOURCE: &str = "tests/guest-lodge";
/// Its sheets in the order in which one fills them.
const SHEETS: [&str; 7] = ["job", "runs", "places", "patterns", "parts", "prices", "suppliers"];

/// The workbook that the CSV tables make.
fn made() -> Vec<u8> {
    let text = |name: &str| std::fs::read_to_string(project(SOURCE).join(format!("{name}.csv"))).unwrap();
    let texts = SHEETS.map(|name| (name, text(name)));
    let tables: Vec<(&str, &str)> = texts.iter().map(|(name, text)| (*name, text.as_str())).collect();
    crate::book::of_tables(&tables)
}

/// Makes the workbook again where it does not hold its tables any more.
pub(crate) fn write() {
    let book = project(EXAMPLES[2].job);
    if book.exists() && results(&book) == results(&project(SOURCE)) {
        return;
    }
    std::fs::create_dir_all(book.parent().unwrap()).unwrap();
    std::fs::write(&book, made()).unwrap();
}

#[test]
fn the_workbook_of_the_guest_lodge_holds_its_tables() {
    let (book, csv) = (EXAMPLES[2].path(), project(SOURCE));
    let named = |path: &Path| Job::read(path).unwrap();
    let (of_book, of_csv) = (named(&book), named(&csv));
    assert!(doubts(&of_book).is_empty() && doubts(&of_csv).is_empty());
    let counts = |job: &Job| [job.runs.len(), job.places.len(), job.prices.offers.len(), job.suppliers.len()];
    assert_eq!(counts(&of_book), counts(&of_csv));
    for ((name, book), (_, csv)) in results(&book).iter().zip(&results(&csv)) {
        assert!(book == csv, "{name}\n{}", difference(csv, book));
    }
}

#[test]
fn every_table_of_the_guest_lodge_is_a_sheet_of_it() {
    let mut tables: Vec<String> =
        crate::tables::of(SOURCE).into_iter().map(|table| table.name.clone()).collect();
    tables.sort();
    let mut sheets = SHEETS.map(str::to_owned);
    sheets.sort();
    assert_eq!(tables, sheets);
}
