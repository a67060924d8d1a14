//! The water side of a house is what it was before the house had drains: its drain rows and what the job says for papers taken
//! out, a job gives the columns of the files that are kept in `of-water` (rule D14 of drains). They were written before there was a drain side; nobody
//! regenerates them.

use std::fs;

use coilstick::estimate::estimate;
use coilstick::report;
use coilstick::trade::Job;

use crate::{KEPT, project};

/// The text of a table without some rows, by a column that the heading names.
fn without(text: &str, column: &str, is_out: impl Fn(&str) -> bool) -> String {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(text.as_bytes());
    let rows: Vec<csv::StringRecord> = reader.records().map(|row| row.unwrap()).collect();
    let at = rows[0].iter().position(|heading| heading == column).unwrap();
    let mut writer = csv::WriterBuilder::new().flexible(true).from_writer(Vec::new());
    for row in rows.iter().filter(|row| !is_out(row.get(at).unwrap_or_default())) {
        writer.write_record(row).unwrap();
    }
    String::from_utf8(writer.into_inner().unwrap()).unwrap()
}

/// Items that the job did not have then and that stand in the kept files: of drains, and of who and for whom.
const LATER: [&str; 6] = ["drain system", "slope", "included", "payment terms", "job reference", "ship to"];

/// A job without the rows of its drain side.
fn of_water(folder: &str) -> Job {
    let mut tables = Vec::new();
    for entry in fs::read_dir(project(folder)).unwrap() {
        let path = entry.unwrap().path();
        let Some(name) = path.file_name().and_then(|name| name.to_str()?.strip_suffix(".csv")) else {
            continue;
        };
        let text = fs::read_to_string(&path).unwrap();
        let text = match name {
            "runs" => without(&text, "service", |service| ["drain", "vent"].contains(&service)),
            // Paths lead from the folder of the project.
            "job" => without(&text, "item", |item| LATER.contains(&item)).replace("../../", ""),
            _ => text,
        };
        tables.push((name.to_owned(), text));
    }
    tables.sort();
    let texts: Vec<(&str, &str)> = tables.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect();
    Job::from_texts(&texts)
}

/// Of a table the columns that the kept file has: later ones are not asked for. Of what the owner is told the sums: its words
/// are written anew.
fn kept_of(file: &str, text: &str, before: &str) -> String {
    let rows = |text: &str| -> Vec<csv::StringRecord> {
        let reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(text.as_bytes());
        reader.into_records().map(|row| row.unwrap()).collect()
    };
    let (all, known) = (rows(text), rows(before));
    let places: Vec<Option<usize>> =
        known[0].iter().map(|heading| all[0].iter().position(|one| one == heading)).collect();
    let mut writer = csv::WriterBuilder::new().flexible(true).from_writer(Vec::new());
    for row in all.iter().filter(|row| file != "owner.csv" || &row[0] == "price") {
        writer
            .write_record(places.iter().map(|at| at.and_then(|at| row.get(at)).unwrap_or_default()))
            .unwrap();
    }
    String::from_utf8(writer.into_inner().unwrap()).unwrap()
}

fn is_as_before(name: &str, folder: &str) {
    let job = of_water(folder);
    assert!(job.runs.iter().all(|run| run.service.is_water()));
    let estimate = estimate(&job);
    let files = report::FILES.into_iter().zip(report::bytes(&job, &estimate).unwrap());
    let mut compared = 0;
    for (file, bytes) in files.filter(|(file, _)| KEPT.contains(file)) {
        let Ok(before) = fs::read_to_string(project("tests/golden/of-water").join(name).join(file)) else {
            continue;
        };
        let now = kept_of(file, &String::from_utf8(bytes).unwrap(), &before);
        let before = kept_of(file, &before, &before);
        assert!(now == before, "{file}\n{}", crate::kept::difference(&before, &now));
        compared += 1;
    }
    assert!(compared == KEPT.len(), "{compared} files");
}

#[test]
fn the_lake_cabin_without_its_drains_is_what_it_was() {
    is_as_before("lake-cabin", "examples/lake-cabin");
}

#[test]
fn the_guest_lodge_without_its_drains_is_what_it_was() {
    is_as_before("guest-lodge", "tests/guest-lodge");
}
