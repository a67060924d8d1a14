//! Whole jobs with their expected results: every example, byte by byte. These may be regenerated (`GOLDEN=write cargo test
//! --test golden`); the difference is what is reviewed. What must not change a result is tried on the same jobs: the order
//! of rows, the unit of length, the kind of file, another run of the program.

#![allow(clippy::unwrap_used, reason = "a test fails by it")]

mod book;
mod courtyard;
mod expected;
mod kept;
mod lodge;
mod of_water;
mod same;
mod spreadsheet;
mod systems;
mod tables;

use std::path::{Path, PathBuf};
use std::sync::Once;

use coilstick::ground::{LengthUnit, Notice};
use coilstick::trade::Job;

/// An example: its name, and where it is from the project.
pub(crate) struct Example {
    pub(crate) name: &'static str,
    /// The job itself, a folder or a workbook.
    pub(crate) job: &'static str,
    /// The CSV tables that hold it.
    pub(crate) tables: &'static str,
}

impl Example {
    /// Where the job is; the workbook is made again first where this run writes and its tables changed.
    pub(crate) fn path(&self) -> PathBuf {
        static WRITTEN: Once = Once::new();
        if kept::writes() {
            WRITTEN.call_once(lodge::write);
        }
        project(self.job)
    }

    /// What a length without a unit is in it.
    pub(crate) fn units(&self) -> LengthUnit {
        Job::read(&self.path()).unwrap().settings.units
    }
}

/// Every example.
pub(crate) const EXAMPLES: [Example; 8] = [
    Example { name: "lake-cabin", job: "examples/lake-cabin", tables: "examples/lake-cabin" },
    Example { name: "counted-by-eye", job: "examples/counted-by-eye", tables: "examples/counted-by-eye" },
    Example {
        name: "guest-lodge",
        job: "examples/guest-lodge/guest-lodge.xlsx",
        tables: "tests/guest-lodge",
    },
    Example {
        name: "courtyard-manifold",
        job: "examples/courtyard-manifold",
        tables: "examples/courtyard-manifold",
    },
    Example { name: "courtyard-trunk", job: "examples/courtyard-trunk", tables: "examples/courtyard-trunk" },
    Example { name: "orchard-house", job: "examples/orchard-house", tables: "examples/orchard-house" },
    Example { name: "ferry-house", job: "examples/ferry-house", tables: "examples/ferry-house" },
    Example { name: "mill-cottage", job: "examples/mill-cottage", tables: "examples/mill-cottage" },
];

/// The files that hold results alone, and no row or cell of the tables they come from.
pub(crate) const KEPT: [&str; 7] =
    ["takeoff.csv", "order.csv", "orders.csv", "cut-plan.csv", "comparison.csv", "bid.csv", "owner.csv"];

/// What is said of an example, but that it says a pressure and a code, which nothing uses yet.
pub(crate) fn doubts(job: &Job) -> Vec<&Notice> {
    job.notices.iter().filter(|notice| notice.kind != "not-used-yet").collect()
}

/// A path from the project.
pub(crate) fn project(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}
