//! A checker of plans with joined pieces that shares no code with the planner: parts, joints and sticks are measured and
//! counted anew.

use coilstick::search::cutting::{CutOrder, CutPlan, Demand, JoinOrder, JoinedPlan, Parting};

use crate::checker;

/// What is wrong with a joined plan: its parts make up the long pieces, none is too short, no two of one piece lie on one
/// stick, joints are counted, and whole pieces and parts are cut as the checker of plain plans asks.
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
    for long in 0..order.long.len() {
        if !lie_apart(order, plan, long) {
            faults.push(format!("two parts of one piece of {} lie on one stick", order.long[long].length));
        }
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

/// Whether the parts of each piece can be taken from as many sticks as there are parts.
fn lie_apart(order: &JoinOrder<'_>, plan: &JoinedPlan, long: usize) -> bool {
    let first = order.whole.demands.len();
    // Parts of pieces as long as this one may be exchanged.
    let alike = |parting: &&Parting| order.long[parting.long].length == order.long[long].length;
    let mut copies: Vec<Vec<usize>> = Vec::new();
    for parting in plan.partings.iter().filter(alike) {
        let rows = parting.parts.iter().flat_map(|&(row, n)| (0..n).map(move |_| row));
        copies.extend((0..parting.times).map(|_| rows.clone().collect::<Vec<usize>>()));
    }
    let mut sticks: Vec<Vec<usize>> = Vec::new();
    for layout in &plan.layouts {
        let parts = layout.pieces.iter().filter(|&&(row, _)| row >= first);
        let rows: Vec<usize> = parts.flat_map(|&(row, n)| (0..n).map(move |_| row - first)).collect();
        sticks.extend((0..layout.times).map(|_| rows.clone()));
    }
    let mut begun = vec![Vec::new(); copies.len()];
    assign(&copies, &mut begun, &mut sticks, 0)
}

/// Takes the parts of one copy after the other from sticks that it has not used.
fn assign(copies: &[Vec<usize>], used: &mut [Vec<usize>], sticks: &mut [Vec<usize>], copy: usize) -> bool {
    let Some(rows) = copies.get(copy) else { return true };
    let Some(&row) = rows.get(used[copy].len()) else { return assign(copies, used, sticks, copy + 1) };
    for stick in 0..sticks.len() {
        if !used[copy].contains(&stick)
            && let Some(at) = sticks[stick].iter().position(|&part| part == row)
        {
            sticks[stick].remove(at);
            used[copy].push(stick);
            if assign(copies, used, sticks, copy) {
                return true;
            }
            used[copy].pop();
            sticks[stick].insert(at, row);
        }
    }
    false
}
