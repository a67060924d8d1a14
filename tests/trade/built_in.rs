//! The program's own tables.

use coilstick::ground::{Length, LengthUnit};
use coilstick::trade::{Adds, Class, Job, Per, Side, SystemId, TurnsAs, UsedAs};

fn bare_job() -> Job {
    Job::from_texts(&[("runs", "run,service,size,length\nA,cold,1/2,10\n")])
}

#[test]
fn the_built_in_tables_read_without_a_notice() {
    let job = bare_job();
    assert_eq!(job.notices, []);
    assert_eq!(job.catalog.systems.len(), 10);
    assert!(job.catalog.patterns.len() >= 15);
}

#[test]
fn every_size_of_copper_has_a_row_for_solder_and_flux() {
    let job = bare_job();
    let copper = job.lexicon.find("copper").unwrap();
    let solder = job.lexicon.find("solder").unwrap();
    for size in job.catalog.sizes.iter().filter(|size| size.tube == copper) {
        let of_size = |joint: &&coilstick::trade::Consumption| joint.size == size.size;
        let rows = job.catalog.joints.iter().filter(|joint| joint.joint == solder).filter(of_size).count();
        assert_eq!(rows, 2, "{}", job.lexicon.text(size.size));
    }
}

#[test]
fn each_system_has_a_part_for_every_use_but_its_own_transition() {
    let job = bare_job();
    for system in (0..).map(SystemId).take(job.catalog.systems.len()) {
        let name = job.lexicon.text(job.catalog.system(system).name);
        // Meetings and turnings of drains are of that side; water has its tees and elbows, and no end of it is capped for a
        // test. Hubless iron has no bushing, no test cap and no two-way cleanout.
        let of_drains = [
            UsedAs::SanitaryTee,
            UsedAs::DoubleSanitaryTee,
            UsedAs::Wye,
            UsedAs::DoubleWye,
            UsedAs::Combination,
            UsedAs::LongSweep,
            UsedAs::QuarterBend,
            UsedAs::StreetEighthBend,
            UsedAs::Bushing,
            UsedAs::TestCap,
            UsedAs::TwoWayCleanout,
            UsedAs::ClosetBend,
            UsedAs::ClosetFlange,
        ];
        let not_of_iron = [UsedAs::Bushing, UsedAs::TestCap, UsedAs::TwoWayCleanout];
        let is_water = job.catalog.system(system).side == Side::Water;
        for used in UsedAs::ALL {
            if is_water && of_drains.contains(&used) || name == "iron-coupled" && not_of_iron.contains(&used)
            {
                continue;
            }
            assert!(
                job.catalog.parts_used_as(used, system).next().is_some(),
                "{name} has no {}",
                used.word()
            );
        }
    }
}

#[test]
fn the_tube_of_a_system_is_found_by_any_of_its_names() {
    let mut job = bare_job();
    let copper = job.catalog.system_named(job.lexicon.word("copper-solder")).unwrap();
    let variant = job.catalog.system(copper).variant;
    for name in ["tube", "pipe", "Tubing"] {
        let id = job.catalog.part_called(job.lexicon.word(name), variant, copper).unwrap();
        assert_eq!(job.catalog.part(id).class, Class::Tube);
        assert_eq!(job.catalog.part(id).variant, variant);
    }
}

#[test]
fn sticks_of_copper_are_twenty_feet_of_cpvc_and_drains_ten_and_coils_have_no_length() {
    let job = bare_job();
    for system in &job.catalog.systems {
        let feet = match job.lexicon.text(system.tube) {
            "copper" => Some(20),
            "cpvc" | "pvc" | "abs" | "hubless iron" => Some(10),
            _ => None,
        };
        assert_eq!(system.stock_length, feet.map(|feet| Length::whole(feet, LengthUnit::Foot)));
        assert_eq!(system.turns == TurnsAs::Bend, feet.is_none());
    }
}

#[test]
fn supports_of_plastic_stand_every_32_inches_up_to_one_inch() {
    // 2018 IRC Table P2605.1, PEX and copper tubing.
    let job = bare_job();
    let across = |tube: &str, size: &str| {
        let (tube, size) = (job.lexicon.find(tube).unwrap(), job.lexicon.find(size).unwrap());
        let rule = job.catalog.supports.iter().find(|rule| rule.tube == tube && rule.size == size).unwrap();
        rule.across.unwrap()
    };
    assert_eq!(across("pex", "1"), Length::whole(32, LengthUnit::Inch));
    assert_eq!(across("pex", "1-1/4"), Length::whole(4, LengthUnit::Foot));
    assert_eq!(across("copper", "1-1/4"), Length::whole(6, LengthUnit::Foot));
    assert_eq!(across("copper", "1-1/2"), Length::whole(10, LengthUnit::Foot));
    assert_eq!(across("cpvc", "1"), Length::whole(3, LengthUnit::Foot));
    assert_eq!(across("cpvc", "1-1/4"), Length::whole(4, LengthUnit::Foot));
}

#[test]
fn the_pattern_counted_counts_by_its_columns_alone() {
    let job = bare_job();
    let id = job.catalog.pattern_named(job.lexicon.find("counted").unwrap()).unwrap();
    for row in &job.catalog.pattern(id).rows {
        assert!(matches!(row.per, Per::Column(_)) && matches!(row.adds, Adds::Part(..)));
    }
}
