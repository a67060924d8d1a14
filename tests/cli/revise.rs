//! `revise`, prices tried, and several jobs compared: what is printed, written and refused.

use std::fs;
use std::path::{Path, PathBuf};

use crate::bench::Bench;

fn project(path: &str) -> String {
    let path: PathBuf = Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
    path.to_str().unwrap().to_owned()
}

#[test]
fn two_plans_become_a_change_order_on_the_terminal_and_in_files() {
    let bench = Bench::new("revise-plans");
    let (old, new) = (project("examples/lake-cabin"), project("examples/lake-cabin/changed"));
    let ran = bench.clean(&["revise", &old, &new]);
    for words in [
        "adds\n",
        "deducts\n",
        "sum of adds, USD",
        "net of adds and deducts",
        "covered by packs bought before",
        "net of adds and deducts with labor",
        "C4 dropped",
        "C15 added",
    ] {
        assert!(ran.out.contains(words), "{words}: {}", ran.out);
    }
    assert!(ran.out.contains("H8 changed: length 9.1667 ft, now 14.1667 ft"), "{}", ran.out);
    // What one side does not state is no difference.
    let bibb = ran.out.lines().find(|line| line.contains("drive bibb")).unwrap();
    assert!(bibb.ends_with("not stated"), "{bibb}");
    assert!(ran.out.lines().all(|line| line.chars().count() < 100), "{}", ran.out);
    assert!(bench.names(".").is_empty(), "without -o nothing is written");
    bench.clean(&["revise", &old, &new, "-o", "change"]);
    assert_eq!(bench.names("change"), ["change-order.csv", "change-order.xlsx", "papers", "revision.json"]);
    let first = fs::read(bench.path("change/change-order.xlsx")).unwrap();
    bench.clean(&["revise", &old, &new, "-o", "change"]);
    assert_eq!(fs::read(bench.path("change/change-order.xlsx")).unwrap(), first);
    bench.write("mine/change-order.csv", "my own\n");
    let refused = bench.run(&["revise", &old, &new, "-o", "mine"]);
    assert_eq!(refused.status, 2);
    assert_eq!(bench.read("mine/change-order.csv"), "my own\n");
    let inside = bench.run(&["revise", &old, &new, "-o", &format!("{new}/out")]);
    assert!(inside.status == 2 && inside.err.contains("inside the job"));
}

#[test]
fn a_job_against_itself_and_against_nothing() {
    let bench = Bench::new("revise-nothing");
    let job = project("examples/lake-cabin");
    assert!(bench.clean(&["revise", &job, &job]).out.contains("nothing changed"));
    let ran = bench.run(&["revise", &job]);
    assert!(ran.status == 2 && ran.err.contains("--prices"), "{}", ran.err);
    let ran = bench.run(&["revise", &job, "no-such-job"]);
    assert_eq!(ran.status, 2);
}

#[test]
fn results_in_place_of_a_job_are_told_from_it() {
    let bench = Bench::new("results");
    let cabin = project("examples/lake-cabin");
    bench.clean(&["estimate", &cabin, "-o", "out"]);
    assert!(bench.clean(&["revise", "out", &cabin]).out.contains("nothing changed"));
    for old in ["out/estimate.json", "out/estimate.xlsx"] {
        let ran = bench.run(&["revise", old, &cabin]);
        assert_eq!((ran.status, ran.out.as_str()), (2, ""), "{ran:?}");
        assert!(ran.err.contains("holds the results of an estimate"), "{}", ran.err);
        assert!(ran.err.contains("run list"), "{}", ran.err);
    }
}

#[test]
fn newer_prices_are_judged_on_the_first_day_all_of_them_are_good() {
    let bench = Bench::new("revise-prices");
    let (job, list) = (project("examples/lake-cabin"), project("price-lists/newer"));
    let ran = bench.clean(&["revise", &job, "--prices", &list]);
    let words = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("prices of 2026-03-16, now of 2026-07-01"), "{}", ran.out);
    assert!(ran.out.contains("moved by prices alone") && ran.out.contains(" moved, "), "{}", ran.out);
    assert!(!ran.out.contains("adds\n"), "quantities did not change: {}", ran.out);
    // Before that day none of them is good.
    let early = bench.run(&["revise", &job, "--prices", &list, "--on", "2026-03-16"]);
    assert!(early.status == 1 && early.out.contains("not yet good"), "{}", early.out);
    let wrong = bench.run(&["revise", &job, "--prices", &list, "--on", "July"]);
    assert!(wrong.status == 2 && wrong.err.contains("2026-03-01"));
    let none = bench.run(&["revise", &job, "--prices", "no-such-list.csv"]);
    assert_eq!(none.status, 2);
}

#[test]
fn a_trial_is_never_mistaken_for_the_real_estimate() {
    let bench = Bench::new("trial");
    bench.clean(&["new", "job"]);
    let real = bench.clean(&["estimate", "job"]);
    assert!(!real.out.contains("NOT REAL"));
    let before = fs::read(bench.path("job-estimate/order.csv")).unwrap();
    let trial = bench.clean(&[
        "estimate",
        "job",
        "--price-change",
        "tube, pex",
        "-12.5",
        "--price-change",
        "fittings",
        "3",
    ]);
    assert!(
        trial.out.contains("NOT REAL PRICES, changed for a trial: tube, pex -12.5 %; fittings +3 %"),
        "{}",
        trial.out
    );
    assert!(trial.err.contains("prices-changed"), "{}", trial.err);
    assert_eq!(fs::read(bench.path("job-estimate/order.csv")).unwrap(), before);
    assert!(bench.read("job-estimate-trial/order.csv").contains("NOT REAL PRICES"));
    let compared = bench.clean(&["compare", "job", "--price-change", "tube, copper", "12", "--hold"]);
    assert!(compared.out.contains("NOT REAL PRICES"), "{}", compared.out);
    let revised = bench.clean(&["revise", "job", "--price-change", "all", "10", "--hold"]);
    assert!(
        revised.out.contains("NOT REAL PRICES") && revised.out.contains("moved by prices alone"),
        "{}",
        revised.out
    );
    let wrong = bench.run(&["estimate", "job", "--price-change", "copper tube", "12"]);
    assert!(wrong.status == 2 && wrong.err.contains("\"tube, copper\""), "{}", wrong.err);
    let apart = bench.run(&["estimate", "job", "--price-change", "tube=12"]);
    assert_eq!(apart.status, 2, "part and points stand apart");
}

#[test]
fn a_filled_workbook_is_known_by_its_sheet_and_an_empty_one_says_so() {
    let bench = Bench::new("used");
    let (shed, filled) = (project("tests/revise/shed"), project("tests/revise/saved-by-libreoffice.xlsx"));
    for words in [&["revise", &shed, &filled][..], &["revise", &shed, "--used", &filled]] {
        let ran = bench.clean(words);
        assert!(ran.out.contains("2 of 5 lines are filled in"), "{}", ran.out);
        let out = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(out.contains("one dropped in the crawl space"), "{}", ran.out);
        assert!(ran.out.lines().all(|line| line.chars().count() < 100), "{}", ran.out);
    }
    bench.clean(&["revise", &shed, &filled, "-o", "out"]);
    assert!(bench.read("out/variance.csv").contains("one dropped in the crawl space"));
    bench.clean(&["estimate", &shed, "-o", "fresh"]);
    let empty = bench.clean(&["revise", &shed, "--used", "fresh/estimate.xlsx"]);
    assert!(empty.err.contains("used-nothing-filled"), "{}", empty.err);
    // The workbook of another house is no variance of this one.
    let other = bench.run(&["revise", &project("examples/lake-cabin"), "--used", &filled]);
    assert_eq!(other.status, 1);
    assert!(
        other.err.contains("used-of-another-job") && other.out.contains("nothing is compared"),
        "{other:?}"
    );
    let none = bench.run(&["revise", &shed, "--used", &project("examples/guest-lodge/guest-lodge.xlsx")]);
    assert!(none.status == 2 && none.err.contains("no sheet Used"), "{}", none.err);
}

#[test]
fn several_jobs_stand_side_by_side() {
    let bench = Bench::new("layouts");
    let (one, other) = (project("examples/lake-cabin"), project("examples/lake-cabin/changed"));
    let ran = bench.clean(&["compare", &one, &other]);
    for words in ["(1) Lake cabin, pex-clamp", "(2) Lake cabin, changed, pex-clamp", "(2) - (1)", "1/2, ft"] {
        assert!(ran.out.contains(words), "{words}: {}", ran.out);
    }
    assert!(ran.out.lines().all(|line| line.chars().count() < 100), "{}", ran.out);
    bench.clean(&["compare", &one, &other, "--all-systems", "-o", "out"]);
    let csv = bench.read("out/layouts.csv");
    assert_eq!(csv.lines().next().unwrap().matches("more than the first").count(), 3, "{csv}");
}

#[test]
fn the_help_of_what_is_new_teaches_in_under_a_hundred_columns() {
    let bench = Bench::new("revise-help");
    for (command, words) in [
        ("revise", &["--prices", "--price-change", "--hold", "--used", "adds and deducts"][..]),
        ("estimate", &["--price-change", "\"tube, copper\" 12", "--hold"]),
        ("compare", &["--all-systems", "layouts.csv"]),
    ] {
        let help = bench.clean(&[command, "--help"]).out;
        for word in words {
            assert!(help.contains(word), "{command}: {word}");
        }
        assert!(help.lines().all(|line| line.chars().count() < 100), "{help}");
    }
    let man = bench.clean(&["man"]).out;
    assert!(man.contains("revise"), "{man}");
}
