//! One house of 100 runs, end to end in process: read, taken off in two systems, cut, bought, costed, and all files
//! made; against only reading the rows and only writing a workbook of as many cells with the same crate.
//!
//! `cargo bench --bench house`
#![allow(clippy::print_stdout, clippy::float_arithmetic, clippy::unwrap_used, missing_docs)]

use std::fmt::Write as _;
use std::time::Instant;

use coilstick::trade::Job;

fn main() {
    let folder = std::env::temp_dir().join(format!("coilstick-house-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    std::fs::write(folder.join("runs.csv"), house()).unwrap();
    let lists = concat!(env!("CARGO_MANIFEST_DIR"), "/price-lists/");
    std::fs::write(folder.join("job.csv"), format!("item,value\nprice list,{lists}\n")).unwrap();
    let (mut wholes, mut writes, mut cells) = (Vec::new(), Vec::new(), 0);
    for _ in 0..15 {
        let begun = Instant::now();
        let job = Job::read(&folder).unwrap();
        let estimate = coilstick::estimate::estimate(&job);
        let files = coilstick::report::bytes(&job, &estimate).unwrap();
        wholes.push(begun.elapsed().as_secs_f64() * 1000.0);
        assert!(estimate.alternatives.iter().all(|a| a.cost.complete && a.cost.not_priced.is_empty()));
        // About as many cells as our workbook has: a line of reasons has ten, and they are most of it.
        cells = estimate.alternatives.iter().map(|a| a.takeoff.lines.len() * 10).sum();
        let begun = Instant::now();
        let plain = only_writing(cells);
        writes.push(begun.elapsed().as_secs_f64() * 1000.0);
        assert!(!files[0].is_empty() && !plain.is_empty());
    }
    wholes.sort_by(f64::total_cmp);
    writes.sort_by(f64::total_cmp);
    println!(
        "100 runs: whole {:.1} ms (goal: under 50), only writing a workbook of {cells} cells {:.1} ms, ratio {:.1}",
        wholes[7],
        writes[7],
        wholes[7] / writes[7]
    );
    let _ = std::fs::remove_dir_all(&folder);
}

fn only_writing(cells: usize) -> Vec<u8> {
    let mut book = rust_xlsxwriter::Workbook::new();
    let sheet = book.add_worksheet();
    for (row, _) in (0_u32..).zip(0..cells.div_ceil(10)) {
        for column in 0..10_u16 {
            if column < 5 {
                sheet.write_string(row, column, "clamp ring").unwrap();
            } else {
                sheet.write_number(row, column, f64::from(row) + 0.25).unwrap();
            }
        }
    }
    book.save_to_buffer().unwrap()
}

/// Ten groups of ten runs behind one main.
fn house() -> String {
    let mut text = String::from(
        "run,service,pattern,size,length (ft),joins,at (ft),turns,to,fixture,reduce to,tail (ft),rise (ft),level,area\n",
    );
    for h in 0..10 {
        let _ = write!(
            text,
            "M{h},cold,service entry,1,20,main,,2,,,,,3,crawl,utility\n\
             C{h}a,cold,trunk,3/4,31.5,M{h},,1,,,,,,crawl,hall\n\
             C{h}b,cold,tank heater,3/4,9.5,C{h}a,4,2,heater{h},tank heater,,,5,main,utility\n\
             C{h}c,cold,fixture supply,1/2,6.66,C{h}a,12,1,lav{h},lavatory,3/8,1.5,3,main,bath\n\
             C{h}d,cold,fixture supply,1/2,4.25,C{h}a,16,1,wc{h},toilet,,,2,main,bath\n\
             C{h}e,cold,shower valve,1/2,9,C{h}a,,2,shower{h},shower,,,4,main,bath\n\
             H{h}a,hot,trunk,3/4,29,heater{h},,2,,,,,-5,crawl,hall\n\
             H{h}b,hot,fixture supply,1/2,6.66,H{h}a,10,1,lav{h},lavatory,3/8,1.5,3,main,bath\n\
             H{h}c,hot,shower valve,1/2,8.5,H{h}a,,2,shower{h},shower,,,4,main,bath\n\
             X{h}a,mixed,shower riser,1/2,4.33,shower{h},,,head{h},,,,4,main,bath\n"
        );
    }
    text
}
