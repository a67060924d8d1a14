//! What `new` writes.

use crate::bench::Bench;

#[test]
fn a_starter_folder_runs_clean_as_it_is_and_is_wholly_priced() {
    let bench = Bench::new("starter-folder");
    let new = bench.clean(&["new", "my-house"]);
    assert!(new.out.contains("my-house") && new.err.is_empty(), "{new:?}");
    assert_eq!(
        bench.names("my-house"),
        ["job.csv", "labor.csv", "places.csv", "prices.csv", "runs.csv", "tools.csv"]
    );
    let check = bench.clean(&["check", "my-house"]);
    assert_eq!(check.err, "");
    let estimate = bench.clean(&["estimate", "my-house"]);
    assert_eq!(estimate.err, "");
    assert!(!estimate.out.contains("not priced"), "{}", estimate.out);
    assert!(bench.read("my-house-estimate/comparison.csv").contains("not priced,parts,0,0"));
    // It shows both sides of a house.
    let order = bench.read("my-house-estimate/order.csv");
    for part in ["tee", "sanitary tee", "closet flange", "test cap", "roof flashing"] {
        assert!(order.contains(&format!(",{part},")), "{part}: {order}");
    }
    assert!(bench.read("my-house-estimate/estimate.json").contains("\"complete\":true"));
}

#[test]
fn a_starter_is_not_written_over_something() {
    let bench = Bench::new("starter-taken");
    bench.write("my-house/notes.txt", "mine");
    bench.write("book.xlsx", "mine");
    let before = bench.everything();
    for words in
        [&["new", "my-house"][..], &["new", "book.xlsx", "--workbook"], &["new", "book", "--workbook"]]
    {
        let ran = bench.run(words);
        assert_eq!(ran.status, 2, "{ran:?}");
        assert!(ran.err.contains("is there already"), "{ran:?}");
    }
    assert_eq!(bench.everything(), before);
}

#[test]
fn a_starter_workbook_says_plainly_that_its_run_list_is_empty() {
    let bench = Bench::new("starter-workbook");
    bench.clean(&["new", "house", "--workbook"]);
    assert_eq!(bench.names("."), ["house.xlsx"]);
    let check = bench.run(&["check", "house.xlsx"]);
    assert_eq!((check.status, check.err.as_str()), (1, ""));
    assert!(check.out.contains("the run list has no rows yet"), "{check:?}");
    let estimate = bench.run(&["house.xlsx"]);
    assert_eq!((estimate.status, estimate.err.as_str()), (1, ""));
    assert!(estimate.out.contains("the run list has no rows yet"), "{estimate:?}");
}

#[test]
fn built_in_tables_are_printed_and_read_back_as_a_users_own() {
    let bench = Bench::new("starter-tables");
    for table in [
        "parts", "patterns", "systems", "sizes", "joints", "supports", "fixtures", "labor", "tools",
        "ordinary",
    ] {
        let printed = bench.clean(&["new", "--table", table]);
        assert!(printed.out.lines().count() >= 3, "{table}");
        bench.write(&format!("job/{table}.csv"), &printed.out);
    }
    bench.write("job/runs.csv", crate::bench::SMALL);
    let check = bench.run(&["check", "job"]);
    assert!(!check.err.contains("error"), "{}", check.err);
    let none = bench.run(&["new", "--table", "partz"]);
    assert_eq!(none.status, 2);
    let said = none.err.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("did you mean `parts`?"), "{}", none.err);
}
