//! Long pieces parted while they are packed: whole pieces and parts go into a given set of sticks, and the parts grow
//! and shrink until all is in. Finds plans, proves nothing. Called by `joints`.

use super::drawn::{alike_together, in_order, parted_alike_together};
use crate::search::cutting::order::{Demand, JoinOrder, JoinedPlan, Layout, Parting};
use crate::search::cutting::whole::job::{Job, Kind, Load, Piece};
use crate::search::cutting::whole::packing::{Fill, Next, pack};
use crate::search::cutting::whole::repair::{Elastic, repair_parts};
use crate::search::effort::Effort;
use crate::search::gcd;
use std::cmp::Reverse;
use std::collections::BTreeMap;

/// Steps for one set, for each piece and each part.
const STEPS: u64 = 60_000;
/// Whole pieces and parts in all beyond which nothing is tried.
const MOST_PIECES: u64 = 3_000;

/// Tries to get all into so many of each stock, with so many parts for each long piece. Another `turn` goes
/// another way.
pub(super) fn fit(
    order: &JoinOrder<'_>,
    many: &[Vec<u64>],
    sticks: &[u64],
    turn: u64,
    effort: &mut Effort,
) -> Option<JoinedPlan> {
    let fit = Fit::new(order, many)?;
    let of_kinds: Vec<u64> = fit.stocks.iter().map(|&s| sticks[s]).collect();
    let (loads, lengths) = fit.pack_into(&of_kinds, turn, effort)?;
    fit.plan(order, &loads, &lengths)
}

/// Stocks that may be of use, longest first and then cheapest.
pub(super) fn useful(order: &JoinOrder<'_>) -> Vec<usize> {
    let stocks = order.whole.stocks;
    let mut sorted: Vec<usize> = (0..stocks.len()).filter(|&s| stocks[s].available != Some(0)).collect();
    sorted.sort_by_key(|&s| (Reverse(stocks[s].length), stocks[s].price, s));
    // The least price of a kind at least as long of which there is any number: what costs as much is useless.
    let mut beaten = u64::MAX;
    sorted.retain(|&s| {
        let is_useful = stocks[s].price < beaten;
        if is_useful && stocks[s].available.is_none() {
            beaten = stocks[s].price;
        }
        is_useful
    });
    sorted
}

/// An order in even units with the kerf added, each part a piece by itself.
struct Fit {
    job: Job,
    unit: u64,
    /// Which of the stocks each kind is.
    stocks: Vec<usize>,
    /// For each piece of the job the long piece that it is a part of, by its place in `elastic`.
    owners: Vec<Option<usize>>,
    elastic: Vec<Elastic>,
    /// For each elastic piece, which of the long ones it is.
    longs: Vec<usize>,
}

impl Fit {
    fn new(order: &JoinOrder<'_>, many: &[Vec<u64>]) -> Option<Self> {
        let (whole, kerf) = (&order.whole, order.whole.kerf);
        let wanted: Vec<&Demand> = whole.demands.iter().filter(|demand| demand.count > 0).collect();
        let stocks = useful(order);
        let pieces = wanted.iter().map(|demand| demand.count).chain(many.iter().flatten().copied());
        let total = pieces.fold(0, u64::saturating_add);
        if total > MOST_PIECES {
            return None;
        }
        let with_kerf = |length: u64| length.checked_add(kerf);
        let mut unit = 0;
        for length in wanted.iter().map(|d| d.length).chain(stocks.iter().map(|&s| whole.stocks[s].length)) {
            unit = gcd(unit, u128::from(with_kerf(length)?));
        }
        let mut sums = Vec::new();
        for (number, (long, many)) in order.long.iter().zip(many).enumerate() {
            for &parts in many {
                let sum = kerf.checked_mul(parts)?.checked_add(long.length)?;
                unit = gcd(unit, u128::from(sum));
                sums.push((number, parts, sum));
            }
        }
        let unit = u64::try_from(unit.max(1)).ok()?;
        let mut kinds = Vec::new();
        for stock in stocks.iter().map(|&s| whole.stocks[s]) {
            let most = stock.available.unwrap_or(total).min(total);
            kinds.push(Kind { len: with_kerf(stock.length)? / unit, price: stock.price, most, wet: true });
        }
        let longest = kinds.first()?.len;
        let shortest = with_kerf(order.shortest.max(1))?.div_ceil(unit);
        let mut rows: Vec<(u64, u64, Option<usize>)> = Vec::new();
        for demand in wanted {
            rows.push((with_kerf(demand.length)? / unit, demand.count, None));
        }
        let (mut longs, mut elastic) = (Vec::new(), Vec::new());
        for (number, many, sum) in sums {
            let parts = begin_parts(sum / unit, many, shortest, longest)?;
            rows.extend(parts.into_iter().map(|part| (part, 1, Some(longs.len()))));
            longs.push(number);
            elastic.push(Elastic { parts: Vec::new(), shortest, longest });
        }
        rows.sort_by_key(|&(length, _, owner)| (Reverse(length), owner));
        let pieces: Vec<Piece> = rows.iter().map(|&(len, count, _)| Piece { len, count }).collect();
        let owners: Vec<Option<usize>> = rows.iter().map(|&(_, _, owner)| owner).collect();
        for (p, owner) in owners.iter().enumerate() {
            if let Some(owner) = *owner {
                elastic[owner].parts.push(p);
            }
        }
        Some(Fit { job: Job { pieces, kinds, fluid: None }, unit, stocks, owners, elastic, longs })
    }

    /// Packs all into these sticks, if it can.
    fn pack_into(&self, sticks: &[u64], turn: u64, effort: &mut Effort) -> Option<(Vec<Load>, Vec<u64>)> {
        let pieces: u64 = self.job.pieces.iter().map(|piece| piece.count).sum();
        let need = self.job.counts();
        effort.within(STEPS * pieces, |effort| {
            let part = effort.left() / 8;
            let begun = effort
                .within(part, |effort| pack(&self.job, &need, sticks, Fill::Fullest, Next::Tightest, effort));
            repair_parts(&self.job, &self.elastic, &begun, turn, effort)
        })
    }

    /// Says it in the words of the order.
    fn plan(&self, order: &JoinOrder<'_>, loads: &[Load], lengths: &[u64]) -> Option<JoinedPlan> {
        let kerf = order.whole.kerf;
        let length = |p: usize| lengths[p] * self.unit - kerf;
        let of_parts = (0..lengths.len()).filter(|&p| self.owners[p].is_some());
        let mut sorted: Vec<u64> = of_parts.map(length).collect();
        sorted.sort_unstable_by_key(|length| Reverse(*length));
        let parts: Vec<Demand> = in_order(sorted.into_iter().map(|length| (length, 1)).collect())
            .into_iter()
            .map(|(length, count)| Demand { length, count })
            .collect();
        let part = |length: u64| parts.iter().position(|part| part.length == length);
        let mut partings: Vec<Parting> = Vec::new();
        let mut joints = 0;
        for (long, elastic) in self.longs.iter().zip(&self.elastic) {
            joints += elastic.parts.len() as u64 - 1;
            let list = in_order(elastic.parts.iter().map(|&p| (length(p), 1)).collect());
            let uses = list.into_iter().map(|(length, n)| Some((part(length)?, n))).collect::<Option<_>>()?;
            partings.push(Parting { long: *long, times: 1, parts: uses });
        }
        parted_alike_together(&mut partings);
        let mut rows: BTreeMap<u64, Vec<(usize, u64)>> = BTreeMap::new();
        for (number, demand) in order.whole.demands.iter().enumerate().rev() {
            if demand.count > 0 {
                rows.entry(demand.length).or_default().push((number, demand.count));
            }
        }
        let mut layouts: Vec<Layout> = Vec::new();
        for load in loads.iter().flat_map(|load| (0..load.times).map(move |_| load)) {
            let mut pieces: Vec<(u64, usize)> = Vec::new();
            for &(p, n) in &load.pieces {
                for _ in 0..n {
                    let number = match self.owners[p] {
                        Some(_) => order.whole.demands.len() + part(length(p))?,
                        None => next_demand(rows.get_mut(&length(p))?)?,
                    };
                    pieces.push((length(p), number));
                }
            }
            layouts.push(layout(order, self.stocks[load.kind], pieces));
        }
        layouts.sort_by(|a, b| {
            let length = |layout: &Layout| Reverse(order.whole.stocks[layout.stock].length);
            (length(a), a.stock, &a.pieces).cmp(&(length(b), b.stock, &b.pieces))
        });
        let sticks = alike_together(order, &mut layouts)?;
        let cost = joints.checked_mul(order.joint)?.checked_add(sticks)?;
        Some(JoinedPlan { layouts, parts, partings, joints, cost, bound: 0 })
    }
}

/// One stick, its longest piece first.
fn layout(order: &JoinOrder<'_>, stock: usize, mut sorted: Vec<(u64, usize)>) -> Layout {
    sorted.sort_unstable_by_key(|&(length, number)| (Reverse(length), number));
    let used: u64 = sorted.iter().map(|&(length, _)| length + order.whole.kerf).sum();
    let mut pieces: Vec<(usize, u64)> = Vec::new();
    for (_, number) in sorted {
        match pieces.last_mut() {
            Some((last, n)) if *last == number => *n += 1,
            _ => pieces.push((number, 1)),
        }
    }
    Layout { stock, times: 1, pieces, left_over: order.whole.stocks[stock].length.saturating_sub(used) }
}

/// Takes one piece of the first row that has any.
fn next_demand(rows: &mut Vec<(usize, u64)>) -> Option<usize> {
    let (number, count) = rows.last_mut()?;
    let number = *number;
    *count -= 1;
    if *count == 0 {
        rows.pop();
    }
    Some(number)
}

/// So many parts to begin with: the longest that go, and what is left.
fn begin_parts(sum: u64, many: u64, shortest: u64, longest: u64) -> Option<Vec<u64>> {
    let (mut rest, mut parts) = (sum, Vec::new());
    for after in (0..many).rev() {
        let part = rest.checked_sub(shortest.checked_mul(after)?)?.min(longest);
        if part < shortest {
            return None;
        }
        parts.push(part);
        rest -= part;
    }
    (rest == 0).then_some(parts)
}
