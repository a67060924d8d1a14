//! A bid of two runs worked on paper, with an alternate that adds and one that deducts; and that an alternate is the job
//! with it, counted and bought again.

use std::path::Path;

use coilstick::estimate::{AllowanceCost, Alternate};
use coilstick::estimate::{Estimate, estimate};
use coilstick::estimate::{UnitPrice, unit_prices};
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
    assert!(takeoff.contains(",ft,10,") && !takeoff.contains(",26,"), "{takeoff}");
}

const TEE_RUNS: &str = "run,service,size,length (ft),joins,at (ft),to,fixture\nC1,cold,1/2,10,,,,\nC2,cold,1/2,6,C1,5,sink,bar sink\n";
const TEE_PRICES: &str = "supplier,part,size,price,sold as,pack,per\nInvented,tube,1/2,0.50,each,,ft\n\
     Invented,tube clip,1/2,0.25,each,,each\nInvented,tee,1/2,1.50,each,,each\nInvented,cap,1/2,0.80,each,,each\n\
     Invented,clamp ring,1/2,2.00,bag,10,pack\n";
const LABOR: &str = "per,hours,unit\njoint,0.1,\nlength,2,100 ft\nsupport,1,50\n";

/// On paper: a ring of a bag of 10 at 2.00 is paid 0.20. A tee is paid 1.50 and its three joints take rings of 0.60 and 3 x
/// 0.1 hours at 40.00, 12.00: direct 14.10; with 10 % overhead and a margin of 20 % x 1.1 / 0.8: 19.3875, 19.39. Tax 10 % of
/// 2.10 is 0.21. A foot of tube is paid 0.50 and takes 0.02 hours, 0.80: 1.30; 1.7875, 1.79, and 0.05 tax. A clip is exempt:
/// 0.25 and 0.02 hours, 0.80: 1.05; 1.44375, 1.44.
#[test]
fn the_price_of_one_more_is_as_on_paper() {
    let job = format!("{JOB}rate,,40\n");
    let job = Job::from_texts(&[("runs", TEE_RUNS), ("prices", TEE_PRICES), ("job", &job), ("labor", LABOR)]);
    let found = estimate(&job);
    let (parts, _) = unit_prices(&job, &found.items, &found.alternatives[0]);
    let part = |name: &str| -> &UnitPrice {
        let is = |one: &&UnitPrice| &*job.catalog.part(found.items.get(one.item).part).name == name;
        parts.iter().find(is).unwrap_or_else(|| panic!("{name}: {:?}", job.notices))
    };
    for (name, paid, joints, hours, direct, price, tax) in [
        ("tee", "1.50", "0.60", "0.3", "14.10", "19.39", "0.21"),
        ("tube", "0.50", "0", "0.02", "1.30", "1.79", "0.05"),
        ("tube clip", "0.25", "0", "0.02", "1.05", "1.44", "0.00"),
        ("clamp ring", "0.20", "0", "0", "0.20", "0.28", "0.02"),
    ] {
        let one = part(name);
        let asked = [one.paid, one.joints, one.hours, one.asked.direct, one.asked.price, one.asked.tax];
        assert_eq!(asked, [paid, joints, hours, direct, price, tax].map(d), "{name}");
        assert!(one.whole, "{name}");
    }
}

/// On paper: one more run like C2 is 6 ft of tube, its tee with three rings, the cap on its open end with one, and
/// three clips (72 / 32).
#[test]
fn one_more_run_is_what_its_own_takeoff_says() {
    let job = Job::from_texts(&[("runs", TEE_RUNS), ("prices", TEE_PRICES), ("job", JOB)]);
    let found = estimate(&job);
    let (_, runs) = unit_prices(&job, &found.items, &found.alternatives[0]);
    let [one] = &runs[..] else { panic!("{runs:?}") };
    assert_eq!(&*job.runs[one.run.index()].name, "C2");
    let mut built: Vec<(String, String)> = one
        .built_of
        .iter()
        .map(|(item, amount, _)| {
            (job.catalog.part(found.items.get(*item).part).name.to_string(), amount.normalize().to_string())
        })
        .collect();
    built.sort();
    let said = built.iter().map(|(name, amount)| format!("{amount} {name}")).collect::<Vec<_>>().join(", ");
    assert_eq!(said, "1 cap, 4 clamp ring, 1 tee, 6 tube, 3 tube clip");
}

/// On paper: as the base bid, with 40.00 for the test by the lump and 4 % of tax on labor. Direct 46.00, overhead 4.60,
/// cost 50.60, a margin of 20 % is 12.65: price 63.25. Tax 0.50 and 4 % of 40.00, 2.10; permit 5.00; bid 70.35.
#[test]
fn labor_by_the_lump_is_a_direct_cost_taxed_as_labor() {
    let table =
        format!("{JOB}lump-sum labor,pressure test,25\nlump-sum labor,demolition,15\nsales tax,labor,4\n");
    let job = Job::from_texts(&[("runs", RUNS), ("prices", PRICES), ("job", &table)]);
    assert_eq!(job.notices, []);
    let bid = &estimate(&job).alternatives[0].cost.bid;
    let lines =
        [bid.spent.labor, bid.lump_sum_labor, bid.direct, bid.overhead, bid.profit, bid.tax, bid.total];
    assert_eq!(lines, ["0", "40", "46.00", "4.60", "12.65", "2.10", "70.35"].map(d));
}

/// On paper: 4 clips and 10 % are 5 (4.4 rounded up): 0.25 more, 25 % of their 1.00. With none under 5 it is 4 clips.
#[test]
fn what_an_allowance_comes_to_is_as_on_paper() {
    let come_to = |more: &str| {
        let table = format!("{JOB}allowance,support,10\n{more}");
        let job = Job::from_texts(&[("runs", RUNS), ("prices", PRICES), ("job", &table)]);
        let costs = estimate(&job).allowances;
        let of = |one: &AllowanceCost| (one.without, one.adds(), one.points());
        costs.iter().map(of).collect::<Vec<_>>()
    };
    assert_eq!(come_to(""), [(d("1.00"), d("0.25"), Some(d("25")))]);
    assert_eq!(come_to("no allowance under,support,4\n"), [(d("1.00"), d("0.25"), Some(d("25")))]);
    assert_eq!(come_to("no allowance under,support,5\n"), [(d("1.00"), d("0.00"), Some(d("0")))]);
}

/// On paper: 3 hours for the test, once whatever the runs, at 80 % 3.75; 2 for demolition, 2.50; at 50 an hour 312.50.
#[test]
fn hours_of_the_whole_job_are_counted_once() {
    let table = format!("{JOB}rate,,50\nproductivity,,80\n");
    let labor = "per,part,hours\njob,pressure test,3\njob,demolition,2\njoint,,0\nlength,,0\nsupport,,0\n";
    let job = Job::from_texts(&[("runs", RUNS), ("prices", PRICES), ("job", &table), ("labor", labor)]);
    assert_eq!(job.notices, []);
    let labor = &estimate(&job).alternatives[0].labor;
    assert_eq!((labor.hours, labor.cost, labor.has_all_hours()), (d("6.25"), d("312.50"), true));
}
