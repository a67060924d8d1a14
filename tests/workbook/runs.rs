//! The sheet Runs holds the run list whole: rows of alternates, the column that says so, the user's own columns, all in
//! the order of the table.

use coilstick::estimate::estimate;
use coilstick::trade::Job;
use ironcalc::base::cell::CellValue;

use crate::engine::Opened;
use crate::house;

#[test]
fn the_sheet_of_runs_has_every_row_and_every_column_in_the_order_of_the_table() {
    let [job, (name, runs), prices, labor, tools] = house::tables();
    let runs = runs
        .replace("alternate,note\n", "alternate,note,walked by\n")
        .replace("kitchen,kitchen sink,,\nC10", "kitchen,kitchen sink,,,Ann\nC10");
    let job = Job::from_texts(&[job, (name, &runs), prices, labor, tools]);
    let [workbook, ..] = coilstick::report::bytes(&job, &estimate(&job)).unwrap();
    let book = Opened::new(&workbook);
    let (heading, _) = book.find("Runs", "run");
    let text = |row: i32, column: i32| match book.value("Runs", row, column) {
        CellValue::String(text) => text,
        CellValue::Number(number) => number.to_string(),
        CellValue::None | CellValue::Boolean(_) => String::new(),
    };
    let headings: Vec<String> = (1..=17).map(|column| text(heading, column)).collect();
    assert_eq!(
        headings,
        [
            "run",
            "service",
            "size",
            "length (ft)",
            "pattern",
            "joins",
            "at (ft)",
            "to",
            "turns",
            "rise (ft)",
            "area",
            "fixture",
            "alternate",
            "note",
            "walked by",
            "counted",
            "read from",
        ]
    );
    let written: Vec<&str> = runs
        .lines()
        .skip(1)
        .map(|line| line.split(',').next().unwrap())
        .filter(|name| !name.is_empty())
        .collect();
    let shown: Vec<String> =
        (1..).map(|row| text(heading + row, 1)).take_while(|name| !name.is_empty()).collect();
    assert_eq!(shown, written);
    let row = |name: &str| book.find("Runs", name).0;
    let cell = |name: &str, heading: &str| text(row(name), book.find("Runs", heading).1);
    assert_eq!(cell("C4", "walked by"), "Ann");
    assert_eq!(
        (cell("C13", "alternate"), cell("C13", "counted")),
        ("annex bath".into(), "with its alternate".into())
    );
    assert_eq!(
        (cell("H3", "alternate"), cell("H3", "counted")),
        ("without bare kitchen".into(), "yes".into())
    );
}
