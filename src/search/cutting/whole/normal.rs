//! The normal form of an order: kerf added, lengths divided by their common measure, equal things merged, useless
//! stock dropped, all sorted. And the way back from a packing to a plan in the words of the order. Not a search.
//! Called by `plan` first and last. Because everything after it sees only the sorted form, the order of the
//! input can change nothing.

use super::fullest::fullest_length;
use super::job::{Found, Job, Kind, Load, Piece};
use crate::search::cutting::order::{CutOrder, CutPlan, Layout, NoPlan};
use crate::search::gcd;
use std::cmp::Reverse;
use std::collections::VecDeque;

/// The job, and which rows of the order its pieces and kinds are.
#[derive(Debug)]
pub(super) struct Normal {
    pub(super) job: Job,
    /// The common measure of all prices.
    coin: u64,
    /// For each piece: demands and their counts, in the order of the input.
    demands: Vec<Vec<(usize, u64)>>,
    /// For each kind: stocks and how many there are, shortest first.
    stocks: Vec<Vec<(usize, u64)>>,
}

/// The most pieces, and the longest length in normal units, that are reckoned with: sums of products of the two
/// then stay far inside 128 bits.
const MOST_PIECES: u64 = 1 << 44;
const LONGEST: u64 = 1 << 60;

/// The most table work for shortening all stock to what pieces can use of it.
const SHORTEN_WORK: u64 = 50_000_000;

/// Brings an order into normal form.
pub(super) fn normal_form(order: &CutOrder<'_>) -> Result<Normal, NoPlan> {
    let wanted: Vec<usize> = (0..order.demands.len()).filter(|&d| order.demands[d].count > 0).collect();
    if let Some(&demand) = wanted.iter().find(|&&d| order.demands[d].length == 0) {
        return Err(NoPlan::NoLength { demand });
    }
    let mut total = 0u64;
    for &d in &wanted {
        total = total.checked_add(order.demands[d].count).ok_or(NoPlan::Overflow)?;
    }
    refuse_too_long(order, &wanted)?;
    if total > MOST_PIECES {
        return Err(NoPlan::Overflow);
    }
    let measure = wanted.iter().fold(0, |g, &d| gcd(g, with_kerf(order.demands[d].length, order)));
    let in_units = |length: u64| {
        let units = with_kerf(length, order) / measure.max(1);
        u64::try_from(units).ok().filter(|&units| units <= LONGEST).ok_or(NoPlan::Overflow)
    };
    let (pieces, demands) = merge_demands(order, &wanted, in_units)?;
    let (mut kinds, stocks) = merge_stocks(order, &pieces, total, in_units)?;
    // With prices in their common measure, a bound is rounded up to what can be paid.
    let coin = kinds.iter().fold(0, |g, kind| gcd(g, u128::from(kind.price))).max(1);
    let coin = u64::try_from(coin).map_err(|_| NoPlan::Overflow)?;
    kinds.iter_mut().for_each(|kind| kind.price /= coin);
    Ok(Normal { job: Job { pieces, kinds, fluid: None }, coin, demands, stocks })
}

fn with_kerf(length: u64, order: &CutOrder<'_>) -> u128 {
    u128::from(length) + u128::from(order.kerf)
}

fn refuse_too_long(order: &CutOrder<'_>, wanted: &[usize]) -> Result<(), NoPlan> {
    let usable = order.stocks.iter().filter(|stock| stock.available != Some(0));
    let longest = usable.map(|stock| stock.length).max();
    let worst = wanted.iter().copied().min_by_key(|&d| (Reverse(order.demands[d].length), d));
    match worst {
        Some(demand) if longest.is_none_or(|most| order.demands[demand].length > most) => {
            Err(NoPlan::TooLong { demand })
        }
        Some(_) | None => Ok(()),
    }
}

type Members = Vec<Vec<(usize, u64)>>;

fn merge_demands(
    order: &CutOrder<'_>,
    wanted: &[usize],
    in_units: impl Fn(u64) -> Result<u64, NoPlan>,
) -> Result<(Vec<Piece>, Members), NoPlan> {
    let mut sorted = wanted.to_vec();
    sorted.sort_by_key(|&d| (Reverse(order.demands[d].length), d));
    let (mut pieces, mut members): (Vec<Piece>, Members) = (Vec::new(), Vec::new());
    for d in sorted {
        let (len, count) = (in_units(order.demands[d].length)?, order.demands[d].count);
        match (pieces.last_mut(), members.last_mut()) {
            (Some(piece), Some(same)) if piece.len == len => {
                piece.count += count;
                same.push((d, count));
            }
            _ => {
                pieces.push(Piece { len, count });
                members.push(vec![(d, count)]);
            }
        }
    }
    Ok((pieces, members))
}

fn merge_stocks(
    order: &CutOrder<'_>,
    pieces: &[Piece],
    total: u64,
    in_units: impl Fn(u64) -> Result<u64, NoPlan>,
) -> Result<(Vec<Kind>, Members), NoPlan> {
    let shortest = pieces.last().map_or(0, |piece| piece.len);
    let need = pieces.iter().map(|piece| u128::from(piece.len) * u128::from(piece.count)).sum::<u128>();
    let most_work = SHORTEN_WORK / order.stocks.len().max(1) as u64;
    let mut rows = Vec::new();
    for (s, stock) in order.stocks.iter().enumerate() {
        // Stock beyond all the pieces together is as good as just that much, however long it is.
        let len = match in_units(stock.length) {
            Ok(len) => u64::try_from(need.min(u128::from(len))).unwrap_or(len),
            Err(_) => u64::try_from(need).ok().filter(|&n| n <= LONGEST).ok_or(NoPlan::Overflow)?,
        };
        let most = stock.available.map_or(total, |available| available.min(total));
        if most > 0 && len >= shortest && !pieces.is_empty() {
            rows.push((fullest_length(pieces, len, most_work), stock.price, stock.length, s, most));
        }
    }
    rows.sort_by_key(|&(len, price, length, s, _)| (Reverse(len), price, length, s));
    let (mut kinds, mut members): (Vec<Kind>, Members) = (Vec::new(), Vec::new());
    // The least price of a kind at least as long of which there is any number: what costs as much is useless.
    let mut beaten = None;
    for (len, price, _, s, most) in rows {
        if beaten.is_some_and(|least| price >= least) {
            continue;
        }
        match (kinds.last_mut(), members.last_mut()) {
            (Some(kind), Some(same)) if kind.len == len && kind.price == price => {
                let more = most.min(total - kind.most);
                kind.most += more;
                same.push((s, more));
            }
            _ => {
                kinds.push(Kind { len, price, most, wet: true });
                members.push(vec![(s, most)]);
            }
        }
        if kinds.last().is_some_and(|kind| kind.most >= total) {
            beaten = Some(price);
        }
    }
    Ok((kinds, members))
}

impl Normal {
    /// Says a packing in the words of the order.
    pub(super) fn unfold(&self, order: &CutOrder<'_>, found: &Found) -> Result<CutPlan, NoPlan> {
        let mut demands: Vec<VecDeque<_>> =
            self.demands.iter().map(|row| row.iter().copied().collect()).collect();
        let mut stocks: Vec<VecDeque<_>> =
            self.stocks.iter().map(|row| row.iter().copied().collect()).collect();
        let mut loads: Vec<&Load> = found.loads.iter().collect();
        loads.sort_by(|a, b| (a.kind, &a.pieces).cmp(&(b.kind, &b.pieces)));
        let mut layouts: Vec<Layout> = Vec::new();
        for load in loads {
            let mut rest = load.times;
            while rest > 0 {
                let layout =
                    next_layout(order, load, rest, &mut demands, &mut stocks).ok_or(NoPlan::Overflow)?;
                rest -= layout.times;
                match layouts.last_mut() {
                    Some(last) if last.stock == layout.stock && last.pieces == layout.pieces => {
                        last.times += layout.times;
                    }
                    _ => layouts.push(layout),
                }
            }
        }
        let paid = |coins: u128| {
            coins
                .checked_mul(u128::from(self.coin))
                .and_then(|sum| u64::try_from(sum).ok())
                .ok_or(NoPlan::Overflow)
        };
        let (cost, bound) = (paid(found.cost)?, paid(found.bound.min(found.cost))?);
        Ok(CutPlan { layouts, cost, bound })
    }
}

/// Names the demands and the stock of as many sticks of a load as can be named alike.
fn next_layout(
    order: &CutOrder<'_>,
    load: &Load,
    most: u64,
    demands: &mut [VecDeque<(usize, u64)>],
    stocks: &mut [VecDeque<(usize, u64)>],
) -> Option<Layout> {
    let row = stocks.get_mut(load.kind)?;
    let (stock, held) = *row.front()?;
    let mut times = most.min(held);
    for &(piece, each) in &load.pieces {
        let (_, first) = *demands.get(piece)?.front()?;
        times = times.min((first / each).max(1));
    }
    let mut pieces = Vec::new();
    for &(piece, each) in &load.pieces {
        let row = demands.get_mut(piece)?;
        let mut want = each.checked_mul(times)?;
        while want > 0 {
            let (demand, count) = row.front_mut()?;
            let taken = want.min(*count);
            // Where a demand ends within a stick, times is 1, and so the share of one stick is what was taken.
            pieces.push((*demand, if taken == want && times > 1 { taken / times } else { taken }));
            *count -= taken;
            want -= taken;
            if *count == 0 {
                row.pop_front();
            }
        }
    }
    let row = stocks.get_mut(load.kind)?;
    let (_, held) = row.front_mut()?;
    *held -= times;
    if *held == 0 {
        row.pop_front();
    }
    let used =
        pieces.iter().map(|&(d, n)| with_kerf(order.demands[d].length, order) * u128::from(n)).sum::<u128>();
    let left_over = u64::try_from(u128::from(order.stocks[stock].length).saturating_sub(used)).ok()?;
    Some(Layout { stock, times, pieces, left_over })
}
