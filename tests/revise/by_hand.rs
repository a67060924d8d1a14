//! A job small enough to be revised on paper.

use coilstick::estimate::revision::{ItemChange, OfferWhat, RunWhat, What};
use coilstick::trade::Job;
use rust_decimal::Decimal;

use crate::revised;

const RUNS: &str = "run,service,size,length (ft),pattern,joins,at (ft),to\n\
                    A,cold,1/2,30,,main,,\n\
                    B,cold,1/2,12,,A,10,sink\n";
// Tube is 0.50 a foot loose, a tee 2.00, a ring 0.20 loose, caps 1.00.
const PRICES: &str = "supplier,part,size,price,system,sold as,pack,per,code,good until,returnable\n\
                      Invented Supply,tube,1/2,0.50,pex,each,,ft,T,,\n\
                      Invented Supply,tee,1/2,2.00,pex,each,,each,E,,\n\
                      Invented Supply,clamp ring,1/2,3.00,pex,bag,10,pack,R,,yes\n\
                      Invented Supply,cap,1/2,1.00,pex,each,,each,C,2026-06-30,\n\
                      Invented Supply,tube clip,1/2,0.10,pex,each,,each,K,,\n";
const JOB: &str =
    "item,for,value\nname,,Shed\ndate,,2026-03-01\ncompare with,,none\nwater system,,pex-clamp\n";

fn job(runs: &str, prices: &str) -> Job {
    Job::from_texts(&[("job", JOB), ("runs", runs), ("prices", prices)])
}

fn d(text: &str) -> Decimal {
    Decimal::from_str_exact(text).unwrap()
}

fn item<'a>(items: &'a [ItemChange], part: &str) -> &'a ItemChange {
    items.iter().find(|item| item.named.part == part).unwrap_or_else(|| panic!("no {part}"))
}

#[test]
fn a_longer_run_and_one_more_are_adds_at_the_old_prices() {
    // B is 14 ft, not 12; a run C of 8 ft more joins A. The tube costs 0.60 now.
    let runs = RUNS.replace("B,cold,1/2,12", "B,cold,1/2,14") + "C,cold,1/2,8,,A,20,tub\n";
    let prices = PRICES.replace("tube,1/2,0.50", "tube,1/2,0.60");
    let revision = revised(&job(RUNS, PRICES), &job(&runs, &prices));
    let tube = item(&revision.items, "tube");
    // 42 ft before, 52 ft now: 10 ft at 0.50 are 5.00; 52 ft x 0.10 are 5.20 by the price alone.
    assert_eq!((tube.more(), tube.by_quantity, tube.by_price), (d("10"), d("5.00"), d("5.20")));
    assert_eq!(tube.what(), What::Changed);
    let tee = item(&revision.items, "tee");
    assert_eq!((tee.more(), tee.by_quantity, tee.by_price), (d("1"), d("2.00"), d("0")));
    // One tee more has three joints, and the open end of C a cap: each joint takes a ring.
    let ring = item(&revision.items, "clamp ring");
    assert_eq!(ring.more(), d("4"));
    let totals = revision.totals;
    assert_eq!(totals.deducts, d("0"));
    assert_eq!(totals.old + totals.adds + totals.price, totals.new);
    let runs: Vec<_> = revision.runs.iter().map(|run| (run.name.as_str(), run.what)).collect();
    // The tee and its joints are those of the branch.
    assert_eq!(runs, [("B", RunWhat::Changed), ("C", RunWhat::Added)]);
    let length = &revision.runs[0].fields[0];
    assert_eq!((&*length.heading, &*length.old, &*length.new), ("length", "12 ft", "14 ft"));
}

#[test]
fn a_pack_that_is_not_needed_any_more_is_said_with_whether_it_may_go_back() {
    // Without B there is no tee, and two rings on the caps of A at most: one bag of ten before and one now; so six more
    // runs like B ask for a second bag, and dropping them gives it back.
    let more: String = (1..=6).map(|n| format!("B{n},cold,1/2,5,,A,{},s{n}\n", 10 + n)).collect();
    let revision = revised(&job(&format!("{RUNS}{more}"), PRICES), &job(RUNS, PRICES));
    let ring = item(&revision.items, "clamp ring");
    assert!(ring.is_deduct() && ring.by_quantity < d("0"));
    let packs = ring.packs();
    assert_eq!(packs.len(), 1);
    assert!(packs[0].new < packs[0].old && packs[0].returnable == Some(true), "{packs:?}");
    assert_eq!(revision.totals.adds, d("0"));
}

#[test]
fn what_fits_into_the_pack_that_is_bought_already_moves_no_money_and_is_still_listed() {
    let runs = RUNS.to_owned() + "C,cold,1/2,8,,A,20,tub\n";
    let revision = revised(&job(RUNS, PRICES), &job(&runs, PRICES));
    let ring = item(&revision.items, "clamp ring");
    assert!(ring.is_add() && ring.by_quantity == d("0"), "{ring:?}");
    assert!(ring.is_covered());
    let [_, csv, _] = coilstick::report::revision_bytes(&revision, &[]).unwrap();
    let csv = String::from_utf8(csv).unwrap();
    let line = csv.lines().find(|line| line.starts_with("add,clamp ring")).unwrap();
    assert!(line.contains(",0.00,0.00,covered by packs bought before,"), "{line}");
    assert!(csv.contains("labor is in no sum here"), "{csv}");
}

/// A run C of 8 ft more makes a tee of three joints and a capped end: 4 joints of 0.10 h and 8 ft of 0.02 h, 0.56 h.
/// Before there are 5 joints and 42 ft, 1.34 h; now 1.90 h. At 40 and a burden of 25 an hour costs 50: 67.00 before, 95.00
/// now; at 44 it costs 55, and 1.90 h are 104.50.
#[test]
fn a_change_order_holds_the_hours_it_moves_at_the_old_wages_and_what_wages_move_apart() {
    let labor = "per,hours\njoint,0.1\nlength,0.02\nsupport,0\npart,0\nplace,0\nrun,0\n";
    let job = |runs: &str, rate: &str| {
        let terms = format!("{JOB}rate,,{rate}\nburden,,25\n");
        Job::from_texts(&[("job", &terms), ("runs", runs), ("prices", PRICES), ("labor", labor)])
    };
    let more = RUNS.to_owned() + "C,cold,1/2,8,,A,20,tub\n";
    let revision = revised(&job(RUNS, "40"), &job(&more, "44"));
    let labor = revision.labor.as_ref().unwrap();
    assert_eq!(labor.hours, [d("1.34"), d("1.90")]);
    let works: Vec<_> = labor.works.iter().map(|of| (of.work.as_str(), of.new - of.old)).collect();
    let named = [("joint, pex-clamp 1/2", d("0.40")), ("tube 1/2 (pex-clamp, blue)", d("0.16"))];
    assert_eq!(works, named);
    assert_eq!(labor.cost, Some([d("67.00"), d("104.50")]));
    assert_eq!((labor.by_hours, labor.by_wages), (d("28.00"), d("9.50")));
    assert!(labor.whole);
    let [_, csv, json] = coilstick::report::revision_bytes(&revision, &[]).unwrap();
    let csv = String::from_utf8(csv).unwrap();
    assert!(csv.lines().any(|line| line.starts_with("labor by hours,") && line.contains(",28.00,")), "{csv}");
    let json: serde_json::Value = serde_json::from_slice(&json).unwrap();
    assert_eq!((&json["labor"]["by_hours"], &json["labor"]["by_wages"]), (&"28.00".into(), &"9.50".into()));
}

#[test]
fn an_item_that_the_old_list_does_not_name_is_taken_at_the_new_price() {
    let without = PRICES.replace("Invented Supply,tee,1/2,2.00,pex,each,,each,E,,\n", "");
    let runs = "run,service,size,length (ft),pattern,joins,at (ft),to\nA,cold,1/2,30,,main,,\n";
    let revision = revised(&job(runs, &without), &job(RUNS, PRICES));
    let tee = item(&revision.items, "tee");
    assert!(tee.at_new_prices);
    assert_eq!((tee.what(), tee.by_quantity, tee.by_price), (What::Added, d("2.00"), d("0")));
    assert_eq!(revision.totals.old + revision.totals.quantity(), revision.totals.new);
}

#[test]
fn what_has_no_price_any_more_is_in_no_effect_and_by_itself() {
    let without = PRICES.replace("Invented Supply,tee,1/2,2.00,pex,each,,each,E,,\n", "");
    let revision = revised(&job(RUNS, PRICES), &job(RUNS, &without));
    let tee = item(&revision.items, "tee");
    assert!(tee.is_not_priced());
    assert_eq!((tee.by_quantity, tee.by_price, tee.by_unpriced), (d("0"), d("0"), d("-2.00")));
    assert_eq!(revision.totals.unpriced, d("-2.00"));
    let gone: Vec<_> = revision.offers.iter().map(|offer| (&*offer.called, &offer.what)).collect();
    assert_eq!(gone, [("tee 1/2 (pex)", &OfferWhat::Gone)]);
}

#[test]
fn a_later_day_lets_offers_expire() {
    let later = JOB.replace("2026-03-01", "2026-07-01");
    let new = Job::from_texts(&[("job", &later), ("runs", RUNS), ("prices", PRICES)]);
    let revision = revised(&job(RUNS, PRICES), &new);
    let expired: Vec<_> = revision.offers.iter().map(|offer| (&*offer.called, offer.what.word())).collect();
    assert_eq!(expired, [("cap 1/2 (pex)", "expired")]);
    assert_eq!(revision.terms.len(), 1);
}

#[test]
fn an_item_of_the_job_that_changes_is_told_as_it_is_written() {
    let thicker = format!("{JOB}kerf,,1/8 in\n");
    let new = Job::from_texts(&[("job", &thicker), ("runs", RUNS), ("prices", PRICES)]);
    let terms = revised(&job(RUNS, PRICES), &new).terms;
    let told: Vec<_> = terms.iter().map(|term| (&*term.heading, &*term.old, &*term.new)).collect();
    assert_eq!(told, [("kerf", "", "1/8 in")]);
}

#[test]
fn a_price_moves_by_so_many_points_even_where_the_pack_is_another() {
    // 10 rings for 3.00 before, 25 for 6.00 now: 0.30 and 0.24 each, 20 points less.
    let prices = PRICES.replace("clamp ring,1/2,3.00,pex,bag,10", "clamp ring,1/2,6.00,pex,bag,25");
    let revision = revised(&job(RUNS, PRICES), &job(RUNS, &prices));
    let OfferWhat::Moved { old, new, points } = &revision.offers[0].what else {
        panic!("{:?}", revision.offers)
    };
    assert_eq!((*old, *new, *points), (d("0.3"), d("0.24"), Some(d("-20"))));
}

#[test]
fn feet_and_metres_meet() {
    let metric = JOB.to_owned() + "units,,m\n";
    let runs = "run,service,size,length (ft),pattern,joins,at (ft),to\n\
                A,cold,1/2,30,,main,,\nB,cold,1/2,12,,A,10,sink\n";
    let new = Job::from_texts(&[("job", &metric), ("runs", runs), ("prices", PRICES)]);
    let revision = revised(&job(RUNS, PRICES), &new);
    let tube = item(&revision.items, "tube");
    assert_eq!(tube.more(), d("0"));
    assert_eq!(tube.named.unit, "m");
    assert!(revision.runs.is_empty(), "{:?}", revision.runs);
}

#[test]
fn labor_that_one_job_alone_states_is_no_saving() {
    let rated = JOB.to_owned() + "rate,,40\n";
    let labor = "system,per,size,hours\npex-clamp,joint,1/2,0.1\n";
    let new = Job::from_texts(&[("job", &rated), ("runs", RUNS), ("prices", PRICES), ("labor", labor)]);
    let revision = revised(&new, &job(RUNS, PRICES));
    assert!(new.labor.is_some(), "{:?}", new.notices);
    let line = revision.bid.iter().find(|line| line.line == "labor").unwrap();
    assert_eq!(line.stated, [true, false]);
    assert_eq!(revision.unlike().len(), 1);
    assert!(revision.unlike()[0].contains("the job before states labor and the job now does not"));
    assert!(
        revised(&new, &new).unlike().is_empty()
            && revised(&job(RUNS, PRICES), &job(RUNS, PRICES)).unlike().is_empty()
    );
}
