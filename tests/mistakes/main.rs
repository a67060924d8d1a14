//! The folder of mistakes: each file is a smallest job with one mistake and the whole text of what is said of it.
//!
//! A file has sections `--- NAME.csv`, each a table, and at its end `--- notices`, one notice a line:
//! `severity kind spot: found; expected ...; remedy ...`. A table `runs` that a file leaves out is one plain run.
//! `MISTAKES=write cargo test --test mistakes` writes what is said now; the diff is the review.

#![allow(clippy::unwrap_used, reason = "a test fails by it")]

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use coilstick::ground::{Notice, Severity};
use coilstick::trade::Job;

const PLAIN_RUN: &str = "run,service,size,length\nA,cold,1/2,10\n";

fn cases() -> Vec<(String, PathBuf)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/mistakes/cases");
    let mut list: Vec<_> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "txt"))
        .map(|path| (path.file_stem().unwrap().to_string_lossy().into_owned(), path))
        .collect();
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

fn said(job: &Job) -> String {
    job.notices.iter().map(|notice| line_of(notice) + "\n").collect()
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
    let mut texts: Vec<(&str, &str)> = tables.iter().map(|(name, text)| (*name, text.as_str())).collect();
    if !texts.iter().any(|(name, _)| *name == "runs") {
        texts.insert(0, ("runs", PLAIN_RUN));
    }
    Job::from_texts(&texts)
}

#[test]
fn each_mistake_is_answered_word_for_word() {
    let write = std::env::var("MISTAKES").is_ok_and(|word| word == "write");
    let mut wrong = String::new();
    for (name, path) in cases() {
        let text = fs::read_to_string(&path).unwrap();
        let (tables, expected) = sections(&text);
        let said = said(&read(&tables));
        if write {
            let front = text.split("--- notices").next().unwrap();
            fs::write(&path, format!("{front}--- notices\n{said}")).unwrap();
        } else if expected.as_deref() != Some(said.as_str()) {
            wrong += &format!("{name}\n  expected:\n{}\n  said:\n{said}\n", expected.unwrap_or_default());
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

#[test]
fn there_are_forty_mistakes_or_more_and_each_says_something() {
    let cases = cases();
    assert!(cases.len() >= 40, "{}", cases.len());
    for (name, path) in cases {
        let text = fs::read_to_string(path).unwrap();
        let (_, notices) = sections(&text);
        assert!(notices.is_some_and(|text| !text.trim().is_empty()), "{name}");
    }
}

#[test]
fn every_notice_has_all_its_parts_and_no_full_stop() {
    for (name, path) in cases() {
        let text = fs::read_to_string(path).unwrap();
        let (tables, _) = sections(&text);
        let job = read(&tables);
        for notice in &job.notices {
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
    for (name, path) in cases() {
        let text = fs::read_to_string(path).unwrap();
        let (tables, _) = sections(&text);
        let job = read(&tables);
        for notice in &job.notices {
            let known = *severities.entry(notice.kind).or_insert(notice.severity);
            // A table that nothing reads is a warning only where a name is near.
            assert!(known == notice.severity || notice.kind == "unknown-table", "{name}: {}", notice.kind);
        }
    }
}
