//! Generated buying plans against the answers of an outside solver, stored in `solver/answers.csv`.

use coilstick::estimate::Estimate;
use coilstick::estimate::estimate;
use coilstick::trade::Job;
use rust_decimal::Decimal;

use crate::generated::{Generated, JOB, RUNS, generated};

fn job(of: &Generated) -> Job {
    Job::from_texts(&[
        ("job", JOB),
        ("runs", RUNS),
        ("patterns", &of.patterns),
        ("parts", &of.parts),
        ("prices", &of.prices),
        ("suppliers", &of.suppliers),
        ("on hand", &of.on_hand),
    ])
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
    assert!(chosen.buying.suppliers.iter().all(|order| order.met && order.goods >= order.least_order));
}

#[test]
fn two_hundred_generated_plans_meet_the_answers_of_an_outside_solver() {
    let answers = include_str!("solver/answers.csv");
    assert_eq!(answers.lines().count(), 201);
    let (mut binding, mut filled_up) = (0, 0);
    for row in answers.lines().skip(1) {
        let cells: Vec<&str> = row.split(',').collect();
        let [seed, least, two, one, without] = cells[..] else { panic!("{row}") };
        let job = job(&generated(seed.parse().unwrap()));
        assert!(job.notices.is_empty(), "{:#?}", job.notices);
        let estimate = estimate(&job);
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

/// Writes the generated jobs where the solver's script reads them, if it is told where.
#[test]
fn the_solver_is_given_the_same_jobs() {
    let Ok(folder) = std::env::var("BUYING_DUMP") else { return };
    for seed in 1..=230 {
        let of = generated(seed);
        let home = std::path::Path::new(&folder).join(format!("plan-{seed}"));
        std::fs::create_dir_all(&home).unwrap();
        for (name, text) in [
            ("patterns.csv", &of.patterns),
            ("prices.csv", &of.prices),
            ("suppliers.csv", &of.suppliers),
            ("on-hand.csv", &of.on_hand),
        ] {
            std::fs::write(home.join(name), text).unwrap();
        }
    }
}
