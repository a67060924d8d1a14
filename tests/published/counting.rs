//! What the program counts and buys for a job given as texts, in words that the published figures use.

use std::collections::BTreeMap;
use std::path::Path;

use coilstick::estimate::{Estimate, estimate};
use coilstick::report;
use coilstick::trade::Job;
use rust_decimal::Decimal;

/// The systems of every check.
pub(crate) const SYSTEMS: [&str; 2] = ["pex-clamp", "copper-solder"];

/// The text of a file that stands beside the tests.
pub(crate) fn beside(file: &str) -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/published").join(file)).unwrap()
}

/// A row of a table, each cell by its heading.
pub(crate) type Row = BTreeMap<String, String>;

/// The rows of a CSV text.
pub(crate) fn rows(text: &str) -> Vec<Row> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let headings = reader.headers().unwrap().clone();
    let cells = |record: &csv::StringRecord| {
        headings.iter().zip(record).map(|(heading, cell)| (heading.to_owned(), cell.to_owned())).collect()
    };
    reader.records().map(|record| cells(&record.unwrap())).collect()
}

/// A number as it was published.
pub(crate) fn number(text: &str) -> Decimal {
    Decimal::from_str_exact(text).unwrap()
}

/// A job counted and bought, without an error.
pub(crate) struct Counted {
    job: Job,
    pub(crate) estimate: Estimate,
}

impl Counted {
    /// Counts a job given as names and texts of tables.
    pub(crate) fn of(tables: &[(&str, &str)]) -> Self {
        let job = Job::from_texts(tables);
        let estimate = estimate(&job);
        let errors: Vec<_> = job.notices.iter().chain(&estimate.notices).filter(|n| n.is_error()).collect();
        assert!(errors.is_empty(), "{errors:#?}");
        Self { job, estimate }
    }

    /// The rows of one of the files written.
    pub(crate) fn file(&self, name: &str) -> Vec<Row> {
        let files = report::bytes(&self.job, &self.estimate).unwrap();
        let at = report::FILES.iter().position(|file| *file == name).unwrap();
        let mut rows = rows(std::str::from_utf8(&files[at]).unwrap());
        // A size stands with its inch mark, so that no spreadsheet takes it for a day.
        for size in rows.iter_mut().filter_map(|row| row.get_mut("size")) {
            *size = size.trim_end_matches('"').to_owned();
        }
        rows
    }

    /// How much of a part a system takes, over all phases, by size; of one service, or of all (`""`).
    pub(crate) fn need(&self, system: &str, service: &str, part: &str) -> BTreeMap<String, Decimal> {
        let mut sums = BTreeMap::new();
        for row in self.file("takeoff.csv") {
            let of_service = service.is_empty() || row["service"] == service;
            if row["alternative"] == system && row["part"] == part && of_service {
                *sums.entry(row["size"].clone()).or_default() += number(&row["need"]);
            }
        }
        sums
    }

    /// How much of a part of one size a system takes.
    pub(crate) fn need_of(&self, system: &str, part: &str, size: &str) -> Decimal {
        self.need(system, "", part).get(size).copied().unwrap_or_default()
    }
}
