//! Each example against the results kept beside it.

use std::path::Path;

use coilstick::estimate::estimate;
use coilstick::report;
use coilstick::trade::Job;

use crate::kept::{are_as_kept, kept};
use crate::{EXAMPLES, Example, KEPT, project};

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

/// Every file of an example as the text that is kept of it.
fn texts(example: &Example) -> Vec<(String, String)> {
    let job = Job::read(&example.path()).unwrap();
    let estimate = estimate(&job);
    let files = report::FILES.into_iter().zip(report::bytes(&job, &estimate).unwrap());
    // The two forms of a paper say the same (`tests/papers`): one of them is kept.
    let papers = report::paper_bytes(&job, &estimate).unwrap();
    let mut requests = 0;
    // Requests to several suppliers differ by name and codes: the first is kept.
    let mut is_another_request = |name: &str| {
        requests += usize::from(name.starts_with("papers/request"));
        name.starts_with("papers/request") && requests > 1
    };
    let pages = papers.iter().filter(|(name, _)| name.ends_with(".html"));
    let pages = pages.filter(move |(name, _)| !is_another_request(name));
    let pages = pages.map(|(name, bytes)| kept(name, bytes.clone()));
    files.map(|(name, bytes)| kept(name, bytes)).chain(pages).collect()
}

fn is_as_kept(example: &Example) {
    are_as_kept(&project("examples").join(example.name).join("expected"), &texts(example));
}

#[test]
fn the_lake_cabin_comes_out_as_kept() {
    is_as_kept(&EXAMPLES[0]);
}

#[test]
fn the_house_counted_by_eye_comes_out_as_kept() {
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
fn the_orchard_house_with_both_sides_comes_out_as_kept() {
    is_as_kept(&EXAMPLES[5]);
}

#[test]
fn the_ferry_house_in_metres_comes_out_as_kept() {
    is_as_kept(&EXAMPLES[6]);
}

#[test]
fn the_mill_cottage_in_a_system_of_its_own_comes_out_as_kept() {
    is_as_kept(&EXAMPLES[7]);
}
