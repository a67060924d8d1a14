//! Larger orders with joined pieces against the answers of a general solver: `instances/joined`.

use crate::joined_checker::faults;
use crate::reading::read_joined;
use coilstick::search::cutting::{USUAL_EFFORT, plan_joined};

const ORDERS: &str = include_str!("instances/joined/orders.txt");
const ANSWERS: &str = include_str!("instances/joined/answers.csv");

/// So many plans may cost more than what the solver found, and so many must be proven.
const DEARER: usize = 1;
const PROVEN: usize = 70;

/// What the solver found for an order, if it found a plan in its time, and its bound: the same where it is proven.
fn answers() -> Vec<(&'static str, Option<u64>, u64)> {
    let rows = ANSWERS.lines().skip(1).map(|row| {
        let cells: Vec<&str> = row.split(',').collect();
        (cells[0], cells[1].parse().ok(), cells[2].parse().unwrap())
    });
    rows.collect()
}

#[test]
fn plans_with_joined_pieces_meet_the_answers_of_a_general_solver() {
    let orders = read_joined(ORDERS).unwrap();
    let answers = answers();
    assert_eq!(orders.len(), answers.len());
    let (mut solved, mut better, mut proven, mut dearer) = (0, 0, 0, Vec::new());
    for ((name, asked), (of, cost, bound)) in orders.iter().zip(answers) {
        assert_eq!(name, of);
        let order = asked.order(USUAL_EFFORT / 20);
        let plan = plan_joined(&order).unwrap();
        assert_eq!(faults(&order, &plan), Vec::<String>::new(), "{name}");
        assert!(plan.cost >= bound, "{name}: {} is below what is proven, {bound}", plan.cost);
        proven += usize::from(plan.is_least());
        let Some(cost) = cost else { continue };
        assert!(plan.bound <= cost, "{name}: {cost} is enough, and {} is said to be a bound", plan.bound);
        solved += usize::from(cost == bound);
        better += usize::from(plan.cost < cost);
        if plan.cost > cost {
            dearer.push((name, plan.cost, cost));
        }
    }
    let all = orders.len();
    println!(
        "joined: {all} orders, {solved} solved outside, {better} better, {proven} proven, dearer {dearer:?}"
    );
    assert!(solved >= 50 && proven >= PROVEN && dearer.len() <= DEARER, "{proven} proven, dearer {dearer:?}");
}
