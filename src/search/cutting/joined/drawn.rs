//! A plan drawn stick by stick: which whole pieces lie on each, and which copy of which long piece each part belongs to.
//! Here the rule is kept that no two parts of one piece lie on one stick. And the way from it to a plan in rows, and
//! back. Searches nothing. Called by [`super`], `walking` and `fitting`.

use crate::search::cutting::order::{Demand, JoinOrder, JoinedPlan, Layout, Parting};
use std::cmp::Reverse;
use std::collections::BTreeMap;

/// Sticks with parts beyond which a plan is not drawn.
const MOST_STICKS: u64 = 2_000;

/// Sticks cut alike; one alone if it holds a part.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Stick {
    pub(super) stock: usize,
    pub(super) times: u64,
    /// Which of the demands, and how many.
    pub(super) whole: Vec<(usize, u64)>,
    /// Which copy, and how long.
    pub(super) parts: Vec<(usize, u64)>,
}

/// All sticks, and which of the long pieces each copy is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Drawn {
    pub(super) sticks: Vec<Stick>,
    pub(super) copies: Vec<usize>,
}

/// Which of the long pieces each copy is.
pub(super) fn copies(order: &JoinOrder<'_>) -> Vec<usize> {
    let rows = order.long.iter().enumerate();
    rows.flat_map(|(long, row)| (0..row.count).map(move |_| long)).collect()
}

impl Drawn {
    /// The plan in rows: parts stand by the long piece that they are of, the longest first.
    pub(super) fn plan(&self, order: &JoinOrder<'_>) -> Option<JoinedPlan> {
        let mut lists: Vec<Vec<u64>> = vec![Vec::new(); self.copies.len()];
        for &(copy, length) in self.sticks.iter().flat_map(|stick| &stick.parts) {
            lists[copy].push(length);
        }
        let mut counted: BTreeMap<(usize, Reverse<u64>), u64> = BTreeMap::new();
        for (copy, list) in lists.iter().enumerate() {
            for &length in list {
                *counted.entry((self.copies[copy], Reverse(length))).or_default() += 1;
            }
        }
        let rows: Vec<(usize, Reverse<u64>)> = counted.keys().copied().collect();
        let parts = counted.iter().map(|(&(_, Reverse(length)), &count)| Demand { length, count }).collect();
        let row = |long: usize, length: u64| rows.binary_search(&(long, Reverse(length))).ok();
        let mut partings: Vec<Parting> = Vec::new();
        let mut joints = 0;
        for (copy, mut list) in lists.into_iter().enumerate() {
            joints += (list.len() as u64).checked_sub(1)?;
            list.sort_unstable_by_key(|&length| Reverse(length));
            let mut uses: Vec<(usize, u64)> = Vec::new();
            for length in list {
                add(&mut uses, row(self.copies[copy], length)?, 1);
            }
            partings.push(Parting { long: self.copies[copy], times: 1, parts: uses });
        }
        parted_alike_together(&mut partings);
        let mut layouts: Vec<Layout> = Vec::new();
        for stick in &self.sticks {
            let mut pieces: Vec<(u64, usize, u64)> = Vec::new();
            for &(demand, number) in &stick.whole {
                pieces.push((order.whole.demands.get(demand)?.length, demand, number));
            }
            for &(copy, length) in &stick.parts {
                pieces.push((length, order.whole.demands.len() + row(self.copies[copy], length)?, 1));
            }
            pieces.sort_unstable_by_key(|&(length, demand, _)| (Reverse(length), demand));
            let mut used = 0_u64;
            let mut uses: Vec<(usize, u64)> = Vec::new();
            for (length, demand, number) in pieces {
                used = used.checked_add(length.checked_add(order.whole.kerf)?.checked_mul(number)?)?;
                add(&mut uses, demand, number);
            }
            let left_over = order.whole.stocks.get(stick.stock)?.length.saturating_sub(used);
            layouts.push(Layout { stock: stick.stock, times: stick.times, pieces: uses, left_over });
        }
        layouts.sort_by(|a, b| (a.stock, &a.pieces).cmp(&(b.stock, &b.pieces)));
        let sticks = alike_together(order, &mut layouts)?;
        let cost = order.joint.checked_mul(joints)?.checked_add(sticks)?;
        Some(JoinedPlan { layouts, parts, partings, joints, cost, bound: 0 })
    }

    /// Draws a plan whose parts are rows by their length alone: of parts as long as each other, each is of a copy that has
    /// none on the stick yet; where there is no such copy, the two become one part, and a joint is saved.
    pub(super) fn of(order: &JoinOrder<'_>, plan: &JoinedPlan) -> Option<Self> {
        let first = order.whole.demands.len();
        let mut sticks = Vec::new();
        // Parts by length: the sticks they lie on.
        let mut lying: BTreeMap<u64, Vec<usize>> = BTreeMap::new();
        for layout in &plan.layouts {
            let (whole, parts): (Vec<_>, Vec<_>) = layout.pieces.iter().partition(|&&(row, _)| row < first);
            if parts.is_empty() {
                sticks.push(Stick { stock: layout.stock, times: layout.times, whole, parts: Vec::new() });
                continue;
            }
            if layout.times > MOST_STICKS || sticks.len() as u64 > MOST_STICKS {
                return None;
            }
            for _ in 0..layout.times {
                for &(row, number) in &parts {
                    let of_length = lying.entry(plan.parts.get(row - first)?.length).or_default();
                    of_length.extend((0..number).map(|_| sticks.len()));
                }
                let whole = whole.clone();
                sticks.push(Stick { stock: layout.stock, times: 1, whole, parts: Vec::new() });
            }
        }
        let mut copies = Vec::new();
        let mut most: BTreeMap<u64, usize> = BTreeMap::new();
        for parting in &plan.partings {
            for _ in 0..parting.times {
                let copy = copies.len();
                copies.push(parting.long);
                let wanted = parting.parts.iter().flat_map(|&(row, n)| (0..n).map(move |_| row));
                for row in wanted {
                    let length = plan.parts.get(row)?.length;
                    let free = lying.get_mut(&length)?;
                    let at = next_stick(free, &sticks, copy, most.entry(length).or_insert(usize::MAX))?;
                    let stick: &mut Stick = &mut sticks[free.remove(at)];
                    match stick.parts.iter_mut().find(|(of, _)| *of == copy) {
                        Some((_, part)) => *part += length,
                        None => stick.parts.push((copy, length)),
                    }
                }
            }
        }
        lying.values().all(Vec::is_empty).then_some(Drawn { sticks, copies })
    }
}

/// Which of these parts a copy takes: one on a stick where it has none, of those one on the stick with the most of them.
/// No stick has more than `most`: where one has so many, no other is looked at, so that thousands of parts take no time.
fn next_stick(free: &[usize], sticks: &[Stick], copy: usize, most: &mut usize) -> Option<usize> {
    let mut best: Option<(bool, usize, usize)> = None;
    let (mut at, mut longest) = (0, 0);
    for alike in free.chunk_by(|a, b| a == b) {
        let is_free = sticks[alike[0]].parts.iter().all(|&(of, _)| of != copy);
        let found = (is_free, alike.len(), at);
        if best.is_none_or(|best| (found.0, found.1) > (best.0, best.1)) {
            best = Some(found);
        }
        longest = longest.max(alike.len());
        if is_free && alike.len() >= *most {
            return Some(at);
        }
        at += alike.len();
    }
    *most = longest;
    best.map(|(_, _, at)| at)
}

/// Makes sorted sticks that are cut alike one row, and gives the price of all of them.
pub(super) fn alike_together(order: &JoinOrder<'_>, layouts: &mut Vec<Layout>) -> Option<u64> {
    layouts.dedup_by(|next, one| {
        let alike = next.stock == one.stock && next.pieces == one.pieces;
        one.times += if alike { next.times } else { 0 };
        alike
    });
    let price = |layout: &Layout| order.whole.stocks[layout.stock].price.checked_mul(layout.times);
    layouts.iter().try_fold(0_u64, |sum, layout| sum.checked_add(price(layout)?))
}

fn add(uses: &mut Vec<(usize, u64)>, row: usize, number: u64) {
    match uses.last_mut() {
        Some((last, sum)) if *last == row => *sum += number,
        Some(_) | None => uses.push((row, number)),
    }
}

/// Parts longest first, equal ones together.
pub(super) fn in_order(mut parts: Vec<(u64, u64)>) -> Vec<(u64, u64)> {
    parts.retain(|(length, count)| *length > 0 && *count > 0);
    parts.sort_unstable_by_key(|(length, _)| Reverse(*length));
    parts.dedup_by(|next, one| {
        let alike = next.0 == one.0;
        if alike {
            one.1 += next.1;
        }
        alike
    });
    parts
}

/// Pieces that are parted alike as one parting, in order.
pub(super) fn parted_alike_together(partings: &mut Vec<Parting>) {
    partings.sort_by(|a, b| (a.long, &a.parts).cmp(&(b.long, &b.parts)));
    partings.dedup_by(|next, one| {
        let alike = next.long == one.long && next.parts == one.parts;
        one.times += if alike { next.times } else { 0 };
        alike
    });
}
