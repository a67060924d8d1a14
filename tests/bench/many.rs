//! 100,000 runs: read, taken off in two systems, priced and totalled, against only reading the same rows with the same
//! crate into typed rows that are kept. Printed as a ratio, since single times say little on a shared machine.
//!
//! `cargo bench --bench many` (the number of runs may be given: `cargo bench --bench many -- 20000`)
#![allow(clippy::unwrap_used, clippy::print_stdout, clippy::float_arithmetic, missing_docs)]

use std::fmt::Write as _;
use std::time::Instant;

use coilstick::trade::Job;

fn main() {
    let runs: usize = std::env::args().filter_map(|a| a.parse().ok()).next().unwrap_or(100_000);
    let folder = std::env::temp_dir().join(format!("coilstick-bench-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let text = houses(runs);
    std::fs::write(folder.join("runs.csv"), &text).unwrap();
    let lists = concat!(env!("CARGO_MANIFEST_DIR"), "/price-lists/");
    let job = format!("item,value\nprice list,{lists}fennwick-supply-2026-01-05.csv\n");
    std::fs::write(folder.join("job.csv"), job).unwrap();
    let (mut floors, mut wholes) = (Vec::new(), Vec::new());
    for _ in 0..5 {
        let begun = Instant::now();
        let kept = typed_rows(&folder.join("runs.csv"));
        floors.push(begun.elapsed().as_secs_f64());
        let begun = Instant::now();
        let job = Job::read(&folder).unwrap();
        let estimate = coilstick::estimate::estimate(&job);
        wholes.push(begun.elapsed().as_secs_f64());
        assert!(estimate.alternatives.iter().all(|a| a.cost.complete && a.cost.not_priced.is_empty()));
        assert_eq!(kept.len(), job.runs.len());
    }
    floors.sort_by(f64::total_cmp);
    wholes.sort_by(f64::total_cmp);
    println!(
        "{runs} runs: only reading into typed rows {:.3} s; read, taken off in two systems, priced and totalled {:.3} s; \
         ratio {:.1} (goal: at most 6.0 now, 3.0 later)",
        floors[2],
        wholes[2],
        wholes[2] / floors[2]
    );
    let _ = std::fs::remove_dir_all(&folder);
}

/// So many runs of houses of ten runs each, one after the other.
fn houses(runs: usize) -> String {
    let mut text = String::from(
        "run,service,pattern,size,length (ft),joins,at (ft),turns,to,fixture,reduce to,tail (ft),rise (ft),level,area,note\n",
    );
    for house in 0..runs.div_ceil(10) {
        let h = house;
        let _ = write!(
            text,
            "M{h},cold,service entry,1,20,main,,2,,,,,3,crawl,utility,in\n\
             C{h}a,cold,trunk,3/4,31.5,M{h},,1,,,,,,crawl,hall,\n\
             C{h}b,cold,tank heater,3/4,9.5,C{h}a,4,2,heater{h},tank heater,,,5,main,utility,\n\
             C{h}c,cold,fixture supply,1/2,6.66,C{h}a,12,1,lav{h},lavatory,3/8,1.5,3,main,bath,\n\
             C{h}d,cold,fixture supply,1/2,4.25,C{h}a,16,1,wc{h},toilet,,,2,main,bath,\n\
             C{h}e,cold,shower valve,1/2,9,C{h}a,,2,shower{h},shower,,,4,main,bath,\n\
             H{h}a,hot,trunk,3/4,29,heater{h},,2,,,,,-5,crawl,hall,\n\
             H{h}b,hot,fixture supply,1/2,6.66,H{h}a,10,1,lav{h},lavatory,3/8,1.5,3,main,bath,\n\
             H{h}c,hot,shower valve,1/2,8.5,H{h}a,,2,shower{h},shower,,,4,main,bath,\n\
             X{h}a,mixed,shower riser,1/2,4.33,shower{h},,,head{h},,,,4,main,bath,\n"
        );
    }
    text
}

/// A typed row, kept: what any program must at least make of a run.
#[allow(dead_code)]
struct Row {
    run: String,
    service: String,
    pattern: String,
    size: String,
    length: i64,
    joins: String,
    at: Option<i64>,
    turns: u32,
    to: String,
    fixture: String,
    reduce_to: String,
    tail: Option<i64>,
    rise: Option<i64>,
    level: String,
    area: String,
    note: String,
}

fn typed_rows(path: &std::path::Path) -> Vec<Row> {
    let mut reader = csv::Reader::from_path(path).unwrap();
    let mut raw = csv::StringRecord::new();
    let mut rows = Vec::new();
    let feet = |text: &str| {
        coilstick::ground::Length::read(text, coilstick::ground::LengthUnit::Foot).map(|l| l.nanometres())
    };
    while reader.read_record(&mut raw).unwrap() {
        rows.push(Row {
            run: raw[0].to_owned(),
            service: raw[1].to_owned(),
            pattern: raw[2].to_owned(),
            size: raw[3].to_owned(),
            length: feet(&raw[4]).unwrap_or(0),
            joins: raw[5].to_owned(),
            at: feet(&raw[6]),
            turns: raw[7].parse().unwrap_or(0),
            to: raw[8].to_owned(),
            fixture: raw[9].to_owned(),
            reduce_to: raw[10].to_owned(),
            tail: feet(&raw[11]),
            rise: feet(&raw[12]),
            level: raw[13].to_owned(),
            area: raw[14].to_owned(),
            note: raw[15].to_owned(),
        });
    }
    rows
}
