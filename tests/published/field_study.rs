//! The published field study of four identical houses beside the courtyard house: plastic on home-run lines against copper as
//! trunk and branch, in material and installed. The demo's prices and hours are invented, so nothing is asked of how near
//! they come; what is asked is that the README beside the example shows the study's figures and the program's own.
//!
//! `README=write cargo test --test published field_study` writes the program's figures anew between their two marks.

use std::fs;
use std::path::{Path, PathBuf};

use coilstick::estimate::estimate;
use coilstick::ground::money::round_half_away;
use coilstick::trade::Job;
use rust_decimal::Decimal;

const MARKS: [&str; 2] = ["<!-- figures -->\n", "<!-- end of figures -->"];

fn example(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("examples").join(name)
}

/// What a layout comes to in a system.
struct Costs {
    material: Decimal,
    joints: Decimal,
    feet: Decimal,
    /// Hours, labor and tools, where the job has tables of them.
    work: Option<[Decimal; 3]>,
}

fn costs(layout: &str, system: &str) -> Costs {
    let mut job = Job::read(&example(layout)).unwrap();
    let (water, drain) = (job.lexicon.find(system).unwrap(), job.settings.drain_system);
    job.lay_in(&[water, drain]);
    let estimate = estimate(&job);
    let one = &estimate.alternatives[0];
    assert!(one.cost.complete && one.cost.not_priced.is_empty(), "{layout} in {system}");
    let (labor, tools) = (&one.labor, &one.tools);
    let stated = labor.cost > Decimal::ZERO && tools.stated;
    if stated {
        assert!(
            labor.has_all_hours() && tools.is_whole(),
            "{layout} in {system}: hours or tools are missing"
        );
    }
    Costs {
        material: one.cost.material,
        joints: Decimal::from(one.takeoff.joints),
        feet: estimate.comparison.feet[0].round(),
        work: stated.then_some([labor.hours, labor.cost, tools.cost]),
    }
}

/// How much less the first is, in points of the second, to a whole point as the study gives it.
fn less(first: Decimal, second: Decimal) -> Decimal {
    round_half_away((second - first) * Decimal::ONE_HUNDRED / second, 0)
}

/// The table between the marks: the study, then the same two ways here.
fn table(plastic: &Costs, copper: &Costs) -> String {
    let row = |name: &str, study: &str, first: Decimal, second: Decimal| {
        let less = less(first, second);
        let words = match less < Decimal::ZERO {
            true => format!("{} % more", -less),
            false => format!("{less} % less"),
        };
        format!("| {name} | {study} | {first} | {second} | {words} |\n")
    };
    let mut rows = vec![
        "| | plastic in the study | plastic on manifolds here | copper on trunks here | plastic here |\n"
            .to_owned(),
        "|---|---|---:|---:|---:|\n".to_owned(),
        row("tube, ft", "", plastic.feet, copper.feet),
        row("joints to make", "", plastic.joints, copper.joints),
        row("material, USD", "a little more", plastic.material, copper.material),
    ];
    if let (Some(first), Some(second)) = (plastic.work, copper.work) {
        for (name, at) in [("hours", 0), ("labor, USD", 1), ("tools, USD", 2)] {
            rows.push(row(name, "", first[at], second[at]));
        }
        let installed = |costs: &Costs, work: [Decimal; 3]| costs.material + work[1] + work[2];
        rows.push(row("installed, USD", "28 % less", installed(plastic, first), installed(copper, second)));
    } else {
        rows.push("| installed | 28 % less | no hours yet | no hours yet | |\n".to_owned());
    }
    rows.concat()
}

/// The demo beside the study, as the README of the example shows it.
#[test]
fn the_field_study_of_four_houses_stands_beside_the_courtyard() {
    let study = fs::read_to_string(
        Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/published/figures/field-study.csv"),
    )
    .unwrap();
    assert!(study.contains("PEX 28 percent lower") && study.contains("PEX slightly higher"));
    let table = table(&costs("courtyard-manifold", "pex-clamp"), &costs("courtyard-trunk", "copper-solder"));
    let path = example("courtyard-manifold").join("README.md");
    let readme = fs::read_to_string(&path).unwrap();
    let (front, rest) = readme.split_once(MARKS[0]).unwrap();
    let (found, back) = rest.split_once(MARKS[1]).unwrap();
    if std::env::var("README").is_ok_and(|word| word == "write") {
        fs::write(&path, format!("{front}{}{table}{}{back}", MARKS[0], MARKS[1])).unwrap();
        return;
    }
    assert_eq!(found, table, "README=write cargo test --test published field_study writes it anew");
}

/// Plastic at 72 against copper at 100 is 28 % less, as the study reckons: (copper - plastic) / copper.
#[test]
fn what_the_study_calls_lower_is_a_share_of_copper() {
    assert_eq!(less(Decimal::from(72), Decimal::ONE_HUNDRED), Decimal::from(28));
    assert_eq!(less(Decimal::from(103), Decimal::ONE_HUNDRED), Decimal::from(-3));
}
