//! What stands at the doors of the program and not in a table: no price list in a folder, a workbook without the sheet to
//! fill in, a kind of workbook that nobody reads.

use serde_json::Value;

use crate::bench::{Bench, SMALL};

/// The kinds of some notices.
fn kinds(notices: &[Value]) -> Vec<&str> {
    notices.iter().filter_map(|notice| notice["kind"].as_str()).collect()
}

#[test]
fn a_folder_without_a_price_list_and_a_workbook_without_the_sheet_used_are_said_so() {
    let bench = Bench::new("at-the-doors");
    bench.write("house/runs.csv", SMALL);
    bench.write("empty/readme.txt", "nothing");
    let told = bench.document(&["revise", "house", "--prices", "empty"]);
    assert_eq!(
        (&told["status"], kinds(told["notices"].as_array().unwrap())),
        (&Value::from(2), vec!["no-price-list-there"])
    );
    bench.clean(&["new", "blank.xlsx", "--workbook"]);
    let told = bench.document(&["revise", "house", "--used", "blank.xlsx"]);
    assert_eq!(
        (&told["status"], kinds(told["notices"].as_array().unwrap())),
        (&Value::from(2), vec!["no-used-sheet"])
    );
}

#[test]
fn a_workbook_whose_reader_cannot_be_run_is_said_so() {
    let bench = Bench::new("no-reader");
    let saved = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/door/saved/typed.ods");
    std::fs::copy(saved, bench.path("house.ods")).unwrap();
    // A program that is itself the child of another starts none.
    let mut command = bench.command(&["check", "house.ods", "--json"]);
    let ran = command.env("COILSTICK_TABLE_CHILD", "1").output().unwrap();
    let told: Value = serde_json::from_slice(&ran.stdout).unwrap();
    let kinds = kinds(told["notices"].as_array().unwrap());
    assert_eq!((ran.status.code(), kinds), (Some(2), vec!["no-reader"]));
}

#[test]
fn a_price_list_of_any_name_beside_the_run_list_is_not_said_to_be_unread() {
    let bench = Bench::new("list-beside");
    bench.clean(&["new", "job"]);
    std::fs::rename(bench.path("job/prices.csv"), bench.path("job/acre mill.csv")).unwrap();
    // Without the job's word nobody reads it; with it, it is read.
    let ran = bench.run(&["check", "job", "--short"]);
    assert!(ran.err.contains("unknown-table acre mill.csv"), "{}", ran.err);
    let job = bench.read("job/job.csv");
    bench.write("job/job.csv", &format!("{job}price list,,acre mill.csv,\n"));
    assert_eq!(bench.clean(&["check", "job", "--short"]).err, "");
}
