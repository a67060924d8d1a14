//! The commands on jobs with mistakes: every notice at once, in three forms, with the exit status that fits; what is
//! written says that it is incomplete.

use serde_json::Value;

use crate::bench::Bench;

/// Two errors, and two runs that can still be counted.
const RUNS: &str = "\
run,service,size,length,joins,at,pattern,to
M1,cold,3/4,40,main,,,
C1,cold,1/2,10,M1,55,fixture supply,sink
C2,cold,1/2,12,M1,20,fixture supply,tub
C3,cold,1/2,ten,M1,30,fixture supply,toilet
";

fn with_errors(name: &str) -> Bench {
    let bench = Bench::new(name);
    bench.clean(&["new", "house"]);
    bench.write("house/runs.csv", RUNS);
    bench
}

#[test]
fn every_mistake_is_drawn_at_once_with_its_row_and_a_remedy() {
    let bench = with_errors("drawn");
    let ran = bench.run(&["check", "house"]);
    assert_eq!(ran.status, 1);
    let drawn = "\
error runs.csv:F3 at-outside
  `at` is 55 ft, and M1 is 40 ft long
            run   size   length   joins   at   pattern          to
         3  C1    1/2    10       M1      55   fixture supply   sink
                                          ^^
";
    assert!(ran.err.contains(drawn), "{}", ran.err);
    assert!(ran.err.contains("  see       runs.csv:D2: 40\n"), "{}", ran.err);
    assert!(ran.err.contains("error runs.csv:D5 misread-cell\n  length is \"ten\"\n"), "{}", ran.err);
    assert!(ran.err.matches("\n  expected  ").count() == ran.err.matches("\n  do        ").count());
    assert!(ran.err.lines().all(|line| line.chars().count() < 100), "{}", ran.err);
    assert!(ran.err.lines().last().unwrap().starts_with("2 errors"), "{}", ran.err);
}

#[test]
fn short_is_one_line_each_and_json_is_for_programs() {
    let bench = with_errors("forms");
    let short = bench.run(&["check", "house", "--short"]);
    assert_eq!(short.status, 1);
    assert!(
        short.err.contains("error at-outside runs.csv:F3: `at` is 55 ft, and M1 is 40 ft long; "),
        "{}",
        short.err
    );
    let json = bench.document(&["check", "house"]);
    assert_eq!(json["status"], 1);
    let notices = json["notices"].as_array().unwrap();
    assert_eq!(short.err.lines().count(), notices.len());
    let outside = notices.iter().find(|notice| notice["kind"] == "at-outside").unwrap();
    assert_eq!(outside["severity"], "error");
    assert_eq!(outside["cells"][0], "runs.csv:F3");
    for notice in notices {
        for part in ["found", "expected", "remedy"] {
            assert!(notice[part].as_str().is_some_and(|text| !text.is_empty()), "{notice}");
        }
    }
}

#[test]
fn quiet_shows_errors_alone() {
    let bench = with_errors("quiet");
    let ran = bench.run(&["estimate", "house", "-q"]);
    assert_eq!((ran.status, ran.out.as_str()), (1, ""));
    assert!(ran.err.contains("error runs.csv:F3") && !ran.err.contains("warning"), "{}", ran.err);
}

#[test]
fn an_estimate_with_errors_is_written_and_marked_incomplete_everywhere() {
    let bench = with_errors("incomplete");
    let ran = bench.run(&["estimate", "house"]);
    assert_eq!(ran.status, 1);
    assert!(ran.out.contains("(incomplete)") && ran.out.contains("left out: C1"), "{}", ran.out);
    assert!(ran.out.contains("left out: C3"), "{}", ran.out);
    let json: Value = serde_json::from_str(&bench.read("house-estimate/estimate.json")).unwrap();
    assert_eq!(json["complete"], false);
    assert!(bench.read("house-estimate/comparison.csv").contains("\nestimate,,INCOMPLETE,INCOMPLETE"));
    // What could be counted is counted: the branch that is in order.
    assert!(bench.read("house-estimate/takeoff.csv").contains("tee,3/4 x 3/4 x 1/2"));
    let book = texts_of(&bench.path("house-estimate/estimate.xlsx"));
    assert!(book.to_lowercase().contains("incomplete"), "the workbook says so");
}

/// All shared texts of a workbook.
fn texts_of(book: &std::path::Path) -> String {
    let mut archive = zip::ZipArchive::new(std::fs::File::open(book).unwrap()).unwrap();
    let mut texts = String::new();
    std::io::Read::read_to_string(&mut archive.by_name("xl/sharedStrings.xml").unwrap(), &mut texts).unwrap();
    texts
}

#[test]
fn compare_and_explain_tell_errors_too() {
    let bench = with_errors("others");
    let compare = bench.run(&["compare", "house"]);
    assert_eq!(compare.status, 1);
    assert!(compare.err.contains("at-outside") && compare.out.contains("incomplete"), "{compare:?}");
    let explain = bench.run(&["explain", "house", "tee"]);
    assert_eq!(explain.status, 1);
    assert!(explain.err.contains("at-outside") && explain.out.contains("C2 ties in here"), "{explain:?}");
}

#[test]
fn what_cannot_be_read_is_status_two_in_every_form() {
    let bench = Bench::new("unreadable");
    bench.write("empty/readme.txt", "nothing");
    bench.write("words.xlsx", "no workbook at all");
    for job in ["nothere", "empty", "words.xlsx"] {
        for command in ["check", "estimate", "compare"] {
            let ran = bench.run(&[command, job]);
            assert_eq!((ran.status, ran.out.as_str()), (2, ""), "{command} {job}");
            assert!(ran.err.contains(job) || ran.err.contains("could not"), "{}", ran.err);
        }
        assert_eq!(bench.notices(&["check", job]).len(), 1);
    }
    assert_eq!(bench.names("."), ["empty", "words.xlsx"]);
    assert_eq!(bench.notices(&["estimate", "nothere"]).len(), 1);
}

#[test]
fn notices_of_one_row_to_be_mended_alike_are_drawn_once() {
    let bench = Bench::new("alike");
    bench.write("walk/runs.csv", crate::bench::SMALL);
    bench.write("walk/prices.csv", "supplier,part,size,price\nMill (invented),hose bibb,1,9\n");
    let ran = bench.run(&["check", "walk"]);
    assert_eq!(ran.status, 1, "what nobody sells is in no sum");
    assert!(ran.err.matches("nobody sells").count() > 5, "{}", ran.err);
    assert_eq!(ran.err.matches("not-priced").count(), 1, "{}", ran.err);
}
