//! Generated buying plans against the answers of an outside solver, stored in `solver/answers.csv` (packs) and
//! `solver/tube.csv` (tube whose prices have breaks).

use std::path::Path;

use coilstick::estimate::Estimate;
use coilstick::estimate::estimate;
use coilstick::estimate::{BuyingPlan, Claim, Given};
use coilstick::ground::Notice;
use coilstick::trade::Job;
use rust_decimal::Decimal;

use crate::generated::{Generated, JOB, RUNS, generated};
use crate::generated_tube::generated_tube;

/// The tables of a generated job, by name.
fn tables<'a>(job: &'a str, runs: &'a str, of: &'a Generated) -> [(&'static str, &'a str); 7] {
    [
        ("job", job),
        ("runs", runs),
        ("patterns", &of.patterns),
        ("parts", &of.parts),
        ("prices", &of.prices),
        ("suppliers", &of.suppliers),
        ("on hand", &of.on_hand),
    ]
}

fn job(tables: &[(&str, &str)]) -> Job {
    let job = Job::from_texts(tables);
    assert!(!job.notices.iter().any(Notice::is_error), "{:#?}", job.notices);
    job
}

fn sum(text: &str) -> Option<Decimal> {
    (!text.is_empty()).then(|| Decimal::from_str_exact(text).unwrap())
}

/// Goods and fees as the order lines and the orders of suppliers say, against what the plan says.
fn adds_up(estimate: &Estimate) {
    let chosen = &estimate.alternatives[0];
    let goods: Decimal = chosen.order.iter().filter_map(|line| line.extended).sum();
    assert_eq!(goods, chosen.buying.goods());
    assert_eq!(chosen.buying.cost, chosen.buying.goods() + chosen.buying.fees());
    assert!(chosen.buying.suppliers.iter().all(|order| order.met && order.goods >= order.minimum_order));
}

#[test]
fn two_hundred_generated_plans_meet_the_answers_of_an_outside_solver() {
    let answers = include_str!("solver/answers.csv");
    assert_eq!(answers.lines().count(), 201);
    let (mut binding, mut filled_up) = (0, 0);
    for row in answers.lines().skip(1) {
        let cells: Vec<&str> = row.split(',').collect();
        let [seed, least, two, one, without] = cells[..] else { panic!("{row}") };
        let of = generated(seed.parse().unwrap());
        let estimate = estimate(&job(&tables(JOB, RUNS, &of)));
        let plan = &estimate.alternatives[0].buying;
        adds_up(&estimate);
        let answer = sum(least).unwrap();
        assert_eq!((plan.bound, plan.cost), (answer, answer), "{row}");
        match (&plan.with_two, sum(two)) {
            (Some(found), Some(answer)) => {
                assert_eq!((found.bound, found.landed), (answer, answer), "{row}");
            }
            (found, answer) => assert_eq!((found.is_some(), answer), (false, None), "{row}"),
        }
        assert_eq!(plan.with_one.iter().filter_map(|one| one.landed).min(), sum(one), "{row}");
        binding += u32::from(sum(without) != Some(answer));
        filled_up += u32::from(plan.suppliers.iter().any(|order| !order.topped_up.is_zero()));
    }
    println!("a least order binds in {binding} of 200, {filled_up} are filled up");
    assert!(binding > 50, "{binding} {filled_up}");
}

/// What is said of a plan is true of the answers: no cost is below them, and no bound above them, but where it says that it
/// knows only one way to fill orders up.
fn is_true(plan: &BuyingPlan, two: Option<Decimal>, answer: Decimal, row: &str) {
    let bounded = !plan.given.contains(&Given::ToppedUp);
    assert!(answer <= plan.cost && (!bounded || plan.bound <= answer), "{} {} {row}", plan.bound, plan.cost);
    match (&plan.with_two, two) {
        (Some(found), Some(two)) => {
            assert!(two <= found.landed && (!bounded || found.bound <= two), "{found:?} {row}");
        }
        (found, two) => assert_eq!((found.is_some(), two), (false, None), "{row}"),
    }
}

/// The rows of the answers for tube: seed, least, with two suppliers, without least orders.
fn answers_of_tube() -> Vec<(u64, Decimal, Option<Decimal>, Decimal, &'static str)> {
    let rows = include_str!("solver/tube.csv").lines().skip(1).map(|row| {
        let cells: Vec<&str> = row.split(',').collect();
        let [seed, least, two, _, without] = cells[..] else { panic!("{row}") };
        (seed.parse().unwrap(), sum(least).unwrap(), sum(two), sum(without).unwrap(), row)
    });
    rows.collect()
}

/// Whether a tube is bought at a price that a break brings.
fn is_at_a_break(job: &Job, estimate: &Estimate) -> bool {
    let mut picks = estimate.alternatives[0].order.iter().flat_map(|line| &line.picks);
    picks.any(|pick| {
        let offer = &job.prices.offers[pick.offer.0 as usize];
        job.lexicon.text(offer.part) == "tube"
            && offer.breaks.iter().any(|(from, _)| pick.packs >= Decimal::from(*from))
    })
}

#[test]
fn tube_with_breaks_is_proven_and_meets_the_answers_of_an_outside_solver() {
    let (mut all, mut reached) = (0, 0);
    for (seed, _, _, without, row) in answers_of_tube() {
        let mut of = generated_tube(seed);
        of.of.suppliers = without_least_orders(&of.of.suppliers);
        let job = job(&tables(&of.job, &of.runs, &of.of));
        let estimate = estimate(&job);
        let plan = &estimate.alternatives[0].buying;
        adds_up(&estimate);
        assert_eq!((plan.bound, plan.cost), (without, without), "{row}");
        // Fittings and caps have no price here: it is the least of what is priced.
        assert_eq!(plan.claim(), Claim::Least, "{row}");
        all += 1;
        reached += u32::from(is_at_a_break(&job, &estimate));
    }
    println!("{all} of {all} proven; tube at a break in {reached}");
    assert!(all >= 100 && reached * 4 > all * 3, "{all} {reached}");
}

/// The table of suppliers with nothing in its last column, the least order.
fn without_least_orders(suppliers: &str) -> String {
    let rows = suppliers.lines().map(|row| match row.rsplit_once(',') {
        Some((rest, least)) if least.parse::<u32>().is_ok() => format!("{rest},0\n"),
        _ => format!("{row}\n"),
    });
    rows.collect()
}

#[test]
fn what_is_said_of_tube_with_breaks_and_least_orders_is_true() {
    let (mut all, mut least, mut filled, mut met, mut binding) = (0, 0, 0, 0, 0);
    for (seed, answer, two, without, row) in answers_of_tube() {
        let of = generated_tube(seed);
        let estimate = estimate(&job(&tables(&of.job, &of.runs, &of.of)));
        let plan = &estimate.alternatives[0].buying;
        adds_up(&estimate);
        is_true(plan, two, answer, row);
        all += 1;
        binding += u32::from(without != answer);
        met += u32::from(plan.cost == answer);
        match (plan.claim(), plan.given.contains(&Given::ToppedUp)) {
            (Claim::Least, false) => least += 1,
            (Claim::Least, true) => filled += 1,
            _ => println!("open: {} {} {row}", plan.bound, plan.cost),
        }
    }
    println!("of {all} jobs a least order binds in {binding}; the cost is the answer in {met};");
    println!("least is said of {least} and of {filled} with orders topped up beside their cut plans");
    assert!(binding > 50 && least + filled > 110, "{binding} {least} {filled}");
}

/// A number that another text would hardly have.
fn mark(texts: &[(&str, &str)], mut mark: u64) -> u64 {
    for byte in texts.iter().flat_map(|(_, text)| text.bytes()) {
        mark = (mark ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
    }
    mark
}

/// The answers are those of these jobs and no others. Where `BUYING_DUMP` names a folder, the jobs are written there for
/// the solver's scripts.
#[test]
fn the_jobs_are_those_that_the_solver_was_given() {
    let folder = std::env::var("BUYING_DUMP").ok();
    let dump = |name: String, texts: &[(&str, &str)]| {
        let Some(folder) = &folder else { return };
        let home = Path::new(folder).join(name);
        std::fs::create_dir_all(&home).unwrap();
        for (table, text) in texts {
            std::fs::write(home.join(format!("{}.csv", table.replace(' ', "-"))), text).unwrap();
        }
    };
    let (mut packs, mut tube) = (0, 0);
    for seed in 1..=230 {
        let of = generated(seed);
        let texts = tables(JOB, RUNS, &of);
        packs = mark(&texts, packs);
        dump(format!("plan-{seed}"), &texts);
    }
    for seed in 1..=120 {
        let of = generated_tube(seed);
        let texts = tables(&of.job, &of.runs, &of.of);
        tube = mark(&texts, tube);
        dump(format!("tube-{seed}"), &texts);
    }
    assert_eq!((packs, tube), (1_189_307_044_967_182_848, 14_031_315_988_295_626_604));
}
