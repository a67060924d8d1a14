//! The example jobs and the blank one read without a notice.

use std::path::Path;

use coilstick::ground::{Length, LengthUnit};
use coilstick::trade::Job;

fn read(folder: &str) -> Job {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let mut job = Job::read(&path).unwrap();
    // They say a pressure and a code, which nothing uses yet.
    job.notices.retain(|notice| notice.kind != "not-used-yet");
    assert_eq!(job.notices, [], "{folder}");
    assert!(job.runs.iter().all(|run| !run.in_error), "{folder}");
    assert!(job.prices.offers.iter().all(|offer| !offer.in_error), "{folder}");
    job
}

#[test]
fn the_lake_cabin_reads_without_a_notice() {
    let job = read("examples/lake-cabin");
    assert_eq!(job.runs.len(), 44);
    assert_eq!(job.suppliers.len(), 2);
    assert!(job.prices.offers.len() > 500);
}

#[test]
fn the_house_counted_by_eye_reads_without_a_notice() {
    let job = read("examples/counted-by-eye");
    assert_eq!(job.runs.len(), 5);
}

#[test]
fn the_ferry_house_reads_in_metres() {
    let job = read("examples/ferry-house");
    // One of its 51 rows is optional.
    assert_eq!((job.runs.len(), job.places.len()), (50, 11));
    // N 12 and up 0.6 of M1.
    assert_eq!(job.runs[0].length, Length::read("12.6 m", LengthUnit::Foot).unwrap());
}

#[test]
fn the_mill_cottage_reads_with_a_system_of_its_own() {
    let job = read("examples/mill-cottage");
    assert_eq!(job.runs.len(), 17);
    let own = job.lexicon.find("pp-fused").unwrap();
    assert_eq!(job.settings.water_system, own);
    // It has the built-in systems and its own.
    let blank = read("templates/blank-job");
    assert_eq!(job.catalog.systems.len(), blank.catalog.systems.len() + 1);
}

#[test]
fn the_blank_job_reads_without_a_notice() {
    let job = read("templates/blank-job");
    assert!(job.runs.is_empty() && job.prices.offers.is_empty());
}

#[test]
fn one_csv_file_of_any_name_is_a_run_list() {
    let folder = std::env::temp_dir().join(format!("trade-one-file-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let file = folder.join("my house.csv");
    std::fs::write(&file, "run,service,size,length\nA,cold,1/2,10\n").unwrap();
    let job = Job::read(&file);
    std::fs::remove_dir_all(&folder).unwrap();
    let job = job.unwrap();
    assert_eq!(job.notices, []);
    assert_eq!(job.runs.len(), 1);
}

#[test]
fn a_job_without_a_run_list_is_no_job() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("price-lists");
    assert_eq!(Job::read(&path).unwrap_err().kind, "no-run-list");
}

#[test]
fn every_part_and_size_of_the_demo_price_lists_is_known() {
    let job = read("examples/lake-cabin");
    for offer in &job.prices.offers {
        assert!(!job.catalog.parts_called(offer.part).is_empty(), "{}", job.lexicon.text(offer.part));
        for size in &offer.sizes {
            assert!(job.catalog.knows_size(*size), "{}", job.lexicon.text(*size));
        }
    }
}

#[test]
fn the_guest_lodge_reads_without_a_notice() {
    let job = read("tests/guest-lodge");
    assert_eq!(job.runs.len(), 109);
    assert_eq!(job.places.len(), 5);
    let studs = job.lexicon.find("studs").unwrap();
    let counted = job.runs.iter().filter(|run| !run.counted(studs).is_zero()).count();
    assert_eq!(counted, 14);
}
