//! Pieces longer than every stick, joined from parts: a checker of its own, and every way of parting tried on small
//! orders.

use coilstick::estimate::cutting::{
    CutOrder, CutPlan, Demand, JoinOrder, JoinedPlan, NoPlan, Stock, USUAL_EFFORT, plan_joined,
};

use crate::families::Dice;
use crate::{brute, checker};

/// What is wrong with a joined plan: its parts make up the long pieces, none is too short, joints are counted, and
/// whole pieces and parts are cut as the checker of plain plans asks.
pub(crate) fn faults(order: &JoinOrder<'_>, plan: &JoinedPlan) -> Vec<String> {
    let mut faults = Vec::new();
    let mut made = vec![0_u128; order.long.len()];
    let mut used = vec![0_u128; plan.parts.len()];
    let mut joints = 0_u128;
    for parting in &plan.partings {
        let (mut length, mut parts) = (0_u128, 0_u128);
        for (part, number) in &parting.parts {
            let each = plan.parts[*part].length;
            if each < order.shortest {
                faults.push(format!("a part of {each} is shorter than {}", order.shortest));
            }
            length += u128::from(each) * u128::from(*number);
            parts += u128::from(*number);
            used[*part] += u128::from(*number) * u128::from(parting.times);
        }
        if length != u128::from(order.long[parting.long].length) {
            faults.push(format!("parts of {length} for {}", order.long[parting.long].length));
        }
        made[parting.long] += u128::from(parting.times);
        joints += (parts - 1) * u128::from(parting.times);
    }
    for (long, made) in order.long.iter().zip(made) {
        if made != u128::from(long.count) {
            faults.push(format!("{made} of {} pieces of {} are joined", long.count, long.length));
        }
    }
    for (part, used) in plan.parts.iter().zip(used) {
        if used != u128::from(part.count) {
            faults.push(format!("{used} parts of {} for {}", part.length, part.count));
        }
    }
    if joints != u128::from(plan.joints) {
        faults.push(format!("{joints} joints and not {}", plan.joints));
    }
    let joining = plan.joints * order.joint;
    let demands: Vec<Demand> = order.whole.demands.iter().chain(&plan.parts).copied().collect();
    let sticks = CutPlan { layouts: plan.layouts.clone(), cost: plan.cost - joining, bound: 0 };
    faults.extend(checker::faults(&CutOrder { demands: &demands, ..order.whole }, &sticks));
    if plan.bound > plan.cost {
        faults.push(format!("the bound {} is above the cost {}", plan.bound, plan.cost));
    }
    faults
}

/// Every way to part a length, longest part first.
fn ways(length: u64, shortest: u64, longest: u64) -> Vec<Vec<u64>> {
    if length == 0 {
        return vec![Vec::new()];
    }
    let mut all = Vec::new();
    for part in (shortest.max(1)..=longest.min(length)).rev() {
        for mut rest in ways(length - part, shortest, part) {
            rest.insert(0, part);
            all.push(rest);
        }
    }
    all
}

/// The least cost over every way of parting, each by brute force.
fn least(order: &JoinOrder<'_>, longest: u64) -> Option<u64> {
    let long: Vec<u64> = order.long.iter().flat_map(|long| (0..long.count).map(|_| long.length)).collect();
    let mut sets: Vec<(Vec<u64>, u64)> = vec![(Vec::new(), 0)];
    for length in long {
        let mut next = Vec::new();
        for way in ways(length, order.shortest, longest) {
            for (parts, joints) in &sets {
                let mut parts: Vec<u64> = parts.iter().chain(&way).copied().collect();
                parts.sort_unstable();
                next.push((parts, joints + u64::try_from(way.len() - 1).unwrap()));
            }
        }
        next.sort();
        next.dedup();
        sets = next;
    }
    let costs = sets.into_iter().filter_map(|(parts, joints)| {
        let parts: Vec<Demand> = parts.into_iter().map(|length| Demand { length, count: 1 }).collect();
        let demands: Vec<Demand> = order.whole.demands.iter().chain(&parts).copied().collect();
        let sticks = brute::least(&CutOrder { demands: &demands, ..order.whole })?;
        Some(sticks + joints * order.joint)
    });
    costs.min()
}

/// Sevens leave a room of three on sticks of ten, and a part may be three: the bound must know it.
#[test]
fn rooms_that_no_whole_piece_measures_count_in_the_bound() {
    let stocks = [Stock { length: 10, price: 5, available: None }];
    let demands = [Demand { length: 7, count: 4 }];
    let long = [Demand { length: 12, count: 1 }];
    let whole = CutOrder { stocks: &stocks, demands: &demands, kerf: 0, effort: USUAL_EFFORT / 20 };
    let plan = plan_joined(&JoinOrder { whole, long: &long, shortest: 3, joint: 1 }).unwrap();
    // Four sticks with four parts and three joints, against five sticks with one joint.
    assert_eq!((plan.cost, plan.joints), (23, 3));
    assert!(plan.bound <= 23);
}

#[test]
fn small_orders_with_joined_pieces_cost_no_less_than_trying_everything_and_the_bound_no_more() {
    let mut dice = Dice::new(4321);
    let (mut proven, mut least_found, mut none, mut over, mut all) = (0, 0, 0, 0, 0);
    for number in 0..500 {
        let longest = dice.between(3, 6);
        let mut stocks = vec![Stock { length: longest, price: dice.between(8, 40), available: None }];
        if dice.between(0, 1) == 1 {
            let length = dice.between(2, longest);
            stocks.push(Stock { length, price: dice.between(4, 30), available: None });
        }
        if dice.between(0, 2) == 0 {
            let length = dice.between(2, longest);
            stocks.push(Stock { length, price: 0, available: Some(dice.between(1, 2)) });
        }
        let demands: Vec<Demand> = (0..dice.between(0, 2))
            .map(|_| Demand { length: dice.between(1, longest), count: dice.between(1, 2) })
            .collect();
        let count = if dice.between(0, 3) == 0 { 2 } else { 1 };
        let long = [Demand { length: dice.between(longest + 1, 2 * longest + 1), count }];
        let kerf = dice.between(0, 1);
        let whole = CutOrder { stocks: &stocks, demands: &demands, kerf, effort: USUAL_EFFORT / 20 };
        let order = JoinOrder {
            whole,
            long: &long,
            shortest: if count == 2 { longest.div_ceil(2) } else { dice.between(1, longest / 2 + 1) },
            joint: [0, 1, 3][usize::try_from(dice.between(0, 2)).unwrap()],
        };
        all += 1;
        match (least(&order, longest), plan_joined(&order)) {
            (Some(least), Ok(plan)) => {
                assert_eq!(faults(&order, &plan), Vec::<String>::new(), "{number}: {order:?} {plan:?}");
                assert!(plan.bound <= least && least <= plan.cost, "{number}: {least} {plan:?} {order:?}");
                proven += usize::from(plan.bound == plan.cost);
                least_found += usize::from(plan.cost == least);
                over += plan.cost - least;
            }
            (None, Err(NoPlan::CannotJoin { .. })) => none += 1,
            (least, plan) => panic!("{number}: {least:?} {plan:?} {order:?}"),
        }
    }
    println!(
        "joined: {all} small orders, {least_found} least, {proven} proven so, {none} cannot be joined, {over} above in all"
    );
}
