//! A small job whose hours and tools were worked on paper; `porch-sink/worked.md` is the paper.

use coilstick::estimate::estimate;
use coilstick::report;
use coilstick::trade::Job;

use super::{Row, folder, in_the_words_of_the_program, lines, rows, same};

/// A file of the job as the program writes it.
fn written(file: &str) -> Vec<Row> {
    let job = Job::read(&folder("porch-sink")).unwrap();
    // The tables of the paper are no tables of a job.
    assert!(job.notices.iter().all(|notice| notice.kind == "unknown-table"), "{:#?}", job.notices);
    let estimate = estimate(&job);
    let files = report::bytes(&job, &estimate).unwrap();
    let at = report::FILES.iter().position(|name| *name == file).unwrap();
    rows(std::str::from_utf8(&files[at]).unwrap())
}

fn on_paper(file: &str) -> Vec<Row> {
    rows(&std::fs::read_to_string(folder("porch-sink").join(file)).unwrap())
}

#[test]
fn the_hours_of_the_porch_sink_are_as_on_paper() {
    const COLUMNS: [&str; 7] = ["alternative", "phase", "area", "per", "work", "quantity", "hours"];
    let (paper, program) = (on_paper("expected-labor.csv"), written("labor.csv"));
    same("hours", &lines(&paper, &COLUMNS), &lines(&program, &COLUMNS));
}

#[test]
fn the_labor_and_tools_of_the_porch_sink_are_as_on_paper() {
    let program = written("comparison.csv");
    for paper in on_paper("expected-totals.csv") {
        for system in ["pex-clamp", "copper-solder"] {
            let (line, value) = in_the_words_of_the_program(&paper["line"], &paper[system]);
            let row = program.iter().find(|row| row["cost line"] == line).unwrap();
            assert_eq!(row[system], value, "{line} of {system}");
        }
    }
}
