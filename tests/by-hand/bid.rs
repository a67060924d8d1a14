//! A bid of two runs worked on paper, with an alternate that adds and one that deducts; and that an alternate is the job
//! with it, counted and bought again.

use std::path::Path;

use coilstick::estimate::bid::alternates::Alternate;
use coilstick::estimate::{Estimate, estimate};
use coilstick::trade::Job;
use rust_decimal::Decimal;

const RUNS: &str =
    "run,service,size,length (ft),alternate\nC1,cold,1/2,10,without bare\nC2,cold,1/2,16,long\n";
const PRICES: &str = "supplier,part,size,price,sold as,per\nInvented,tube,1/2,0.50,each,ft\nInvented,tube clip,1/2,0.25,each,each\n";
const JOB: &str = "item,for,value\nwater system,,pex-clamp\ncompare with,,none\noverhead,,10\nmargin,,20\nsales tax,,10\n\
     tax exempt,support,yes\nfee,permit,5\n";

fn d(text: &str) -> Decimal {
    Decimal::from_str_exact(text).unwrap()
}

fn small() -> (Job, Estimate) {
    let job = Job::from_texts(&[("runs", RUNS), ("prices", PRICES), ("job", JOB)]);
    let estimate = estimate(&job);
    (job, estimate)
}

fn called<'e>(job: &Job, estimate: &'e Estimate, name: &str) -> &'e Alternate {
    estimate.optional.iter().find(|one| job.lexicon.text(one.name) == name).unwrap()
}

/// On paper: 10 ft of tube at 0.50 are 5.00; clips every 32 in. (IRC P2605.1) are 120 / 32, 4, at 0.25 1.00. Material 6.00,
/// overhead 10 % 0.60, cost 6.60, a margin of 20 % is 6.60 x 20 / 80, 1.65: price 8.25. Tax 10 % of the tube alone, 0.50;
/// permit 5.00; bid 13.75.
#[test]
fn the_base_bid_is_as_on_paper() {
    let (_, estimate) = small();
    let bid = &estimate.alternatives[0].cost.bid;
    let lines = [bid.direct, bid.overhead, bid.profit, bid.price, bid.tax, bid.fees, bid.total];
    assert_eq!(lines, ["6.00", "0.60", "1.65", "8.25", "0.50", "5", "13.75"].map(d));
}

/// On paper: 16 ft more are 8.00 and 6 clips 1.50. Material 15.50, overhead 1.55, cost 17.05, profit 4.2625, 4.26: price
/// 21.31; tax 1.30; permit 5.00; 27.61: it adds 13.86.
#[test]
fn an_alternate_that_adds_is_as_on_paper() {
    let (job, estimate) = small();
    let long = called(&job, &estimate, "long");
    let moved = long.moved.as_ref().unwrap();
    assert_eq!((moved.bid.total, long.complete), (d("27.61"), true));
    let difference = moved.against(&estimate.alternatives[0].cost.bid);
    let parts = [difference.material, difference.labor, difference.tax, difference.total];
    assert_eq!(parts, ["9.50", "0", "0.80", "13.86"].map(d));
}

/// On paper: without its only run nothing is left but the permit, 5.00: it deducts 8.75.
#[test]
fn an_alternate_that_leaves_work_out_is_a_deduct() {
    let (job, estimate) = small();
    let moved = called(&job, &estimate, "bare").moved.as_ref().unwrap();
    assert_eq!(moved.against(&estimate.alternatives[0].cost.bid).total, d("-8.75"));
}

#[test]
fn an_alternate_is_the_job_with_it_counted_and_bought_again() {
    let cabin = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/lake-cabin");
    let job = Job::read(&cabin).unwrap();
    let found = estimate(&job);
    assert_eq!(found.optional.len(), 2);
    for one in &found.optional {
        let with = estimate(&job.with_alternate(one.name));
        let moved = one.moved.as_ref().unwrap();
        assert_eq!(with.alternatives[0].cost.bid, moved.bid);
        // Nothing vanishes: what it moves is what the orders differ by, line by line.
        let sum =
            |of: &Estimate| of.alternatives[0].order.iter().filter_map(|line| line.extended).sum::<Decimal>();
        assert_eq!(moved.to.material - moved.from.material, sum(&with) - sum(&found));
        assert!(one.complete);
    }
}

#[test]
fn work_of_an_alternate_is_in_no_file_of_the_base() {
    let (job, estimate) = small();
    let files = coilstick::report::bytes(&job, &estimate).unwrap();
    let at = coilstick::report::FILES.iter().position(|file| *file == "takeoff.csv").unwrap();
    let takeoff = String::from_utf8_lossy(&files[at]);
    assert!(takeoff.contains(",ft,10\r\n") && !takeoff.contains(",26\r\n"), "{takeoff}");
}
