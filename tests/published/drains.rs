//! Drains against published tables: which fittings a change of direction may take (IRC 2012 Table P3005.1, as
//! `figures/drain-change-of-direction.csv` has it), what fixtures send (IRC, UPC), pipe, cement, hangers, and the fall of a
//! worked example. Of `drain-fixtures.csv` the rows that say so are from memory.

use coilstick::ground::{Length, LengthUnit};
use coilstick::trade::{Angle, Attitude, Job, Met, Service, Turned};
use rust_decimal::Decimal;

use crate::counting::{Counted, beside, number, rows};

/// A job that reads the built-in tables.
fn job() -> Job {
    Job::from_texts(&[("runs", "run,service,size,length,joins\nD,drain,3,9.5 ft,sewer\n")])
}

/// What the published table says of a fitting: the column is the way the water goes, down the stream.
fn allowed(fitting: &str, child: Attitude, parent: Attitude) -> String {
    let way = match (child, parent) {
        (Attitude::Level, Attitude::Upright) => "horizontal_to_vertical",
        (Attitude::Upright, Attitude::Level) => "vertical_to_horizontal",
        (Attitude::Level, Attitude::Level) => "horizontal_to_horizontal",
        (Attitude::Upright, Attitude::Upright) => panic!("the table has no such column"),
    };
    let called = if fitting == "combination" { "combination wye and eighth bend" } else { fitting };
    let table = rows(&beside("figures/drain-change-of-direction.csv"));
    let row = table.iter().find(|row| row["fitting"] == called).unwrap_or_else(|| panic!("{called}"));
    row[way].clone()
}

/// Every change of direction of a drain that the built-in tables know, with the fitting they give it.
#[test]
fn every_fitting_of_a_drain_is_one_that_its_change_of_direction_may_take() {
    use Attitude::{Level, Upright};
    let job = job();
    let system = job.catalog.system_named(job.lexicon.find("pvc-cement").unwrap()).unwrap();
    let mut asked = 0;
    for (child, parent) in [(Level, Upright), (Upright, Level), (Level, Level)] {
        for angle in [Angle::Eighth, Angle::Quarter] {
            if angle == Angle::Eighth && child != parent {
                continue;
            }
            let met =
                Met { parent: (Service::Drain, parent), child: (Service::Drain, child), angle, pair: false };
            let turned = Turned { service: Service::Drain, parent, child, angle };
            let meeting = job.catalog.meeting(&met, system).unwrap().part;
            let turning = job.catalog.turning(&turned, system).unwrap().part;
            for part in [meeting, turning] {
                let fitting = job.lexicon.text(part);
                let said = allowed(fitting, child, parent);
                assert!(said.starts_with("yes"), "{fitting}, {child:?} into {parent:?}: {said}");
                asked += 1;
            }
        }
    }
    assert_eq!(asked, 8);
    // What the table forbids there is what is not given: a quarter bend at the foot of a stack, a sanitary tee on its back.
    assert!(!allowed("quarter bend", Upright, Level).starts_with("yes"));
    assert_eq!(allowed("sanitary tee", Level, Level), "no");
}

#[test]
fn fixtures_send_what_the_codes_say() {
    let job = job();
    let find = |word: &str| job.lexicon.find(word).unwrap();
    let table = rows(&beside("figures/drain-fixtures.csv"));
    let mut compared = 0;
    for (published, own) in [
        ("bar sink", "bar sink"),
        ("bathtub or tub/shower", "bathtub"),
        ("bathtub or tub/shower", "tub and shower"),
        ("bathtub", "bathtub"),
        ("clothes washer, 2 in standpipe", "clothes washer"),
        ("clothes washer standpipe", "clothes washer"),
        ("dishwasher, own drain", "dishwasher"),
        ("dishwasher", "dishwasher"),
        ("kitchen sink (with or without disposer/dishwasher)", "kitchen sink"),
        ("kitchen sink", "kitchen sink"),
        ("laundry sink, 1 or 2 compartments", "laundry tub"),
        ("laundry tub", "laundry tub"),
        ("lavatory", "lavatory"),
        ("shower stall", "shower"),
        ("shower >5.7 to 12.3 gpm", "shower"),
        ("water closet 1.6 gpf gravity tank", "water closet"),
        ("water closet 1.6 gpf", "water closet"),
        ("floor drain", "floor drain"),
    ] {
        for row in table.iter().filter(|row| row["fixture"] == published) {
            let family = row["code"].split(' ').next().unwrap();
            let units = job.catalog.drain_units(find(family), find(own)).unwrap();
            if !row["dfu"].is_empty() {
                assert_eq!(units.units, number(&row["dfu"]), "{family} {own}");
                compared += 1;
            }
            if !row["min_trap_in"].is_empty() {
                assert_eq!(job.lexicon.text(units.trap), row["min_trap_in"], "{family} {own}");
                compared += 1;
            }
        }
    }
    assert!(compared >= 35, "{compared}");
}

#[test]
fn pipe_of_schedule_40_has_its_published_diameters() {
    let job = job();
    let inches = |length: Option<Length>| length.unwrap().in_units(LengthUnit::Inch);
    let table = rows(&beside("figures/drain-pvc-sch40-pipe.csv"));
    let pvc = job.lexicon.find("pvc").unwrap();
    let own: Vec<_> = job.catalog.sizes.iter().filter(|size| size.tube == pvc).collect();
    assert_eq!(own.len(), 6);
    for size in own {
        let named = job.lexicon.text(size.size);
        let row = table.iter().find(|row| row["nominal_in"] == named).unwrap();
        assert_eq!(inches(size.outside), number(&row["od_in"]), "{named}");
        assert_eq!(inches(size.inside), number(&row["average_id_in"]), "{named}");
    }
}

/// One pint joins half as many as a quart: twenty level feet of 3 in. are two lengths with a coupling of two joints, and a test
/// cap of one: three joints of forty a quart, 3 / 20 pint.
#[test]
fn cement_goes_by_the_joints_of_a_quart() {
    let table = rows(&beside("figures/drain-solvent-cement.csv"));
    for size in ["1-1/2", "2", "3", "4", "6"] {
        let runs = format!("run,service,size,length,joins\nD,drain,{size},20 ft,sewer\n");
        let terms = "item,value\ndrain system,abs-cement\ncompare with,none\n";
        let counted = Counted::of(&[("job", terms), ("runs", &runs)]);
        let joints = &table.iter().find(|row| row["pipe_size_in"] == size).unwrap()["joints_per_quart"];
        let pints = Decimal::from(3) * Decimal::TWO / number(joints);
        assert_eq!(counted.need_of("abs-cement", "cement", ""), pints.round_dp(4), "{size}");
    }
}

/// Modern Plumbing 2022, p. 339: 9-1/2 ft at 1/4 in. a foot fall 2-3/8 in.
#[test]
fn nine_and_a_half_feet_fall_two_and_three_eighths_inches() {
    let job = job();
    let run = &job.runs[0];
    let fall = run.fall.unwrap().fall(run.length);
    assert_eq!(fall, Length::read("2 3/8 in", LengthUnit::Foot).unwrap());
}

/// IRC 2018 Table P2605.1, p. 646: ABS every 4 ft across and 10 ft up, iron 5 and 15 (PVC as ABS: from memory of the same
/// table). 24 ft level and 9 ft up of ABS: 6 and 1 hangers; of iron 5 and 1.
#[test]
fn drains_hang_at_the_published_spacing() {
    let table = rows(&beside("figures/drain-supports.csv"));
    let runs = "run,service,size,path (ft),joins\nD,drain,3,\"N 24, up 9\",sewer\n";
    for (system, material) in
        [("abs-cement", "ABS pipe"), ("pvc-cement", "PVC pipe"), ("iron-coupled", "cast-iron pipe")]
    {
        let row = table.iter().find(|row| row["material"] == material).unwrap();
        let spaced = |feet: i64, by: &str| (Decimal::from(feet) / number(by)).ceil();
        let hangers = spaced(24, &row["max_horizontal_ft"]) + spaced(9, &row["max_vertical_ft"]);
        let terms = format!("item,value\ndrain system,{system}\ncompare with,none\n");
        let counted = Counted::of(&[("job", &terms), ("runs", runs)]);
        assert_eq!(counted.need_of(system, "pipe hanger", "3"), hangers, "{system}");
    }
}
