//! The worked examples: tables in code blocks that name their file, ```` ```csv runs.csv ````, are jobs that run as they stand.

use std::fs;
use std::path::{Path, PathBuf};

use coilstick::estimate::estimate;
use coilstick::report;
use coilstick::trade::Job;
use rust_decimal::Decimal;

use super::{PAGES, page, scratch};

/// A job that a page says to write, table by table.
pub(crate) struct Worked {
    /// The heading of its section.
    pub(crate) title: String,
    /// Its folder.
    folder: String,
    tables: Vec<(String, String)>,
}

impl Worked {
    /// Writes it into a folder beside the price lists; gives its path.
    pub(crate) fn write(&self, beside: &Path) -> PathBuf {
        let path = beside.join(&self.folder);
        fs::create_dir_all(&path).unwrap();
        for (name, text) in &self.tables {
            fs::write(path.join(name), text).unwrap();
        }
        path
    }

    /// What is counted of it, as a table of the page.
    pub(crate) fn counts(&self) -> String {
        let scratch = scratch(&format!("counts of {}", self.folder));
        let job = Job::read(&self.write(&scratch)).unwrap();
        let estimate = estimate(&job);
        let at = report::FILES.iter().position(|name| *name == "takeoff.csv").unwrap();
        let takeoff = report::bytes(&job, &estimate).unwrap()[at].clone();
        fs::remove_dir_all(scratch).unwrap();
        let mut rows = csv::Reader::from_reader(&*takeoff);
        let heads = rows.headers().unwrap().clone();
        let cell = |row: &csv::StringRecord, name: &str| {
            row[heads.iter().position(|head| head == name).unwrap()].to_owned()
        };
        let mut sums: Vec<(String, String, String, Decimal)> = Vec::new();
        let rows: Vec<csv::StringRecord> = rows.records().map(Result::unwrap).collect();
        let chosen = cell(&rows[0], "alternative");
        for row in rows.iter().filter(|row| cell(row, "alternative") == chosen) {
            let part = [cell(row, "part"), cell(row, "variant")].join(", ");
            // The mark that keeps a size from becoming a day is the file's.
            let what = (
                part.trim_end_matches(", ").to_owned(),
                cell(row, "size").replace('"', ""),
                cell(row, "unit"),
            );
            let need: Decimal = cell(row, "need").parse().unwrap();
            match sums
                .iter_mut()
                .find(|(part, size, unit, _)| (part, size, unit) == (&what.0, &what.1, &what.2))
            {
                Some(sum) => sum.3 += need,
                None => sums.push((what.0, what.1, what.2, need)),
            }
        }
        let mut text = "\n| need | unit | part | size |\n|---:|---|---|---|\n".to_owned();
        for (part, size, unit, need) in sums {
            text += &format!("| {} | {unit} | {part} | {size} |\n", need.normalize());
        }
        text + "\n"
    }
}

/// The jobs of a page, a section each. A section without a table `job` has that of the section before all of them that has
/// nothing else.
pub(crate) fn jobs(path: &str, text: &str) -> Vec<Worked> {
    let mut jobs: Vec<Worked> = Vec::new();
    let mut open: Option<(String, String)> = None;
    for line in text.lines() {
        match (&mut open, line) {
            (Some(_), "```") => {
                let (name, table) = open.take().unwrap();
                jobs.last_mut().unwrap().tables.push((name, table));
            }
            (Some((_, table)), line) => *table += &format!("{line}\n"),
            (None, line) if line.starts_with("```csv ") => open = Some((line[7..].to_owned(), String::new())),
            (None, line) if line.starts_with("##") => {
                let title = line.trim_start_matches(['#', ' ']).to_owned();
                // The page that shows the first job says what its folder is called.
                let folder = if path == "README.md" { "first".to_owned() } else { title.to_lowercase() };
                jobs.push(Worked { title, folder, tables: Vec::new() });
            }
            (None, _) => {}
        }
    }
    jobs.retain(|job| !job.tables.is_empty());
    let is_shared = |job: &Worked| !job.tables.iter().any(|(name, _)| name == "runs.csv");
    let shared = jobs.iter().find(|job| is_shared(job)).map(|job| job.tables.clone()).unwrap_or_default();
    jobs.retain(|job| !is_shared(job));
    for job in &mut jobs {
        let missing = shared.iter().filter(|(name, _)| !job.tables.iter().any(|(known, _)| known == name));
        let missing: Vec<_> = missing.cloned().collect();
        job.tables.extend(missing);
    }
    jobs
}

/// What a worked example may remark: nothing else is to be seen of it.
const REMARKED: [&str; 2] = ["brought-by-like", "couplings-by-plan"];

#[test]
fn every_worked_example_is_a_job_without_a_mistake_and_priced() {
    let mut seen = 0;
    for path in PAGES {
        for job in jobs(path, &page(path)) {
            let scratch = scratch(&format!("worked {}", job.folder));
            let read = Job::read(&job.write(&scratch)).unwrap();
            let estimate = estimate(&read);
            let told: Vec<_> =
                estimate.told.iter().filter(|notice| !REMARKED.contains(&notice.kind)).collect();
            assert!(told.is_empty(), "{}: {told:?}", job.title);
            assert!(estimate.is_complete(), "{}", job.title);
            for of in &estimate.alternatives {
                assert!(of.cost.not_priced.is_empty(), "{}", job.title);
            }
            fs::remove_dir_all(scratch).unwrap();
            seen += 1;
        }
    }
    assert!(seen >= 11, "{seen}");
}
