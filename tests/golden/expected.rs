//! Each example against the results kept beside it.

use std::collections::BTreeSet;
use std::path::Path;

use coilstick::estimate::estimate;
use coilstick::report;
use coilstick::trade::Job;

use crate::{EXAMPLES, Example, KEPT, project, writes};

/// The kept files of a job that has no error, as texts.
pub(crate) fn results(job: &Path) -> Vec<(&'static str, String)> {
    let job = Job::read(job).unwrap();
    let estimate = estimate(&job);
    let errors: Vec<_> = job.notices.iter().chain(&estimate.notices).filter(|n| n.is_error()).collect();
    assert!(errors.is_empty(), "{errors:#?}");
    let files = report::FILES.into_iter().zip(report::bytes(&job, &estimate).unwrap());
    files
        .filter(|(name, _)| KEPT.contains(name))
        .map(|(name, bytes)| (name, String::from_utf8(bytes).unwrap()))
        .collect()
}

/// The lines that only one side has, as a reviewer reads them: `-` as kept, `+` as found.
pub(crate) fn difference(kept: &str, found: &str) -> String {
    let (old, new): (BTreeSet<&str>, BTreeSet<&str>) = (kept.lines().collect(), found.lines().collect());
    let only = |text: &str, other: &BTreeSet<&str>, mark: char| -> Vec<String> {
        let lines = text.lines().enumerate().filter(|(_, line)| !other.contains(line));
        lines.map(|(at, line)| format!("{mark} {:>4} {line}", at + 1)).collect()
    };
    let mut lines = only(kept, &new, '-');
    lines.extend(only(found, &old, '+'));
    if lines.is_empty() && kept != found {
        return "the same lines in another order, another number of times or with other endings".to_owned();
    }
    lines.join("\n")
}

fn is_as_kept(example: &Example) {
    let folder = project("examples").join(example.name).join("expected");
    let mut wrong = Vec::new();
    for (name, found) in results(&example.path()) {
        let path = folder.join(name);
        if writes() {
            std::fs::create_dir_all(&folder).unwrap();
            std::fs::write(&path, found).unwrap();
            continue;
        }
        let kept = std::fs::read_to_string(&path).unwrap_or_default();
        if kept != found {
            wrong.push(format!("{}/expected/{name}\n{}", example.name, difference(&kept, &found)));
        }
    }
    assert!(wrong.is_empty(), "{}\n(GOLDEN=write takes the new results)", wrong.join("\n\n"));
}

#[test]
fn the_lake_cabin_comes_out_as_kept() {
    is_as_kept(&EXAMPLES[0]);
}

#[test]
fn the_counted_list_comes_out_as_kept() {
    is_as_kept(&EXAMPLES[1]);
}

#[test]
fn the_guest_lodge_comes_out_as_kept() {
    is_as_kept(&EXAMPLES[2]);
}

#[test]
fn the_courtyard_on_manifolds_comes_out_as_kept() {
    is_as_kept(&EXAMPLES[3]);
}

#[test]
fn the_courtyard_on_trunks_comes_out_as_kept() {
    is_as_kept(&EXAMPLES[4]);
}

#[test]
fn every_example_is_a_golden_test() {
    assert!(EXAMPLES.iter().all(|example| example.path().exists()));
    let mut folders: Vec<String> = std::fs::read_dir(project("examples"))
        .unwrap()
        .map(|entry| entry.unwrap())
        .filter(|entry| entry.path().is_dir())
        .map(|entry| entry.file_name().into_string().unwrap())
        .collect();
    folders.sort();
    let mut named: Vec<&str> = EXAMPLES.iter().map(|example| example.name).collect();
    named.sort_unstable();
    assert_eq!(folders, named);
}

#[test]
fn a_difference_shows_the_lines_of_both_sides() {
    assert_eq!(difference("a\nb\nc\n", "a\nx\nc\n"), "-    2 b\n+    2 x");
    assert!(difference("a\nb\n", "b\na\n").contains("another order"));
}
