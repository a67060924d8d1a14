//! Test day against published figures: head and pressure (`figures/head-pressure.csv`, computed from a published density), what
//! codes ask of a test (`figures/drain-tests.csv`), what pipe and tube hold (`figures/drain-pvc-sch40-pipe.csv`,
//! `figures/tube-volume.csv`).

use coilstick::checks::{Filled, Test, TestDay, test_day};
use coilstick::estimate::estimate;
use coilstick::trade::{Job, Side, TestMethod};
use rust_decimal::Decimal;

use crate::counting::{beside, number, rows};

/// The test day of a job.
fn day(terms: &str, runs: &str) -> TestDay {
    let terms = format!("item,value\ndrain system,pvc-cement\ncompare with,none\n{terms}");
    let job = Job::from_texts(&[("job", &terms), ("runs", runs)]);
    assert!(job.notices.iter().all(|notice| !notice.is_error()), "{:#?}", job.notices);
    test_day(&job, &estimate(&job))
}

fn only(day: TestDay) -> Test {
    let tests = day.alternatives.into_iter().next().unwrap();
    assert_eq!(tests.len(), 1);
    tests.into_iter().next().unwrap()
}

/// A stack that is full to so many feet over its foot: the last foot is the tube over the roof that comes unasked.
fn stack(feet: u32, temperature: &str) -> Decimal {
    let up = feet - 1;
    let runs =
        format!("run,service,size,path,joins,to\nD,drain,3,up 1',sewer,\nV,vent,3,up {}',D,roof\n", up - 1);
    let terms = format!("water temperature,{temperature}\n");
    only(day(&terms, &runs)).sections[0].most_psi.unwrap()
}

/// The trade says that a top of 22 ft shows about 10 psi at its foot: 9.5 (common practice; 22 x 0.4331 = 9.528).
#[test]
fn a_top_of_22_feet_shows_nine_and_a_half_psi() {
    assert_eq!(stack(22, "60").round_dp(1), number("9.5"));
}

/// CISPI Handbook, 2006: a head of 10 ft is 4.3 psi.
#[test]
fn ten_feet_of_head_are_4_3_psi() {
    assert_eq!(stack(10, "60").round_dp(1), number("4.3"));
}

/// A textbook exercise of hydraulics, from memory: 64 ft of head is 27.7 psi (64 x 0.433 = 27.71).
#[test]
fn sixty_four_feet_of_head_are_27_7_psi() {
    assert_eq!(stack(64, "60").round_dp(1), number("27.7"));
}

/// Density of water by Kell (1975) and standard gravity, as the table states; five of its temperatures.
#[test]
fn head_at_five_temperatures_is_the_published_pressure() {
    let table = rows(&beside("figures/head-pressure.csv"));
    let asked = ["39.2", "60", "80", "100", "140"];
    for temperature in asked {
        let row = table.iter().find(|row| row["water_temp_f"] == temperature).unwrap();
        assert_eq!(stack(22, temperature).round_dp(2), number(&row["psi_at_22_ft"]), "{temperature}");
        assert_eq!(stack(10, temperature).round_dp(2), number(&row["psi_at_10_ft"]), "{temperature}");
    }
}

/// A gallon at 60 F weighs 8.34 lb (common practice; 8.337 by its density).
#[test]
fn a_gallon_weighs_8_34_pounds() {
    let test = only(day("", "run,service,size,path,joins\nD,drain,4,E 100',sewer\n"));
    let Filled { gallons, pounds, .. } = test.filled;
    assert_eq!((pounds.unwrap() / gallons).round_dp(2), number("8.34"));
}

/// ASTM D1785 dimensions: gallons a foot at the average inside diameter, five sizes.
#[test]
fn a_foot_of_schedule_40_holds_the_published_gallons() {
    let table = rows(&beside("figures/drain-pvc-sch40-pipe.csv"));
    for size in ["1-1/2", "2", "3", "4", "6"] {
        let runs = format!("run,service,size,path,joins\nD,drain,{size},E 100',sewer\n");
        let held = only(day("", &runs)).filled.gallons / Decimal::ONE_HUNDRED;
        let row = table.iter().find(|row| row["nominal_in"] == size).unwrap();
        let stated = number(&row["gal_per_ft_average_id"]);
        assert_eq!(held.round_dp(stated.scale()), stated, "{size}");
    }
}

/// 2009 IPC Table E202.1 as reproduced by US DOE Building Science Education: ounces a foot, 128 to the gallon; five tubes.
#[test]
fn a_foot_of_water_tube_holds_the_published_ounces() {
    let table = rows(&beside("figures/tube-volume.csv"));
    let tubes = [
        ("pex-clamp", "PEX CTS SDR 9", "1/2"),
        ("pex-clamp", "PEX CTS SDR 9", "3/4"),
        ("pex-clamp", "PEX CTS SDR 9", "1"),
        ("copper-solder-m", "Copper M", "3/4"),
        ("cpvc-cement", "CPVC CTS SDR 11", "1/2"),
    ];
    for (system, material, size) in tubes {
        let runs = format!("run,service,size,path,joins\nM,cold,{size},E 100',main\n");
        let held = only(day(&format!("water system,{system}\n"), &runs)).filled.gallons;
        let row = table.iter().find(|row| row["material"] == material && row["nominal"] == size).unwrap();
        let away = held * number("1.28") - number(&row["oz_per_ft"]);
        assert!(away.abs() <= number("0.0051"), "{system} {size}: {away}");
    }
}

/// New York's 2007 text of the IRC and 77 Ill. Adm. Code 890.1930: 10 ft of head for 15 minutes; 5 psi of air, not in plastic.
#[test]
fn the_rules_are_those_of_the_codes() {
    let table = rows(&beside("figures/drain-tests.csv"));
    let asked = |rule: &str, method: &str| {
        let row = table.iter().find(|row| row["rule"].contains(rule) && row["method"].starts_with(method));
        let row = row.unwrap().clone();
        (row["requirement"].clone(), number(&row["hold_minutes"]))
    };
    for (family, of_water, of_air) in [("IRC", "P2503.4.1", "P2503.5.1"), ("UPC", "890.1930", "890.1930")] {
        let terms = format!("code family,{family}\n");
        let test = only(day(&terms, "run,service,size,path,joins\nD,drain,4,E 10',sewer\n"));
        assert_eq!(test.side, Side::Drain);
        let way = |method| test.ways.iter().find(|way| way.rule.method == method).unwrap();
        let (water, minutes) = asked(of_water, "water");
        assert!(water.contains("at least 10 ft"), "{water}");
        let by_water = way(TestMethod::Water);
        assert_eq!(by_water.rule.head.unwrap().as_typed(coilstick::ground::LengthUnit::Foot), "10 ft");
        assert_eq!(by_water.rule.minutes, Some(minutes));
        let (air, minutes) = asked(of_air, "air");
        assert!(air.starts_with("5 psi"), "{air}");
        let by_air = way(TestMethod::Air);
        assert_eq!((by_air.psi, by_air.rule.minutes), (Some(Decimal::from(5)), Some(minutes)));
        assert!(!by_air.never_in.is_empty(), "no air in plastic");
    }
}
