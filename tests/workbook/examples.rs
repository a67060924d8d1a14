//! Every example's workbook, recalculated from outside.

use std::path::{Path, PathBuf};

use coilstick::estimate::estimate;
use coilstick::trade::Job;

use crate::engine::{Opened, differences};

fn jobs() -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let inside = |folder: &str| {
        let entries = std::fs::read_dir(root.join(folder)).unwrap();
        entries
            .map(|entry| entry.unwrap().path())
            .filter(|path| path.join("runs.csv").exists())
            .collect::<Vec<_>>()
    };
    let mut jobs: Vec<PathBuf> = ["examples", "tests"].into_iter().flat_map(inside).collect();
    jobs.sort();
    jobs
}

#[test]
fn every_example_agrees_with_an_outside_recalculation() {
    let jobs = jobs();
    assert!(jobs.len() >= 2, "there are examples");
    for path in jobs {
        let job = Job::read(&path).unwrap();
        let [workbook, ..] = coilstick::report::bytes(&job, &estimate(&job)).unwrap();
        let mut book = Opened::new(&workbook);
        let cached = book.formulas();
        book.recalculate();
        let wrong = differences(&book.formulas(), &cached);
        assert!(
            wrong.is_empty(),
            "{}: {} cells differ: {:#?}",
            path.display(),
            wrong.len(),
            &wrong[..wrong.len().min(8)]
        );
        assert!(cached.len() > 30, "{}: only {} formulas", path.display(), cached.len());
    }
}
