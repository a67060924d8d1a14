//! A checker of cut plans that shares no code with the planner: counts every piece, measures every stick, looks at
//! what is available and adds the cost again.

use coilstick::search::cutting::{CutOrder, CutPlan};

/// What is wrong with a plan; nothing if it is right.
pub(crate) fn faults(order: &CutOrder<'_>, plan: &CutPlan) -> Vec<String> {
    let mut faults = Vec::new();
    let mut made = vec![0u128; order.demands.len()];
    let mut used = vec![0u128; order.stocks.len()];
    for (number, layout) in plan.layouts.iter().enumerate() {
        if layout.times == 0 || layout.pieces.is_empty() {
            faults.push(format!("layout {number} cuts nothing"));
        }
        used[layout.stock] += u128::from(layout.times);
        let (mut pieces, mut length) = (0u128, 0u128);
        for &(demand, count) in &layout.pieces {
            if count == 0 {
                faults.push(format!("layout {number} has none of demand {demand}"));
            }
            pieces += u128::from(count);
            length += u128::from(count) * u128::from(order.demands[demand].length);
            made[demand] += u128::from(count) * u128::from(layout.times);
        }
        let stick = u128::from(order.stocks[layout.stock].length);
        let between = u128::from(order.kerf) * pieces.saturating_sub(1);
        if length + between > stick {
            faults.push(format!("layout {number}: {length} and {between} of kerf in {stick}"));
        }
        // After the last piece one more cut is made, if there is anything left to cut off.
        let rest = stick.saturating_sub(length + between).saturating_sub(u128::from(order.kerf));
        if u128::from(layout.left_over) != rest {
            faults.push(format!("layout {number}: left over {} is not {rest}", layout.left_over));
        }
    }
    for (demand, made) in order.demands.iter().zip(&made) {
        if *made != u128::from(demand.count) {
            faults.push(format!("{made} pieces of {} for {}", demand.length, demand.count));
        }
    }
    for (stock, used) in order.stocks.iter().zip(&used) {
        if stock.available.is_some_and(|available| u128::from(available) < *used) {
            faults.push(format!("{used} sticks of {} are more than there are", stock.length));
        }
    }
    let cost: u128 = order.stocks.iter().zip(&used).map(|(stock, n)| u128::from(stock.price) * n).sum();
    if cost != u128::from(plan.cost) {
        faults.push(format!("the cost is {cost} and not {}", plan.cost));
    }
    if plan.bound > plan.cost {
        faults.push(format!("the bound {} is above the cost {}", plan.bound, plan.cost));
    }
    faults
}
