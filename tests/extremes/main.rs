//! Jobs that no house has and that must come through all the same: a sheet whose first and last cells alone are used, a
//! chain of twenty thousand runs.

#![allow(clippy::unwrap_used, reason = "a test fails by it")]

mod largest;

use std::fmt::Write;

use coilstick::estimate::takeoff::Line;
use coilstick::estimate::{Estimate, estimate};
use coilstick::ground::{Length, LengthUnit};
use coilstick::report;
use coilstick::trade::Job;
use rust_decimal::Decimal;

/// A chain of runs of 1 ft, each joining the one before by what `joins` says of it.
fn chain(runs: usize, size: impl Fn(usize) -> &'static str, at: &str) -> Job {
    let mut text = "run,service,size,length (ft),joins,at (ft)\n".to_owned();
    for run in 1..=runs {
        let (parent, at) = if run == 1 { ("main".to_owned(), "") } else { (format!("R{}", run - 1), at) };
        writeln!(text, "R{run},cold,{},1,{parent},{at}", size(run)).unwrap();
    }
    Job::from_texts(&[("runs", &text)])
}

/// How much of a part the first alternative takes, in pieces or feet.
fn need(job: &Job, estimate: &Estimate, part: &str) -> Decimal {
    let lines = estimate.alternatives[0].takeoff.lines.iter();
    let of_part = lines.filter(|line| &*job.catalog.part(estimate.items.get(line.item).part).name == part);
    let count = |line: &Line| match estimate.items.get(line.item).is_length() {
        true => Length::from_nanometres(line.count).in_units(LengthUnit::Foot),
        false => Decimal::from(line.count),
    };
    of_part.map(count).sum()
}

/// The whole walk over a chain, from which no run may be left out.
fn counted(job: &Job) -> Estimate {
    let estimate = estimate(job);
    assert!(estimate.left_out.is_empty() && estimate.alternatives.len() == 2);
    estimate
}

/// One end of tube goes on into the next: one piece of 20,000 ft, open at its end.
#[test]
fn a_chain_of_twenty_thousand_runs_end_to_end_comes_through() {
    let job = chain(20_000, |_| "1/2", "");
    let estimate = counted(&job);
    let of = |part| need(&job, &estimate, part);
    assert_eq!((of("tube"), of("cap"), of("tee")), (Decimal::from(20_000), Decimal::ONE, Decimal::ZERO));
    let files = report::bytes(&job, &estimate).unwrap();
    assert!(files.iter().all(|file| !file.is_empty()));
}

/// Each run taps the one before: a tree twenty thousand deep, with as many ends.
#[test]
fn a_chain_of_twenty_thousand_taps_comes_through() {
    let job = chain(20_000, |_| "1/2", "0.5");
    let estimate = counted(&job);
    let of = |part| need(&job, &estimate, part);
    assert_eq!((of("tee"), of("cap")), (Decimal::from(19_999), Decimal::from(20_000)));
}

/// Every joint of the chain is a fitting.
#[test]
fn a_chain_of_twenty_thousand_reductions_comes_through() {
    let job = chain(20_000, |run| if run.is_multiple_of(2) { "1/2" } else { "3/4" }, "");
    let estimate = counted(&job);
    assert_eq!(need(&job, &estimate, "reducing coupling"), Decimal::from(19_999));
}

/// The whole program under a limit of half a gigabyte, on a workbook whose run list also has the last cell there is. A
/// reader that lays the sheet out as a rectangle asks for hundreds of gigabytes. One arena: the limit is of addresses, and
/// the system's allocator may reserve 64 MB of them for every thread that asks while another does.
#[cfg(target_os = "linux")]
#[test]
fn a_run_list_with_the_last_cell_of_its_sheet_used_is_read_in_little_memory() {
    use rust_xlsxwriter::Workbook;

    let folder = std::env::temp_dir().join(format!("extremes-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let mut out = Workbook::new();
    let sheet = out.add_worksheet().set_name("runs").unwrap();
    for (column, heading) in (0_u16..).zip(["run", "service", "size", "length", "joins"]) {
        sheet.write(0, column, heading).unwrap();
    }
    for (column, cell) in (0_u16..).zip(["R1", "cold", "1/2", "10 ft", "main"]) {
        sheet.write(1, column, cell).unwrap();
    }
    sheet.write(1_048_575, 16_383, "far").unwrap();
    let book = folder.join("far.xlsx");
    out.save(&book).unwrap();

    let estimate = folder.join("out");
    let program = std::process::Command::new("sh")
        .args(["-c", "ulimit -v 524288; exec \"$0\" estimate \"$1\" -o \"$2\" --short"])
        .args([env!("CARGO_BIN_EXE_coilstick").as_ref(), book.as_os_str(), estimate.as_os_str()])
        .env("MALLOC_ARENA_MAX", "1")
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&program.stderr).into_owned();
    let takeoff = std::fs::read_to_string(estimate.join("takeoff.csv"));
    std::fs::remove_dir_all(&folder).unwrap();
    // Done, with or without a notice of the far cell; not killed, not given up.
    assert!(matches!(program.status.code(), Some(0 | 1)), "{:?}\n{said}", program.status);
    assert!(takeoff.unwrap().contains(",tube,\"1/2\"\"\",blue,ft,10"), "{said}");
}
