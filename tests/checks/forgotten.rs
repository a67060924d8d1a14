//! Did you forget: what a list lacks is told with a row to paste and what it costs, what it has is not told.

use std::path::Path;

use coilstick::checks::{Forgotten, check};
use coilstick::estimate::estimate;
use coilstick::trade::Job;

fn forgotten(job: &Job) -> Vec<Forgotten> {
    check(job, &estimate(job)).forgotten
}

/// The bare list as a job.
fn bare(runs: &str, place: &str) -> Job {
    let places = format!("place,fixture\n{place}\n");
    Job::from_texts(&[("job", "item,value\ndrain system,pvc-cement\n"), ("runs", runs), ("places", &places)])
}

fn names(job: &Job) -> Vec<String> {
    forgotten(job).into_iter().map(|one| one.what).collect()
}

/// An invented list of one bath and a washer, without most of what belongs to them.
const RUNS: &str = "run,service,size,length,pattern,joins,to,fixture\n\
    C1,cold,3/4,20 ft,,main,heater,tank heater\n\
    H1,hot,1/2,20 ft,,heater,lavatory,lavatory\n\
    D1,drain,3,10 ft,,sewer,toilet,water closet\n";

#[test]
fn a_bare_list_is_told_what_belongs_to_its_fixtures() {
    let job = bare(RUNS, "");
    let told = names(&job);
    for what in ["main shutoff", "relief line", "closet flange", "cleanout", "vent through the roof"] {
        assert!(told.iter().any(|one| one == what), "{what}: {told:?}");
    }
    // It has no washer, no tub and no kitchen.
    for what in ["washer box", "tub valve", "dishwasher line", "vacuum breaker"] {
        assert!(!told.iter().any(|one| one == what), "{what}: {told:?}");
    }
}

/// The row is pasted as it is told: then it is not told again.
#[test]
fn each_row_pasted_is_told_no_more() {
    let job = bare(RUNS, "");
    for one in forgotten(&job) {
        let with = format!("{RUNS}{}\n", one.line);
        let pasted = bare(&with, &one.place);
        let errors: Vec<_> = estimate(&pasted).told.into_iter().filter(|notice| notice.is_error()).collect();
        assert!(errors.is_empty(), "{}: {errors:#?}", one.line);
        assert!(!names(&pasted).contains(&one.what), "{}", one.line);
    }
}

/// What it costs is what the bid is more with its row: a hose bibb of the cabin, worked by estimating both.
#[test]
fn what_it_costs_is_what_the_bid_is_more_with_its_row() {
    let home = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/lake-cabin");
    let job = Job::read(&home).unwrap();
    let told = forgotten(&job);
    let tank = told.iter().find(|one| one.what == "expansion tank").unwrap();
    assert_eq!(tank.line.split(',').next(), Some("forgotten expansion tank"));
    // No list of the examples sells such a tank: what is not priced has no cost.
    let priced = told.iter().find(|one| one.costs.is_some());
    let priced = priced.unwrap_or_else(|| panic!("{told:#?}"));
    assert!(priced.costs.unwrap() > rust_decimal::Decimal::ZERO, "{priced:#?}");
}
