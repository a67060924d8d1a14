//! The folders of mistakes: each file is a smallest job with one mistake and the whole text of what is said of it.
//! `reading` holds what the tables' own readers say, `meeting` what comes of how runs meet and are laid, `buying` what
//! price lists lack, `labor` what the tables of labor and tools lack, `revise` what is said of workbooks that come back
//! filled in (a section `used.csv`) and of prices that are tried (a section `price-change`, a line `part = points`).
//!
//! A file has sections `--- NAME.csv`, each a table, and at its end `--- notices`, one notice a line:
//! `severity kind spot: found; expected ...; remedy ...`. A table `runs` that a file leaves out is one plain run.
//! `MISTAKES=write cargo test --test mistakes` writes what is said now; the diff is the review.
#![allow(clippy::wildcard_enum_match_arm, reason = "a test fails by what it did not expect")]
#![allow(clippy::unwrap_used, reason = "a test fails by it")]

mod kinds;
mod seeded;

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use coilstick::estimate::estimate;
use coilstick::estimate::revision::Side;
use coilstick::estimate::revision::variance::variance;
use coilstick::estimate::trial::try_price;
use coilstick::ground::{Notice, Severity};
use coilstick::trade::{Job, used};

const PLAIN_RUN: &str = "run,service,size,length\nA,cold,1/2,10\n";

const FOLDERS: [&str; 5] = ["reading", "meeting", "buying", "labor", "revise"];

/// Every case: its folder, its name, its file.
fn cases() -> Vec<(&'static str, String, PathBuf)> {
    let mut list = Vec::new();
    for folder in FOLDERS {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/mistakes").join(folder);
        for entry in fs::read_dir(path).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_some_and(|ending| ending == "txt") {
                let name = path.file_stem().unwrap().to_string_lossy().into_owned();
                list.push((folder, name, path));
            }
        }
    }
    list.sort();
    list
}

/// The tables of a case, and the notices it expects.
fn sections(text: &str) -> (Vec<(&str, String)>, Option<String>) {
    let mut tables: Vec<(&str, String)> = Vec::new();
    let mut notices = None;
    for line in text.split_inclusive('\n') {
        match line.trim_end().strip_prefix("--- ") {
            Some("notices") => notices = Some(String::new()),
            Some(name) => tables.push((name.strip_suffix(".csv").unwrap_or(name), String::new())),
            None => match (&mut notices, tables.last_mut()) {
                (Some(notices), _) => notices.push_str(line),
                (None, Some((_, table))) => table.push_str(line),
                (None, None) => panic!("a line before the first section: {line}"),
            },
        }
    }
    (tables, notices)
}

/// What is said of a job. Houses that show how runs meet are priced by nobody, and that is not said of them.
fn notices(folder: &str, tables: &[(&str, String)], job: &Job) -> Vec<Notice> {
    match folder {
        "revise" => of_revision(tables, job.clone()),
        "reading" => job.notices.clone(),
        "meeting" | "labor" => {
            let told = estimate(job).told;
            told.into_iter()
                .filter(|notice| !["not-priced", "nothing-priced"].contains(&notice.kind))
                .collect()
        }
        _ => estimate(job).told,
    }
}

/// What is said of a filled workbook, or of prices that are tried.
fn of_revision(tables: &[(&str, String)], mut job: Job) -> Vec<Notice> {
    let section =
        |wanted: &str| tables.iter().find(|(name, _)| *name == wanted).map(|(_, text)| text.as_str());
    for line in section("price-change").unwrap_or_default().lines() {
        let (words, points) = line.split_once('=').unwrap();
        try_price(&mut job, words, points).unwrap();
    }
    let mut all: Vec<Notice> =
        job.notices.iter().filter(|notice| notice.kind == "prices-changed").cloned().collect();
    if let Some(text) = section("used") {
        let side = Side { job: &job, estimate: &estimate(&job) };
        all.extend(variance(side, &used::from_text(text, &job)).notices);
    }
    all
}

fn said(folder: &str, tables: &[(&str, String)], job: &Job) -> String {
    notices(folder, tables, job).iter().map(|notice| line_of(notice) + "\n").collect()
}

fn line_of(notice: &Notice) -> String {
    let severity = match notice.severity {
        Severity::Error => "error",
        Severity::Warning => "warning",
        Severity::Remark => "remark",
    };
    let spots: Vec<String> = notice.spots.iter().map(ToString::to_string).collect();
    let Notice { kind, found, expected, remedy, .. } = notice;
    format!("{severity} {kind} {}: {found}; expected {expected}; remedy {remedy}", spots.join(", "))
}

fn read(tables: &[(&str, String)]) -> Job {
    let of_job = tables.iter().filter(|(name, _)| !["used", "price-change"].contains(name));
    let mut texts: Vec<(&str, &str)> = of_job.map(|(name, text)| (*name, text.as_str())).collect();
    if !texts.iter().any(|(name, _)| *name == "runs") {
        texts.insert(0, ("runs", PLAIN_RUN));
    }
    Job::from_texts(&texts)
}

#[test]
fn each_mistake_is_answered_word_for_word() {
    let write = std::env::var("MISTAKES").is_ok_and(|word| word == "write");
    let mut wrong = String::new();
    for (folder, name, path) in cases() {
        let text = fs::read_to_string(&path).unwrap();
        let (tables, expected) = sections(&text);
        let said = said(folder, &tables, &read(&tables));
        if write {
            let front = text.split("--- notices").next().unwrap();
            fs::write(&path, format!("{front}--- notices\n{said}")).unwrap();
        } else if expected.as_deref() != Some(said.as_str()) {
            wrong +=
                &format!("{folder}/{name}\n  expected:\n{}\n  said:\n{said}\n", expected.unwrap_or_default());
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

#[test]
fn there_are_many_mistakes_and_each_says_something() {
    let cases = cases();
    assert!(cases.len() >= 195, "{}", cases.len());
    for (_, name, path) in cases {
        let text = fs::read_to_string(path).unwrap();
        let (_, notices) = sections(&text);
        assert!(notices.is_some_and(|text| !text.trim().is_empty()), "{name}");
    }
}

#[test]
fn every_notice_has_all_its_parts_and_no_full_stop() {
    for (folder, name, path) in cases() {
        let text = fs::read_to_string(path).unwrap();
        let (tables, _) = sections(&text);
        let job = read(&tables);
        for notice in &notices(folder, &tables, &job) {
            assert!(!notice.spots.is_empty(), "{name}");
            for text in [&notice.found, &notice.expected, &notice.remedy] {
                assert!(
                    !text.is_empty() && !text.ends_with('.') && !text.contains("invalid"),
                    "{name}: {text}"
                );
            }
        }
    }
}

#[test]
fn one_kind_has_one_severity() {
    let mut severities: BTreeMap<&str, Severity> = BTreeMap::new();
    for (folder, name, path) in cases() {
        let text = fs::read_to_string(path).unwrap();
        let (tables, _) = sections(&text);
        let job = read(&tables);
        for notice in &notices(folder, &tables, &job) {
            // What the job accepts is a remark.
            if notice.accepted.is_some() {
                continue;
            }
            let known = *severities.entry(notice.kind).or_insert(notice.severity);
            // A table that nothing reads is a warning only where a name is near; couplings that a plan adds are one, those
            // that it spares are none.
            let has_two = ["unknown-table", "couplings-by-plan"].contains(&notice.kind);
            assert!(known == notice.severity || has_two, "{name}: {}", notice.kind);
        }
    }
}

/// A case's run list with one sound row more, which stands alone.
fn with_one_more(tables: &[(&str, String)]) -> Option<Vec<(String, String)>> {
    let mut tables: Vec<(String, String)> =
        tables.iter().map(|(name, text)| ((*name).to_owned(), text.clone())).collect();
    if !tables.iter().any(|(name, _)| name == "runs") {
        tables.push(("runs".to_owned(), PLAIN_RUN.to_owned()));
    }
    let (_, runs) = tables.iter_mut().find(|(name, _)| name == "runs")?;
    let headings: Vec<&str> = runs.lines().next()?.split(',').collect();
    let cells: Vec<&str> = headings
        .iter()
        .map(|heading| match *heading {
            "run" => "one more",
            "service" => "cold",
            "size" => "1/2",
            "length" => "7",
            _ => "",
        })
        .collect();
    let whole = ["one more", "cold", "1/2", "7"].iter().all(|cell| cells.contains(cell));
    *runs += &(cells.join(",") + "\n");
    // A system of the case's own need not have the size.
    let own_system = tables.iter().any(|(name, _)| name == "systems");
    (whole && !own_system).then_some(tables)
}

#[test]
fn a_mistake_keeps_no_other_row_from_being_read_and_counted() {
    let mut judged = 0;
    for (folder, name, path) in cases() {
        let text = fs::read_to_string(path).unwrap();
        let (tables, _) = sections(&text);
        let Some(tables) = with_one_more(&tables) else { continue };
        let texts: Vec<(&str, &str)> = tables.iter().map(|(n, t)| (n.as_str(), t.as_str())).collect();
        let job = Job::from_texts(&texts);
        let run = job.runs.iter().position(|run| &*run.name == "one more");
        let run = run.unwrap_or_else(|| panic!("{folder}/{name}: the row is not read"));
        assert!(!job.runs[run].in_error, "{folder}/{name}: the row is in error");
        let out = estimate(&job).left_out.iter().any(|left| left.run.index() == run);
        assert!(!out, "{folder}/{name}: the row is left out");
        judged += 1;
    }
    assert!(judged > 150, "{judged} cases are judged");
}
