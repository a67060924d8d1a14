//! Where a few long pieces are parted, searched with proof: every part lies between two lengths, the lower ones are
//! planned, which no real parts cost less than, and the widest range is halved until nothing cheaper is left or the
//! effort is spent. Called by `joining` where its first plans do not meet their bound.

use super::joining::JoinOrder;
use super::{CutOrder, CutPlan, Demand, plan};
use std::cmp::Reverse;

/// Long pieces, and pieces in all, beyond which nothing is searched.
const MOST_LONG: u64 = 3;
const MOST_PIECES: u64 = 400;
/// Plans made in one search.
const MOST_PLANS: u64 = 120;

/// What a search has found.
pub(super) struct Searched {
    /// No plan with so few joints costs less in sticks.
    pub(super) bound: u64,
    /// The cheapest way to part each long piece (which of the long ones, and lengths of its parts), if one was found.
    pub(super) parted: Option<(u64, Vec<(usize, Vec<u64>)>)>,
}

/// The parts of one long piece, each between two lengths, the longest first.
#[derive(Clone)]
struct Ranges {
    long: usize,
    length: u64,
    parts: Vec<(u64, u64)>,
}

/// Searches all ways to part the long pieces into the fewest parts, as long as sticks may cost less than `enough`.
pub(super) fn search(order: &JoinOrder<'_>, few: &[u64], longest: u64, enough: u64) -> Option<Searched> {
    let whole: u64 = order.whole.demands.iter().fold(0, |sum, demand| sum.saturating_add(demand.count));
    let long: u64 = order.long.iter().fold(0, |sum, long| sum.saturating_add(long.count));
    let parts = few
        .iter()
        .zip(order.long)
        .fold(0, |sum: u64, (few, long)| sum.saturating_add(few.saturating_mul(long.count)));
    if long > MOST_LONG || whole > MOST_PIECES || parts > 4 * MOST_LONG {
        return None;
    }
    let mut root = Vec::new();
    for (number, (long, few)) in order.long.iter().zip(few).enumerate() {
        let part = (order.shortest.max(1), longest);
        let ranges = Ranges { long: number, length: long.length, parts: (0..*few).map(|_| part).collect() };
        root.extend((0..long.count).map(|_| ranges.clone()));
    }
    let mut searched = Searched { bound: 0, parted: None };
    let mut open: Vec<(u64, Vec<Ranges>)> = Vec::new();
    let mut settled = u64::MAX;
    let mut plans = 0;
    visit(order, root, &mut open, &mut settled, &mut searched, &mut plans);
    loop {
        let least = open.iter().map(|(bound, _)| *bound).min().unwrap_or(u64::MAX).min(settled);
        let best = searched.parted.as_ref().map_or(u64::MAX, |(cost, _)| *cost);
        searched.bound = least.min(best);
        if least >= best.min(enough) || least == settled || plans >= MOST_PLANS {
            return Some(searched);
        }
        let at = open.iter().position(|(bound, _)| *bound == least)?;
        let (_, node) = open.swap_remove(at);
        for half in halves(node) {
            visit(order, half, &mut open, &mut settled, &mut searched, &mut plans);
        }
    }
}

/// Plans the lower ends of a node's ranges, and keeps the node open while its ranges are not points.
fn visit(
    order: &JoinOrder<'_>,
    mut node: Vec<Ranges>,
    open: &mut Vec<(u64, Vec<Ranges>)>,
    settled: &mut u64,
    searched: &mut Searched,
    plans: &mut u64,
) {
    if !node.iter_mut().all(tighten) {
        return;
    }
    *plans += 1;
    let lower =
        node.iter().flat_map(|ranges| ranges.parts.iter().map(|(low, _)| Demand { length: *low, count: 1 }));
    let demands: Vec<Demand> = order.whole.demands.iter().copied().chain(lower).collect();
    let effort = order.whole.effort / (2 * MOST_PLANS);
    let Ok(found) = plan(&CutOrder { demands: &demands, effort, ..order.whole }) else { return };
    if let Some(parts) = grown(order, &node, &found)
        && searched.parted.as_ref().is_none_or(|(cost, _)| found.cost < *cost)
    {
        searched.parted = Some((found.cost, parts));
    }
    let is_point = node.iter().all(|ranges| ranges.parts.iter().all(|(low, high)| low == high));
    match is_point {
        true => *settled = (*settled).min(found.bound),
        false => open.push((found.bound, node)),
    }
}

/// Draws ranges together as far as the whole length and the order of the parts do; false if no parts are left.
fn tighten(ranges: &mut Ranges) -> bool {
    let parts = &mut ranges.parts;
    for _ in 0..2 {
        for at in 0..parts.len() {
            let others = |end: fn(&(u64, u64)) -> u64| -> u64 {
                parts.iter().enumerate().filter(|(i, _)| *i != at).map(|(_, part)| end(part)).sum()
            };
            let (lows, highs) = (others(|part| part.0), others(|part| part.1));
            let (low, high) = parts[at];
            let low = low.max(ranges.length.saturating_sub(highs));
            let Some(most) = ranges.length.checked_sub(lows) else { return false };
            let above = at.checked_sub(1).map_or(u64::MAX, |before| parts[before].1);
            let below = parts.get(at + 1).map_or(0, |after| after.0);
            parts[at] = (low.max(below), high.min(most).min(above));
            if parts[at].0 > parts[at].1 {
                return false;
            }
        }
    }
    true
}

/// The node in two, its widest range halved.
fn halves(node: Vec<Ranges>) -> Vec<Vec<Ranges>> {
    let ranges = node.iter().enumerate().flat_map(|(piece, ranges)| {
        let widths = ranges.parts.iter().enumerate();
        widths.map(move |(part, (low, high))| (high - low, Reverse(piece), Reverse(part)))
    });
    let Some((width, Reverse(piece), Reverse(part))) = ranges.max().filter(|(width, _, _)| *width > 0) else {
        return Vec::new();
    };
    let middle = node[piece].parts[part].0 + width / 2;
    let (mut lower, mut upper) = (node.clone(), node);
    lower[piece].parts[part].1 = middle;
    upper[piece].parts[part].0 = middle + 1;
    vec![lower, upper]
}

/// The parts made longer by what is left of their sticks, if that makes up the whole length of every long piece.
fn grown(order: &JoinOrder<'_>, node: &[Ranges], found: &CutPlan) -> Option<Vec<(usize, Vec<u64>)>> {
    let first = order.whole.demands.len();
    let count = node.iter().map(|ranges| ranges.parts.len()).sum();
    // Which stick each part lies on; all parts are wanted once.
    let mut sticks = vec![None; count];
    let mut left: Vec<u64> = found.layouts.iter().map(|layout| layout.left_over).collect();
    for (at, layout) in found.layouts.iter().enumerate() {
        for (demand, _) in layout.pieces.iter().filter(|(demand, _)| *demand >= first && layout.times == 1) {
            sticks[*demand - first] = Some(at);
        }
    }
    let mut sticks = sticks.into_iter();
    let mut parted = Vec::new();
    for ranges in node {
        let mut missing = ranges.length - ranges.parts.iter().map(|(low, _)| low).sum::<u64>();
        let mut parts = Vec::new();
        for (low, high) in &ranges.parts {
            let room = sticks.next().flatten().map(|at| &mut left[at]);
            let more = room.map_or(0, |room| {
                let more = missing.min(high - low).min(*room);
                *room -= more;
                more
            });
            missing -= more;
            parts.push(low + more);
        }
        if missing > 0 {
            return None;
        }
        parts.sort_unstable_by_key(|part| Reverse(*part));
        parted.push((ranges.long, parts));
    }
    Some(parted)
}
