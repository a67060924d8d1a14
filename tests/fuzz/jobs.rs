//! The target `jobs`: the tables of a whole house or of a case of a mistake, changed, read from a folder or a workbook,
//! estimated in every system that it compares, and all its files made as bytes.

use std::fmt;
use std::fs;
use std::path::PathBuf;

use coilstick::estimate::{Estimate, estimate};
use coilstick::report;
use coilstick::trade::Job;

use crate::asked::judge_notices;
use crate::draw::Draw;
use crate::driver::{Target, folder};
use crate::encoded;
use crate::grid::Grid;
use crate::package::workbook;
use crate::seeds::{files, project, seeds};
use crate::truths;

/// A job as it is handed over.
pub(crate) struct Input {
    grids: Vec<Grid>,
    files: Files,
    /// Whether it is estimated once more, and its rows in another order, to see that nothing changes.
    twice: bool,
}

enum Files {
    /// A folder of CSV files: name and bytes.
    Folder(Vec<(String, Vec<u8>)>),
    /// A workbook with a sheet a table.
    Workbook(Vec<u8>),
}

impl fmt::Display for Input {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.grids.iter().try_for_each(|grid| write!(f, "{grid}"))
    }
}

pub(crate) const JOBS: Target<Input> = Target {
    name: "jobs",
    short: 32,
    longest: 600,
    memory: 768 << 20,
    steps: &["is a job", "has something taken off", "has a priced order", "is complete"],
    least: 1,
    make,
    judge,
};

fn make(draw: &mut Draw<'_>) -> Input {
    let mut tables = seeds().tables(draw).clone();
    if draw.once_in(2) && !tables.grids.iter().any(|grid| grid.name == "prices") {
        let prices = Grid {
            rows: seeds().table_like("prices", draw).unwrap().rows.clone(),
            name: "prices".to_owned(),
        };
        tables.grids.push(prices);
    }
    match draw.below(8) {
        0 => {
            // A table of another job, beside these or instead of one.
            let other = seeds().table(draw).clone();
            tables.grids.retain(|grid| grid.name != other.name);
            tables.grids.push(other);
        }
        1 if tables.grids.len() > 1 => {
            let at = draw.below(tables.grids.len());
            tables.grids.remove(at);
        }
        _ => {}
    }
    for _ in 0..draw.few() {
        let at = draw.below(tables.grids.len());
        // The run list is what most hangs on.
        let runs = tables.grids.iter().position(|grid| grid.name == "runs").filter(|_| draw.once_in(2));
        if let Some(grid) = tables.grids.get_mut(runs.unwrap_or(at)) {
            grid.change(draw, seeds());
        }
    }
    let twice = draw.once_in(8);
    let files = if draw.once_in(6) {
        Files::Workbook(workbook(&tables.grids, draw))
    } else {
        Files::Folder(
            tables.grids.iter().map(|grid| (grid.name.clone(), encoded::file(grid, draw))).collect(),
        )
    };
    Input { grids: tables.grids, files, twice }
}

/// Puts files where a job of the examples stands, two folders below the price lists.
pub(crate) fn write_tables<N: AsRef<str>, B: AsRef<[u8]>>(tables: &[(N, B)]) -> PathBuf {
    let beside = folder().join("price-lists");
    if !beside.exists() {
        let lists = project("price-lists");
        for path in files(&lists) {
            let there = beside.join(path.strip_prefix(&lists).unwrap());
            fs::create_dir_all(there.parent().unwrap()).unwrap();
            fs::copy(&path, there).unwrap();
        }
    }
    let home = folder().join("jobs/case");
    let _ = fs::remove_dir_all(&home);
    fs::create_dir_all(&home).unwrap();
    for (name, bytes) in tables {
        fs::write(home.join(format!("{}.csv", name.as_ref())), bytes).unwrap();
    }
    home
}

/// Where the job is, once it is written.
fn write(files: &Files) -> PathBuf {
    match files {
        Files::Folder(tables) => write_tables(tables),
        Files::Workbook(bytes) => {
            let home = write_tables::<&str, &[u8]>(&[]);
            let path = home.join("case.xlsx");
            fs::write(&path, bytes).unwrap();
            path
        }
    }
}

fn judge(input: &Input) -> usize {
    let path = write(&input.files);
    let job = match Job::read(&path) {
        Ok(job) => job,
        Err(notice) => {
            judge_notices([&notice]);
            return 0;
        }
    };
    let estimate = estimate(&job);
    truths::judge(&job, &estimate);
    let bytes = report::bytes(&job, &estimate).unwrap();
    truths::judge_files(&bytes);
    if input.twice {
        let again = Job::read(&path).unwrap();
        let again = report::bytes(&again, &self::estimate(&again)).unwrap();
        assert!(bytes == again, "the same tables gave other files");
    }
    1 + steps(&estimate)
}

fn steps(estimate: &Estimate) -> usize {
    let Some(chosen) = estimate.alternatives.first() else { return 0 };
    let taken_off = !chosen.takeoff.lines.is_empty();
    let priced = taken_off && chosen.order.iter().any(|line| line.extended.is_some_and(|sum| !sum.is_zero()));
    usize::from(taken_off) + usize::from(priced) + usize::from(priced && estimate.is_complete())
}
