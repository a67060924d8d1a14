//! What is doubtful, as a person sees it: what hangs on it in every output, the last lines of the terminal, the summary,
//! and the rows of the job that accept it.

use serde_json::Value;

use crate::bench::{Bench, Ran};

/// A scratch folder with the starter, whose overhead is a fraction of a point where 9 points may have been meant.
fn doubtful(name: &str) -> Bench {
    let bench = Bench::new(name);
    bench.clean(&["new", "house"]);
    let job = bench.read("house/job.csv").replace("overhead,,0,", "overhead,,0.09,");
    assert!(job.contains("overhead,,0.09,"));
    bench.write("house/job.csv", &job);
    bench
}

/// Adds rows to the table `job`.
fn say(bench: &Bench, rows: &str) {
    let job = bench.read("house/job.csv");
    bench.write("house/job.csv", &format!("{}\n{rows}\n", job.trim_end()));
}

/// The bid that the terminal states.
fn bid(ran: &Ran) -> String {
    let line = ran.out.lines().find(|line| line.contains("  bid in ")).unwrap_or_else(|| panic!("{ran:?}"));
    line.split(": ").nth(1).and_then(|sum| sum.split(' ').nth(1)).unwrap().to_owned()
}

/// All shared texts of a workbook.
fn texts_of(bench: &Bench, name: &str) -> String {
    let mut archive = zip::ZipArchive::new(std::fs::File::open(bench.path(name)).unwrap()).unwrap();
    let mut texts = String::new();
    std::io::Read::read_to_string(&mut archive.by_name("xl/sharedStrings.xml").unwrap(), &mut texts).unwrap();
    texts
}

#[test]
fn what_hangs_on_a_doubt_is_the_bid_of_the_job_with_the_other_reading() {
    let bench = doubtful("hangs");
    let doubted = bench.clean(&["estimate", "house"]);
    let as_read = bid(&doubted);
    bench.write("meant/job.csv", &bench.read("house/job.csv").replace("0.09", "9"));
    for table in bench.names("house").iter().filter(|name| *name != "job.csv") {
        bench.write(&format!("meant/{table}"), &bench.read(&format!("house/{table}")));
    }
    let meant = bid(&bench.clean(&["estimate", "meant"]));
    assert_ne!(as_read, meant);
    let words = format!("the bid would be {meant} instead of {as_read}, ");
    assert!(doubted.err.contains(&format!("  hangs     {words}")), "{}", doubted.err);
    let told = doubted.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains(&words), "{}", doubted.out);
    assert!(texts_of(&bench, "house-estimate/estimate.xlsx").matches(&words).count() >= 2, "on two sheets");
    let json: Value = serde_json::from_str(&bench.read("house-estimate/estimate.json")).unwrap();
    let notices_of = |list: &[Value]| -> Value {
        list.iter().find(|one| one["kind"] == "part-of-a-point").unwrap()["hangs"].clone()
    };
    let hangs = notices_of(json["notices"].as_array().unwrap());
    assert!(hangs["words"].as_str().unwrap().starts_with(&words), "{hangs}");
    for sum in ["as_read", "otherwise", "more"] {
        assert!(!hangs[sum].is_null(), "{hangs}");
    }
    assert_eq!(notices_of(&bench.notices(&["check", "house"])), hangs);
    let short = bench.clean(&["check", "house", "--short"]);
    assert!(short.err.contains(&words), "{}", short.err);
}

#[test]
fn the_last_lines_say_first_what_moves_the_bid_most() {
    let bench = doubtful("last-lines");
    say(&bench, "small parts,,0.02,\nprofit,,0.1,\nproductivity,,100,");
    let ran = bench.clean(&["estimate", "house"]);
    let lines: Vec<&str> = ran.out.lines().collect();
    let at = |words: &str| {
        lines.iter().position(|line| line.contains(words)).unwrap_or_else(|| panic!("{words}: {}", ran.out))
    };
    // Profit and productivity stand in the starter too: two warnings that say so.
    let head = at("  5 warnings:");
    assert!(at("bid in ") < head && head < at("profit is 0.1,") && at("profit is 0.1,") < at("overhead is"));
    assert!(at("overhead is") < at("small parts is"), "{}", ran.out);
    assert!(at("small parts is") < at("is in the table twice"), "{}", ran.out);
    assert!(at("sheet Notices of estimate.xlsx") > head);
    assert!(lines.last().unwrap().starts_with("written: "), "{}", ran.out);
    assert!(lines.iter().all(|line| line.chars().count() <= 96), "{}", ran.out);
    let check = bench.clean(&["check", "house"]);
    assert!(check.out.contains("  5 warnings:\n"), "{}", check.out);
    let quiet = bench.clean(&["estimate", "house", "-q"]);
    assert_eq!((quiet.out.as_str(), quiet.err.as_str()), ("", ""));
}

#[test]
fn ten_doubts_are_weighed_and_the_rest_is_not_known() {
    let bench = Bench::new("ten");
    bench.clean(&["new", "house"]);
    let taxes = [
        "tube",
        "fitting",
        "ring",
        "valve",
        "device",
        "support",
        "consumable",
        "cap",
        "trim",
        "labor",
        "tools",
        "delivery",
    ];
    let rows: Vec<String> = taxes.iter().map(|what| format!("sales tax,{what},0.07,")).collect();
    say(&bench, &rows.join("\n"));
    let told = bench.notices(&["check", "house"]);
    let doubts: Vec<&Value> = told.iter().filter(|one| one["kind"] == "part-of-a-point").collect();
    assert_eq!(doubts.len(), taxes.len());
    let unknown = doubts.iter().filter(|one| one["hangs"]["words"] == "not known").count();
    assert_eq!(unknown, 2, "{told:?}");
}

#[test]
fn nothing_is_weighed_where_prices_are_tried() {
    let bench = doubtful("tried");
    let ran = bench.clean(&["estimate", "house", "--price-change", "tube", "5"]);
    assert!(ran.err.contains("  hangs     not known\n"), "{}", ran.err);
    let ran = bench.clean(&["estimate", "house", "--hold"]);
    assert!(ran.err.contains("  hangs     not known\n"), "{}", ran.err);
}

/// The one notice of a kind, as `check --json` tells it.
fn one(bench: &Bench, kind: &str) -> Value {
    let told = bench.notices(&["check", "house"]);
    let mut of_kind = told.into_iter().filter(|one| one["kind"] == kind);
    let first = of_kind.next().unwrap_or_else(|| panic!("nothing of the kind {kind}"));
    assert!(of_kind.next().is_none(), "{kind} is told twice");
    first
}

/// The cell of the doubted overhead.
fn doubted_cell(bench: &Bench) -> String {
    one(bench, "part-of-a-point")["cells"][0].as_str().unwrap().to_owned()
}

#[test]
fn an_accepted_notice_is_a_remark_with_the_cell_that_accepts_it() {
    let bench = doubtful("accepted");
    let cell = doubted_cell(&bench);
    say(&bench, &format!("accept,part of a point,{cell},a quarter of it is on another job"));
    let row = bench.read("house/job.csv").lines().count();
    let notice = one(&bench, "part-of-a-point");
    assert_eq!(notice["severity"], "remark");
    assert_eq!(notice["accepted"], format!("job.csv:C{row}"));
    assert!(notice["remedy"].as_str().unwrap().contains("accepted in job.csv:C"), "{notice}");
    let ran = bench.clean(&["estimate", "house"]);
    assert!(!ran.out.contains("warning") && ran.err.contains("remark job.csv:"), "{ran:?}");
    let json: Value = serde_json::from_str(&bench.read("house-estimate/estimate.json")).unwrap();
    assert_eq!(json["notices"][0]["accepted"], format!("job.csv:C{row}"));
    assert!(texts_of(&bench, "house-estimate/estimate.xlsx").contains("it is accepted in job.csv:C"));
}

#[test]
fn a_notice_is_accepted_by_its_kind_and_cell_in_any_writing_or_by_the_name_it_speaks_of() {
    let bench = doubtful("writings");
    let cell = doubted_cell(&bench);
    let address = cell.split(':').nth(1).unwrap();
    let sound = bench.read("house/job.csv");
    for (kind, what) in [
        ("part-of-a-point", cell.clone()),
        ("Part of a point", format!("job {address}")),
        ("part of a point", format!("job!{address}")),
        ("part_of_a_point", address.to_lowercase()),
        ("part of a point", "overhead".to_owned()),
    ] {
        bench.write("house/job.csv", &sound);
        say(&bench, &format!("accept,{kind},{what},"));
        assert_eq!(one(&bench, "part-of-a-point")["severity"], "remark", "{kind}, {what}");
    }
}

#[test]
fn a_row_that_accepts_nothing_says_so_and_what_comes_near() {
    let bench = doubtful("unused");
    let cell = doubted_cell(&bench);
    let sound = bench.read("house/job.csv");
    for (kind, what, said) in [
        ("part-of-a-pint", cell.as_str(), "type \"part-of-a-point\" if that is meant"),
        ("part-of-a-point", "job.csv:C99", cell.as_str()),
        ("part-of-a-point", "head", cell.as_str()),
        ("", cell.as_str(), "type the kind of the notice"),
        ("part-of-a-point", "", "type the kind of the notice"),
    ] {
        bench.write("house/job.csv", &sound);
        say(&bench, &format!("accept,{kind},{what},"));
        let unused = one(&bench, "accepts-nothing");
        assert_eq!(unused["severity"], "warning");
        assert!(unused["found"].as_str().unwrap().starts_with("nothing is accepted by this row"), "{unused}");
        assert!(unused["remedy"].as_str().unwrap().contains(said), "{unused}");
        assert_eq!(one(&bench, "part-of-a-point")["severity"], "warning", "{kind}, {what}");
    }
}

#[test]
fn of_several_notices_that_speak_of_one_name_none_is_accepted_by_it() {
    let bench = Bench::new("several");
    bench.clean(&["new", "house"]);
    say(&bench, "sales tax,tube,0.07,\nsales tax,labor,0.07,\naccept,part of a point,sales tax,");
    let told = bench.notices(&["check", "house"]);
    let doubts = told.iter().filter(|one| one["kind"] == "part-of-a-point");
    assert!(
        doubts.clone().count() == 2 && doubts.clone().all(|one| one["severity"] == "warning"),
        "{told:?}"
    );
    let unused = one(&bench, "accepts-nothing");
    assert!(unused["found"].as_str().unwrap().contains("2 notices of the kind"), "{unused}");
}

#[test]
fn an_error_cannot_be_accepted() {
    let bench = doubtful("error");
    let runs = bench.read("house/runs.csv");
    bench.write("house/runs.csv", &format!("{}\nX9,cold,1/2,ten\n", runs.trim_end()));
    let misread = one(&bench, "misread-cell");
    say(&bench, &format!("accept,misread cell,{},", misread["cells"][0].as_str().unwrap()));
    let ran = bench.run(&["check", "house"]);
    assert_eq!(ran.status, 1);
    assert_eq!(one(&bench, "misread-cell")["severity"], "error");
    let row = one(&bench, "error-not-accepted");
    assert_eq!(row["severity"], "warning");
    assert!(row["found"].as_str().unwrap().contains("an error cannot be accepted"), "{row}");
}
