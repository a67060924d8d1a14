//! The user's tables over the program's own.

use coilstick::ground::{Length, LengthUnit};
use coilstick::trade::{Class, Job, TubeAllowance};
use rust_decimal::Decimal;

const RUNS: (&str, &str) = ("runs", "run,service,size,length\nA,cold,1/2,10\n");

#[test]
fn a_users_part_takes_the_place_of_the_built_in_one_and_keeps_its_id() {
    let plain = Job::from_texts(&[RUNS]);
    let own = Job::from_texts(&[
        RUNS,
        ("parts", "part,ports,class,section\nTee,\"joint, joint, joint\",fitting,aisle 9\n"),
    ]);
    assert_eq!(own.notices, []);
    assert_eq!(plain.catalog.parts.len(), own.catalog.parts.len());
    let place = plain.catalog.parts.iter().position(|part| &*part.name == "tee").unwrap();
    assert_eq!(own.lexicon.text(own.catalog.parts[place].section), "aisle 9");
}

#[test]
fn a_users_pattern_replaces_the_built_in_of_that_name_whole() {
    let job = Job::from_texts(&[RUNS, ("patterns", "pattern,part,per\nService Entry,,\nmine,cap,end\n")]);
    assert_eq!(job.notices, []);
    let rows = |name: &str| {
        let id = job.catalog.pattern_named(job.lexicon.find(name).unwrap()).unwrap();
        job.catalog.pattern(id).rows.len()
    };
    assert_eq!((rows("service entry"), rows("mine"), rows("hose bibb")), (0, 1, 2));
}

#[test]
fn a_support_of_ones_own_replaces_the_published_one() {
    let job =
        Job::from_texts(&[RUNS, ("supports", "tube,size,across,up,part\npex,1/2,24 in,5 ft,tube clip\n")]);
    assert_eq!(job.notices, []);
    let pex = job.lexicon.find("pex").unwrap();
    let half = job.lexicon.find("1/2").unwrap();
    let rules: Vec<_> =
        job.catalog.supports.iter().filter(|rule| rule.tube == pex && rule.size == half).collect();
    assert_eq!(rules.len(), 1);
    assert_eq!(rules[0].across, Some(Length::whole(24, LengthUnit::Inch)));
}

#[test]
fn a_new_tube_works_by_tables_alone() {
    let job = Job::from_texts(&[
        ("runs", "run,service,size,length (m),system\nA,cold,15 mm,3.5,steel-press\n"),
        ("systems", "system,side,tube,fit,joint\nsteel-press,water,steel,press,press\n"),
        ("sizes", "tube,size,order\nsteel,15 mm,15\nsteel,22 mm,22\n"),
        ("joints", "joint,size,part,amount,unit,per\npress,,,,,\n"),
    ]);
    assert_eq!(job.notices, []);
    assert!(!job.runs[0].in_error);
    assert_eq!(job.runs[0].length, Length::whole(3500, LengthUnit::Millimetre));
}

#[test]
fn what_the_job_leaves_out_has_the_value_a_first_job_needs() {
    let job = Job::from_texts(&[RUNS]);
    assert_eq!(job.lexicon.text(job.settings.water_system), "pex-clamp");
    let compared: Vec<_> = job.settings.compare_with.iter().map(|word| job.lexicon.text(*word)).collect();
    assert_eq!(compared, ["copper-solder"]);
    assert_eq!(job.settings.allowance(Class::Fitting), (Decimal::ZERO, None));
    assert_eq!(job.settings.tube_allowance, TubeAllowance::Plan);
}

#[test]
fn allowances_are_said_by_class_in_one_cell_or_two() {
    let table = "item,for,value\nallowance,fitting,7\nallowance rings,,12 %\nwater system,,copper-solder\n";
    let job = Job::from_texts(&[RUNS, ("job", table)]);
    assert_eq!(job.notices, []);
    let (fitting, ring) = (job.settings.allowance(Class::Fitting), job.settings.allowance(Class::Ring));
    assert_eq!((fitting.0, ring.0), (Decimal::from(7), Decimal::from(12)));
    assert_eq!((fitting.1.unwrap().row, ring.1.unwrap().row), (2, 3));
    assert_eq!(job.settings.compare_with, [job.lexicon.find("pex-clamp").unwrap()]);
}

#[test]
fn bare_lengths_are_metres_where_the_job_says_so() {
    let job = Job::from_texts(&[RUNS, ("job", "item,value\nunits,m\n")]);
    assert_eq!(job.runs[0].length, Length::whole(10, LengthUnit::Metre));
}

#[test]
fn a_folder_shared_by_jobs_lies_between_the_built_in_tables_and_the_jobs_own() {
    let folder = std::env::temp_dir().join(format!("trade-shared-{}", std::process::id()));
    std::fs::create_dir_all(folder.join("job")).unwrap();
    std::fs::create_dir_all(folder.join("shared")).unwrap();
    std::fs::write(folder.join("job/runs.csv"), RUNS.1).unwrap();
    std::fs::write(folder.join("job/job.csv"), "item,value\ntables,../shared\n").unwrap();
    std::fs::write(folder.join("job/patterns.csv"), "pattern,part,per\nmine,cap,end\n").unwrap();
    let shared = "pattern,part,per\nmine,cap,end\nmine,cap,start\nours,cap,end\nours,cap,start\ntrunk,,\n";
    std::fs::write(folder.join("shared/patterns.csv"), shared).unwrap();
    let systems = "system,side,tube,fit,joint\npex-clamp,water,pex,barb,clamp\n";
    std::fs::write(folder.join("shared/systems.csv"), systems).unwrap();
    let job = Job::read(&folder.join("job"));
    std::fs::remove_dir_all(&folder).unwrap();
    let job = job.unwrap();
    assert_eq!(job.notices, []);
    let rows = |name: &str| {
        let id = job.catalog.pattern_named(job.lexicon.find(name).unwrap()).unwrap();
        job.catalog.pattern(id).rows.len()
    };
    assert_eq!((rows("mine"), rows("ours"), rows("trunk"), rows("hose bibb")), (1, 2, 0, 2));
    assert!(!job.catalog.systems[0].colors);
}
