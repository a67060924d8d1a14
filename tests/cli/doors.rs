//! What stands at the doors of the program and not in a table: no price list in a folder, a workbook without the sheet to
//! fill in, a kind of workbook that nobody reads.

use serde_json::Value;

use crate::bench::{Bench, SMALL};

/// The kinds of what `--json` tells, a line each.
fn kinds(err: &str) -> Vec<String> {
    let kind = |line: &str| serde_json::from_str::<Value>(line).ok()?["kind"].as_str().map(str::to_owned);
    err.lines().filter_map(kind).collect()
}

#[test]
fn a_folder_without_a_price_list_and_a_workbook_without_the_sheet_used_are_said_so() {
    let bench = Bench::new("at-the-doors");
    bench.write("house/runs.csv", SMALL);
    bench.write("empty/readme.txt", "nothing");
    let ran = bench.run(&["revise", "house", "--prices", "empty", "--json"]);
    assert_eq!((ran.status, kinds(&ran.err)), (2, vec!["no-price-list-there".to_owned()]), "{ran:?}");
    bench.clean(&["new", "blank.xlsx", "--workbook"]);
    let ran = bench.run(&["revise", "house", "--used", "blank.xlsx", "--json"]);
    assert_eq!((ran.status, kinds(&ran.err)), (2, vec!["no-used-sheet".to_owned()]), "{ran:?}");
}

#[test]
fn a_workbook_whose_reader_cannot_be_run_is_said_so() {
    let bench = Bench::new("no-reader");
    let saved = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/door/saved/typed.ods");
    std::fs::copy(saved, bench.path("house.ods")).unwrap();
    // A program that is itself the child of another starts none.
    let mut command = bench.command(&["check", "house.ods", "--json"]);
    let ran = command.env("COILSTICK_TABLE_CHILD", "1").output().unwrap();
    let err = String::from_utf8(ran.stderr).unwrap();
    assert_eq!((ran.status.code(), kinds(&err)), (Some(2), vec!["no-reader".to_owned()]), "{err}");
}
