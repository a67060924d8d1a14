//! Larger orders with joined pieces against the answers of a general solver: `instances/joined`.

use crate::joined_checker::faults;
use crate::reading::read_joined;
use coilstick::estimate::cutting::{USUAL_EFFORT, plan_joined};

const ORDERS: &str = include_str!("instances/joined/orders.txt");
const ANSWERS: &str = include_str!("instances/joined/answers.csv");

/// What the solver found for an order, and its bound: the same where it is proven.
fn answers() -> Vec<(&'static str, u64, u64)> {
    let rows = ANSWERS.lines().skip(1).map(|row| {
        let cells: Vec<&str> = row.split(',').collect();
        (cells[0], cells[1].parse().unwrap(), cells[2].parse().unwrap())
    });
    rows.collect()
}

#[test]
fn plans_with_joined_pieces_meet_the_answers_of_a_general_solver() {
    let orders = read_joined(ORDERS).unwrap();
    let answers = answers();
    assert_eq!(orders.len(), answers.len());
    let (mut solved, mut met, mut proven, mut better, mut dearer) = (0, 0, 0, 0, Vec::new());
    for ((name, asked), (of, cost, bound)) in orders.iter().zip(answers) {
        assert_eq!(name, of);
        let order = asked.order(USUAL_EFFORT / 20);
        let plan = plan_joined(&order).unwrap();
        assert_eq!(faults(&order, &plan), Vec::<String>::new(), "{name}");
        assert!(
            plan.bound <= cost,
            "{name}: a plan of {cost} exists, and {} is said to be a bound",
            plan.bound
        );
        assert!(plan.cost >= bound, "{name}: {} is below what is proven, {bound}", plan.cost);
        solved += usize::from(cost == bound);
        met += usize::from(plan.cost <= cost);
        better += usize::from(plan.cost < cost);
        proven += usize::from(plan.is_least());
        if plan.cost > cost {
            dearer.push((name, plan.cost, cost));
        }
    }
    let all = orders.len();
    println!(
        "stored: {all} orders, {solved} solved outside, {met} met, {better} better, {proven} proven, {dearer:?}"
    );
    assert!(met >= MET && proven >= PROVEN, "{met} met, {proven} proven: {dearer:?}");
}

/// Orders whose plan must cost no more than that of the solver, and those that must be proven.
const MET: usize = 78;
const PROVEN: usize = 70;
