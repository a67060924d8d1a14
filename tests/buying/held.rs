//! Choices that are held: for one alternative or for all, and tube that is cut from exactly what was bought.

use coilstick::estimate::Alternative;
use coilstick::estimate::OrderLine;
use coilstick::estimate::{Estimate, estimate};
use coilstick::ground::Length;
use coilstick::report;
use coilstick::trade::Job;
use rust_decimal::Decimal;

/// Three runs of 9 ft that are copper in every alternative.
const RUNS: &str = "run,service,size,length (ft),system,joins\nA,cold,1/2,9,copper-solder,main\n\
                    B,cold,1/2,9,copper-solder,main\nC,cold,1/2,9,copper-solder,main\n";
const TERMS: &str = "item,value\nwater system,pex-clamp\ncompare with,copper-solder\n";
const PRICES: &str = "supplier,part,size,price,sold as,pack\nMill (invented),tube,1/2,18,stick,20 ft\n\
                      Mill (invented),tube,1/2,10,stick,10 ft\nMill (invented),cap,1/2,1,,\n\
                      Mill (invented),tube strap,1/2,0.2,,\nMill (invented),solder,,8,bag,1 lb\n\
                      Mill (invented),flux,,4,bag,2 oz\n";

fn held(rows: &str) -> (Job, Estimate) {
    let held = format!("alternative,part,size,system,offer,packs\n{rows}");
    let job = Job::from_texts(&[("runs", RUNS), ("job", TERMS), ("prices", PRICES), ("held", &held)]);
    let estimate = estimate(&job);
    (job, estimate)
}

fn tube<'a>(job: &Job, estimate: &Estimate, alternative: &'a Alternative) -> &'a OrderLine {
    let is_tube = |line: &&OrderLine| {
        let item = estimate.items.get(line.item);
        &*job.catalog.part(item.part).name == "tube"
    };
    alternative.order.iter().find(is_tube).unwrap()
}

/// What tube costs in each alternative.
fn tube_costs((job, estimate): &(Job, Estimate)) -> Vec<String> {
    let costs = estimate.alternatives.iter().map(|one| tube(job, estimate, one).extended.unwrap());
    costs.map(|cost| cost.normalize().to_string()).collect()
}

#[test]
fn a_choice_is_held_for_one_alternative_alone() {
    // Two pieces of 9 ft go into 20 ft: 18 and 10 are 28. Three sticks of 10 ft are 30.
    assert_eq!(tube_costs(&held("")), ["28", "28"]);
    let row = "tube,1/2,copper-solder,\"Mill (invented), stick of 10 ft\",3\n";
    assert_eq!(tube_costs(&held(&format!("copper-solder,{row}"))), ["28", "30"]);
    assert_eq!(tube_costs(&held(&format!("pex-clamp,{row}"))), ["30", "28"]);
    assert_eq!(tube_costs(&held(&format!(",{row}"))), ["30", "30"]);
}

#[test]
fn a_row_that_names_the_alternative_goes_before_one_for_all() {
    // Two of 20 ft are 36.
    let rows = ",tube,1/2,,\"Mill (invented), stick of 10 ft\",3\n\
                Pex-Clamp,tube,1/2,,\"Mill (invented), stick of 20 ft\",2\n";
    assert_eq!(tube_costs(&held(rows)), ["36", "30"]);
}

#[test]
fn pieces_are_cut_from_exactly_what_is_held() {
    let of = held(",tube,1/2,,\"Mill (invented), stick of 10 ft\",3\n");
    let (_, estimate) = &of;
    let plan = &estimate.alternatives[0].plans[0];
    let ten = Length::whole(10, coilstick::ground::LengthUnit::Foot);
    let cut: u64 = plan.cuttings.iter().map(|cutting| cutting.times).sum();
    assert!(plan.cuttings.iter().all(|cutting| cutting.length == ten && cutting.offer.is_some()));
    assert_eq!(cut, 3);
    // Not the least: a free choice costs 28, and that is said.
    assert_eq!((plan.cost, plan.bound), (Decimal::from(30), Decimal::from(28)));
}

#[test]
fn what_the_held_lengths_lack_is_bought_beside_them_and_said() {
    // Two sticks of 10 ft hold two pieces; the third takes one more of 10 ft, not one of 20 ft.
    let of = held("pex-clamp,tube,1/2,,\"Mill (invented), stick of 10 ft\",2\n");
    assert_eq!(tube_costs(&of), ["30", "28"]);
    let (_, estimate) = &of;
    let said: Vec<_> = estimate.notices.iter().filter(|one| one.kind == "held-lengths-too-few").collect();
    assert_eq!(said.len(), 1);
    assert!(
        said[0].found.contains("bought beside them: 1 x Mill (invented), stick of 10 ft"),
        "{}",
        said[0].found
    );
    assert_eq!(said[0].spots[0].to_string(), "held.csv:F2");
    let cut: u64 = estimate.alternatives[0].plans[0].cuttings.iter().map(|cutting| cutting.times).sum();
    assert_eq!(cut, 3);
}

#[test]
fn more_than_is_needed_that_is_held_is_kept() {
    let of = held("pex-clamp,tube,1/2,,\"Mill (invented), stick of 20 ft\",4\n");
    assert_eq!(tube_costs(&of), ["72", "28"]);
}

#[test]
fn a_number_left_open_beside_one_that_is_held_is_for_the_plan_to_say() {
    // One of 10 ft is held; the open rest is one of 20 ft for the other two pieces.
    let rows = "pex-clamp,tube,1/2,,\"Mill (invented), stick of 10 ft\",1\n\
                pex-clamp,tube,1/2,,\"Mill (invented), stick of 20 ft\",\n";
    let of = held(rows);
    assert_eq!(tube_costs(&of), ["28", "28"]);
    assert!(of.1.notices.iter().all(|notice| !notice.kind.starts_with("held")));
}

#[test]
fn the_file_of_held_choices_holds_each_alternative_for_itself() {
    let (job, first) = held("copper-solder,tube,1/2,,\"Mill (invented), stick of 10 ft\",3\n");
    let at = report::FILES.iter().position(|name| *name == "held.csv").unwrap();
    let written = String::from_utf8(report::bytes(&job, &first).unwrap()[at].clone()).unwrap();
    let again = Job::from_texts(&[("runs", RUNS), ("job", TERMS), ("prices", PRICES), ("held", &written)]);
    assert!(again.notices.iter().all(|notice| notice.kind != "no-alternative"));
    let again = (estimate(&again), again);
    assert_eq!(tube_costs(&(again.1, again.0)), ["28", "30"]);
    // Caps go by a system, tape by none: every row says whose it is.
    assert!(
        written.lines().skip(1).all(|row| row.starts_with("pex-clamp,") || row.starts_with("copper-solder,"))
    );
}
