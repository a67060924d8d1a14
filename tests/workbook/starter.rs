//! The starter workbook, and a job's tables as one workbook, read back through the program's own door.

use std::path::PathBuf;

use coilstick::report::starter;
use coilstick::trade::Job;

use crate::house;

fn written(name: &str, bytes: &[u8]) -> PathBuf {
    let path = std::env::temp_dir().join(format!("coilstick-starter-{name}-{}.xlsx", std::process::id()));
    std::fs::write(&path, bytes).unwrap();
    path
}

#[test]
fn a_blank_workbook_reads_back_without_a_word() {
    let blank = starter::blank(&Job::from_texts(&[("runs", "run,service,size,length\n")])).unwrap();
    let path = written("blank", &blank);
    let job = Job::read(&path).unwrap();
    std::fs::remove_file(&path).unwrap();
    assert_eq!(job.notices, []);
    assert!(job.runs.is_empty());
}

#[test]
fn a_folder_of_tables_and_one_workbook_hold_the_same_job() {
    let tables = house::tables();
    let path = written("tables", &crate::book::of_tables(&tables));
    let from_workbook = Job::read(&path).unwrap();
    std::fs::remove_file(&path).unwrap();
    let from_texts = Job::from_texts(&tables);
    let errors: Vec<_> = from_workbook.notices.iter().filter(|notice| notice.is_error()).collect();
    assert!(errors.is_empty(), "{errors:#?}");
    let estimated = |job: &Job| {
        let [_, takeoff, order, cut_plan, _, comparison, ..] =
            coilstick::report::bytes(job, &coilstick::estimate::estimate(job)).unwrap();
        [takeoff, order, cut_plan, comparison].map(|bytes| String::from_utf8(bytes).unwrap())
    };
    assert_eq!(estimated(&from_workbook), estimated(&from_texts));
}

#[test]
fn the_starter_has_the_same_bytes_each_time() {
    let job = Job::from_texts(&[("runs", "run,service,size,length\n")]);
    assert!(starter::blank(&job).unwrap() == starter::blank(&job).unwrap());
}
